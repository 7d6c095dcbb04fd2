"""The password of a workbench that listens beyond this machine: only its hash is kept."""

from __future__ import annotations

import hashlib
import hmac
import secrets
from pathlib import Path

from jounce.car.file.writing import write_new
from jounce.conventions.errors import InputError

__all__ = ["SHORTEST", "hashed", "matches", "read_hash", "write_hash"]

SHORTEST = 10
"""Characters of a password."""
_COST, _BLOCK, _LANES = 2**14, 8, 1  # scrypt: 16 MB and some 50 ms for each try


def hashed(password: str) -> str:
    """Salted hash of a password, by scrypt (RFC 7914).

    Args:
        password: as it is typed

    Raises:
        InputError: it is too short
    """
    if len(password) < SHORTEST:
        raise InputError(
            "The password is too short",
            found=f"{len(password)} characters",
            allowed=f"{SHORTEST} or more",
            todo="Take three or four words.",
        )
    salt = secrets.token_bytes(16)
    return f"scrypt${salt.hex()}${_scrypt(password, salt).hex()}"


def matches(password: str, kept: str) -> bool:
    """Whether a password is the one that was kept, in a time that tells nothing.

    Args:
        password: as it is typed
        kept: its hash
    """
    _, salt, wanted = kept.split("$")
    return hmac.compare_digest(_scrypt(password, bytes.fromhex(salt)).hex(), wanted)


def write_hash(path: Path, kept: str) -> None:
    """Keep a hash in a new file that only its owner may read.

    Args:
        path: the file
        kept: the hash

    Raises:
        InputError: there is a file of this name, or it cannot be written
    """
    write_new({path: kept + "\n"}, private=True)


def read_hash(path: Path) -> str:
    """The hash of a password file.

    Args:
        path: the file

    Raises:
        InputError: it cannot be read, or is none
    """
    try:
        kept = path.read_text("ascii").strip()
    except (OSError, UnicodeDecodeError):
        kept = ""
    scheme, _, rest = kept.partition("$")
    salt, _, digest = rest.partition("$")
    if (
        scheme != "scrypt"
        or len(salt) != 32
        or len(digest) != 64
        or not all(c in "0123456789abcdef" for c in salt + digest)
    ):
        raise InputError(
            "This is no password file", todo="Name a file that does not exist yet: it will be made.", place=str(path)
        )
    return kept


def _scrypt(password: str, salt: bytes) -> bytes:
    return hashlib.scrypt(password.encode(), salt=salt, n=_COST, r=_BLOCK, p=_LANES, dklen=32)

"""Where a staying process listens: a socket in a folder that its user alone may enter. Read by every command, so tiny."""

from __future__ import annotations

import os
import stat
import sys
from zlib import crc32

__all__ = ["ALONE", "PACKAGE", "is_own", "is_possible", "own_folder", "socket_path"]

ALONE = "JOUNCE_ALONE"
"""Variable of the environment that makes every command run by itself, whatever its value is."""
PACKAGE = os.path.dirname(os.path.dirname(os.path.dirname(os.path.abspath(__file__))))
"""Folder of the program's own source."""


def is_possible() -> bool:
    """Whether a process can stay here; tried on Linux, and no other system can say all that is asked of it."""
    return sys.platform == "linux" and hasattr(os, "fork")


def own_folder() -> str:
    """Folder of the user's sockets: in the one that the session gives its user, or one of the user's for passing files."""
    session = os.environ.get("XDG_RUNTIME_DIR", "")
    if os.path.isabs(session):
        return f"{session}/jounce"
    passing = os.environ.get("TMPDIR", "")
    return f"{passing if os.path.isabs(passing) else '/tmp'}/jounce-{os.geteuid()}"  # noqa: S108  # owner and mode are looked at


def socket_path() -> str:
    """Path of the socket of this installed program: another copy, or another Python, has another."""
    key = crc32(f"{PACKAGE}\n{sys.prefix}\n{sys.version}".encode("utf-8", "surrogateescape"))
    return f"{own_folder()}/{key:08x}.socket"


def is_own(folder: str) -> bool:
    """Whether a folder is this user's, is no link, and lets nobody else in.

    Args:
        folder: its path
    """
    try:
        found = os.lstat(folder)
    except OSError:
        return False
    return stat.S_ISDIR(found.st_mode) and found.st_uid == os.geteuid() and not found.st_mode & 0o077

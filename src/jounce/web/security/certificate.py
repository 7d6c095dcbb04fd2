"""The certificate under which the workbench answers over https: a phone's browser gives its sensors only then."""

from __future__ import annotations

import ssl
from dataclasses import dataclass
from pathlib import Path

from jounce.conventions.errors import InputError

__all__ = ["Certificate", "certificate_of"]

_MADE = "Have it made for the name under which the shop's phones find the workbench, by a place that they trust."


@dataclass(frozen=True, slots=True)
class Certificate:
    """Files of the certificate, with those that vouch for it, and of its key; both PEM."""

    file: Path
    key: Path


def certificate_of(file: Path | None, key: Path | None) -> Certificate | None:
    """The certificate of two files, read once so that nothing is begun with one that cannot be used.

    Args:
        file: the certificate; None where the workbench answers without
        key: its key

    Raises:
        InputError: one of both is missing, cannot be read, or they do not belong together
    """
    if file is None and key is None:
        return None
    if file is None or key is None:
        raise InputError("A certificate and its key belong together", todo="Give both --certificate and --key.")
    try:
        ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER).load_cert_chain(file, key, password=lambda: "")
    except ssl.SSLError as error:
        raise InputError(
            "This certificate and this key cannot be used together",
            found=f"{file}, {key} ({(error.reason or 'no PEM').replace('_', ' ').lower()})",
            allowed="PEM files, the key without a password",
            todo=_MADE,
        ) from None
    except OSError as error:
        raise InputError(
            f"The certificate or its key cannot be read ({error.strerror})", found=f"{file}, {key}", todo=_MADE
        ) from None
    return Certificate(file, key)

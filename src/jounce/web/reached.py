"""Under which names the workbench is reached: from this machine, and from a phone in the same house."""

from __future__ import annotations

import ipaddress
import socket
from urllib.parse import urlsplit

__all__ = ["is_local", "name_of", "reached_at"]


def is_local(host: str) -> bool:
    """Whether an address to listen at is this machine's own, out of reach for all others.

    Args:
        host: name or number
    """
    if host == "localhost":
        return True
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return False


def reached_at(host: str) -> list[str]:
    """Names under which a browser reaches the workbench; where it listens everywhere, first the one for a phone.

    Args:
        host: where it listens
    """
    if host not in {"0.0.0.0", "::"}:  # noqa: S104  # read here, not listened at
        return [f"[{host}]" if ":" in host else host]
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as outward:
        try:
            outward.connect(("192.0.2.1", 9))  # a documentation address: nothing is sent, the way out is looked up
            own = outward.getsockname()[0]
        except OSError:
            own = ""
    return [*([own] if own and not is_local(own) else []), "127.0.0.1"]


def name_of(host: str) -> str:
    """The name in a host with its port, empty where there is none.

    Args:
        host: as a browser sends it
    """
    try:
        return urlsplit(f"//{host}").hostname or ""
    except ValueError:
        return ""

"""What the two processes say to each other.

In turn: the request with its descriptors; `READY` or `ALONE`; `GO`; then numbers of signals one way, a byte each, and at
last `ENDED` with the exit code the other. Nothing begins before `GO`: whatever fails earlier leaves the command to run by
itself.
"""

from __future__ import annotations

import json
import os
import socket
import sys
from collections.abc import Mapping, Sequence
from typing import Any

__all__ = ["ALONE", "ENDED", "GO", "PATIENCE", "READY", "exactly", "peer", "read_request", "send_request"]

READY, ALONE, GO, ENDED = b"ready", b"alone", b"begin", b"ended"
"""Words of five bytes."""
PATIENCE = 3.0
"""How long one waits for a word of the other that takes no work [s]."""
_LONGEST = 64 * 1024 * 1024
"""Longest request that is read [byte]; words and environment of a command are a few MB at most."""
_DESCRIPTORS = 4
"""Standard input, output, error, and the folder in which the caller stands."""


def peer(connection: socket.socket) -> tuple[int, int]:
    """Number and user of the process at the other end, as the kernel has them.

    Args:
        connection: a connected socket
    """
    told = connection.getsockopt(socket.SOL_SOCKET, socket.SO_PEERCRED, 12)
    return int.from_bytes(told[:4], sys.byteorder), int.from_bytes(told[4:8], sys.byteorder)


def exactly(connection: socket.socket, count: int) -> bytes:
    """So many bytes.

    Args:
        connection: a connected socket
        count: how many

    Raises:
        OSError: it ended before, or nothing came in time
    """
    read = bytearray()
    while len(read) < count:
        more = connection.recv(count - len(read))
        if not more:
            raise ConnectionResetError("it ended before all was said")
        read += more
    return bytes(read)


def send_request(connection: socket.socket, request: Mapping[str, Any], descriptors: Sequence[int] = ()) -> None:
    """Send what is asked for.

    Args:
        connection: a connected socket
        request: what JSON can write; text may hold what is no Unicode as Python keeps it
        descriptors: files that the other is given
    """
    body = json.dumps(request).encode("ascii")
    socket.send_fds(connection, [len(body).to_bytes(8, "big")], descriptors)
    connection.sendall(body)


def read_request(connection: socket.socket) -> tuple[dict[str, Any], list[int]]:
    """What is asked for, and the descriptors that came with it.

    Args:
        connection: a connected socket

    Raises:
        OSError: it ended before, nothing came in time, or it is no request
    """
    head, descriptors, _, _ = socket.recv_fds(connection, 8, _DESCRIPTORS)
    try:
        length = int.from_bytes(head + exactly(connection, 8 - len(head)), "big")
        request = json.loads(exactly(connection, min(length, _LONGEST)))
    except (OSError, ValueError) as error:
        for descriptor in descriptors:
            os.close(descriptor)
        raise OSError(str(error)) from error
    return dict(request), list(descriptors)

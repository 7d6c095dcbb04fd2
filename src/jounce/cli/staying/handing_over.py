"""A command handed to the staying process: read only where its socket stands, and quick to read."""

from __future__ import annotations

import os
import signal
import socket
import sys
from contextlib import suppress
from typing import Any

from jounce.cli.staying.alike import of_this_process
from jounce.cli.staying.place import is_own
from jounce.cli.staying.talk import ENDED, GO, PATIENCE, READY, exactly, peer, send_request

__all__ = ["BY_THEMSELVES", "connected", "handed_over"]

BY_THEMSELVES = {
    "serve": "it stays itself, and asks for a password at the terminal of its own session",
    "search": "it starts processes of its own, and Ctrl+C asks it for what was found so far",
    "stay": "it starts and ends the process that stays",
}
"""Commands that are never handed over, and why."""
_HANDED_ON = (signal.SIGINT, signal.SIGTERM, signal.SIGHUP)
_LOST = 70
"""Exit code where the staying process is lost while a command runs: as of a fault of the program."""


def connected(path: str) -> socket.socket | None:
    """A connection to the staying process; None where there is none that is this user's. A socket left behind is removed.

    Args:
        path: of the socket
    """
    if not is_own(os.path.dirname(path)):
        return None
    connection = socket.socket(socket.AF_UNIX, socket.SOCK_STREAM)
    connection.settimeout(PATIENCE)
    try:
        connection.connect(path)
    except ConnectionRefusedError:
        connection.close()
        with suppress(OSError):
            os.unlink(path)
        return None
    except OSError:
        connection.close()
        return None
    if peer(connection)[1] != os.geteuid():
        connection.close()
        return None
    return connection


def handed_over(path: str) -> int | None:
    """Let the staying process run this process's command; its exit code, or None where nothing was begun.

    A command that ended by a signal ends this process by the same.

    Args:
        path: of the socket
    """
    words = sys.argv[1:]
    if not words or words[0] in BY_THEMSELVES or any("/fd/" in word for word in words):  # a file that only we have open
        return None
    if None in (sys.stdin, sys.stdout, sys.stderr):
        return None
    connection = connected(path)
    if connection is None:
        return None
    with connection:
        if not _taken(connection):
            return None
        return _followed(connection)


def _taken(connection: socket.socket) -> bool:
    """Whether the staying process takes the command; it has not begun yet."""
    try:
        here = os.open(".", os.O_RDONLY | os.O_DIRECTORY)
        try:
            send_request(connection, _request(), (0, 1, 2, here))
        finally:
            os.close(here)
        return exactly(connection, len(READY)) == READY
    except OSError:
        return False


def _request() -> dict[str, object]:
    mask = os.umask(0o077)
    os.umask(mask)
    return {
        "do": "run",
        "alike": of_this_process(),
        "argv": sys.argv,
        "path": sys.path,
        "called": getattr(sys.modules["__main__"], "__package__", None),
        "environment": dict(os.environ),
        "umask": mask,
        "streams": [_like(stream) for stream in (sys.stdin, sys.stdout, sys.stderr)],
    }


def _like(stream: Any) -> list[object]:
    return [stream.encoding, stream.errors, stream.line_buffering, stream.write_through]


def _followed(connection: socket.socket) -> int | None:
    """Let it begin, hand signals on, wait for its end; None where it could not be told to begin."""

    def hand_on(number: int, _: object) -> None:
        with suppress(OSError):
            connection.send(bytes((number,)))

    before = {number: signal.getsignal(number) for number in _HANDED_ON}
    for number, usual in before.items():
        if usual is not signal.SIG_IGN:
            signal.signal(number, hand_on)
    try:
        connection.sendall(GO)
    except OSError:
        for number, usual in before.items():
            signal.signal(number, usual)
        return None
    try:
        connection.settimeout(None)
        told = exactly(connection, len(ENDED) + 4)
    except OSError:
        print("The process that stays ended while it ran this command; it may not have been done.", file=sys.stderr)
        return _LOST
    code = int.from_bytes(told[len(ENDED) :], "big", signed=True)
    if code < 0:
        with suppress(OSError):  # what cannot be caught, as when memory runs out, has no handler to take away
            signal.signal(-code, signal.SIG_DFL)
        os.kill(os.getpid(), -code)
    return code

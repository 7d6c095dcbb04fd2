"""A staying process started and ended."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Sequence
from contextlib import suppress
from tempfile import TemporaryFile

from jounce.cli.staying.alike import of_this_process
from jounce.cli.staying.handing_over import connected
from jounce.cli.staying.place import is_own, own_folder, socket_path
from jounce.cli.staying.talk import READY, exactly, send_request
from jounce.conventions.errors import InputError

__all__ = ["end", "prolong", "start"]

_ENDS_WITHIN = 600.0
"""How long the end of commands that still run is waited for [s]."""


def start(idle: float, words: Sequence[str] = ()) -> None:
    """Start a process that stays, in a session of its own and with none of this process's files, and wait for it.

    Args:
        idle: time without any command after which it ends [s]
        words: more words for it

    Raises:
        InputError: its folder is not this user's alone, or it could not start
    """
    folder = own_folder()
    with suppress(FileExistsError):
        try:
            os.mkdir(folder, 0o700)
        except FileNotFoundError:
            raise InputError("There is no such folder", found=os.path.dirname(folder), todo=_OTHER) from None
        except PermissionError:
            raise InputError("This folder cannot be made", found=folder, todo=_OTHER) from None
    if not is_own(folder):
        raise InputError(
            "The folder in which a process would listen is not yours alone",
            found=folder,
            allowed="a folder of your own that nobody else may enter (mode 0700), no link",
            todo="Find out who made it, and take it away; or set XDG_RUNTIME_DIR to a folder of your own.",
        )
    heard, told = os.pipe()
    try:
        with TemporaryFile() as record:
            subprocess.run(
                [sys.executable, "-P", "-m", "jounce.cli.staying", str(idle), str(told), *words],
                stdin=subprocess.DEVNULL,
                stdout=subprocess.DEVNULL,
                stderr=record,
                pass_fds=(told,),
                start_new_session=True,
                check=False,
            )
            os.close(told)
            told = -1
            answer = os.read(heard, 16)  # where this is broken off the other cannot tell that it is ready, and ends
            record.seek(0)
            said = record.read().decode(errors="replace").strip().splitlines()
    finally:
        for end_of_pipe in (heard, told):
            if end_of_pipe >= 0:
                os.close(end_of_pipe)
    if not answer:
        raise InputError(
            "The process that stays could not start",
            found=said[-1] if said else "",
            todo="Go on without: every command runs by itself.",
        )


_OTHER = "Set XDG_RUNTIME_DIR or TMPDIR to a folder in which you may write."


def prolong(idle: float) -> bool:
    """Whether a process like this one stays already; from now on it ends after another idle time.

    Args:
        idle: time without any command after which it ends [s]
    """
    connection = connected(socket_path())
    if connection is None:
        return False
    with connection:
        try:
            send_request(connection, {"do": "stay", "idle": idle, "alike": of_this_process()})
            return exactly(connection, len(READY)) == READY
        except OSError:
            return False


def end() -> bool:
    """End the process that stays, when the commands that it runs have ended; False where there was none."""
    connection = connected(socket_path())
    if connection is None:
        return False
    with connection:
        send_request(connection, {"do": "end"})
        connection.settimeout(_ENDS_WITHIN)
        with suppress(OSError):
            connection.recv(1)
    return True

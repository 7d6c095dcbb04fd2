"""The process that stays: it listens, forks a copy for each command, hands signals on, and tells how the command ended.

It runs nothing itself after its start, has no threads of its own and so can be forked at any time.
"""

from __future__ import annotations

import gc
import os
import selectors
import signal
import socket
import time
from collections.abc import Callable
from contextlib import suppress

from jounce.cli.staying import one_command
from jounce.cli.staying.alike import is_alike, of_this_process
from jounce.cli.staying.place import own_folder, socket_path
from jounce.cli.staying.source import state_of_source
from jounce.cli.staying.talk import ALONE, ENDED, GO, PATIENCE, READY, exactly, peer, read_request

__all__ = ["Staying"]

_LOOKS = 20.0
"""How often it looks whether its socket is still there [s]."""


class Staying:
    """A process that stays until nobody asked it for a while, its source has changed, or it is told to end."""

    def __init__(self, idle: float) -> None:
        """Note what this process is before it reads the mechanics.

        Args:
            idle: time without any command after which it ends [s]
        """
        self._idle = idle
        self._alike, self._source = of_this_process(), state_of_source()
        self._path = socket_path()
        self._running: dict[int, socket.socket] = {}
        self._ending: list[socket.socket] = []
        self._last = time.monotonic()
        self._own = 0
        self._waits = selectors.DefaultSelector()

    def stay(self, ready: Callable[[], None]) -> None:
        """Listen until it ends.

        Args:
            ready: called when it can be asked
        """
        gc.collect()
        gc.freeze()
        os.chdir(own_folder())
        woken, wakes = socket.socketpair()
        with socket.socket(socket.AF_UNIX, socket.SOCK_STREAM) as door, self._waits:
            with suppress(FileNotFoundError):
                os.unlink(self._path)
            before = os.umask(0o077)
            door.bind(self._path)
            os.umask(before)
            door.listen(64)
            self._own = os.stat(self._path).st_ino
            for waited in (woken, wakes):
                waited.settimeout(0.0)
            signal.signal(signal.SIGCHLD, lambda *_: None)
            signal.set_wakeup_fd(wakes.fileno(), warn_on_full_buffer=False)
            self._waits.register(door, selectors.EVENT_READ)
            self._waits.register(woken, selectors.EVENT_READ)
            try:
                ready()
                self._last = time.monotonic()  # the mechanics may have taken longer to read than it shall stay
                self._listen(door, woken)
            finally:
                self._leave(door)
                signal.set_wakeup_fd(-1)
        for told in (woken, wakes, *self._ending):
            told.close()

    def _listen(self, door: socket.socket, woken: socket.socket) -> None:
        open_for_more = True
        while open_for_more or self._running:
            for key, _ in self._waits.select(_LOOKS if self._running else min(_LOOKS, max(self._left(), 0.0))):
                if key.fileobj is door:
                    open_for_more = self._answered(door) and open_for_more
                elif key.fileobj is woken:
                    with suppress(BlockingIOError):
                        woken.recv(4096)
                    self._tell_ends()
                elif isinstance(key.fileobj, socket.socket):
                    self._hand_on(key.fileobj, key.data)
            if open_for_more and not self._running:
                open_for_more = self._left() > 0.0
            if open_for_more:
                open_for_more = self._is_there()
            if not open_for_more:
                self._leave(door)

    def _left(self) -> float:
        return self._last + self._idle - time.monotonic()

    def _is_there(self) -> bool:
        """Whether the socket is still this process's: a folder for passing files may be cleaned."""
        try:
            return os.stat(self._path).st_ino == self._own
        except OSError:
            return False

    def _leave(self, door: socket.socket) -> None:
        """Listen no more; commands that run are waited for."""
        if door.fileno() < 0:
            return
        if self._is_there():
            os.unlink(self._path)
        self._waits.unregister(door)
        door.close()

    def _answered(self, door: socket.socket) -> bool:
        """Answer one caller; False where this process shall end."""
        connection, _ = door.accept()
        connection.settimeout(PATIENCE)
        kept: list[int] = []
        try:
            if peer(connection)[1] != os.geteuid():
                connection.close()
                return True
            request, kept = read_request(connection)
            asked = request.get("do")
            if asked == "end":
                self._ending.append(connection)  # closed when this process is gone
                return False
            if state_of_source() != self._source:
                connection.sendall(ALONE)
                connection.close()
                return False
            if not is_alike(self._alike, request["alike"]):
                connection.sendall(ALONE)
                connection.close()
                return True
            self._last = time.monotonic()
            connection.sendall(READY)
            if asked == "stay":
                self._idle = float(request["idle"])
                connection.close()
            elif exactly(connection, len(GO)) == GO:
                self._begin(connection, request, kept)
        except (OSError, KeyError, TypeError, ValueError):
            connection.close()
        finally:
            for descriptor in kept:
                os.close(descriptor)
        return True

    def _begin(self, connection: socket.socket, request: dict[str, object], descriptors: list[int]) -> None:
        child = os.fork()
        if child == 0:
            one_command.run(request, descriptors)
        self._running[child] = connection
        self._waits.register(connection, selectors.EVENT_READ, child)

    def _hand_on(self, connection: socket.socket, child: int) -> None:
        """Hand on the signals that the caller got; where the caller is gone, its command ends too."""
        try:
            numbers = connection.recv(64)
        except OSError:
            numbers = b""
        if not numbers:
            self._waits.unregister(connection)
        with suppress(ProcessLookupError):
            for number in numbers or (signal.SIGKILL,):
                os.kill(child, number)

    def _tell_ends(self) -> None:
        for child, connection in list(self._running.items()):
            ended, status = os.waitpid(child, os.WNOHANG)
            if not ended:
                continue
            del self._running[child]
            with suppress(KeyError):
                self._waits.unregister(connection)
            with suppress(OSError):
                connection.sendall(ENDED + os.waitstatus_to_exitcode(status).to_bytes(4, "big", signed=True))
            connection.close()
            self._last = time.monotonic()

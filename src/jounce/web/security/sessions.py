"""Who is signed in, and how often a password may be tried."""

from __future__ import annotations

import hashlib
import secrets
import threading
import time
from collections.abc import Callable

from jounce.web.security.passwords import matches

__all__ = ["IDLE", "LONGEST", "PAUSE", "TRIES", "Sessions"]

IDLE = 2 * 3600.0
"""A session ends when nothing was asked for so long [s]."""
LONGEST = 12 * 3600.0
"""A session ends after so long in any case [s]."""
TRIES = 5
"""Wrong passwords from one address before it has to wait."""
PAUSE = 60.0
"""How long it then waits [s]."""


class Sessions:
    """Sessions of a workbench with a password, in memory: a restart signs everybody out.

    Args:
        kept: hash of the password
        clock: seconds that only grow

    """

    def __init__(self, kept: str, clock: Callable[[], float] = time.monotonic) -> None:
        self._kept, self._clock = kept, clock
        self._open: dict[str, tuple[float, float]] = {}  # digest of the token: begun, last asked
        self._wrong: dict[str, tuple[int, float]] = {}  # address: wrong tries, time of the last
        self._lock = threading.Lock()

    def waits(self, address: str) -> float:
        """How long an address has to wait before its next try [s]."""
        with self._lock:
            tries, last = self._wrong.get(address, (0, 0.0))
            return max(0.0, last + PAUSE - self._clock()) if tries >= TRIES else 0.0

    def sign_in(self, address: str, password: str) -> str | None:
        """Token of a new session, or None for a wrong password.

        Args:
            address: where the request comes from
            password: as it was typed
        """
        if self.waits(address):
            return None
        with self._lock:  # one try at a time, counted before it is looked at
            now = self._clock()
            tries, last = self._wrong.get(address, (0, now))
            tries = 0 if now - last > PAUSE else tries
            self._wrong[address] = (tries + 1, now)
            if not matches(password, self._kept):
                return None
            del self._wrong[address]
            token = secrets.token_urlsafe(32)
            self._open = {key: times for key, times in self._open.items() if self._lives(times)}
            self._open[_digest(token)] = (now, now)
            return token

    def knows(self, token: str) -> bool:
        """Whether a token's session lives; asking keeps it alive."""
        with self._lock:
            times = self._open.get(_digest(token))
            if times is None or not self._lives(times):
                return False
            self._open[_digest(token)] = (times[0], self._clock())
            return True

    def sign_out(self, token: str) -> None:
        """End a session."""
        with self._lock:
            self._open.pop(_digest(token), None)

    def _lives(self, times: tuple[float, float]) -> bool:
        now = self._clock()
        return now - times[0] < LONGEST and now - times[1] < IDLE


def _digest(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()

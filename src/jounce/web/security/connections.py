"""How many connections may be open, and how long each may take to say what it wants: a few slow ones stop nobody."""

from __future__ import annotations

import asyncio

import h11
from uvicorn.protocols.http.h11_impl import H11Protocol

__all__ = ["Patient"]

MOST = 256
"""Connections open at once; a browser takes six."""
HEAD_TIME = 15.0
"""How long the head of a request may take [s]."""
WHOLE_TIME = 180.0
"""How long a whole request, or the taking of its answer, may take: a photo of 12 MB at 0.6 Mbit/s [s]."""
_LOOK_EVERY = 1.0  # [s]


class Patient(H11Protocol):
    """A connection that is not waited for without end.

    When there are too many, the one that has kept the workbench waiting longest has to go; one whose answer is being
    worked out is never that one.
    """

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """Begin to wait, and make room."""
        super().connection_made(transport)
        self.began = self.loop.time()
        self._timer = self.loop.call_later(_LOOK_EVERY, self._look)
        if len(self.connections) > MOST:
            others = [one for one in self.connections if isinstance(one, Patient) and one is not self]
            longest = min((one for one in others if one.waits), key=lambda one: one.began, default=self)
            longest.transport.abort()

    def connection_lost(self, exc: Exception | None) -> None:
        """Wait no more."""
        self._timer.cancel()
        super().connection_lost(exc)

    def on_response_complete(self) -> None:
        """Wait for the next request."""
        self.began = self.loop.time()
        super().on_response_complete()

    @property
    def waits(self) -> bool:
        """Whether the other side is to say or to take something, and is still there."""
        unsaid = self.conn.their_state in {h11.IDLE, h11.SEND_BODY}
        return (unsaid or self.flow.write_paused) and not self.transport.is_closing()

    def _look(self) -> None:
        most = HEAD_TIME if self.conn.their_state is h11.IDLE else WHOLE_TIME
        if self.waits and self.loop.time() - self.began > most:
            self.transport.abort()
        self._timer = self.loop.call_later(_LOOK_EVERY, self._look)

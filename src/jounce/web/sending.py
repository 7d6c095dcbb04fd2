"""Forms that a page's script sends: told where to go on instead of being led there, and saved once, however often sent."""

from __future__ import annotations

from collections import OrderedDict
from threading import Lock

from starlette.responses import JSONResponse, Response

__all__ = ["ONCE", "Sent"]

ONCE = "x-once"
"""Header with the word that a script made for one sending of one form; sent again it is the same."""
_MOST = 1000
_LONGEST = 64


class Sent:
    """Where the latest forms led to, by their words: an answer that got lost on the way is given again."""

    def __init__(self) -> None:
        self._led: OrderedDict[str, str] = OrderedDict()
        self._lock = Lock()

    def again(self, once: str) -> Response | None:
        """The answer to a form that was saved already; None for a new one.

        Args:
            once: its word; empty where a browser sent it without a script
        """
        with self._lock:
            to = self._led.get(once[:_LONGEST])
        return None if to is None else JSONResponse({"to": to})

    def answer(self, once: str, answer: Response) -> Response:
        """The answer as a script reads it: a script that was led on would not learn where to.

        Args:
            once: the form's word; empty where a browser sent it without a script
            answer: of the page
        """
        if not once or answer.status_code != 303:
            return answer
        to = answer.headers["location"]
        with self._lock:
            self._led[once[:_LONGEST]] = to
            while len(self._led) > _MOST:
                self._led.popitem(last=False)
        told = JSONResponse({"to": to})
        told.raw_headers += [(name, value) for name, value in answer.raw_headers if name == b"set-cookie"]
        return told

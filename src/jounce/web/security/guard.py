"""What stands before every request: host, origin, size, session; and what every answer carries."""

from __future__ import annotations

import re
from collections.abc import Mapping
from contextlib import suppress
from http.cookies import CookieError, SimpleCookie
from urllib.parse import urlencode, urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.exceptions import HTTPException
from starlette.requests import ClientDisconnect
from starlette.responses import PlainTextResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from jounce.conventions.errors import JounceError
from jounce.conventions.typed import whole
from jounce.web.api.of_sign_in import bearer
from jounce.web.api.problems import refused
from jounce.web.security.sessions import Sessions

__all__ = ["HEADERS", "LARGEST", "SESSION", "SHEET_CODE", "Guard", "cookies_of"]

LARGEST = 4 * 2**20
"""Bytes of a request: a file of a whole parts shelf is a tenth of it."""
LARGEST_WITH_PHOTO = 13 * 2**20
"""Bytes of a request that may bring a photo."""
LARGEST_WITH_PHOTOGRAPH = 42 * 2**20
"""Bytes of a request that may bring a photograph to be measured in, as large as a telephone can make it."""
SESSION = "jounce_session"
SHEET_CODE = re.compile(r"/[jJ]/[0-9A-Za-z]{1,16}")
"""Addresses to which codes on paper lead; the only ones to which the door sends somebody on who came by them."""
HEADERS: Mapping[str, str] = {
    "content-security-policy": (
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob:; connect-src 'self'; "
        "form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
    ),
    "x-content-type-options": "nosniff",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "camera=(), geolocation=(), microphone=()",
}
_OPEN_TO_ALL = ("/sign-in", "/static/", "/api/v1/sign-in")
_FOR_PROGRAMS = "/api/"
_HERE = ("localhost", "127.0.0.1", "::1")


class Guard:
    """The outermost layer.

    Args:
        app: what is guarded
        sessions: who is signed in; None where the workbench is open to this machine alone

    """

    def __init__(self, app: ASGIApp, sessions: Sessions | None) -> None:
        self._app, self._sessions = app, sessions

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Refuse a request, or let it pass."""
        if scope["type"] == "websocket":  # no page uses one
            await send({"type": "websocket.close", "code": 1008})
            return
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return

        async def answer(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in HEADERS.items():
                    headers[name] = value
                headers.setdefault("cache-control", "no-store")
            await send(message)

        refusal = self._refusal(scope)
        if refusal is not None:
            await refusal(scope, receive, answer)
            return
        with suppress(ClientDisconnect):  # whoever asked is gone: there is nobody to answer
            await self._app(scope, _limited(receive, _most(scope)), answer)

    def _refusal(self, scope: Scope) -> Response | None:
        headers = Headers(scope=scope)
        host = headers.get("host", "")
        if self._sessions is None and _name(host) not in _HERE:  # another site's name that leads here
            return _refused(scope, "This workbench answers to this machine alone.", 421)
        if scope["method"] not in {"GET", "HEAD"} and not _from_here(headers, host):
            return _refused(scope, "This was sent by another site.", 403)
        length = whole(headers.get("content-length", "0"))
        most = _most(scope)
        if length is None or length > most:
            return _refused(scope, _too_large(most), 413)
        if self._sessions is None or scope["path"].startswith(_OPEN_TO_ALL):
            return None
        if self._sessions.knows(bearer(headers.get("authorization", "")) or cookies_of(headers).get(SESSION, "")):
            return None
        if scope["path"].startswith(_FOR_PROGRAMS):
            return _refused(scope, "Nobody is signed in: ask for a token first.", 401)
        onward = f"?{urlencode({'to': scope['path']})}" if SHEET_CODE.fullmatch(scope["path"]) else ""
        return RedirectResponse(f"/sign-in{onward}", 303)


def cookies_of(headers: Headers) -> dict[str, str]:
    """Cookies of a request by name.

    Args:
        headers: its headers
    """
    try:
        return {name: morsel.value for name, morsel in SimpleCookie(headers.get("cookie", "")).items()}
    except CookieError:
        return {}


def _refused(scope: Scope, said: str, status: int) -> Response:
    """In plain words to a person, in their own form to programs."""
    if scope["path"].startswith(_FOR_PROGRAMS):
        return refused(status, [JounceError(said)])
    return PlainTextResponse(said, status)


def _name(host: str) -> str:
    return urlsplit(f"//{host}").hostname or ""


def _from_here(headers: Headers, host: str) -> bool:
    """Browsers say where a form was; programs that say nothing bring no cookie of somebody else."""
    origin = headers.get("origin")
    if origin is not None:
        return urlsplit(origin).netloc == host
    return headers.get("sec-fetch-site", "same-origin") in {"same-origin", "none"}


def _most(scope: Scope) -> int:
    """Bytes that a request to this address may bring."""
    ends = {"photos": LARGEST_WITH_PHOTO, "photographs": LARGEST_WITH_PHOTOGRAPH}
    return ends.get(scope["path"].rpartition("/")[2], LARGEST)


def _too_large(most: int) -> str:
    return f"This is more than {most // 2**20} MB."


def _limited(receive: Receive, most: int) -> Receive:
    came = 0

    async def counted() -> Message:
        nonlocal came
        message = await receive()
        came += len(message.get("body", b""))
        if came > most:
            raise HTTPException(413, _too_large(most))
        return message

    return counted

"""The door of a workbench that listens beyond this machine."""

from __future__ import annotations

import math

from starlette.responses import Response

from jounce.web.request import Handler, PageRequest, onward, page
from jounce.web.security.guard import SESSION, SHEET_CODE
from jounce.web.security.sessions import LONGEST, Sessions

__all__ = ["page_for", "way_out"]


def page_for(sessions: Sessions) -> Handler:
    """The page that asks for the password.

    Args:
        sessions: who is signed in
    """

    def show(ask: PageRequest) -> Response:
        to = ask.query.get("to", "")
        to = to if SHEET_CODE.fullmatch(to) else "/"
        if not ask.form:
            return page(ask, "sign_in.html", wrong="", to=to)
        token = sessions.sign_in(ask.client, ask.form.get("password", ""))
        if token is None:
            wait = math.ceil(sessions.waits(ask.client))
            wrong = f"Too many tries: wait {wait} s." if wait else "This is not the password."
            return page(ask, "sign_in.html", 429 if wait else 403, wrong=wrong, to=to)
        answer = onward(to)
        answer.set_cookie(SESSION, token, max_age=int(LONGEST), secure=ask.secure, httponly=True, samesite="strict")
        return answer

    return show


def way_out(sessions: Sessions) -> Handler:
    """Ends the session.

    Args:
        sessions: who is signed in
    """

    def leave(ask: PageRequest) -> Response:
        if ask.form:
            sessions.sign_out(ask.token)
        answer = onward("/sign-in")
        answer.delete_cookie(SESSION, httponly=True, samesite="strict")
        return answer

    return leave

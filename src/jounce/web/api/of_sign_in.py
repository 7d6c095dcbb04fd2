"""Tokens: programs sign in once with the password of the workshop, as often and as rarely as a browser may."""

from __future__ import annotations

import math
from typing import Any

from jounce.conventions.errors import InputError
from jounce.web.api.operation import JSON, Call, Operation, OperationAnswer
from jounce.web.api.problems import Refused
from jounce.web.api.schemas import number, objects, text
from jounce.web.security.sessions import IDLE, LONGEST

__all__ = ["OPERATIONS", "bearer"]


def bearer(authorization: str) -> str:
    """The token of an ``Authorization`` header; empty where it has none.

    Args:
        authorization: value of the header
    """
    scheme, _, token = authorization.strip().partition(" ")
    return token.strip() if scheme.casefold() == "bearer" else ""


def _sign_in(call: Call) -> Any:
    if call.sessions is None:
        raise InputError("This workbench asks for no password", todo="Ask it without a token.")
    token = call.sessions.sign_in(call.ask.client, call.body["password"])
    if token is not None:
        return {"token": token, "idle": IDLE, "longest": LONGEST}
    wait = math.ceil(call.sessions.waits(call.ask.client))
    if wait:
        raise Refused(429, InputError("Too many tries", todo=f"Wait {wait} s.", place="body.password"))
    raise Refused(403, InputError("This is not the password", todo="Ask the workshop.", place="body.password"))


def _sign_out(call: Call) -> Any:
    if call.sessions is not None:
        call.sessions.sign_out(call.ask.token)
    return {"signed_out": True}


OPERATIONS = (
    Operation(
        "POST",
        "/v1/sign-in",
        "signIn",
        "Signing in",
        "Ask for a token",
        _sign_in,
        OperationAnswer(
            "the token, to be sent as `Authorization: Bearer …`",
            objects(
                "A token.",
                {
                    "token": text("the token"),
                    "idle": number("it ends when nothing was asked for so long", "s"),
                    "longest": number("it ends after so long in any case", "s"),
                },
            ),
        ),
        "Only where the workbench listens beyond its own machine. Five wrong passwords from one address, and that "
        "address waits a minute.",
        body={JSON: objects("The password.", {"password": text("password of the workshop", 1, 1000)})},
        problems=(403, 429),
        open=True,
    ),
    Operation(
        "POST",
        "/v1/sign-out",
        "signOut",
        "Signing in",
        "End a token",
        _sign_out,
        OperationAnswer("done", objects("Done.", {"signed_out": {"type": "boolean"}})),
    ),
)

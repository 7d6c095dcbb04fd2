"""Long work by its own address: how far it is, for people and for the script that moves the bar, and its stop."""

from __future__ import annotations

import json

from starlette.responses import Response

from jounce.web.request import PageRequest, onward, page

__all__ = ["show", "stop", "told"]


def show(ask: PageRequest) -> Response:
    """How far it is; what is finished is looked at where its result stands."""
    work = ask.works.find(ask.path["work"])
    return onward(work.order.home) if work.finished else page(ask, "work.html", work=work)


def told(ask: PageRequest) -> Response:
    """How far it is, as JSON."""
    return Response(json.dumps(ask.works.find(ask.path["work"]).told()), media_type="application/json")


def stop(ask: PageRequest) -> Response:
    """Ask it to end with what it has; then back to where its result stands."""
    work = ask.works.find(ask.path["work"])
    if ask.form:
        ask.works.stop(work.id)
        work = ask.works.wait(work.id, 2.0)
    return onward(work.order.home)

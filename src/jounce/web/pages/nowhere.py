"""An address under which there is no page."""

from __future__ import annotations

from starlette.responses import Response

from jounce.web.request import Ask, page

__all__ = ["show"]


def show(ask: Ask) -> Response:
    """It is said, with the ways on."""
    return page(ask, "nowhere.html", 404)

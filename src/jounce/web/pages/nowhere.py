"""An address under which there is no page."""

from __future__ import annotations

from starlette.responses import Response

from jounce.web.request import PageRequest, page

__all__ = ["show"]


def show(ask: PageRequest) -> Response:
    """It is said, with the ways on."""
    return page(ask, "nowhere.html", 404)

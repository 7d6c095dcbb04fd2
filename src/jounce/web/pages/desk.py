"""The desk: who writes, in which units, on which paper; kept by this browser."""

from __future__ import annotations

from starlette.responses import Response

from jounce.conventions.unit_table import UNIT_SETS
from jounce.web.request import PageRequest, Preferences, desk_cookies, onward, page

__all__ = ["show"]

_YEAR = 365 * 24 * 3600


def show(ask: PageRequest) -> Response:
    """The desk, or what was chosen for it."""
    if not ask.form:
        return page(ask, "desk.html", unit_sets=list(UNIT_SETS))
    units = ask.form.get("units", "")
    chosen = Preferences(
        " ".join(ask.form.get("by", "").split())[:60] or ask.desk.by,
        units if units in UNIT_SETS else ask.desk.units,
        "us-letter" if ask.form.get("paper") == "us-letter" else "a4",
    )
    answer = onward("/desk")
    for name, value in desk_cookies(chosen).items():
        answer.set_cookie(name, value, max_age=_YEAR, httponly=True, samesite="strict")
    return answer

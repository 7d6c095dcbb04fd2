"""A code on the screen: a phone that reads it opens the same page there, through the door."""

from __future__ import annotations

import re

from markupsafe import Markup
from starlette.responses import Response

from jounce.sheets.screen_code import screen_code
from jounce.web.reached import is_local, name_of, reached_at
from jounce.web.request import PageRequest, page
from jounce.web.shop_settings import shop_of

__all__ = ["show"]

_OWN_PATH = re.compile(r"/[A-Za-z0-9/_.-]{0,200}")
_HOST = re.compile(r"[A-Za-z0-9.:\[\]-]{1,100}")
_PORT = re.compile(r":\d{1,5}$")


def show(ask: PageRequest) -> Response:
    """The code of the page that is asked for, or why no phone finds it and what to do."""
    asked = ask.query.get("at", "/")
    at = asked if _OWN_PATH.fullmatch(asked) and not asked.startswith("//") else "/"
    address = _address(ask)
    link = f"{address}{at}" if address else ""
    return page(ask, "phone.html", at=at, link=link, code=Markup(screen_code(link)) if link else "")  # noqa: S704  # SVG


def _address(ask: PageRequest) -> str:
    """Under which another machine of the house finds the workbench: as the shop says, else as this one was found.

    Behind a door that is open to this machine alone there is none.
    """
    shop = shop_of(ask)
    if shop is not None and shop.house.address:
        return shop.house.address
    if not ask.guarded or not _HOST.fullmatch(ask.host):
        return ""
    name = name_of(ask.host)
    if not name:
        return ""
    if not is_local(name):
        return f"http://{ask.host}"
    others = [name for name in reached_at("0.0.0.0") if not is_local(name)]  # noqa: S104  # looked up, not listened at
    port = _PORT.search(ask.host)
    return f"http://{others[0]}{port[0] if port else ''}" if others else ""

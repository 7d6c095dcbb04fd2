"""The file itself: one page with its scripts and styles in it, its texts and frames as data that the script fills in."""

from __future__ import annotations

import json
import re
from functools import cache
from importlib.resources import files
from typing import Any

from jounce.case.case import Case
from jounce.sheets.paperwork import Paperwork
from jounce.web.picture.standing import shown_as_planned
from jounce.web.script_words import script_words, words_of_data
from jounce.web.take_away.content import TakeAwayWish, content
from jounce.web.take_away.frames import packed, picture_data

__all__ = ["POLICY", "take_away"]

POLICY = (
    "default-src 'none'; script-src 'unsafe-inline'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'"
)
"""What the file's own page may do: run what stands in it, and ask nobody for anything."""
_SCRIPTS = (
    *("words", "picture_space", "picture_raster", "picture_paint", "picture_solid", "picture_marks", "picture_words"),
    *("picture_along", "picture_touch", "picture_show", "picture_gif", "picture_svg", "picture_save"),
    *("picture_car", "take_away_unpack", "take_away"),
)
"""In the order in which each needs those before it."""
_IMPORT = re.compile(r"^import [^;]*;\n", re.MULTILINE)
_EXPORT = re.compile(r"^export ", re.MULTILINE)
_PAGE = """<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="{policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>The car before and after</title>
<style>{style}</style>
</head>
<body>
<header id="letterhead"></header>
<main id="main"><noscript>This page draws itself by its own scripts: switch them on to read it.</noscript></main>
<script type="application/json" id="content">{content}</script>
<script type="text/plain" id="frames">{frames}</script>
{words}
<script>{script}</script>
</body>
</html>
"""


def take_away(case: Case, look: Paperwork, asked: TakeAwayWish) -> bytes:
    """The file of a job.

    Args:
        case: the job on its car
        look: units, letterhead, words, and why it is made although a check fails on which lives depend
        asked: what the shop asked for

    Raises:
        InputError: a check fails on which lives depend and nobody said why the file is made all the same
    """
    told = content(case, look, asked)
    data = picture_data(shown_as_planned(case), look.units)
    if look.speaks is not None:
        data["words"] = words_of_data(data, look.speaks)
    frames = packed(data)
    page = _PAGE.format(
        policy=POLICY,
        style=_own("take_away.css"),
        content=_safe(told),
        frames=frames,
        script=_script(),
        words=_words(look),
    )
    return page.encode()


def _words(look: Paperwork) -> str:
    """What the scripts say, where the file speaks the house's words."""
    return "" if look.speaks is None else script_words(look.speaks)


def _safe(data: dict[str, Any]) -> str:
    """Data that cannot end the place in which it stands: no text of it is ever markup."""
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"))
    return text.replace("<", "\\u003c").replace("\u2028", "\\u2028").replace("\u2029", "\\u2029")


@cache
def _script() -> str:
    """The picture's scripts, which are modules on the site, as one."""
    parts = [_EXPORT.sub("", _IMPORT.sub("", _own(f"{name}.js"))) for name in _SCRIPTS]
    return '(() => {\n"use strict";\n' + "".join(parts) + "})();\n"


def _own(name: str) -> str:
    text = files("jounce.web").joinpath("static", name).read_text("utf-8")
    if "</s" in text:
        raise ValueError(f"{name} cannot stand within a page")
    return text

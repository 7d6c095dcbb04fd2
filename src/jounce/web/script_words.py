"""What the pages' scripts say, in the house's words.

The page carries the scripts' own texts in a template element, data the names that stand in it; `words.js` finds both.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from functools import cache
from html import escape
from importlib.resources import files
from typing import Any

from jounce.sheets.paperwork import Translator

__all__ = ["chart_in_words", "script_texts", "script_words", "words_of_data"]

_SHOWN = frozenset({"label", "name", "note", "title", "unit"})
"""Keys of data whose texts are shown to people."""

_VIEWS = ("side", "front", "rear", "plan", "front axle", "rear axle")
"""Names of the picture's views, which its script says by the name that it knows each by."""
_SAID = re.compile(r'in_words\(\s*"((?:[^"\\]|\\.)*)"')


@cache
def script_texts() -> tuple[str, ...]:
    """Every text that a script says, with {0}, {1} for what it puts in."""
    folder = files("jounce.web").joinpath("static")
    scripts = [file.read_text("utf-8") for file in folder.iterdir() if file.name.endswith(".js")]
    return tuple(sorted({*_VIEWS, *(text for script in scripts for text in _SAID.findall(script))}))


def script_words(house: Translator) -> str:
    """The element that carries them, with the house's decimal sign.

    Args:
        house: the house's words
    """
    said = {text: house.said(text) for text in script_texts()}
    lines = [
        f'<span data-text="{escape(text)}">{escape(other, quote=False)}</span>'
        for text, other in said.items()
        if other != text
    ]
    return f'<template id="script-words" data-decimal="{house.decimal}">{"".join(lines)}</template>'


def words_of_data(data: Any, house: Translator) -> dict[str, str]:
    """The texts of data that scripts show, with what the house calls them; those that stay are left out.

    Args:
        data: what a script is given
        house: the house's words
    """
    said = {text: house.said(text) for text in _texts(data)}
    return {text: other for text, other in said.items() if other != text}


def chart_in_words(data: str, house: Translator) -> str:
    """What a chart's script is given, its names, units and signs in the house's words.

    Args:
        data: JSON, see `jounce.web.charts.chart`
        house: the house's words
    """
    chart = json.loads(data)
    for axis in (chart["title"], chart["over"]):
        axis.update({key: house.said(axis[key]) for key in ("name", "unit", "sign") if axis[key]})
    for line in chart["lines"]:
        line["name"] = house.said(line["name"])
    return json.dumps(chart, separators=(",", ":"), ensure_ascii=False)


def _texts(data: Any) -> Iterator[str]:
    if isinstance(data, list):
        for one in data:
            yield from _texts(one)
    elif isinstance(data, dict):
        for key, value in data.items():
            if isinstance(value, str) and key in _SHOWN:
                yield value
            elif key == "motions" or (key == "names" and isinstance(value, list)):
                yield from value
            yield from _texts(value)

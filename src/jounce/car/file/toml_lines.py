"""On which line of a TOML text each key stands, so that a message can point at it."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

__all__ = ["line_of", "lines_of_keys"]

_KEY = r"""(?:[A-Za-z0-9_-]+|"[^"\n]*"|'[^'\n]*')"""
_DOTTED = rf"{_KEY}(?:\s*\.\s*{_KEY})*"
_HEADER = re.compile(rf"^\s*\[\[?\s*({_DOTTED})\s*\]\]?\s*(?:#.*)?$")
_ENTRY = re.compile(rf"^\s*({_DOTTED})\s*=")
_PART = re.compile(_KEY)
_LONG_TEXT = re.compile(r'"""|\'\'\'')


def lines_of_keys(text: str) -> dict[tuple[str, ...], int]:
    r"""Line number, from 1, of every table and key that starts a line.

    Keys inside an inline table stand on the line of the table. The text must be valid TOML.

    Args:
        text: a TOML file

    >>> lines_of_keys('[a]\nb = 1')
    {('a',): 1, ('a', 'b'): 2}
    """
    found: dict[tuple[str, ...], int] = {}
    table: tuple[str, ...] = ()
    inside_text = False
    for number, line in enumerate(text.splitlines(), start=1):
        was_inside, marks = inside_text, len(_LONG_TEXT.findall(line))
        inside_text = was_inside != (marks % 2 == 1)
        if was_inside:
            continue
        if header := _HEADER.match(line):
            table = _parts(header[1])
            found.setdefault(table, number)
        elif entry := _ENTRY.match(line):
            found.setdefault((*table, *_parts(entry[1])), number)
    return found


def line_of(place: Sequence[str], lines: Mapping[tuple[str, ...], int]) -> int | None:
    """Line of a key, or of the innermost table around it that is written; None if there is none.

    Args:
        place: the key with all tables around it
        lines: from :func:`lines_of_keys`
    """
    for length in range(len(place), 0, -1):
        if number := lines.get(tuple(place[:length])):
            return number
    return None


def _parts(dotted: str) -> tuple[str, ...]:
    return tuple(part.strip("\"'") for part in _PART.findall(dotted))

"""How numbers stand in what people read on pages and on paper: with a true minus sign, which no hyphen is.

Files, tables for programs and the command line keep the hyphen, which programs read; who types a number may type either.

>>> true_minus("camber -0.50 deg, on 2026-12-01, of part TB-26")
'camber −0.50 deg, on 2026-12-01, of part TB-26'
"""

from __future__ import annotations

import re

from jounce.conventions.unit_table import UNITS
from jounce.words.family import NUMBER

__all__ = ["MINUS", "PROGRAM", "ProgramWords", "held_together", "true_minus"]

MINUS = "−"
_HOLDS = "\u00a0"
_NUMBER = re.compile(NUMBER)
_OF_UNITS = {one.symbol for units in UNITS.values() for one in units} - {"-"}
_SYMBOLS = sorted(_OF_UNITS | {one.replace("deg", "°") for one in _OF_UNITS} | {"%", "g"}, key=len, reverse=True)
_AFTER = re.compile(rf"(?<=\d) (?=(?:{'|'.join(map(re.escape, _SYMBOLS))})(?![^\W_]))|(?<=±) (?=\d)")
"""Spaces within an amount: before its unit, and after a ±; before that a narrow cell may begin a new line."""


def true_minus(text: str) -> str:
    """A text with a true minus sign before its negative numbers; hyphens in codes and days stay.

    Args:
        text: as the program says it
    """
    return _NUMBER.sub(lambda found: found[0].replace("-", MINUS), text) if "-" in text else text


def held_together(text: str) -> str:
    r"""A text whose lines never end between a number and its unit, or after a ±: a unit alone on a line reads as none.

    Args:
        text: as it is read

    >>> held_together("35 mm ± 0,5 mm in 2 Tagen").split(" ")
    ['35\xa0mm', '±\xa00,5\xa0mm', 'in', '2', 'Tagen']
    """
    return _AFTER.sub(_HOLDS, text) if " " in text else text


class ProgramWords:
    """The program's own words, as they are read on pages and paper where the house has none."""

    language = "en"
    decimal = "."

    def said(self, text: str) -> str:
        """The text as it is, its negative numbers with a true minus sign."""
        return true_minus(text)


PROGRAM = ProgramWords()

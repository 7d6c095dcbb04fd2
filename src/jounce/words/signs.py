"""How numbers stand in what people read on pages and on paper: with a true minus sign, which no hyphen is.

Files, tables for programs and the command line keep the hyphen, which programs read; who types a number may type either.

>>> true_minus("camber -0.50 deg, on 2026-12-01, of part TB-26")
'camber −0.50 deg, on 2026-12-01, of part TB-26'
"""

from __future__ import annotations

import re

from jounce.words.family import NUMBER

__all__ = ["MINUS", "PROGRAM", "ProgramWords", "true_minus"]

MINUS = "−"
_NUMBER = re.compile(NUMBER)


def true_minus(text: str) -> str:
    """A text with a true minus sign before its negative numbers; hyphens in codes and days stay.

    Args:
        text: as the program says it
    """
    return _NUMBER.sub(lambda found: found[0].replace("-", MINUS), text) if "-" in text else text


class ProgramWords:
    """The program's own words, as they are read on pages and paper where the house has none."""

    language = "en"
    decimal = "."

    def said(self, text: str) -> str:
        """The text as it is, its negative numbers with a true minus sign."""
        return true_minus(text)


PROGRAM = ProgramWords()

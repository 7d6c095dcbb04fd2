"""How a day stands in what people read: as the language of the house writes it, by year, month, day where it has no way.

Files, fields for days and the command line keep year, month, day, which programs read.
"""

from __future__ import annotations

import re

__all__ = ["days_shown"]

_DAY = re.compile(r"(?<![\w./-])(\d{4})-(0[1-9]|1[0-2])-(0[1-9]|[12]\d|3[01])(?![\w/-]|\.\w)")
"""A day by itself or before a time; those within codes, addresses and names of files are none."""
_WRITTEN = {"de": r"\3.\2.\1"}
"""Order and signs by language: German as in DIN 5008 with figures, which is from memory."""


def days_shown(text: str, language: str) -> str:
    """A text with its days as a language writes them.

    Args:
        text: days in it by year, month and day
        language: code of the language (ISO 639), with a country or without

    >>> days_shown("2026-05-04 10:12, photo-2026-05-04.jpg", "de"), days_shown("2026-05-04", "fr")
    ('04.05.2026 10:12, photo-2026-05-04.jpg', '2026-05-04')
    """
    written = _WRITTEN.get(language.partition("-")[0])
    return text if written is None else _DAY.sub(written, text)

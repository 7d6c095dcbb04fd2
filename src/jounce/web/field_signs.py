"""Numbers in the fields of a form: shown with the signs of the house, and read as the program writes them.

A field shows "1,5°" where the program has "1.5 deg". What comes back is turned round before any page reads it, so that
pages know one way of writing numbers. A form says by itself which of its fields were shown so: what else it sends, such
as numbers that a script put in, is in the program's own writing.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from html import escape, unescape

from jounce.conventions.unit_table import UNITS
from jounce.words.signs import MINUS

__all__ = ["SHOWN_SO", "field_shown", "fields_read", "form_shown"]

SHOWN_SO = "with-comma"
"""Field of a form that names those shown in the writing of a house with a decimal comma."""

_AS_SENT = ("password",)
_NAMES = frozenset(
    (
        *("aboard", "by", "code", "currency", "customer", "date", "despite", "email", "for", "job_number", "maker"),
        *("name", "note", "number", "plate", "q", "supplier", "telephone", "title", "why", "words", "year"),
    )
)
"""Fields of names and words, by the last word of their key: what looks like a number there is none."""
_LONGEST = 2000
_SWAPPED = str.maketrans(",.", ".,")
_UNITS = sorted({name for units in UNITS.values() for one in units for name in (one.symbol, *one.spellings)}, key=len)
_NUMBER = r"(?<![\d.,])[+\-−]?+(?:\d[\d.,]*+(?:[eE][+-]?\d++)?+|[.,]\d++)"
_VALUE = re.compile(
    rf"(?:{_NUMBER}|[a-z_]++=|\s++|±|\+/-|[;/]|\b(?:over|across|über|auf)\b"
    rf"|(?>{'|'.join(re.escape(one) for one in reversed(_UNITS) if one != '-')})(?![^\W\d_]))++"
)
"""Numbers with units, ±, semicolons between several, what each is of ("roll=1.5"): all else is somebody's words."""

_FIELD = re.compile(r"<input\b[^>]*>|(<textarea\b[^>]*\bdata-numbers\b[^>]*>)([^<]*)")
_SENT = re.compile(r'\bname="([^"]*)"')
_TYPE = re.compile(r'\btype="([^"]*)"')
_TOLD = re.compile(r'\bvalue="([^"]*)"')


def field_shown(value: str, decimal: str) -> str:
    """What stands in a field, in the writing of the house; words stay.

    Args:
        value: as the program has it
        decimal: decimal sign of the house

    >>> field_shown("-1.5 deg ± 0.1 deg", ","), field_shown("TB-26.5", ","), field_shown("31-044", ",")
    ('−1,5° ± 0,1°', 'TB-26.5', '31-044')
    """
    if not _is_value(value):
        return value
    shown = value.replace("-", MINUS).replace(f"+/{MINUS}", "+/-")
    shown = re.sub(rf"(?<=[eE]){MINUS}(?=\d)", "-", shown)
    if decimal != ",":
        return shown
    return re.sub(r"(?<=/)deg\b|(?<=\d) ?\bdeg\b(?!/)|\bdeg(?=/)", "°", shown.translate(_SWAPPED))


def form_shown(form: str, decimal: str) -> str:
    """A form's HTML with its fields for texts as the house writes numbers.

    Args:
        form: from ``<form`` to ``</form>``
        decimal: decimal sign of the house
    """
    names: list[str] = []

    def value(told: re.Match[str]) -> str:
        shown = field_shown(unescape(told[1]), decimal)
        return told[0] if shown == unescape(told[1]) else f'value="{escape(shown)}"'

    def field(found: re.Match[str]) -> str:
        tag, kind, name = found[0], _TYPE.search(found[0]), _SENT.search(found[0])
        if (kind is not None and kind[1] != "text") or name is None or "data-list" in tag or _is_name(name[1]):
            return tag
        names.append(unescape(name[1]))
        if found[1] is not None:
            return f"{found[1]}{escape(field_shown(unescape(found[2]), decimal), quote=False)}"
        return _TOLD.sub(value, tag, count=1)

    shown = _FIELD.sub(field, form)
    if decimal != "," or not names:
        return shown
    told = f'<input type="hidden" name="{SHOWN_SO}" value="{escape(" ".join(names))}">'
    return shown.replace("</form>", f"{told}</form>")


def fields_read(sent: Mapping[str, str]) -> dict[str, str]:
    """What was typed, as the program writes numbers; "1,250" stays to be refused where it is "1.250" in the house.

    Args:
        sent: fields of a form, as they came

    >>> fields_read({"camber": "−1,5°", "note": "1,5 too low", "with-comma": "camber note"})
    {'camber': '-1.5 deg', 'note': '1,5 too low'}
    >>> fields_read({"mass": "1.250", "turns": "1.5", "with-comma": "mass turns"})
    {'mass': '1,250', 'turns': '1,5'}
    """
    shown_so = frozenset(sent.get(SHOWN_SO, "").split(" "))
    return {
        name: _read(text, with_comma=name in shown_so) if name not in _AS_SENT and _is_value(text) else text
        for name, text in sent.items()
        if name != SHOWN_SO
    }


def _read(text: str, *, with_comma: bool) -> str:
    read = text.replace(MINUS, "-")
    if not with_comma:
        return read
    read = re.sub(r"\b(?:über|auf)\b", "over", read.translate(_SWAPPED))
    return re.sub(r"(?<=\d)°(?=\s*(?:$|[;±]))", " deg", read)


def _is_name(field: str) -> bool:
    return field.rpartition(".")[2] in _NAMES


def _is_value(text: str) -> bool:
    return len(text) <= _LONGEST and any(c.isdigit() for c in text) and _VALUE.fullmatch(text) is not None

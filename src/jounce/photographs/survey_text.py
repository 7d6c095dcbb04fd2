"""What was stuck where, written: entries as they were typed, as the text that `jounce.photographs.survey` reads."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from jounce.car.file.reading import read_toml

__all__ = ["KeptSurvey", "Written", "apart", "kept_survey", "photos_of"]

_WORDS = ("ruler", "pivot", "check", "pointer", "height")

Written = Mapping[str, object]
"""An entry as it is written, by its keys."""


@dataclass(frozen=True, slots=True)
class KeptSurvey:
    """What was stuck where, as it is kept.

    Attributes:
        rulers: known lengths
        pivots: pivots with tiles
        checks: distances to check by
        floor: which tiles lie on the floor, and how high
        tiles: sides of tiles that were printed at another size
        pointer: where the pointer stood
        heights: tiles on wheels with their heights

    """

    rulers: tuple[Written, ...] = ()
    pivots: tuple[Written, ...] = ()
    checks: tuple[Written, ...] = ()
    floor: Written = field(default_factory=dict)
    tiles: Written = field(default_factory=dict)
    pointer: tuple[Written, ...] = ()
    heights: tuple[Written, ...] = ()

    @property
    def text(self) -> str:
        """The file."""
        lines: list[str] = []
        for word, entries in zip(
            _WORDS, (self.rulers, self.pivots, self.checks, self.pointer, self.heights), strict=True
        ):
            for entry in entries:
                lines += [f"[[{word}]]", *_lines(entry), ""]
        for word, table in (("floor", self.floor), ("tiles", self.tiles)):
            if table:
                lines += [f"[{word}]", *_lines(table), ""]
        return "\n".join(lines)


def kept_survey(text: str, name: str) -> KeptSurvey:
    """Read a file as it is written, to write it again.

    Args:
        text: TOML that `jounce.photographs.survey.parse_survey` takes
        name: of the file, for messages

    Raises:
        InputError: the text is no TOML
    """
    written = read_toml(text, name)
    rulers, pivots, checks, pointer, heights = (_entries(written.get(word)) for word in _WORDS)
    floor, tiles = _table(written.get("floor")), _table(written.get("tiles"))
    return KeptSurvey(rulers, pivots, checks, floor, tiles, pointer, heights)


def apart(written: object) -> tuple[str, str]:
    """A length with its ± as two texts, the second one empty where there is none.

    Args:
        written: as it stands in the file

    >>> apart("28 mm ± 0.6 mm"), apart("28 mm")
    (('28 mm', '0.6 mm'), ('28 mm', ''))
    """
    value, _, band = str(written or "").partition("±")
    return value.strip(), band.strip()


def photos_of(stand: Written) -> tuple[str, ...]:
    """Names of the photographs in which the pointer stands still.

    Args:
        stand: an entry of the pointer, as it is written

    >>> photos_of({"photos": ["21.jpg", "22.jpg"], "point": "mark"})
    ('21.jpg', '22.jpg')
    """
    photos = stand.get("photos")
    return tuple(map(str, photos)) if isinstance(photos, list) else ()


def _entries(written: object) -> tuple[Written, ...]:
    return tuple(one for one in written if isinstance(one, Mapping)) if isinstance(written, list) else ()


def _table(written: object) -> Written:
    return dict(written) if isinstance(written, Mapping) else {}


def _lines(entry: Written) -> list[str]:
    return [f"{_key(key)} = {_value(value)}" for key, value in entry.items()]


def _key(key: str) -> str:
    return key if key.isascii() and key.replace("_", "").isalnum() else json.dumps(key, ensure_ascii=False)


def _value(value: object) -> str:
    if isinstance(value, Sequence) and not isinstance(value, str):
        return "[" + ", ".join(map(_value, value)) + "]"
    if isinstance(value, int | float):
        return repr(value)
    return json.dumps(str(value), ensure_ascii=False)

"""Points near a tyre, low points, hoses and joints by name: what is measured of each, and how it comes into the file."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, get_args

from jounce.car.file.document import CarDocument
from jounce.car.file.quantity import Measured, MeasuredPoint
from jounce.car.parts.named_points import WhichEnd, WhichWheel
from jounce.conventions.errors import InputError
from jounce.conventions.units import Kind
from jounce.layouts.bush_names import body_names, swinging_names
from jounce.measuring.item import Item

__all__ = ["NAMED", "NamedKind", "NamedReadings", "named_items", "named_numbers"]

_ENDS = get_args(WhichEnd)
_PARTS = ("back", "left", "up")
_BACK = "behind the front wheel centres, − in front of them"
_LEFT = "left of the car's middle, − on the right"
_UP = "over the ground, the car standing as found"


@dataclass(frozen=True, slots=True)
class NamedKind:
    """What is told of one kind of named thing.

    Attributes:
        usual: names that are offered where the car has none of its own
        points: keys of its points, by what their three lengths begin with
        numbers: its other numbers: key, label, kind, where the tape goes, tool, usual ±
        words: its words: key, label, how; the first ones have to be told
        needed: how many of the words have to be told
        optional: keys of numbers that need not be

    """

    usual: tuple[str, ...]
    points: Mapping[str, str]
    words: tuple[tuple[str, str, str], ...]
    needed: int
    numbers: tuple[tuple[str, str, Kind, str, str, str], ...] = ()
    optional: tuple[str, ...] = ()

    @property
    def lengths(self) -> tuple[str, ...]:
        """Keys of all that has to be measured."""
        needed = (key for key, *_ in self.numbers if key not in self.optional)
        return (*(f"{start}{part}" for start in self.points.values() for part in _PARTS), *needed)


NAMED: Mapping[str, NamedKind] = {
    "near": NamedKind(
        ("front_arch", "front_inner_side", "rear_arch"),
        {"at": ""},
        (
            ("wheel", "whose tyre comes near", "an axle for both wheels, with the point of the left side"),
            ("on", "what carries it", "the body where nothing is chosen"),
        ),
        1,
    ),
    "low": NamedKind(
        ("sump", "exhaust"),
        {"at": ""},
        (
            ("on", "what carries it", "the body where nothing is chosen"),
            ("axle", "of which axle that is", "front where nothing is chosen"),
        ),
        0,
    ),
    "hose": NamedKind(
        ("front_hose", "rear_hose"),
        {"body_end": "body_", "wheel_end": "wheel_"},
        (("axle", "of which axle", "left-hand hose; the right one is its mirror image"),),
        1,
        (("length", "free length", Kind.LENGTH, "drawn straight, between its two ends", "tape", "3 mm"),),
    ),
    "joint": NamedKind(
        ("lower_joint", "tie_rod_joint"),
        {},
        (
            ("axle", "of which axle", "both sides alike"),
            ("joint", "which joint or rod", "as its layout names it"),
            ("end", "of a rod, which end", "the outer one where nothing is chosen"),
        ),
        2,
        (
            ("max_angle", "largest swing", Kind.ANGLE, "of its stud from the middle, either way", "catalogue", "1 deg"),
            ("found", "swing as found", Kind.ANGLE, "from its middle, the car standing; 0 where not told", "angle gauge",
             "2 deg"),
        ),
        optional=("found",),
    ),
}  # fmt: skip
"""The kinds of the car file, by their sections."""


def named_items(document: CarDocument, kinds: tuple[str, ...]) -> Iterator[Item]:
    """What is measured of the named things of a car, and of one more of each kind.

    Args:
        document: the car
        kinds: which kinds
    """
    for kind in kinds:
        own: Mapping[str, Any] = getattr(document, kind)
        spare = next(f"{kind}_{n}" for n in range(1, len(own) + 2) if f"{kind}_{n}" not in own)
        for name in (*own, spare) if own else NAMED[kind].usual:
            yield from _items_of(document, kind, name)


def _items_of(document: CarDocument, kind: str, name: str) -> Iterator[Item]:
    told, start, label = NAMED[kind], f"{kind}.{name}", name.replace("_", " ")
    for key, what, how in told.words:
        now = getattr(getattr(document, kind).get(name), key, None)
        choices = _choices(document, kind, key)
        every = tuple(dict.fromkeys((*choices, *([] if now is None else [now]))))
        yield Item(f"{start}.{key}", f"{label}: {what}", None, how, "tape", choices=every)
    for key, begin in told.points.items():
        where = {"body_end": ", end on the body", "wheel_end": ", end at the wheel"}.get(key, "")
        for part, how, letter in zip(_PARTS, (_BACK, _LEFT, _UP), "ABC", strict=True):
            said = f"{label}{where}: {_SAID[part]}"
            yield Item(f"{start}.{begin}{part}", said, Kind.LENGTH, how, "tape", "3 mm", letter)
    for key, what, unit, how, tool, usual in told.numbers:
        yield Item(f"{start}.{key}", f"{label}: {what}", unit, how, tool, usual)


_SAID = {"back": "behind the front wheels", "left": "to the left", "up": "up"}


def _choices(document: CarDocument, kind: str, key: str) -> tuple[str, ...]:
    layouts = [document.front.as_layout().name, document.rear.as_layout().name]
    if key == "on":
        words = dict.fromkeys(("body", *(word for layout in layouts for word in body_names(layout))))
        return tuple(word for word in words if not (kind == "near" and word == "wheel"))
    if key == "joint":
        return tuple(dict.fromkeys(word for layout in layouts for word in swinging_names(layout)))
    return {"wheel": get_args(WhichWheel), "end": ("inner", "outer")}.get(key, _ENDS)


def named_numbers(document: CarDocument) -> Iterator[tuple[str, Measured | tuple[float, MeasuredPoint]]]:
    """Every number of the named things by its item's key; of a point one length, with the point it is of [SI].

    Args:
        document: the car
    """
    for kind, told in NAMED.items():
        for name, one in getattr(document, kind).items():
            for key, begin in told.points.items():
                at: MeasuredPoint = getattr(one, key)
                for part, value in zip(_PARTS, (-at.x, at.y, at.z), strict=True):
                    yield f"{kind}.{name}.{begin}{part}", (value, at)
            for key, *_ in told.numbers:
                number: Measured | None = getattr(one, key)
                if number is not None:
                    yield f"{kind}.{name}.{key}", number


class NamedReadings:
    """What was typed of named things, until all of it is there."""

    def __init__(self, document: CarDocument) -> None:
        self._document = document
        self._typed: dict[tuple[str, str], dict[str, object]] = {}

    @staticmethod
    def takes(key: str) -> bool:
        """Whether an item is of a named thing.

        Args:
            key: of the item
        """
        return key.partition(".")[0] in NAMED

    def add(self, key: str, value: object) -> None:
        """A reading, a word, or None for what was emptied.

        Args:
            key: of the item
            value: a word, a number as the file has it, of a point's length a measured number
        """
        kind, _, rest = key.partition(".")
        name, _, part = rest.rpartition(".")
        self._typed.setdefault((kind, name), {})[part] = value

    def values(self) -> dict[str, object]:
        """The changes, by key of the document.

        Raises:
            InputError: something of a thing is missing, with the key of its item as place
        """
        changed: dict[str, object] = {}
        for (kind, name), typed in self._typed.items():
            changed |= self._of(kind, name, typed)
        return changed

    def _of(self, kind: str, name: str, typed: Mapping[str, object]) -> dict[str, object]:
        told, old, start = NAMED[kind], getattr(self._document, kind).get(name), f"{kind}.{name}"
        there = {part for part in told.lengths if (typed[part] is not None if part in typed else old is not None)}
        if not there:
            return {} if old is None else {start: None}
        for part in told.lengths:
            if part not in there:
                raise InputError(
                    "What is named needs all of its numbers", todo="Fill this one in too, or empty all.",
                    place=f"{start}.{part}",
                )  # fmt: skip
        for key, what, _ in told.words[: told.needed]:
            if (typed[key] if key in typed else getattr(old, key, None)) is None:
                raise InputError(f"It is not told {what}", todo="Choose one.", place=f"{start}.{key}")
        changed = {f"{start}.{key}": typed[key] for key, *_ in (*told.words, *told.numbers) if key in typed}
        for key, begin in told.points.items():
            new = {part: typed[f"{begin}{part}"] for part in _PARTS if f"{begin}{part}" in typed}
            if new:
                changed[f"{start}.{key}"] = _point(None if old is None else getattr(old, key), new)
        return changed


def _point(old: MeasuredPoint | None, new: Mapping[str, object]) -> dict[str, object]:
    """A point as the file has it: what was typed of its lengths, the rest as it was."""
    read = {part: one for part, one in new.items() if isinstance(one, Measured)}
    was = {} if old is None else dict(zip(_PARTS, (-old.x, old.y, old.z), strict=True))
    back, left, up = (1e3 * (read[part].value if part in read else was[part]) for part in _PARTS)
    kept = 0.0 if old is None or len(read) == len(_PARTS) else old.plus_minus
    band = max(kept, *(one.plus_minus for one in read.values()))
    origin = next(iter(read.values())).origin
    at: dict[str, object] = {"at": [round(number, 2) + 0.0 for number in (-back, left, up)]}
    return at | ({"plus_minus": f"{round(1e3 * band, 3):g} mm"} if band else {}) | ({"from": origin} if origin else {})

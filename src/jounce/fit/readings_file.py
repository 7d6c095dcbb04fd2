"""The readings file: what a garage read on one car, one entry ``[[reading]]`` each, and what of the car is not known."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from jounce.car.file.fields import QuantityField
from jounce.car.file.quantity import Measured, read_toe_across, suggestion
from jounce.car.file.reading import read_toml
from jounce.car.mechanics.model import AXLES, AxleName
from jounce.conventions.errors import InputError, InputProblems, at
from jounce.conventions.units import Kind
from jounce.fit.kinds import KINDS, ReadingKind
from jounce.fit.readings import GarageReading, ReadingPlace
from jounce.fit.unknowns import flat
from jounce.layouts.naming import SIDES, SideName

__all__ = ["ENTRY_KEYS", "Key", "ReadingsFile", "parse_readings"]

MOST = 500
"""Readings of a file."""

_BUMP = QuantityField(Kind.LENGTH, (-250, 250))
_LOAD = QuantityField(Kind.MASS, (1, 1000))
_ABOARD = QuantityField(Kind.MASS, (-500, 1000))
_ACROSS = QuantityField(Kind.LENGTH, (250, 800))


class Key(NamedTuple):
    """A key of an entry: its form and what it means."""

    form: str
    said: str


ENTRY_KEYS: Mapping[str, Key] = {
    "what": Key("text", "the kind of reading, a word of the table below; **required**"),
    "at": Key("text", 'where: `"front"`, `"rear left"`; not with `between`, nor of the whole car'),
    "between": Key("list of two texts", 'the two pivots of a `length`: `["front.pivots.arm_front", …]`'),
    "bump": Key("mm", "how far both wheels of the axle are above where they stand, below it negative"),
    "load": Key("kg", "mass put on above the axle, of a `sink`"),
    "aboard": Key("table", 'places of the car file that carry more than when it was weighed: `{ boot = "40 kg" }`'),
    "value": Key("number, text or table", 'what was read, with its ±: `"0.12 deg ± 0.08 deg"`; **required**'),
    "across": Key("mm", "diameter across which a toe was read as a length"),
    "note": Key("text", "by whom, when, with what"),
}
"""Keys of one entry; the manual prints them."""


@dataclass(frozen=True, slots=True)
class ReadingsFile:
    """What a readings file says.

    Attributes:
        readings: what was read, in the order of the file
        wider: ± that stands instead of the car file's, by place

    """

    readings: tuple[GarageReading, ...] = ()
    wider: Mapping[str, object] = field(default_factory=dict)


def parse_readings(text: str, name: str) -> ReadingsFile:
    """Read the text of a readings file.

    Args:
        text: TOML
        name: name of the file, for messages

    Raises:
        InputError: the text is no TOML, or no readings file
        InputProblems: all that is wrong with its entries
    """
    written = read_toml(text, name)
    with at(name):
        unknown = sorted(set(written) - {"reading", "plus_minus", "measured"})
        entries, wider = written.get("reading", []), written.get("plus_minus", {})
        if unknown or not isinstance(entries, list) or not isinstance(wider, Mapping) or len(entries) > MOST:
            raise InputError(
                "This is no file of readings",
                found=", ".join(unknown) or f"{len(entries) if isinstance(entries, list) else 'no list of'} readings",
                allowed=f"entries [[reading]], up to {MOST}, and tables [plus_minus] and [measured]",
                todo="See the page of the readings file.",
            )
        readings, problems = [], []
        for number, entry in enumerate(entries, start=1):
            try:
                with at(f"reading {number}"):
                    readings.append(_reading(entry))
            except InputError as problem:
                problems.append(problem)
        if problems:
            raise InputProblems(problems)
        return ReadingsFile(tuple(readings), dict(flat(wider)))


def _reading(entry: object) -> GarageReading:
    if not isinstance(entry, Mapping):
        raise InputError("This is no reading", found=repr(entry), allowed="[[reading]] with what, at, value")
    for key in entry:
        if key not in ENTRY_KEYS:
            raise InputError("Unknown key", found=f'"{key}"', todo=suggestion(key, ENTRY_KEYS))
    what = _text(entry, "what")
    if what not in KINDS:
        raise InputError("This kind of reading is not known", found=f'"{what}"', todo=suggestion(what, KINDS))
    kind = KINDS[what]
    place = _place(entry, what, kind)
    if "value" not in entry:
        raise InputError('"value" is missing', todo="Say what was read.")
    with at("value"):
        found = _value(entry, what, kind)
    plus_minus = found.plus_minus or (kind.usual * abs(found.value) if kind.share else kind.usual)
    if not plus_minus > 0:
        raise InputError("A reading of nothing has no share as its ±", todo="Give its ± beside it.")
    return GarageReading(place, found.value, plus_minus, _text(entry, "note") or found.origin)


def _place(entry: Mapping[str, object], what: str, kind: ReadingKind) -> ReadingPlace:
    """Where it was read, with the keys that its kind has and no others."""
    _only(entry, what, between=kind.where == "points", at=kind.where in ("axle", "wheel"), bump=kind.travels,
          load=kind.weighted, aboard=kind.aboard, across=kind.kind is Kind.ANGLE and "toe" in what)  # fmt: skip
    if kind.where == "points":
        return ReadingPlace(what, points=_points(entry))
    if kind.where == "car":
        return ReadingPlace(what, aboard=_aboard(entry.get("aboard", {})))
    axle, side = _wheel(_text(entry, "at"), kind)
    with at("bump"):
        bump = _BUMP.read(entry["bump"]).value if "bump" in entry else 0.0
        if kind.moved and not bump:
            raise InputError(
                f"Where the wheel stands there is no {what.replace('-', ' ')}: it counts from there",
                todo="Say how far the wheels were up, or down.",
            )
    load = 0.0
    if kind.weighted:
        if "load" not in entry:
            raise InputError('"load" is missing', todo="Say how much was put on above the axle.")
        with at("load"):
            load = _LOAD.read(entry["load"]).value
    return ReadingPlace(what, axle, side, bump, load, _aboard(entry.get("aboard", {})))


def _only(entry: Mapping[str, object], what: str, **taken: bool) -> None:
    for key, may in taken.items():
        if key in entry and not may:
            raise InputError(f'A reading "{what}" takes no "{key}"', todo="Leave it out, or correct the kind.")


def _wheel(words: str, kind: ReadingKind) -> tuple[AxleName, SideName | None]:
    told = words.split()
    axle = next((one for one in AXLES if told[:1] == [one]), None)
    side = next((one for one in SIDES if told[1:] == [one]), None)
    whole = kind.where == "axle"
    if axle is None or (whole and len(told) > 1) or (not whole and side is None):
        allowed = AXLES if whole else [f"{axle} {side}" for axle in AXLES for side in SIDES]
        raise InputError(
            f'"at" is not {"an axle" if whole else "a wheel"}', found=f'"{words}"', allowed=", ".join(allowed),
            todo="Say where it was read.",
        )  # fmt: skip
    return axle, side


def _points(entry: Mapping[str, object]) -> tuple[str, str]:
    given = entry.get("between")
    if not isinstance(given, list) or len(given) != 2 or not all(isinstance(one, str) for one in given):
        raise InputError(
            '"between" is not two pivots', found=repr(given), allowed='["front.pivots.NAME", "front.pivots.NAME"]'
        )
    if given[0] == given[1]:
        raise InputError("Both pivots are one", found=f'"{given[0]}"', todo="Name two.")
    return given[0], given[1]


def _aboard(given: object) -> tuple[tuple[str, float | None], ...]:
    with at("aboard"):
        if not isinstance(given, Mapping):
            raise InputError("This is no table", found=repr(given), allowed='{ boot = "40 kg" }')
        return tuple((str(place), _ABOARD.read(mass).value) for place, mass in given.items())


def _value(entry: Mapping[str, object], what: str, kind: ReadingKind) -> Measured:
    written = entry["value"]
    allowed = QuantityField(kind.kind, kind.hard)
    if "across" not in entry:
        return allowed.read(written)
    found = read_toe_across(written, _ACROSS.read(entry["across"]))
    if not kind.hard[0] <= allowed.shown(found.value) <= kind.hard[1]:
        raise InputError(
            f"This is no {what.replace('-', ' ')}", found=repr(written), todo="Check the value and its unit."
        )
    return found


def _text(entry: Mapping[str, object], key: str) -> str:
    given = entry.get(key, "")
    if not isinstance(given, str):
        raise InputError(f'"{key}" is not a text', found=repr(given), todo="Put it in quotation marks.")
    return given

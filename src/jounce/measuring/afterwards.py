"""A car measured again after the work: what is read, and what stands in the form, readings file or car file kept of it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from jounce.car.file.inputs import all_inputs
from jounce.car.file.quantity import read_measured
from jounce.car.file.reading import parse_car, read_toml
from jounce.conventions.quantities import RESULTS
from jounce.conventions.units import Kind
from jounce.fit.readings_file import parse_readings
from jounce.layouts.naming import SIDES
from jounce.ledger.learned import USUAL_READING

__all__ = ["ASKED", "USUAL", "FoundNumber", "found_in"]

_CORNERS = tuple(f"{axle}.{side}" for axle in ("front", "rear") for side in SIDES)
ASKED: tuple[tuple[str, str, Kind], ...] = (
    *(
        (f"{corner}.height", f"{corner.replace('.', ' ')}: {RESULTS['height'].label}", Kind.LENGTH)
        for corner in _CORNERS
    ),
    *((f"{corner}.load", f"{corner.replace('.', ' ')}: scale", Kind.MASS) for corner in _CORNERS),
    *((f"{corner}.camber", f"{corner.replace('.', ' ')}: camber", Kind.ANGLE) for corner in _CORNERS),
    *((f"{corner}.toe", f"{corner.replace('.', ' ')}: toe", Kind.ANGLE) for corner in _CORNERS),
)
"""What is measured again: key of the prediction, what it is, kind of the reading; wheel loads as scales tell them [kg]."""

USUAL: Mapping[Kind, float] = USUAL_READING
"""± of a reading that was typed without one [SI]."""

_OF_READINGS = {
    "height": "height",
    "scale": "load",
    "camber": "camber",
    "toe": "toe",
    "caster": "caster",
    "roll-stiffness": "roll_stiffness",
}
"""Kinds of readings of a readings file that are predictions too, the car standing as it stands."""


@dataclass(frozen=True, slots=True)
class FoundNumber:
    """What was measured: ``value`` and its ``plus_minus`` as typed, or the usual one of its tool [SI]."""

    value: float
    plus_minus: float


def found_in(text: str, name: str) -> Mapping[str, FoundNumber]:
    """What was measured, by the keys of predictions.

    Args:
        text: a measurement as a book keeps it: numbers by those keys, a readings file, or the file of the car that was
            measured again
        name: what it is called, for messages

    Raises:
        InputError: the text is no TOML
        InputProblems: all that is wrong with it
    """
    written = read_toml(text, name)
    if "car" in written:
        return dict(_of_car(text, name))
    if "reading" in written:
        return dict(_of_readings(text, name))
    told = {}
    for key, _, kind in ASKED:
        if key in written:
            measured = read_measured(written[key], kind)
            told[key] = FoundNumber(measured.value, measured.plus_minus or USUAL[kind])
    return told


def _of_car(text: str, name: str) -> Iterator[tuple[str, FoundNumber]]:
    """Heights, scales, cambers and toes of a car file."""
    inputs = {one.path: one for one in all_inputs(parse_car(text, name))}
    for key, _, kind in ASKED:
        axle, side, what = key.split(".")
        paths = (
            f"heights.{axle}_{side}" if what == "height" else f"mass.{axle}_{side}" if what == "load" else "",
            f"{axle}.{side}.alignment.{what}",
            f"{axle}.alignment.{what}",
        )
        one = next((inputs[path] for path in paths if path in inputs), None)
        if one is not None:
            yield key, FoundNumber(one.value, one.plus_minus or USUAL[kind])


def _of_readings(text: str, name: str) -> Iterator[tuple[str, FoundNumber]]:
    """What was read with the car as it stands, nothing put on or aboard."""
    for one in parse_readings(text, name).readings:
        place = one.at
        if place.what in _OF_READINGS and place.axle and not (place.bump or place.load or place.aboard):
            key = ".".join(filter(None, (place.axle, place.side, _OF_READINGS[place.what])))
            yield key, FoundNumber(one.value, one.plus_minus)

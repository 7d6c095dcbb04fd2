"""The planned car with people and luggage: rubbers, ground, arches."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from types import MappingProxyType

import numpy as np

from jounce.car.file.document import CarDocument
from jounce.car.mechanics.stops import RUBBER
from jounce.checks.check import Check, Verdict, unknown, verdict
from jounce.checks.driven import Driven, Laden
from jounce.checks.limits import CheckLimits, Limit
from jounce.checks.room import unmeasured
from jounce.conventions.axes import CORNERS, Corner
from jounce.conventions.units import Kind
from jounce.job.sentence import Amount, Sentence, length, say

_NO_PLACES = "tell where passengers and luggage ride and what they weigh"


def laden_checks(
    document: CarDocument, drive: Driven, limits: CheckLimits, raised: Mapping[Corner, float] = MappingProxyType({})
) -> Iterator[Check]:
    """What is left with people and luggage aboard, the worst of more and more load.

    Args:
        document: the planned car's document
        drive: what the planned car does on the road
        limits: what is common practice, and what the shop holds instead
        raised: by how much other tyres lift each corner; the same tyres when left out [m]
    """
    for axle in drive.car.names:
        yield _rubber_check(axle, drive, limits["least_free_laden"])
    yield _ground_check(document, drive, limits["least_laden_clearance"], raised)
    for axle in drive.car.names:
        yield _arch_check(axle, document, drive, limits["least_laden_arch"])


def _rubber_check(axle: str, drive: Driven, least: Limit) -> Check:
    question = f"Do the {axle} bump rubbers stay free with people and luggage aboard?"
    if not drive.knows_rubbers(axle):
        what = "measure the gap to the bump stop"
        return unknown("LDN-01", question, Kind.LENGTH, what, asks=f"{axle}.bump_stop.gap")
    return _held(
        ("LDN-01", question, least, axle),
        drive,
        lambda one: _until(one, axle, RUBBER),
        "{} to the rubber",
        "a laden car that stands on its rubbers has no springs",
        "Stiffer springs, a lower bump stop, or lower it less.",
    )


def _ground_check(document: CarDocument, drive: Driven, least: Limit, raised: Mapping[Corner, float]) -> Check:
    question = "Is there ground clearance enough with people and luggage aboard?"
    found = document.limits.ground_clearance
    if found is None:
        what = "measure the clearance under the lowest point"
        return unknown("LDN-02", question, Kind.LENGTH, what, asks="limits.ground_clearance")
    lift = np.array([raised.get(corner, 0.0) for corner in CORNERS]).reshape(2, 2)
    return _held(
        ("LDN-02", question, least, "car"),
        drive,
        lambda one: None if one.travel is None else found.value - float((one.travel - lift).max()),
        "about {} under the lowest point",
        "what touches the road is torn off",
        "Lower it less, or stiffer springs.",
    )


def _arch_check(axle: str, document: CarDocument, drive: Driven, least: Limit) -> Check:
    question = f"Do the {axle} tyres keep off the arches with people and luggage aboard?"
    section = document.front if axle == "front" else document.rear
    told = _held(
        ("LDN-03", question, least, axle),
        drive,
        lambda one: _until(one, axle, "tyre meets arch"),
        "{} until the tyre meets the arch",
        "a tyre that meets the arch is cut",
        "Stiffer springs, a narrower tyre or less lowering.",
    )
    where = unmeasured(section, "tyre_to_arch")
    if where is not None and told.verdict is not Verdict.FAIL:
        what = f"measure how far the wheel can go up until the tyre meets the arch{where}"
        return unknown("LDN-03", question, Kind.LENGTH, what, asks=f"{axle}.clearance.tyre_to_arch")
    return told


def _until(one: Laden, axle: str, name: str) -> float | None:
    return next((met.travel for met in one.stops[axle] if met.name == name), None)


def _held(
    asked: tuple[str, str, Limit, str],
    drive: Driven,
    read: Callable[[Laden], float | None],
    words: str,
    why: str,
    todo: str,
) -> Check:
    """The least of a length over all that comes aboard, against its limit."""
    code, question, least, lowering = asked
    if not drive.laden:
        return unknown(code, question, Kind.LENGTH, _NO_PLACES, asks="places")
    fallen = next((one for one in drive.laden if one.travel is None), None)
    if fallen is not None:
        text = say("with {} the car finds no rest.", _aboard(fallen))
        return Check(code, question, Verdict.FAIL, text, Kind.LENGTH, reason=why, todo=todo)
    known = [(value, k) for k, one in enumerate(drive.laden) if (value := read(one)) is not None]
    if not known:
        return Check(code, question, Verdict.PASS, say("not met with {}.", _aboard(drive.laden[-1])), Kind.LENGTH)
    value, k = min(known)
    return Check(
        code,
        question,
        verdict(value >= least.value),
        say(f"{words} with {{}}, {{}} wanted.", length(value), _aboard(drive.laden[k]), length(least.value)),
        Kind.LENGTH,
        value,
        least.value,
        least.origin,
        "at least",
        why,
        todo,
        lowering=lowering,
    )


def _aboard(one: Laden) -> Sentence:
    """What is aboard, in words."""
    told = [say(f"{load.name.replace('_', ' ')} {{}}", Amount(load.mass, Kind.MASS, fewer=1)) for load in one.loads]
    pattern = ", ".join(["{}"] * (len(told) - 1)) + (" and {}" if len(told) > 1 else "{}")
    return say(pattern, *told)

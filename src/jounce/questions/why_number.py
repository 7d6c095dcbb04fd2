"""Why a plain number of a job is what it is: what moves it, how sure it is, and which measurement would make it surer."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from jounce.behaviour.influence import influences
from jounce.car.file.walk import path_words
from jounce.car.mechanics.model import AXLES, AxleName
from jounce.case.case import Case, CaseState
from jounce.conventions.certainty import SHOWN_PER_TYPED
from jounce.conventions.errors import InputError
from jounce.conventions.units import MM, Kind, show
from jounce.questions.effects import effects_of
from jounce.wanted.counter.numbers import PlainNumber
from jounce.wanted.counter.today import wheel_rates

__all__ = ["Mover", "Surer", "what_moves", "what_would_make_surer"]

_MOST = 6
_LEAST = 0.05 * MM  # what is told of a height [m]
_STEPS = {Kind.LENGTH: "1 mm more", Kind.ANGLE: "0.1 degree more"}
_HEIGHTS = {"lower": -1.0, "bump": 1.0, "ground": 1.0}
"""Numbers that heights move, and which way a car that stands higher moves them."""
_RESULTS = {"firmer": "left.wheel_rate", "swings": "left.ride_frequency", "lean": "roll_stiffness"}
"""Numbers that go with a result of each axle, and which."""


@dataclass(frozen=True, slots=True)
class Mover:
    """Something that moves the number.

    Attributes:
        what: in words
        step: how much of it
        change: of the number with that step, the car settled anew or the axle standing where it stands [SI]
        kind: what the change measures

    """

    what: str
    step: str
    change: float
    kind: Kind


@dataclass(frozen=True, slots=True)
class Surer:
    """A measurement that makes the number unsure.

    Attributes:
        what: in words
        path: its place in the car's or the job's file
        alone: the band that it alone makes [SI]
        kind: what that measures

    """

    what: str
    path: str
    alone: float
    kind: Kind


def what_moves(case: Case, number: PlainNumber) -> tuple[tuple[Mover, ...], str]:
    """What moves a number of a job, the strongest first, and in a sentence what the changes are.

    Args:
        case: the job on its car
        number: one of `plain_numbers`

    Raises:
        Impossible: the car does not come to rest
    """
    if number.key in _HEIGHTS:
        told = "Each step made on the whole car, which is put to rest anew; what it does where it acts most."
        return tuple(_by_height(case, _HEIGHTS[number.key])), told
    if number.key not in _RESULTS:
        raise InputError("There is no such number", found=number.key, todo="Go back to the consequences.")
    told = "The axle stands where it stands, and its springs carry what they carry there."
    if number.key == "lean":
        told = f"What each step does to the roll stiffness of its axle: more of it leans less. {told}"
    found = [mover for axle in AXLES for mover in _by_result(case, axle, number.key)]
    return tuple(found), told


def _by_height(case: Case, way: float) -> Iterator[Mover]:
    state = case.planned
    found = effects_of(state.document, state.car, case.name)
    best: dict[str, Mover] = {}
    for effect in found.effects:
        if effect.changes is None:
            continue
        heights = [
            (change, quantity.name)
            for quantity, change in zip(found.stands, effect.changes, strict=True)
            if quantity.name.endswith(" height")
        ]
        change, name = max(heights, key=lambda one: abs(one[0]))
        group = effect.adjuster.group.partition(":")[0] if ":" in effect.adjuster.group else effect.adjuster.group
        words = (
            f"{group}: at the {name.removesuffix(' height')} wheel"
            if group != "aboard"
            else f"aboard: {effect.adjuster.name}"
        )
        if abs(change) >= _LEAST:
            key = f"{group} {effect.adjuster.step}"
            mover = Mover(words.replace("_", " "), effect.adjuster.step.replace("_", " "), way * change, Kind.LENGTH)
            if key not in best or abs(best[key].change) < abs(mover.change):
                best[key] = mover
    yield from sorted(best.values(), key=lambda one: -abs(one.change))[: 2 * _MOST]


def _by_result(case: Case, axle: AxleName, key: str) -> Iterator[Mover]:
    state: CaseState = case.planned
    found = influences(state.varies, axle, state.of_axles)
    name = f"{axle}.{_RESULTS[key]}"
    if name not in found.derivatives:
        return
    per, kind = {
        "firmer": (1 / wheel_rates(case.plan, planned=False)[axle], Kind.SHARE),
        "swings": (1.0, Kind.FREQUENCY),
        "lean": (1.0, Kind.ROLL_STIFFNESS),
    }[key]
    for reference, change in found.strongest(name)[:_MOST]:
        words = path_words(reference.path)
        words = words if axle in words else f"{axle}: {words}"
        if show(abs(change * per), kind).strip("0. ")[:1].isdigit():  # what shows as nothing is not told
            yield Mover(words, _STEPS.get(reference.kind, "1 % more"), change * per, kind)


def what_would_make_surer(case: Case, number: PlainNumber) -> tuple[Surer, ...]:
    """The measurements that make a number's ±, the one worth repeating first.

    Args:
        case: the job on its car
        number: one of `plain_numbers`
    """
    bands = case.planned.bands
    found: list[Surer] = []
    for key, per, kind in _banded(case, number):
        for path, alone in bands[key].causes if key in bands else ():
            found.append(Surer(path_words(path), path, abs(alone) * per, kind))
    if number.key == "ground" and case.car.limits.ground_clearance is not None:
        own = case.car.limits.ground_clearance
        if own.plus_minus:
            found.append(
                Surer(
                    "lowest point over the ground",
                    "limits.ground_clearance",
                    SHOWN_PER_TYPED * own.plus_minus,
                    Kind.LENGTH,
                )
            )
    strongest: dict[str, Surer] = {}
    for one in sorted(found, key=lambda one: -one.alone):
        strongest.setdefault(one.path, one)
    return tuple(strongest.values())[:_MOST]


def _banded(case: Case, number: PlainNumber) -> Sequence[tuple[str, float, Kind]]:
    """The rows whose bands a number has: their keys, what turns their ± into the number's, and what that measures."""
    rates = wheel_rates(case.plan, planned=False)
    each: list[tuple[str, float, Kind]] = []
    for axle in AXLES:
        if number.key == "lean":
            each.append((f"{axle}.roll_stiffness", 1.0, Kind.ROLL_STIFFNESS))
        for side in ("left", "right"):
            each += {
                "lower": [(f"{axle}.{side}.height", 1.0, Kind.LENGTH)],
                "ground": [(f"{axle}.{side}.height", 1.0, Kind.LENGTH)],
                "firmer": [(f"{axle}.{side}.wheel_rate", 1 / rates[axle], Kind.SHARE)],
                "swings": [(f"{axle}.{side}.ride_frequency", 1.0, Kind.FREQUENCY)],
                "bump": [(f"{axle}.{side}.rubber_at", 1.0, Kind.LENGTH)],
            }.get(number.key, [])
    return each

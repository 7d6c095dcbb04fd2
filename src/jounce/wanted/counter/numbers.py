"""A worked-out job in seven plain numbers: what a driver sees, feels and pays. Counter and consequences tell the same."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

from jounce.behaviour.road.feel import Feel
from jounce.case.case import Case
from jounce.checks.ends_of_travel import end_of_travel
from jounce.checks.room import ground_clearance
from jounce.conventions.certainty import SHOWN_PER_TYPED
from jounce.conventions.units import Kind
from jounce.layouts.naming import SIDES
from jounce.search.whole_car_check import numbers_of
from jounce.wanted.counter.today import wheel_rates

__all__ = ["LEAN_AT", "PlainNumber", "PlainPlace", "plain_numbers"]

LEAN_AT = 4.0
"""Lateral acceleration of the bend for which the lean is told: up to there it is straight (ISO 4138) [m/s²]."""
_AXLES = (("front", "in front"), ("rear", "behind"))


@dataclass(frozen=True, slots=True)
class PlainPlace:
    """The number at one place of the car, SI; None where it is not known.

    ``where`` is "in front", "behind", or empty for the car as a whole; ``band`` is the half width that holds nine of ten,
    None where none was worked out.
    """

    where: str
    found: float | None
    planned: float | None
    band: float | None = None


@dataclass(frozen=True, slots=True)
class PlainNumber:
    """One of the seven.

    Attributes:
        key: its word in addresses
        label: what it is called
        kind: what it measures
        places: the places that it is told of
        means: its definition in one sentence
        change: whether it is a change against today, told with its sign
        missing: what to measure where it is not known
        opposite: what it is called and its definition where it goes the other way at every place; none for most

    """

    key: str
    label: str
    kind: Kind
    places: tuple[PlainPlace, ...]
    means: str
    change: bool = False
    missing: str = ""
    opposite: tuple[str, str] | None = None

    @property
    def as_told(self) -> PlainNumber:
        """As people say it: a car that stands −25 mm lower stands 25 mm higher."""
        if self.opposite is None or not all(one.planned is not None and one.planned < 0 for one in self.places):
            return self
        label, means = self.opposite
        places = tuple(replace(one, planned=-(one.planned or 0.0)) for one in self.places)
        return replace(self, label=label, means=means, places=places, change=False, opposite=None)


def plain_numbers(case: Case, *, sure: bool = False) -> tuple[PlainNumber, ...]:
    """The numbers of a job but its price, in the order in which they are asked for.

    Args:
        case: the job on its car
        sure: with their bands, some seconds more of work

    Raises:
        Impossible: the plan cannot be
    """
    return (
        _lower(case, sure=sure),
        _firmer(case, sure=sure),
        _swings(case, sure=sure),
        _lean(case, sure=sure),
        _bump(case),
        _ground(case, sure=sure),
    )


def _lower(case: Case, *, sure: bool) -> PlainNumber:
    plan = case.plan
    places = []
    for axle, where in _AXLES:
        down = sum(plan.planned.sits.travel[axle, side] - plan.found.sits.travel[axle, side] for side in SIDES) / 2
        places.append(PlainPlace(where, 0.0, down, _widest(case, axle, "height") if sure else None))
    means = "How much {} the arches stand over the wheels than as found, mean of left and right."
    opposite = ("higher by", means.format("higher"))
    return PlainNumber("lower", "lower by", Kind.LENGTH, tuple(places), means.format("lower"), opposite=opposite)


def _firmer(case: Case, *, sure: bool) -> PlainNumber:
    was, now = wheel_rates(case.plan, planned=False), wheel_rates(case.plan)
    places = []
    for axle, where in _AXLES:
        band = None
        if sure:
            before, after = (
                _widest(case, axle, "wheel_rate", found=found) / rate
                for found, rate in ((True, was[axle]), (False, now[axle]))
            )
            band = now[axle] / was[axle] * math.hypot(before, after)
        places.append(PlainPlace(where, 0.0, now[axle] / was[axle] - 1, band))
    means = "How much {} wheel load each millimetre of bump makes than as found, tyre left out (wheel rate)."
    opposite, more = ("softer by", means.format("less")), means.format("more")
    return PlainNumber("firmer", "firmer by", Kind.SHARE, tuple(places), more, change=True, opposite=opposite)


def _swings(case: Case, *, sure: bool) -> PlainNumber:
    def frequency(axle: str, *, planned: bool) -> float:
        state = case.plan.planned if planned else case.plan.found
        return sum(wheel.ride_frequency for wheel in state.axles[axle].wheels.values()) / len(SIDES)

    places = tuple(
        PlainPlace(
            where,
            frequency(axle, planned=False),
            frequency(axle, planned=True),
            _widest(case, axle, "ride_frequency") if sure else None,
        )
        for axle, where in _AXLES
    )
    means = "How many times a second the body swings up and down on its springs and tyres, undamped (ride frequency)."
    return PlainNumber("swings", "swings per second", Kind.FREQUENCY, places, means)


def _lean(case: Case, *, sure: bool) -> PlainNumber:
    gradient = numbers_of(case.plan, case.drive)["roll_gradient"]
    value = None if math.isnan(gradient) else LEAN_AT * gradient
    band = _lean_band(case.planned.feel) if sure and value is not None else None
    means = "How far the body leans in a bend taken at 4 m/s², two fifths of the car's weight sideways."
    return PlainNumber("lean", "lean in a bend", Kind.ANGLE, (PlainPlace("", None, value, band),), means, missing=_LEAN)


_LEAN = "it does not rest in such a bend"


def _lean_band(feel: Feel) -> float | None:
    bands = [turn.bands.get("roll_gradient") for turn in (feel.left, feel.right)]
    known = [band for band in bands if band is not None]
    return LEAN_AT * max(known) if known else None


def _bump(case: Case) -> PlainNumber:
    places = []
    for axle, where in _AXLES:
        ends = (end_of_travel(state, axle, "bump") for state in (case.plan.found, case.plan.planned))
        was, now = (None if end is None else end.travel for end in ends)
        places.append(PlainPlace(where, was, now))
    means = "How far both wheels can still go up until something is solid, the bump rubber squeezed."
    return PlainNumber(
        "bump", "bump travel left", Kind.LENGTH, tuple(places), means, missing="measure the dampers' lengths"
    )


def _ground(case: Case, *, sure: bool) -> PlainNumber:
    found = case.car.limits.ground_clearance
    now = ground_clearance(case.planned.document, case.plan)
    band = None
    if sure and found is not None:
        heights = max(_widest(case, axle, "height") for axle, _ in _AXLES)
        band = math.hypot(SHOWN_PER_TYPED * (found.plus_minus or 0.0), heights)
    was = None if found is None else found.value
    means = "What is left under the lowest point, counted with the corner that comes down most."
    places = (PlainPlace("", was, now, band),)
    return PlainNumber("ground", "ground clearance", Kind.LENGTH, places, means, missing="measure the lowest point")


def _widest(case: Case, axle: str, name: str, *, found: bool = False) -> float:
    """The wider band of both wheels [SI]."""
    bands = (case.found if found else case.planned).bands
    told: Callable[[str], float] = lambda key: bands[key].plus_minus if key in bands else 0.0  # noqa: E731
    return max(told(f"{axle}.{side}.{name}") for side in SIDES)

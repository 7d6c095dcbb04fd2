"""What is asked most of a car and of a job, each with its exact slopes: how low, which teeth, when a wheel lifts.

The same derivatives that make the bands (`jounce.behaviour.bands`), by every number of the files that may be off, so that
it can be told which measurement would make such an answer surer.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from jounce.behaviour.bands import CarVariants, Slopes, VariedCar
from jounce.behaviour.bands_in_motion import turn_slopes
from jounce.behaviour.road.feel import Feel
from jounce.car.file.inputs import InputRef
from jounce.car.mechanics.model import AxleName
from jounce.car.mechanics.stops import RUBBER
from jounce.case.case import Case
from jounce.case.state import PLANNED, CaseState
from jounce.conventions.units import Kind
from jounce.fit.planning import SoughtAnswer, splines_of
from jounce.job.comparison import compare
from jounce.job.setting_bands import setting_slopes
from jounce.layouts.naming import SIDES
from jounce.numerics.arrays import Array

__all__ = ["ShortQuestion", "asked_shortly", "sought_answers"]


@dataclass(frozen=True, slots=True)
class ShortQuestion:
    """What people ask in a few words.

    Attributes:
        pieces: of the names of what answers it; of the first piece that there is
        absent: what is said of a car that has no answer, and what to do

    """

    pieces: tuple[str, ...]
    absent: str

    def answered_by(self, answers: Sequence[SoughtAnswer]) -> tuple[int, ...]:
        """Numbers of the answers to it, what comes first first; none where there is none.

        Args:
            answers: all that there are
        """
        for piece in self.pieces:
            found = [k for k, one in enumerate(answers) if piece in one.name]
            if piece == ".wound_up":
                found = [k for k in found if answers[k].kind is Kind.ANGLE]  # a coil has no teeth
            if found:
                return tuple(sorted(found, key=lambda k: answers[k].value)) if piece[0] != "." else tuple(found)
        return ()


_LIFT = ShortQuestion(
    (".rear_lift", ".front_lift"),
    "No inside wheel of it lifts before it finds no rest in a bend: there is nothing to read.",
)
_SHORT: Mapping[str, ShortQuestion] = {
    "low": ShortQuestion(
        ("low.",),
        "No stop of its bump travel is known: measure the closed length of its dampers and the gap to its bump rubbers.",
    ),
    "teeth": ShortQuestion(
        (".bar_turn", ".wound_up"),
        "It has no torsion bars, so there are no teeth: ask for the turns of a job's spring seats.",
    ),
    "turns": ShortQuestion(
        (".seat_turns",), "No spring seat is turned: ask of a job on it that sets threaded seats whose pitch is known."
    ),
    "lift": _LIFT,
    "lifts": _LIFT,
}
"""By the word by which people ask."""
_ENDS = {RUBBER: "its bump rubber", "tyre meets arch": "tyre and arch", "damper closed": "its closed damper"}
"""Stops that end how low a car goes, and what they are called."""
_SETTINGS: Mapping[str, tuple[str, Kind]] = {
    "bar_turn": ("torsion bar: which teeth, by its turn", Kind.ANGLE),
    "seat_turns": ("turns of the spring seat", Kind.RATIO),
    "shackle": ("shackle longer", Kind.LENGTH),
    "rod_length": ("length of the Panhard rod", Kind.LENGTH),
    "bracket": ("bracket of the Watt linkage", Kind.LENGTH),
    "tie_rod": ("tie rod longer", Kind.LENGTH),
}
"""Settings that are told, by the last word of their key."""


def asked_shortly(wanted: str) -> ShortQuestion | None:
    """The short question that words ask; None where they are none.

    Args:
        wanted: "how low", "which teeth", "when does the inside rear wheel lift"
    """
    words = wanted.casefold().strip(" ?.!").split()
    return next((_SHORT[word] for word in words if word in _SHORT), None)


@dataclass(frozen=True, slots=True)
class _VariedBy:
    """A car that varies by some numbers, whatever ± its own file states."""

    car: VariedCar
    inputs: Sequence[InputRef]

    @property
    def every_input(self) -> Sequence[InputRef]:
        """Those of the car."""
        return self.car.every_input

    def varied(self, inputs: Sequence[InputRef], changes: Array) -> CarVariants:
        """Variants, as of `jounce.behaviour.bands.VariedCar`."""
        return self.car.varied(inputs, changes)


def sought_answers(case: Case, inputs: Sequence[InputRef]) -> tuple[SoughtAnswer, ...]:
    """What is asked most, of a car as found or of a job's car as planned.

    Args:
        case: the car or the job
        inputs: the numbers that may be off

    Raises:
        Impossible: the car finds no rest, or the plan cannot be
    """
    state = case.last
    slopes = state.state.slopes
    if {one.path for one in slopes.inputs} != {one.path for one in inputs}:
        slopes = Slopes(_VariedBy(state.varies, tuple(inputs)), state.state.place)
    found = [*_low(slopes), *_lift(state, slopes)]
    if state.title == PLANNED:
        found = [*_heights(case, slopes), *_settings(state, slopes), *found]
    else:
        found += _clearance(case)
    return tuple(found)


def _sought(slopes: Slopes, name: str, title: str, kind: Kind, value: float, slope: Array) -> SoughtAnswer:
    by = {one.path: float(way) for one, way in zip(slopes.inputs, slope, strict=True) if way and way == way}
    return SoughtAnswer(name, title, kind, value, by)


def _low(slopes: Slopes) -> Iterator[SoughtAnswer]:
    """How far the car can come down until a stop is met, of each axle the side that meets it first."""
    first: dict[tuple[str, str], tuple[float, str, Array]] = {}
    for crossing, slope in slopes.bump_stops():
        axle, side, stop = crossing.name.split(".", 2)
        if stop in _ENDS and ((axle, stop) not in first or crossing.travel < first[axle, stop][0]):
            first[axle, stop] = (crossing.travel, side, slope)
    for (axle, stop), (travel, side, slope) in first.items():
        title = f"how low the {axle} can go: to {_ENDS[stop]}"
        name = f"low.{axle}.{side}.{stop.replace(' ', '_')}"
        yield _sought(slopes, name, title, Kind.LENGTH, travel, slope)


def _clearance(case: Case) -> Iterator[SoughtAnswer]:
    """How far the car as found can come down until it has the least clearance that was entered."""
    limits = case.car.limits
    if limits.ground_clearance is None or limits.minimum_ground_clearance is None:
        return
    of = {"limits.ground_clearance": 1.0}
    room = limits.ground_clearance.value - limits.minimum_ground_clearance.value
    title = "how low it can go: to the least ground clearance"
    yield SoughtAnswer("low.ground_clearance", title, Kind.LENGTH, room, of)


def _lift(state: CaseState, slopes: Slopes) -> Iterator[SoughtAnswer]:
    """The lateral acceleration at which an inside wheel lifts, in each turn in which one does."""
    feel: Feel = state.feel
    found = turn_slopes((feel, state.sweep), slopes)
    for turn in SIDES:
        for axle in ("rear", "front"):
            value = getattr(feel, turn).limits.of_axle(("front", "rear").index(axle))
            name = f"{turn}.{axle}_lift"
            if name in found and value is not None:
                title = f"lift of the inside {axle} wheel, {turn} turn"
                yield _sought(slopes, f"lift.{name}", title, Kind.ACCELERATION, float(value), found[name])


def _heights(case: Case, slopes: Slopes) -> Iterator[SoughtAnswer]:
    rows = {row.key: row for row in compare(case.car, case.plan)}
    for key, slope in slopes.standing():
        row = rows.get(key)
        if key.endswith(".height") and row is not None and row.planned is not None:
            yield _sought(
                slopes, key, f"{' '.join(key.split('.')[:-1])} {row.label}, as planned", row.kind, row.planned, slope
            )


def _settings(state: CaseState, slopes: Slopes) -> Iterator[SoughtAnswer]:
    for key, value, slope in setting_slopes(slopes):
        *where, word = key.split(".")
        if word in _SETTINGS:
            label, kind = _SETTINGS[word]
            one = _sought(slopes, key, f"{' '.join(where)} {label}", kind, value, slope)
            axle: AxleName = "front" if where[0] == "front" else "rear"
            yield replace(one, splines=splines_of(state.document, axle)) if word == "bar_turn" else one

"""What a local rule can limit, each read of the planned car."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from jounce.car.file.document import CarDocument
from jounce.checks.ends_of_travel import end_of_travel
from jounce.checks.room import came_down, ground_clearance
from jounce.checks.travel import travel_kept
from jounce.conventions.units import Kind
from jounce.job.plan import JobPlan, value_of
from jounce.layouts.naming import SIDES

__all__ = ["QUANTITIES", "Limitable"]

_ARCH = "tyre meets arch"

Reading = Callable[[CarDocument, JobPlan], float | None]


@dataclass(frozen=True, slots=True)
class Limitable:
    """What a rule can limit: how it is told, its kind, how it is read of the planned car, what is missing if it is not."""

    words: str
    kind: Kind
    value: Reading
    missing: str


def _height_change(plan: JobPlan) -> float:
    """Largest change of a corner's height [m]."""
    planned, found = plan.planned.sits.travel, plan.found.sits.travel
    return max(abs(planned[corner] - found[corner]) for corner in planned)


def _least(values: Sequence[float | None]) -> float | None:
    return None if any(value is None for value in values) else min(value for value in values if value is not None)


def _ends(plan: JobPlan, at_end: str) -> float | None:
    ends = [end_of_travel(plan.planned, axle, at_end) for axle in ("front", "rear")]
    return _least([None if end is None else end.travel for end in ends])


def _tyre_gap(plan: JobPlan) -> float | None:
    """Least way up that a tyre keeps from its arch at the end of bump [m]."""
    gaps: list[float | None] = []
    for model in plan.planned.models:
        end = end_of_travel(plan.planned, model.name, "bump")
        met = next((met for met in plan.planned.stops[model.name] if met.name == _ARCH), None)
        if met is not None and end is not None:
            gaps.append(met.travel - end.travel)
        elif end is None or not any(stop.name == _ARCH for stop in model.stops):
            gaps.append(None)
    return _least(gaps) if gaps else None  # no gap at all: met nowhere within the search


def _seated(plan: JobPlan) -> float | None:
    """How much further than full droop the springs stay loaded, the least of all [m]."""
    spare: list[float | None] = []
    for model in plan.planned.models:
        end = end_of_travel(plan.planned, model.name, "droop")
        for side in SIDES:
            loose = plan.planned.axles[model.name].wheels[side].loose_at
            if loose is not None and model.main[side].can_leave_its_seat:
                spare.append(None if end is None else loose - end.travel)
    return _least(spare) if spare else None


def _camber(plan: JobPlan) -> float | None:
    angles = [value_of(plan.planned.geometry["front"], f"{side}_camber") for side in SIDES]
    return None if any(one is None for one in angles) else max(abs(one) for one in angles if one is not None)


def _lamp_height(document: CarDocument, plan: JobPlan) -> float | None:
    found = document.limits.lamp_height
    if found is None:
        return None
    return found.value - max(came_down(plan)["front", side] for side in SIDES)


QUANTITIES: Mapping[str, Limitable] = {
    "travel_kept": Limitable(
        "share of the travel as found that is kept, the lesser of both axles",
        Kind.SHARE,
        lambda _, plan: _least([travel_kept(plan, axle) for axle in ("front", "rear")]),
        "the dampers' lengths, old and new",
    ),
    "bump_travel": Limitable(
        "bump travel to the end, the lesser of both axles",
        Kind.LENGTH,
        lambda _, plan: _ends(plan, "bump"),
        "the dampers' closed lengths or the bump stops",
    ),
    "rebound_left": Limitable(
        "rebound travel left, the lesser of both axles",
        Kind.LENGTH,
        lambda _, plan: _ends(plan, "droop"),
        "the dampers' open lengths",
    ),
    "ground_clearance": Limitable(
        "clearance under the lowest point, as the planned car stands",
        Kind.LENGTH,
        ground_clearance,
        "the clearance under the lowest point as found",
    ),
    "height_change": Limitable(
        "largest change of a corner's height", Kind.LENGTH, lambda _, plan: _height_change(plan), "the heights"
    ),
    "tyre_to_arch": Limitable(
        "least way that a tyre keeps from its arch at full bump",
        Kind.LENGTH,
        lambda _, plan: _tyre_gap(plan),
        "how far up the tyre meets the arch, and the end of bump",
    ),
    "spring_loaded_beyond_droop": Limitable(
        "how much further than full droop the springs stay loaded",
        Kind.LENGTH,
        lambda _, plan: _seated(plan),
        "the dampers' open lengths",
    ),
    "lamp_height": Limitable(
        "height of the dipped lamps' lower edge, as the planned car stands",
        Kind.LENGTH,
        _lamp_height,
        "the height of the lamps as found",
    ),
    "front_camber": Limitable(
        "size of the front camber", Kind.ANGLE, lambda _, plan: _camber(plan), "the front camber as found"
    ),
}
"""What a rule can limit, by the word that the file uses."""

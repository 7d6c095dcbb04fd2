"""A helper spring under a coil as a part whose travel is sought: it keeps the coil seated with the wheels hanging."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

import numpy as np

from jounce.behaviour.axle.static import spring_wound
from jounce.behaviour.road.road_car import RoadCar
from jounce.car.file import ranges
from jounce.car.mechanics.coil_stack import coil_rate, coil_stack
from jounce.car.mechanics.layout_input import SIDE_OF
from jounce.car.mechanics.model import AXLES, AxleName
from jounce.car.parts.spring import StackedSpring
from jounce.conventions.errors import Impossible
from jounce.conventions.units import MM, Kind
from jounce.elements.springs.coil_spring import Turns
from jounce.layouts.naming import SIDES
from jounce.shelf.kinds.coils import HelperPart
from jounce.shelf.shelf import Shelf
from jounce.wanted.bounds import bounds_of
from jounce.wanted.damper_ends import full_travel
from jounce.wanted.main_springs import displaced_with_laws
from jounce.wanted.on_shelf import parts_for
from jounce.wanted.seek import Figure, NotNeeded, PartNumber, ShelfTry
from jounce.wanted.stood import Stood
from jounce.wanted.work_car import WorkCar, with_axle, with_spring_laws

__all__ = ["SOLID_AT", "compressed_hanging", "helper_travel"]

SOLID_AT = 0.5
"""Share of what the spring carries at rest under which the helper lies solid; common practice, no source."""
_SHORTEST = 0.1 * MM


def helper_travel(work: WorkCar, axle: AxleName, today: Stood, wanted: float) -> PartNumber:
    """A helper under each coil, solid at half the load at rest; the coil is so much shorter that the car stands as before.

    Args:
        work: the car
        axle: front or rear
        today: it at rest
        wanted: how much the springs are to be compressed at full droop [m]

    Raises:
        NotNeeded: they are
        Impossible: the axle has no coils
    """
    model = work.model(axle)
    if model.main["left"].kind != "coil":
        raise Impossible(f"The {axle} axle has no coils: its springs are fixed at both ends and cannot come loose.")
    stacks = {side: coil_stack(work.section(axle).side(SIDE_OF[side]).spring) for side in SIDES}
    least = min(today.axles[axle].wheels[side].spring_force for side in SIDES)
    before = compressed_hanging(axle)(today)
    if before >= wanted:
        raise NotNeeded("No helper is needed: at full droop the springs are compressed by as much without one.")

    def rate(travel: float) -> float:
        return SOLID_AT * least / travel

    def fitted(travel: float) -> RoadCar:
        laws = {
            side: replace(stack, members={**stack.members, "another helper": Turns(rate(travel), travel)}).law
            for side, stack in stacks.items()
        }
        return with_axle(work.car, with_spring_laws(model, laws, displaced_with_laws(model, today, laws)))

    def also(travel: float, _: Stood) -> list[Figure]:
        return [
            Figure("rate of the helper, at most", Kind.SPRING_RATE, rate(travel)),
            Figure("force under which it is solid", Kind.FORCE, SOLID_AT * least),
            Figure("the coil alone is short at full droop by", Kind.LENGTH, max(0.0, -before)),
        ]

    _, most = bounds_of(ranges.HelperLength)
    return PartNumber(
        name="travel of the helper, free to solid",
        kind=Kind.LENGTH,
        today=None,
        start=max(_SHORTEST, wanted - before),
        low=_SHORTEST,
        high=most,
        step=MM,
        grows="{} more travel of the helper",
        fitted=fitted,
        also=also,
        on_shelf=lambda shelf, _: _helpers_on_shelf(shelf, axle, SOLID_AT * least, fitted),
    )


def _helpers_on_shelf(
    shelf: Shelf, axle: AxleName, force: float, fitted: Callable[[float], RoadCar]
) -> Iterator[ShelfTry]:
    """The shelf's helpers that are solid under such a force [N]; what they are at rest is then all the same."""
    for part in parts_for(shelf, HelperPart, axle):
        helper = part.mechanics
        if part.role == "helper" and isinstance(helper, StackedSpring):
            travel = float(_travel(helper))
            rate = float(np.ravel(coil_rate(helper))[0])
            if rate * travel <= force:
                more = [Figure("rate of the helper itself", Kind.SPRING_RATE, rate)]
                yield ShelfTry(part.code, travel, lambda travel=travel: fitted(travel), more)  # type: ignore[misc]


def _travel(helper: StackedSpring) -> float:
    """Free length less solid length of a helper, which always tells both [m].

    Args:
        helper: the helper
    """
    if helper.free_length is None or helper.solid is None:
        raise ValueError("the document accepts no helper spring without its lengths")
    return float(helper.free_length.value - np.ravel(helper.solid)[0])


def compressed_hanging(axle: AxleName) -> Callable[[Stood], float]:
    """How much the springs of an axle are still compressed with both wheels at full droop, the less of both [m].

    Negative where a spring is shorter than the room between its seats.

    Args:
        axle: front or rear
    """

    def read(stood: Stood) -> float:
        model = stood.car.axles[AXLES.index(axle)].axle
        if model.main["left"].kind == "torsion bar":
            raise Impossible(f"The {axle} axle's bars are wound, not compressed.")
        droop, _ = full_travel(stood, axle, "droop")
        left = [spring_wound(model, side, stood.states(axle), droop) for side in SIDES]
        if not np.isfinite(left).all():
            raise Impossible(f"The {axle} linkage does not reach full droop.")
        return min(left)

    return read

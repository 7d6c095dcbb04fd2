"""Leaves, shackles and blocks of a shelf beside what is sought: by their camber, on a seat for it, or below it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

import numpy as np

from jounce.behaviour.road.weigh import with_settings
from jounce.car.mechanics.model import AXLES, AxleName
from jounce.car.parts import LeafSpring
from jounce.conventions.axes import End
from jounce.conventions.units import Kind
from jounce.elements.law import Linear, SpringLaw
from jounce.job.shackles import LIFTS
from jounce.layouts.naming import SIDES, SideName
from jounce.shelf.kinds.leaves import LeafPart, ShacklePart
from jounce.shelf.kinds.spacers import SpringSpacerPart
from jounce.shelf.shelf import Shelf
from jounce.wanted.on_shelf import parts_for
from jounce.wanted.seek import Figure, ShelfTry
from jounce.wanted.work_car import WorkCar, displaced_at_found, with_axle, with_spring_laws

__all__ = ["camber_of_those_in", "leaves_as_bent", "leaves_seated", "seats_of_the_shelf"]

Lengths = Mapping[SideName, float]
Holding = Callable[[Mapping[SideName, SpringLaw]], Lengths]


def camber_of_those_in(work: WorkCar, axle: AxleName, between: Lengths) -> float:
    """Free camber that the leaves in the car have by the weights, mean of both [m].

    Args:
        work: the car
        axle: front or rear, sprung by leaves
        between: height of the middle of the eyes above each seat, the wheel as found [m]
    """
    model = work.model(axle)
    return float(np.mean([between[side] + displaced_at_found(model, side) for side in SIDES]))


def leaves_as_bent(work: WorkCar, axle: AxleName, between: Lengths, shelf: Shelf) -> Iterator[ShelfTry]:
    """Leaves on the seats as they are: each holds the car by its camber.

    Args:
        work: the car
        axle: front or rear, sprung by leaves
        between: height of the middle of the eyes above each seat, the wheel as found [m]
        shelf: all parts
    """
    model, own = work.model(axle), camber_of_those_in(work, axle, between)
    for code, leaf, camber in _leaves(axle, shelf):
        laws = _laws(leaf)
        displaced = {side: camber - between[side] for side in SIDES}
        yield ShelfTry(
            code,
            camber - own,
            lambda laws=laws, displaced=displaced: with_axle(work.car, with_spring_laws(model, laws, displaced)),  # type: ignore[misc]
            [
                Figure("free camber of both leaves", Kind.LENGTH, camber),
                Figure("rate of both springs", Kind.SPRING_RATE, float(leaf.rate.value)),
            ],
        )


def leaves_seated(
    work: WorkCar, axle: AxleName, between: Lengths, holding: Holding, shelf: Shelf
) -> Iterator[ShelfTry]:
    """Leaves whose seats are set by blocks or shackles so that the car stands where it does.

    Args:
        work: the car
        axle: front or rear, sprung by leaves
        between: height of the middle of the eyes above each seat, the wheel as found [m]
        holding: displacements with the wheel as found of other springs that hold the car where it stands
        shelf: all parts
    """
    model = work.model(axle)
    for code, leaf, camber in _leaves(axle, shelf):
        laws = _laws(leaf)
        displaced = holding(laws)
        yield ShelfTry(
            code,
            float(leaf.rate.value),
            lambda laws=laws, displaced=displaced: with_axle(work.car, with_spring_laws(model, laws, displaced)),  # type: ignore[misc]
            [
                Figure(f"seat higher for it, {side}", Kind.LENGTH, between[side] + displaced[side] - camber)
                for side in SIDES
            ],
        )


def seats_of_the_shelf(work: WorkCar, axle: AxleName, shelf: Shelf) -> Iterator[ShelfTry]:
    """What sets the springs that stay higher or lower: spacers and blocks, and shackles by half of what they are longer.

    Shackles are left out where nobody measured those in the car.

    Args:
        work: the car
        axle: front or rear, whose seats have no threads
        shelf: all parts
    """
    unit = np.zeros((2, 2))
    unit[AXLES.index(axle)] = 1.0
    on_leaves = getattr(work.section(axle).left, "leaf", None) is not None
    heights = [
        (block.code, float(block.height.value))
        for block in parts_for(shelf, SpringSpacerPart, axle)
        if block.height is not None and (block.width is not None) == on_leaves
    ]
    measured = work.document.interfaces.front if End(axle) is End.FRONT else work.document.interfaces.rear
    found = measured.shackle_length
    for shackle in parts_for(shelf, ShacklePart, axle) if on_leaves and found is not None else ():
        if shackle.shortest is not None and shackle.longest is not None and found is not None:
            ends = (float(shackle.shortest.value), float(shackle.longest.value))
            step = None if shackle.step is None else float(shackle.step.value)
            heights += [(shackle.code, LIFTS * (length - float(found.value))) for length in _lengths(ends, step)]
    for code, height in heights:
        yield ShelfTry(code, height, lambda height=height: with_settings(work.car, height * unit))  # type: ignore[misc]


def _lengths(ends: tuple[float, float], step: float | None) -> list[float]:
    """Lengths that a shackle can have: its holes, or its ends where it can have any between them [m]."""
    low, high = ends
    if step is None or high <= low:
        return list(dict.fromkeys(ends))
    return [low + step * hole for hole in range(int((high - low) / step + _WHOLE) + 1)]


_WHOLE = 1e-6  # of a step: rounding


def _leaves(axle: AxleName, shelf: Shelf) -> Iterator[tuple[str, LeafSpring, float]]:
    """The shelf's leaves of which rate and camber are known."""
    for part in parts_for(shelf, LeafPart, axle):
        leaf = part.mechanics
        if isinstance(leaf, LeafSpring) and leaf.free_camber is not None:
            yield part.code, leaf, float(leaf.free_camber.value)


def _laws(leaf: LeafSpring) -> dict[SideName, SpringLaw]:
    return dict.fromkeys(SIDES, Linear(np.array([leaf.rate.value])))

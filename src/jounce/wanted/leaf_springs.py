"""Leaves, shackles and blocks of a shelf beside what is sought: by their camber, on a seat for it, or below it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeVar

import numpy as np

from jounce.behaviour.road.weigh import with_settings
from jounce.car.mechanics.model import AXLES, AxleName
from jounce.car.parts import LeafSpring
from jounce.conventions.axes import End
from jounce.conventions.units import Kind
from jounce.elements.law import Linear, SpringLaw
from jounce.job.shackles import LIFTS
from jounce.layouts.naming import SIDES, SideName
from jounce.shelf.fit import FitVerdict, pair_why_not
from jounce.shelf.kinds.leaves import LeafPart, ShacklePart
from jounce.shelf.kinds.spacers import SpringSpacerPart
from jounce.shelf.part import Part
from jounce.shelf.shelf import Shelf
from jounce.wanted.leaf_stresses import leaf_figures
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


def leaves_as_bent(
    work: WorkCar, axle: AxleName, between: Lengths, shelf: Shelf, wanted: tuple[float, float] | None = None
) -> Iterator[ShelfTry]:
    """Leaves on the seats as they are, each of which holds the car by its camber; then with blocks and shackles.

    With these only what comes nearest to the height wanted is tried, by what a leaf gives way under the load that it
    carries: its load over its rate.

    Args:
        work: the car
        axle: front or rear, sprung by leaves
        between: height of the middle of the eyes above each seat, the wheel as found [m]
        shelf: all parts
        wanted: how much taller than those in the car leaves of which rate would have to be [m, N/m]; None where no leaf
            gives what is wanted
    """
    model, own = work.model(axle), camber_of_those_in(work, axle, between)
    found = {side: displaced_at_found(model, side) for side in SIDES}
    force = float(
        np.mean([np.ravel(model.main[s].law.force(np.array([found[s] + model.main[s].law.start])))[0] for s in SIDES])
    )

    def tried(leaf: LeafPart, spring: LeafSpring, camber: float, seats: Sequence[_Seat]) -> ShelfTry:
        laws, raised = _laws(spring), sum(seat.height for seat in seats)
        displaced = {side: camber + raised - between[side] for side in SIDES}
        return ShelfTry(
            _codes([leaf.code, *(seat.part.code for seat in seats)]),
            camber + raised - own,
            lambda: with_axle(work.car, with_spring_laws(model, laws, displaced)),
            [
                Figure("free camber of both leaves", Kind.LENGTH, camber),
                Figure("rate of both springs", Kind.SPRING_RATE, float(spring.rate.value)),
                *_figures(seats),
            ],
            lambda stood: leaf_figures(work, stood, axle, spring),
            together=bool(seats),
        )

    leaves = list(_leaves(axle, shelf))
    yield from (tried(*leaf, ()) for leaf in leaves)
    if wanted is None:
        return
    taller, rate = wanted
    aim, seats = own + taller - force / rate, _every_seat(work, axle, shelf)
    stands = [
        (camber + sum(one.height for one in on) - force / float(spring.rate.value) - aim, (part, spring, camber, on))
        for part, spring, camber in leaves
        for on in seats
        if all(_together(part, one.part) for one in on)
    ]
    yield from (tried(*each) for each in _nearest(stands))


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
    seats = [(sum(one.height for one in on), on) for on in _every_seat(work, axle, shelf)]
    for part, leaf, camber in _leaves(axle, shelf):
        laws = _laws(leaf)
        displaced = holding(laws)
        higher = float(np.mean([between[side] + displaced[side] - camber for side in SIDES]))
        fits = [one for one in seats if all(_together(part, seat.part) for seat in one[1])]
        set_by = min(fits, key=lambda one: (abs(one[0] - higher), len(one[1])), default=None)
        yield ShelfTry(
            part.code,
            float(leaf.rate.value),
            lambda laws=laws, displaced=displaced: with_axle(work.car, with_spring_laws(model, laws, displaced)),  # type: ignore[misc]
            [
                Figure(f"seat higher for it, {side}", Kind.LENGTH, between[side] + displaced[side] - camber)
                for side in SIDES
            ]
            + ([] if set_by is None else [_set_by(*set_by), *_figures(set_by[1])]),
            lambda stood, leaf=leaf: leaf_figures(work, stood, axle, leaf),  # type: ignore[misc]
        )


def _set_by(height: float, seats: Sequence[_Seat]) -> Figure:
    """The nearest that blocks and shackles of the shelf give."""
    return Figure(f"seat higher by {_codes([seat.part.code for seat in seats])}", Kind.LENGTH, height)


def seats_of_the_shelf(work: WorkCar, axle: AxleName, shelf: Shelf, wanted: float | None = None) -> Iterator[ShelfTry]:
    """What sets the springs that stay higher or lower: spacers and blocks, and shackles by half of what they are longer.

    Shackles are left out where nobody measured those in the car. Of blocks and shackles together only what comes nearest
    to the height wanted is tried.

    Args:
        work: the car
        axle: front or rear, whose seats have no threads
        shelf: all parts
        wanted: how much higher the seats would have to be; None where no height of theirs gives what is wanted [m]
    """
    unit = np.zeros((2, 2))
    unit[AXLES.index(axle)] = 1.0

    def tried(seats: Sequence[_Seat]) -> ShelfTry:
        height = sum(seat.height for seat in seats)
        return ShelfTry(
            _codes([seat.part.code for seat in seats]),
            height,
            lambda: with_settings(work.car, height * unit),
            _figures(seats),
            together=len(seats) > 1,
        )

    every = _every_seat(work, axle, shelf)
    yield from (tried(seats) for seats in every if len(seats) == 1)
    if wanted is not None:
        both = [(sum(one.height for one in seats) - wanted, seats) for seats in every if len(seats) > 1]
        yield from (tried(seats) for seats in _nearest(both))


@dataclass(frozen=True, slots=True)
class _Seat:
    """A block or shackle, how much higher the seat is with it, and how long a shackle then is [m]."""

    part: Part
    height: float
    length: float | None = None


_Tried = TypeVar("_Tried")


def _nearest(tries: Sequence[tuple[float, _Tried]]) -> list[_Tried]:
    """Of tries with what each lies above what is wanted the nearest below and the nearest above."""
    below = max((one for one in tries if one[0] <= 0), key=lambda one: one[0], default=None)
    above = min((one for one in tries if one[0] > 0), key=lambda one: one[0], default=None)
    return [one[1] for one in (below, above) if one is not None]


def _codes(codes: Sequence[str]) -> str:
    return " with ".join(codes)


def _figures(seats: Sequence[_Seat]) -> list[Figure]:
    lengths = (seat.length for seat in seats)
    return [Figure("shackle, between its bolts", Kind.LENGTH, length) for length in lengths if length is not None]


def _together(one: Part, other: Part) -> bool:
    """Whether nothing known speaks against fitting two parts together."""
    return all(reason.verdict is not FitVerdict.DOES_NOT_FIT for reason in pair_why_not(one, other))


def _every_seat(work: WorkCar, axle: AxleName, shelf: Shelf) -> list[tuple[_Seat, ...]]:
    """Blocks, shackles, and each block with each shackle."""
    on_leaves = getattr(work.section(axle).left, "leaf", None) is not None
    blocks = [
        _Seat(block, float(block.height.value))
        for block in parts_for(shelf, SpringSpacerPart, axle)
        if block.height is not None and (block.width is not None) == on_leaves
    ]
    measured = work.document.interfaces.front if End(axle) is End.FRONT else work.document.interfaces.rear
    found, shackles = measured.shackle_length, list[_Seat]()
    for shackle in parts_for(shelf, ShacklePart, axle) if on_leaves and found is not None else ():
        if shackle.shortest is not None and shackle.longest is not None and found is not None:
            ends = (float(shackle.shortest.value), float(shackle.longest.value))
            step = None if shackle.step is None else float(shackle.step.value)
            lengths = _lengths(ends, step)
            shackles += [_Seat(shackle, LIFTS * (length - float(found.value)), length) for length in lengths]
    both = [(block, shackle) for block in blocks for shackle in shackles if _together(block.part, shackle.part)]
    return [*((one,) for one in (*blocks, *shackles)), *both]


def _lengths(ends: tuple[float, float], step: float | None) -> list[float]:
    """Lengths that a shackle can have: its holes, or its ends where it can have any between them [m]."""
    low, high = ends
    if step is None or high <= low:
        return list(dict.fromkeys(ends))
    return [low + step * hole for hole in range(int((high - low) / step + _WHOLE) + 1)]


_WHOLE = 1e-6  # of a step: rounding


def _leaves(axle: AxleName, shelf: Shelf) -> Iterator[tuple[LeafPart, LeafSpring, float]]:
    """The shelf's leaves of which rate and camber are known."""
    for part in parts_for(shelf, LeafPart, axle):
        leaf = part.mechanics
        if isinstance(leaf, LeafSpring) and leaf.free_camber is not None:
            yield part, leaf, float(leaf.free_camber.value)


def _laws(leaf: LeafSpring) -> dict[SideName, SpringLaw]:
    return dict.fromkeys(SIDES, Linear(np.array([leaf.rate.value])))

"""What is put into a car for good, or taken out of it: where its weight goes, and its centre of gravity with it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

from jounce.car.file.contents import TOTAL_MASS, Masses
from jounce.car.file.document import CarDocument
from jounce.car.file.quantity import Measured
from jounce.conventions.axes import ENDS, SIDES, End, Side
from jounce.conventions.errors import InputError
from jounce.conventions.units import Kind, show
from jounce.job.document import Change

__all__ = ["masses_with", "problems_of_mass"]

_LEAST_LEFT = 20.0  # on any one wheel: below it the car would hardly stand on it [kg]


@dataclass(frozen=True, slots=True)
class _Piece:
    """A mass at a place; ``of_wheel`` where it moves with one wheel [kg, m]."""

    mass: Any
    at: tuple[Any, Any, Any]
    of_wheel: End | None = None


def masses_with(document: CarDocument, change: Change) -> Masses:
    """The car's masses after the work.

    A mass in the body bears on the four wheels by its lever along the car and across it; which of two crossed pairs
    carries a rest is the springs' to set, so half of it is told to each. Moments of inertia that were measured grow by
    the mass's own about the new centre of gravity.

    Args:
        document: the car as measured
        change: what is exchanged, put in and taken out
    """
    masses = document.mass
    for piece in _pieces(document, change):
        masses = _with(masses, document, piece)
    return masses


def problems_of_mass(document: CarDocument, change: Change) -> list[InputError]:
    """What cannot be taken out of this car or put into it; each with its place in the job.

    Args:
        document: the car as measured
        change: what is exchanged, put in and taken out
    """
    if not any(True for _ in _pieces(document, change)):
        return []
    masses = masses_with(document, change)
    place = "change.mass" if any(True for _ in change.mass) else "change"
    problems = []
    for end in ENDS:
        for side in SIDES:
            left = masses.corner(end, side).value
            if left < max(_LEAST_LEFT, masses.unsprung(end).value):
                problems.append(
                    InputError(
                        f"With this taken out nothing is left to stand on the {side} {end} wheel",
                        found=show(left, Kind.MASS),
                        todo="Check the masses and where they are: x forward, y to the left.",
                        place=place,
                    )
                )
    if not problems and not TOTAL_MASS[0] <= masses.total <= TOTAL_MASS[1]:
        low, high = (show(limit, Kind.MASS) for limit in TOTAL_MASS)
        problems.append(
            InputError(
                "The car's mass after the work is outside what is worked out",
                found=show(masses.total, Kind.MASS),
                allowed=f"{low} to {high}",
                todo="Check the masses that are put in and taken out.",
                place=place,
            )
        )
    return problems


def _pieces(document: CarDocument, change: Change) -> Iterator[_Piece]:
    for _, one in change.mass:
        yield _Piece(one.mass.value, (one.at.x, one.at.y, one.at.z))
    for end in ENDS:
        wheel = change.of(end).wheel
        if wheel is not None and wheel.heavier is not None:
            for side in SIDES:
                at = document.axle(end).side(side).pivots.wheel_centre
                yield _Piece(wheel.heavier.value, (at.x, at.y, at.z), end)


def _with(masses: Masses, document: CarDocument, piece: _Piece) -> Masses:
    x, y, z = piece.at
    wheels = {(end, side): document.axle(end).side(side).pivots.wheel_centre for end in ENDS for side in SIDES}
    behind, ahead = (sum(wheels[end, side].x for side in SIDES) / 2 for end in (End.REAR, End.FRONT))
    front = (x - behind) / (ahead - behind)
    update: dict[str, Any] = {}
    for end in ENDS:
        left, right = wheels[end, Side.LEFT].y, wheels[end, Side.RIGHT].y
        on_left = (y - right) / (left - right)
        of_axle = piece.mass * (front if end is End.FRONT else 1 - front)
        for side, share in ((Side.LEFT, on_left), (Side.RIGHT, 1 - on_left)):
            update[f"{end}_{side}"] = _more(masses.corner(end, side), of_axle * share)
    if piece.of_wheel is not None:  # two wheels, half a mass each: told once a wheel of the pair
        update[f"unsprung_{piece.of_wheel}"] = _more(masses.unsprung(piece.of_wheel), piece.mass / 2)
    total, height = masses.total, masses.centre_of_gravity_height
    added = piece.mass / (total + piece.mass)
    rise = z - height.value
    update["centre_of_gravity_height"] = _more(height, added * rise)
    inertias = (
        ("roll_inertia", y - _middle(masses, wheels, "y")),
        ("pitch_inertia", x - _middle(masses, wheels, "x")),
    )
    for name, beside in inertias:
        inertia: Measured | None = getattr(masses, name)
        if inertia is not None:
            update[name] = _more(inertia, total * added * (rise**2 + beside**2))
    return masses.model_copy(update=update)


def _middle(masses: Masses, wheels: Any, axis: str) -> Any:
    """Where the centre of gravity is along an axis, from the four weights [m]."""
    moment = sum(masses.corner(end, side).value * getattr(wheels[end, side], axis) for end in ENDS for side in SIDES)
    return moment / masses.total


def _more(measured: Measured, by: Any) -> Measured:
    return replace(measured, value=measured.value + by)

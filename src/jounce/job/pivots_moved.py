"""Pivots of new arms, brackets and damper mounts put into a car, and what else is then somewhere else."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

import numpy as np

from jounce.car.axles.axle import Axle
from jounce.car.file.possible import axle_problems
from jounce.car.file.quantity import Measured, MeasuredPoint, suggestion
from jounce.car.file.section import Section
from jounce.car.parts.changed import MovedAxlePoints, MovedPivots
from jounce.conventions.axes import End, Side
from jounce.conventions.errors import InputError
from jounce.job.document import AxleChange
from jounce.job.joint_spacers import side_with_spacers

__all__ = ["axle_names", "axle_points_moved", "moved_points", "problems_of_pivots", "side_names", "side_with_pivots"]

_POINTS = ("pivots", "axle_pivots")
_SPACERS = ("ball_joint_spacer", "tie_rod_spacer", "rack")
_DAMPER_ENDS = (("strut_top", "strut_foot"), ("damper_upper", "damper_lower"))


def side_names(axle: Axle) -> tuple[str, ...]:
    """Points of one side of an axle that a change list may move.

    Args:
        axle: its part of the car file
    """
    return tuple(type(axle.side(Side.LEFT).pivots).model_fields)


def axle_names(axle: Axle) -> tuple[str, ...]:
    """Points of the axle as a whole that a change list may move, by section and point.

    Args:
        axle: its part of the car file
    """
    return tuple(f"{section}_{pivot}" for section, pivot in _of_axle(axle))


def moved_points(moved: MovedPivots | MovedAxlePoints | None) -> Mapping[str, MeasuredPoint]:
    """The points of a change list by name.

    Args:
        moved: what it says of pivots
    """
    return {} if moved is None else dict(moved)


def problems_of_pivots(axle: Axle, change: AxleChange, end: End) -> list[InputError]:
    """Pivots that the axle has not, or with which it could not be; each with its place in the job.

    Args:
        axle: its part of the car file
        change: the parts exchanged on it
        end: which axle
    """
    asked = (("pivots", change.pivots, side_names(axle)), ("axle_pivots", change.axle_pivots, axle_names(axle)))
    unknown = [
        InputError(
            f"This car's {end} axle has no such pivot",
            found=f'"{name}"',
            allowed=", ".join(known) or "none",
            todo=suggestion(name, known) or "Name one of them, or leave it out.",
            place=f"change.{end}.{key}.{name}",
        )
        for key, moved, known in asked
        for name in moved_points(moved)
        if name not in known
    ]
    changed = [key for key in (*_POINTS, *_SPACERS) if getattr(change, key) is not None]
    if unknown or not changed:
        return unknown
    sides: dict[str, Section] = {
        side.value: side_with_spacers(side_with_pivots(axle.side(side), moved_points(change.pivots), side), change)
        for side in Side
    }
    whole = axle_points_moved(axle, moved_points(change.axle_pivots))
    problems = axle_problems(end, axle.exchanged({**sides, **whole}, new=(), shared={}))
    for problem in problems:
        problem.place = f"change.{end}.{changed[0]}"
    return problems


def side_with_pivots(side: Any, points: Mapping[str, MeasuredPoint], which: Side) -> Any:
    """One side with moved pivots, and with what was read of the old places put right or left unknown.

    A damper whose eyes are further apart with the wheel as found has that much more way to its rubber. A wheel that
    stands elsewhere has another gap to the arch, which has to be measured.

    Args:
        side: as the car has it
        points: of the left side, by pivot
        which: the side
    """
    own = {name: _of(which, point) for name, point in points.items() if name in type(side.pivots).model_fields}
    if not own:
        return side
    pivots = side.pivots.model_copy(update=own)
    parts: dict[str, Any] = {"pivots": pivots}
    stop = side.bump_stop
    if stop is not None and stop.gap is not None:
        parts["bump_stop"] = stop.model_copy(update={"gap": _gap(stop.gap, side.pivots, pivots, own)})
    if "wheel_centre" in own:
        parts["clearance"] = side.clearance.model_copy(update={"tyre_to_arch": None})
    return side.model_copy(update=parts)


def axle_points_moved(axle: Axle, points: Mapping[str, MeasuredPoint]) -> dict[str, Section]:
    """Sections of the axle as a whole with moved points, by name.

    Args:
        axle: its part of the car file
        points: by name as in `axle_names`
    """
    moved: dict[str, Section] = {}
    for section, pivot in _of_axle(axle):
        name = f"{section}_{pivot}"
        if name in points:
            has: Any = moved.get(section, getattr(axle, section))
            moved[section] = has.model_copy(update={pivot: points[name]})
    return moved


def _of_axle(axle: Axle) -> Iterator[tuple[str, str]]:
    for section, pivots in axle.as_layout().axle_pivots.items():
        if getattr(axle, section, None) is not None:
            yield from ((section, pivot.name) for pivot in pivots)


def _of(which: Side, point: MeasuredPoint) -> MeasuredPoint:
    return point if which is Side.LEFT else point.mirrored()


def _gap(gap: Measured, was: Any, now: Any, moved: Mapping[str, MeasuredPoint]) -> Measured | None:
    """Gap at the rubber with the damper's eyes where they are now; None where it is not known which points they are."""
    ends = next((pair for pair in _DAMPER_ENDS if all(getattr(was, name, None) is not None for name in pair)), None)
    if ends is None:
        return None
    if not set(ends) & set(moved):
        return gap
    further = _apart(now, ends) - _apart(was, ends)
    wide = math.hypot(gap.plus_minus, *(moved[name].plus_minus for name in ends if name in moved))
    return replace(gap, value=gap.value + further, plus_minus=wide)


def _apart(pivots: Any, ends: tuple[str, str]) -> Any:
    """Distance of two pivots, also of a document that stands for many [m]."""
    gap = getattr(pivots, ends[0]).xyz - getattr(pivots, ends[1]).xyz
    squared = np.sum(gap * gap, axis=-1)  # not a norm: exact derivatives pass through it
    length = np.sqrt(squared)
    return length if length.ndim else length[()]

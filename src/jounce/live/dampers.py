"""Dampers and bump rubbers as levers: the force of the dampers as kept, times a factor; rubbers that touch sooner or later.

Neither moves a car that stands clear of its rubbers. So they need no whole cars of their own: what they change is
multiplied by the factor, or read of the axle alone.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from jounce.behaviour.axle.reach import rubber_gaps
from jounce.car.file import ranges
from jounce.car.mechanics.layout_input import SIDE_OF
from jounce.car.mechanics.model import AXLES, AxleName
from jounce.conventions.units import MM, Kind, unit_of
from jounce.layouts.naming import SIDES
from jounce.live.lever import HEIGHT_WAY, Lever
from jounce.live.moved import MovableCar, rubber_key
from jounce.wanted.bounds import bounds_of

__all__ = ["curve_rows", "damper_lever", "rubber_lever"]

_SOFTEST, _FIRMEST = 0.6, 1.6
_WAY = 8 * MM  # that a rubber touches sooner or later
_CLEAR = 1 * MM  # that is left to a rubber where the car stands lowest


def damper_lever(car: MovableCar, axle: AxleName) -> Lever | None:
    """The dampers' force at every speed, times what it is; None where it is not known, uneven or has an adjuster.

    Args:
        car: the planned car
        axle: front or rear
    """
    dampers = [car.work.section(axle).side(SIDE_OF[side]).damper for side in SIDES]
    curves = [None if one.clicks is not None else one.force for one in dampers]
    if any(curve is None for curve in curves) or curve_rows(dampers[0], 1.0) != curve_rows(dampers[1], 1.0):
        return None
    writes = f"change.{axle}.damper.curve"
    return Lever(
        f"{axle}.damping",
        axle,
        "damping",
        f"{axle} dampers, force times",
        Kind.RATIO,
        1.0,
        _SOFTEST,
        _FIRMEST,
        1,
        writes,
        part=dampers[0],
    )


def curve_rows(damper: Any, factor: float) -> list[list[float]]:
    """A damper's force over speed as a file writes it, every force times a factor.

    Args:
        damper: the damper, its force known
        factor: what the forces are multiplied by [-]

    Returns:
        Rows of rod speed, bump force and rebound force, in the units of a file without any
    """
    force = damper.force
    speed, newton = unit_of(Kind.SPEED).factor, unit_of(Kind.FORCE).factor
    rows = zip(
        force.speed / speed, factor * force.bump_force / newton, factor * force.rebound_force / newton, strict=True
    )
    return [[float(f"{number:.7g}") for number in row] for row in rows if row[0] > 0]


def rubber_lever(car: MovableCar, axle: AxleName) -> Lever | None:
    """Both bump rubbers higher or lower on their rods, their force over compression as it is.

    Sooner only as far as the car stands clear of them wherever else it is moved.

    Args:
        car: the planned car
        axle: front or rear
    """
    stops = [car.work.section(axle).side(SIDE_OF[side]).bump_stop for side in SIDES]
    key = None if stops[0] is None else rubber_key(stops[0])
    if key is None:
        return None
    told = {None if (one := getattr(stop, key, None)) is None else float(one.value) for stop in stops}
    today = told.pop()
    if told or today is None:
        return None
    lowest = car.today.states(axle)
    lowest = replace(lowest, left=lowest.left + HEIGHT_WAY, right=lowest.right + HEIGHT_WAY)
    gaps = rubber_gaps(car.today.car.axles[AXLES.index(axle)].axle, lowest)
    room = min(float(gaps[side][0]) for side in SIDES) - _CLEAR if len(gaps) == len(SIDES) else 0.0
    sooner = min(_WAY, room)
    if sooner <= 0:
        return None
    down, up = (sooner, _WAY) if key == "gap" else (_WAY, sooner)
    least, most = bounds_of(ranges.StopGap if key == "gap" else ranges.StopHeight)
    if key == "free_height":
        least = max(least, float(np.max(stops[0].solid_at)) + _CLEAR)
    label = "gap as found" if key == "gap" else "height with what lies under them"
    low, high = max(least, today - down), min(most, today + up)
    writes = f"change.{axle}.bump_stop.{key}"
    return Lever(
        f"{axle}.rubber", axle, "rubber", f"{axle} bump rubbers, {label}", Kind.LENGTH, today, low, high, 1, writes
    )

"""What ends a wheel's travel: rubber, damper, coil, shaft, arch and hose, from the document's parts."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal

import numpy as np

from jounce.car.axle import Axle
from jounce.car.model import AxleName, Group, Stop
from jounce.car.parts import BumpStop, Damper
from jounce.conventions.axes import Side
from jounce.elements.bump_stop import BumpStop as RubberLaw
from jounce.elements.law import Linear
from jounce.layouts.naming import SIDES, SideName, named
from jounce.linkage.balance import Element
from jounce.numerics.arrays import Array

BOTH_WAYS: tuple[Literal["bump"], Literal["droop"]] = ("bump", "droop")
_SIDE = {"left": Side.LEFT, "right": Side.RIGHT}
AnySide = Any
"""One side of an axle of any layout: all have a damper, a bump stop and clearances."""


def touch_length(stop: BumpStop, damper: Damper, as_found: Array) -> Array | None:
    """Damper length at which the rubber is first touched [m]; None when a length is missing.

    Args:
        stop: the rubber
        damper: the damper it sits on
        as_found: the damper's length as the car was measured [m]
    """
    if stop.gap is not None:
        return np.asarray(as_found - stop.gap.value)
    if damper.closed_length is None or stop.free_height is None:
        return None
    return np.asarray(damper.closed_length.value + stop.free_height.value)


def damper_elements(
    section: Axle, axle: AxleName, lengths: Mapping[SideName, Array]
) -> tuple[dict[str, Element], dict[str, Group]]:
    """Bump stops and gas forces of an axle.

    Args:
        section: the axle's part of the document
        axle: its name
        lengths: damper lengths as found [m]
    """
    elements: dict[str, Element] = {}
    groups: dict[str, Group] = {}
    for side in SIDES:
        one: AnySide = section.side(_SIDE[side])
        measure = named(axle, side, "damper")
        touch = None if one.bump_stop is None else touch_length(one.bump_stop, one.damper, lengths[side])
        if one.bump_stop is not None and touch is not None:
            rows = np.array(one.bump_stop.curve, dtype=np.float64)
            name = named(axle, side, "bump_stop")
            elements[name] = Element(measure, RubberLaw(rows[:, 0], rows[:, 1]), -1.0, touch)
            groups[name] = "bump stop"
        if np.any(one.damper.gas_force.value):
            name = named(axle, side, "gas_force")
            gas = Linear(rate=0.0, preload=one.damper.gas_force.value)
            elements[name] = Element(measure, gas, -1.0, lengths[side])
            groups[name] = "gas force"
    return elements, groups


def stops_of(section: Axle, lengths: Mapping[SideName, Array]) -> tuple[Stop, ...]:
    """All limits of travel that the document knows of.

    Args:
        section: the axle's part of the document
        lengths: damper lengths as found [m]
    """
    found: list[Stop] = []
    for side in SIDES:
        one: AnySide = section.side(_SIDE[side])
        found += _damper_stops(one, side, lengths[side])
        if one.clearance.tyre_to_arch is not None:
            limit = one.clearance.tyre_to_arch.value
            found.append(Stop("tyre meets arch", side, "bump", "travel", 1.0, limit, hard=False))
        if one.clearance.brake_hose_droop is not None:
            limit = -one.clearance.brake_hose_droop.value
            found.append(Stop("brake hose tight", side, "droop", "travel", -1.0, limit, hard=False))
        found += _shaft_stops(one, side)
    return tuple(found)


def _damper_stops(one: AnySide, side: SideName, as_found: Array) -> list[Stop]:
    stops = []
    damper = one.damper
    if damper.closed_length is not None:
        stops.append(Stop("damper closed", side, "bump", "damper_length", -1.0, damper.closed_length.value, hard=True))
    if damper.open_length is not None:
        stops.append(Stop("damper open", side, "droop", "damper_length", 1.0, damper.open_length.value, hard=True))
    touch = None if one.bump_stop is None else touch_length(one.bump_stop, damper, as_found)
    if one.bump_stop is not None and touch is not None:
        stops.append(Stop("bump rubber touches", side, "bump", "damper_length", -1.0, touch, hard=False))
        # Without a stated solid height the rubber counts as solid where its measured curve ends.
        solid = one.bump_stop.solid.value if one.bump_stop.solid else float(one.bump_stop.curve[-1][0])
        stops.append(Stop("bump rubber solid", side, "bump", "damper_length", -1.0, touch - solid, hard=True))
    return stops


def _shaft_stops(one: AnySide, side: SideName) -> list[Stop]:
    stops: list[Stop] = []
    if getattr(one.pivots, "drive_shaft_inner", None) is None:
        return stops
    shaft = one.drive_shaft
    if shaft.max_angle is not None:
        for end in ("outer", "inner"):
            for at in BOTH_WAYS:
                name, quantity = f"{end} shaft joint at its angle", f"drive_shaft_{end}_angle"
                stops.append(Stop(name, side, at, quantity, 1.0, shaft.max_angle.value, hard=False))
    for limit, sense, name in (
        (shaft.plunge_in, -1.0, "shaft plunged in"),
        (shaft.plunge_out, 1.0, "shaft pulled out"),
    ):
        if limit is not None:
            for at in BOTH_WAYS:
                value = sense * limit.value
                stops.append(Stop(name, side, at, "drive_shaft_plunge", sense, value, hard=False))
    return stops

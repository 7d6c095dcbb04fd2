"""What ends a wheel's travel: rubber, damper, coil, shaft, arch and hose, from the document's parts."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, Literal

import numpy as np

from jounce.car.axles.axle import Axle
from jounce.car.mechanics.model import AxleName, Group, Stop
from jounce.car.parts import BumpStopSection, Damper
from jounce.conventions.axes import Side
from jounce.elements.dampers.gas import gas_spring
from jounce.elements.law import ElementLaw, Linear, OneSided
from jounce.layouts.naming import SIDES, SideName, named
from jounce.linkage.balance import Element
from jounce.numerics.arrays import Array

RUBBER = "bump rubber touches"
"""Name of the stop that a bump rubber is."""
BOTH_WAYS: tuple[Literal["bump"], Literal["droop"]] = ("bump", "droop")
AnySide = Any
"""One side of an axle of any layout: all have a damper, a bump stop and clearances."""


def touch_length(stop: BumpStopSection, damper: Damper, as_found: Array) -> Array | None:
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


def droop_touch_length(damper: Damper, as_found: Array) -> Array | None:
    """Damper length at which the rubber that ends droop is first touched [m]; None where there is none.

    Args:
        damper: the damper with its droop stop
        as_found: the damper's length as the car was measured [m]
    """
    stop = damper.droop_stop
    if stop is None:
        return None
    if stop.gap is not None:
        return np.asarray(as_found + stop.gap.value)
    if damper.open_length is None or stop.free_height is None:
        return None
    return np.asarray(damper.open_length.value - stop.free_height.value)


def damper_elements(
    section: Axle, axle: AxleName, lengths: Mapping[SideName, Array]
) -> tuple[dict[str, Element], dict[str, Group]]:
    """Bump and droop stops, gas forces and hard ends of an axle's dampers.

    Args:
        section: the axle's part of the document
        axle: its name
        lengths: damper lengths as found [m]
    """
    elements: dict[str, Element] = {}
    groups: dict[str, Group] = {}
    for side in SIDES:
        one: AnySide = section.side(Side(side))
        measure = named(axle, side, "damper")
        for word, group, element in (
            *_rubbers(one, measure, lengths[side]),
            *_gas(one.damper, measure, lengths[side]),
            *_ends(one.damper, measure),
        ):
            elements[named(axle, side, word)] = element
            groups[named(axle, side, word)] = group
    return elements, groups


def _rubbers(one: AnySide, measure: str, as_found: Array) -> Iterator[tuple[str, Group, Element]]:
    touch = None if one.bump_stop is None else touch_length(one.bump_stop, one.damper, as_found)
    if one.bump_stop is not None and touch is not None:
        yield "bump_stop", "bump stop", Element(measure, one.bump_stop.law, -1.0, touch)
    touch = droop_touch_length(one.damper, as_found)
    if touch is not None:
        yield "droop_stop", "droop stop", Element(measure, one.damper.droop_stop.law, 1.0, touch)


def _gas(damper: Damper, measure: str, as_found: Array) -> Iterator[tuple[str, Group, Element]]:
    """The gas, its force counted from the length as found."""
    if damper.gas_volume is not None and damper.rod_diameter is not None:
        law: ElementLaw = gas_spring(
            damper.gas_force.value, damper.gas_volume.value, damper.rod_diameter.value, damper.gas_exponent.value
        )
        yield "gas_force", "gas force", Element(measure, law, -1.0, as_found)
    elif np.any(damper.gas_force.value):
        yield (
            "gas_force",
            "gas force",
            Element(measure, Linear(rate=0.0, preload=damper.gas_force.value), -1.0, as_found),
        )


def _ends(damper: Damper, measure: str) -> Iterator[tuple[str, Group, Element]]:
    """Metal on metal where the stroke ends, if its rate is told; named as the limits of travel are."""
    if damper.end_rate is None:
        return
    law = OneSided(damper.end_rate.value)
    if damper.closed_length is not None:
        yield "damper closed", "damper end", Element(measure, law, -1.0, damper.closed_length.value)
    if damper.open_length is not None:
        yield "damper open", "damper end", Element(measure, law, 1.0, damper.open_length.value)


def stops_of(section: Axle, lengths: Mapping[SideName, Array]) -> tuple[Stop, ...]:
    """All limits of travel that the document knows of.

    Args:
        section: the axle's part of the document
        lengths: damper lengths as found [m]
    """
    found: list[Stop] = []
    for side in SIDES:
        one: AnySide = section.side(Side(side))
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
        # Without a stated solid height the rubber counts as solid where its measured curve ends.
        solid = touch - one.bump_stop.solid_at
        stops.append(Stop(RUBBER, side, "bump", "damper_length", -1.0, touch, hard=False))
        stops.append(Stop("bump rubber solid", side, "bump", "damper_length", -1.0, solid, hard=True))
    touch = droop_touch_length(damper, as_found)
    if touch is not None:
        solid = touch + damper.droop_stop.solid_at
        stops.append(Stop("droop rubber touches", side, "droop", "damper_length", 1.0, touch, hard=False))
        stops.append(Stop("droop rubber solid", side, "droop", "damper_length", 1.0, solid, hard=True))
    return stops


def _shaft_stops(one: AnySide, side: SideName) -> list[Stop]:
    stops: list[Stop] = []
    if getattr(one.pivots, "drive_shaft_inner", None) is None:
        return stops
    shaft = one.drive_shaft
    for end, limit in (("outer", shaft.max_angle), ("inner", shaft.inner_max_angle)):
        if limit is not None:
            for at in BOTH_WAYS:
                name, quantity = f"{end} shaft joint at its angle", f"drive_shaft_{end}_angle"
                stops.append(Stop(name, side, at, quantity, 1.0, limit.value, hard=False))
    for limit, sense, name in (
        (shaft.plunge_in, -1.0, "shaft plunged in"),
        (shaft.plunge_out, 1.0, "shaft pulled out"),
    ):
        if limit is not None:
            for at in BOTH_WAYS:
                value = sense * limit.value
                stops.append(Stop(name, side, at, "drive_shaft_plunge", sense, value, hard=False))
    return stops

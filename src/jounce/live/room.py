"""What room a car under the hand has: travel to its stops, plates in their slots, clearance under it.

Each stop, side and corner is a number of its own, and the least of them is told: which one comes first may change on the
way, and a polynomial would round that corner off.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import isfinite

from jounce.behaviour.axle.reach import StopContact, Way, stops_met
from jounce.car.mechanics.layout_input import SIDE_OF
from jounce.car.mechanics.model import AXLES, AxleName
from jounce.car.mechanics.stops import RUBBER
from jounce.conventions.axes import End
from jounce.conventions.units import Kind
from jounce.layouts.naming import SIDES, SideName
from jounce.live.figure import LiveFigure
from jounce.live.moved import MovableCar
from jounce.wanted.stood import Stood

__all__ = [
    "clearance_figures",
    "plate_figures",
    "read_clearance",
    "read_plates",
    "read_travel",
    "travel_figures",
]

_TOLD = {
    "rubber": ("free bump travel, to the rubber", "TRV-01", "least_free_bump"),
    "bump": ("bump travel left", "TRV-02", "least_bump"),
    "droop": ("rebound travel left", "TRV-04", "least_rebound"),
}


def travel_figures(car: MovableCar, axle: AxleName) -> Iterator[LiveFigure]:
    """How far both wheels of an axle go: to the rubber, and both ways to each stop that ends it; the least is told.

    Args:
        car: the planned car
        axle: front or rear
    """
    met = read_travel(car.today, axle)
    for what, (label, code, limit) in _TOLD.items():
        for key in sorted(one for one in met if one.startswith(f"{axle}.{what}.")):
            yield LiveFigure(key, f"{axle} {label}", Kind.LENGTH, code, car.limits[limit].value)


def read_travel(stood: Stood, axle: AxleName) -> dict[str, float]:
    """Travel of both wheels from where a car stands to each stop, by key [m].

    Args:
        stood: the car at rest
        axle: front or rear
    """
    on_body, states = stood.car.axles[AXLES.index(axle)], stood.states(axle)
    standing = float(states.left), float(states.right)
    found = stops_met(on_body.axle, standing, on_body.settings)
    return {f"{axle}.{what}.{met.name}.{met.side}": met.travel for met in found for what in _words(met)}


def plate_figures(car: MovableCar, axle: AxleName) -> Iterator[LiveFigure]:
    """Where what sets an axle's camber stands in its slots.

    Args:
        car: the planned car
        axle: front or rear
    """
    held = car.held.get(axle)
    if held is None:
        return
    least, most = (end if isfinite(end) else None for end in held.reach)
    code = "" if least is None and most is None else "PLT-01"
    for key, side in zip(read_plates(car, car.today, axle), SIDES, strict=False):
        label = f"{axle} {side} {held.mover} inward of as found"
        yield LiveFigure(key, label, Kind.LENGTH, code, least, most)


def read_plates(car: MovableCar, stood: Stood, axle: AxleName) -> dict[str, float]:
    """How far what sets an axle's camber stands inward of as found, by key [m].

    Args:
        car: the planned car
        stood: it at rest, with its levers anywhere
        axle: front or rear
    """
    held = car.held.get(axle)
    ways = {} if held is None else held.inward(stood.car)
    return {f"{axle}.{side}.inward": way for side, way in ways.items()}


def clearance_figures(car: MovableCar) -> Iterator[LiveFigure]:
    """Clearance under the lowest point, counted with each corner; the least is told.

    Args:
        car: the planned car
    """
    least = car.work.document.limits.minimum_ground_clearance
    for key in read_clearance(car, car.today):
        limit = None if least is None else least.value
        code = "" if least is None else "GND-01"
        yield LiveFigure(key, "clearance under the lowest point", Kind.LENGTH, code, limit)


def read_clearance(car: MovableCar, stood: Stood) -> dict[str, float]:
    """Clearance under the lowest point with each corner's lowering, by key [m]; empty where it was not measured.

    Args:
        car: the planned car
        stood: it at rest, with its levers anywhere
    """
    found = car.work.document.limits.ground_clearance
    if found is None:
        return {}
    return {
        f"{axle}.{side}.clearance": found.value + _raised(car, axle, side) - stood.sits.travel[axle, side]
        for axle in AXLES
        for side in SIDES
    }


def _raised(car: MovableCar, axle: AxleName, side: SideName) -> float:
    """By how much other tyres lift a corner, the wheel's travel aside [m]."""
    planned, found = (
        float(document.axle(End(axle)).side(SIDE_OF[side]).wheel.loaded_radius)
        for document in (car.work.document, car.measured)
    )
    return planned - found


def _words(met: StopContact) -> Iterator[str]:
    """What a stop is told as; the linkage's own end lies on a step of the search and is left out."""
    way: Way = met.at
    if met.side is None:
        return
    if met.name == RUBBER and way == "bump":
        yield "rubber"
    if met.hard:
        yield way

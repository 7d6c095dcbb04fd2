"""What ends a wheel's travel as parts whose number is sought: a damper's two lengths, the gap of a bump rubber."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from typing import Any, Literal

import numpy as np

from jounce.behaviour.axle.preload import main_spring_name
from jounce.behaviour.axle.reach import StopContact, Way, first_hard, stops_met
from jounce.behaviour.axle.static import with_main_springs
from jounce.behaviour.axle.travel import column_map, states_table
from jounce.behaviour.road.road_car import RoadCar
from jounce.car.file import ranges
from jounce.car.file.document import CarDocument
from jounce.car.file.quantity import Measured
from jounce.car.mechanics.assembly import axle_model
from jounce.car.mechanics.layout_input import SIDE_OF
from jounce.car.mechanics.model import AXLES, AxleName
from jounce.car.mechanics.stops import RUBBER, touch_length
from jounce.conventions.errors import Impossible
from jounce.conventions.units import MM, Kind
from jounce.layouts.naming import SIDES, SideName, named
from jounce.numerics.arrays import Array
from jounce.shelf.kinds.dampers import BumpStopPart, DamperPart
from jounce.shelf.shelf import Shelf
from jounce.wanted.bounds import bounds_of
from jounce.wanted.on_shelf import parts_for
from jounce.wanted.seek import Figure, PartNumber, ShelfTry
from jounce.wanted.stood import Stood
from jounce.wanted.work_car import WorkCar, with_axle

__all__ = ["damper_length", "damper_travel", "end_of_bump", "full_travel", "remade", "rubber_gap", "rubber_share"]

_OF_THE_RUBBER = "bump rubber solid"
_ENDS: Mapping[Way, tuple[Literal["closed_length", "open_length"], str]] = {
    "bump": ("closed_length", "damper closed"),
    "droop": ("open_length", "damper open"),
}


def damper_length(work: WorkCar, axle: AxleName, way: Way, today: Stood, travel: float) -> PartNumber:
    """Both dampers with another length where their stroke ends.

    Args:
        work: the car
        axle: front or rear
        way: bump for the closed length, droop for the open one
        today: the car at rest
        travel: how far the wheels are to go from there: where the search begins [m]

    Raises:
        Impossible: the linkage does not reach so far
    """
    key, _ = _ENDS[way]
    lengths = _lengths(today, axle, np.array([0.0, travel if way == "bump" else -travel]))
    if not np.isfinite(lengths).all():
        raise Impossible(f"The {axle} linkage does not reach so far in {way}: ask for less.")
    least, most = bounds_of(ranges.DamperLength)
    told = getattr(_side(work, axle, "left").damper, key)
    word = "closed" if way == "bump" else "open"

    def changed(value: float) -> CarDocument:
        def other(one: Any) -> Any:
            return one.model_copy(update={"damper": one.damper.model_copy(update={key: Measured(value)})})

        return work.changed(axle, other)

    def also(value: float, _: Stood) -> list[Figure]:
        here = float(lengths[:, 0].mean())
        return [
            Figure("length as the car stands", Kind.LENGTH, here),
            Figure("stroke from there", Kind.LENGTH, abs(here - value)),
        ]

    return PartNumber(
        name=f"length of the dampers fully {word}",
        kind=Kind.LENGTH,
        today=None if told is None else told.value,
        start=float(lengths[:, 1].min() if way == "bump" else lengths[:, 1].max()),
        low=least,
        high=most,
        step=MM,
        grows=f"{{}} more length fully {word}",
        fitted=lambda value: remade(work, axle, changed(value)),
        also=also,
        on_shelf=lambda shelf, _: (
            ShelfTry(part.code, told.value, lambda value=told.value: remade(work, axle, changed(value)))  # type: ignore[misc]
            for part in parts_for(shelf, DamperPart, axle)
            if (told := getattr(part, key)) is not None
        ),
    )


def remade(work: WorkCar, axle: AxleName, document: CarDocument) -> RoadCar:
    """The car with an axle of another document on the springs that it has.

    Args:
        work: the car
        axle: front or rear
        document: the car with other parts on that axle
    """
    springs = {side: work.model(axle).elements[main_spring_name(axle, side)] for side in SIDES}
    return with_axle(work.car, with_main_springs(axle_model(document, axle), springs))


def damper_travel(axle: AxleName, way: Way) -> Callable[[Stood], float]:
    """How far both wheels go from where the car stands until the first damper is at the end of its stroke [m].

    Args:
        axle: front or rear
        way: bump or droop
    """
    name = _ENDS[way][1]

    def read(stood: Stood) -> float:
        met = next((one for one in _met(stood, axle, way) if one.name == name), None)
        if met is None:
            raise Impossible(f"No damper of the {axle} axle comes to its end within what the linkage reaches.")
        return met.travel

    return read


def full_travel(stood: Stood, axle: AxleName, way: Way) -> tuple[float, str]:
    """How far both wheels go from where the car stands until metal ends it, the rubber put aside [m], and what that is.

    Args:
        stood: the car at rest
        axle: front or rear
        way: bump or droop

    Raises:
        Impossible: nothing that is told ends it
    """
    met = next((one for one in _met(stood, axle, way) if one.hard and one.name != _OF_THE_RUBBER), None)
    if met is None:
        key = _ENDS[way][0].replace("_", " ")
        raise Impossible(f"Nothing that is told ends the {axle} axle's {way}: the dampers' {key} is not known.")
    return met.travel, met.name


def end_of_bump(stood: Stood, axle: AxleName) -> float:
    """How far both wheels go up from where the car stands until anything hard ends it, a solid rubber counted [m].

    Args:
        stood: the car at rest
        axle: front or rear

    Raises:
        Impossible: nothing that is told ends it
    """
    model = stood.car.axles[AXLES.index(axle)].axle
    met = first_hard(_met(stood, axle, "bump"), "bump")
    if met is None or not any(stop.hard and stop.at == "bump" for stop in model.stops):
        raise Impossible(f"Nothing that is told ends the {axle} axle's bump travel.")
    return met.travel


def rubber_gap(work: WorkCar, axle: AxleName, today: Stood) -> PartNumber:
    """Both bump rubbers with another gap.

    Args:
        work: the car
        axle: front or rear
        today: the car at rest

    Raises:
        Impossible: no rubber is told of
    """
    touch = {side: _touch(work, axle, side) for side in SIDES}
    as_found = {side: _as_found(work, axle, side) for side in SIDES}
    here = _lengths(today, axle, np.zeros(1))[:, 0]
    lower = float(np.mean([as_found[side] - here[k] for k, side in enumerate(SIDES)]))
    now = float(np.mean([as_found[side] - touch[side] for side in SIDES])) - lower
    closed = [_side(work, axle, side).damper.closed_length for side in SIDES]
    least, most = bounds_of(ranges.StopGap)

    def fitted(value: float) -> RoadCar:
        def other(one: Any) -> Any:
            gap = {"gap": Measured(value + lower), "free_height": None}
            return one.model_copy(update={"bump_stop": one.bump_stop.model_copy(update=gap)})

        return remade(work, axle, work.changed(axle, other))

    def highest() -> float | None:
        """Gap of a rubber of no height as the car stands [m]."""
        lengths = [one.value for one in closed if one is not None]
        return (
            None
            if len(lengths) < len(SIDES)
            else float(np.mean(list(as_found.values()))) - lower - float(np.mean(lengths))
        )

    def rubbers_on_shelf(shelf: Shelf) -> Iterator[ShelfTry]:
        room = highest()
        for part in parts_for(shelf, BumpStopPart, axle):
            if part.free_height is not None and room is not None and room >= part.free_height.value:
                gap, height = room - part.free_height.value, part.free_height.value
                more = [Figure("height of the rubbers for it", Kind.LENGTH, height)]
                yield ShelfTry(part.code, gap, lambda gap=gap: fitted(gap), more)  # type: ignore[misc]

    def also(value: float, _: Stood) -> list[Figure]:
        told = [Figure("gap as a car file counts it, from as found", Kind.LENGTH, value + lower)]
        room = highest()
        return told if room is None else [*told, Figure("height of the rubbers for it", Kind.LENGTH, room - value)]

    return PartNumber(
        name="gap at the rod as the car stands",
        kind=Kind.LENGTH,
        today=now,
        start=now,
        low=least - lower,
        high=most - lower,
        step=MM,
        grows="{} more gap",
        fitted=fitted,
        also=also,
        on_shelf=lambda shelf, _: rubbers_on_shelf(shelf),
    )


def rubber_share(axle: AxleName) -> Callable[[Stood], float]:
    """Share of the bump travel, from where the car stands until metal ends it, before the first rubber is touched [-].

    Args:
        axle: front or rear
    """

    def read(stood: Stood) -> float:
        whole, _ = full_travel(stood, axle, "bump")
        touched = next((one.travel for one in _met(stood, axle, "bump") if one.name == RUBBER), None)
        if touched is None or not whole > 0:
            raise Impossible(f"The {axle} bump rubbers are not touched within what the linkage reaches.")
        return touched / whole

    return read


def _met(stood: Stood, axle: AxleName, way: Way) -> tuple[StopContact, ...]:
    model, states = stood.car.axles[AXLES.index(axle)].axle, stood.states(axle)
    standing = (float(np.asarray(states.left)), float(np.asarray(states.right)))
    settings = {name: float(np.asarray(value)) for name, value in (states.settings or {}).items()}
    return stops_met(model, standing, settings, ways=(way,))


def _lengths(stood: Stood, axle: AxleName, travel: Array) -> Array:
    """Damper lengths at travels of both wheels from where the car stands, (left and right, travels) [m]."""
    model, states = stood.car.axles[AXLES.index(axle)].axle, stood.states(axle)
    moved = replace(states, left=states.left + travel, right=states.right + travel)
    table = column_map(states_table(model.stand, model.linkage, moved, (1.0, 1.0), groups=("springs and dampers",)))
    return np.stack([table[f"{side}_damper_length"] for side in SIDES])


def _as_found(work: WorkCar, axle: AxleName, side: SideName) -> float:
    return float(work.model(axle).stand.reference_values([named(axle, side, "damper")])[0, 0])


def _touch(work: WorkCar, axle: AxleName, side: SideName) -> float:
    one = _side(work, axle, side)
    length = np.array([_as_found(work, axle, side)])
    touch = None if one.bump_stop is None else touch_length(one.bump_stop, one.damper, length)
    if touch is None:
        raise Impossible(f"It is not told where the {axle} bump rubbers touch.")
    return float(np.ravel(touch)[0])


def _side(work: WorkCar, axle: AxleName, side: SideName) -> Any:
    return work.section(axle).side(SIDE_OF[side])

"""Axles of the demo cars by their layout, with what is known of the car around them."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from importlib.resources import as_file, files

import numpy as np

from jounce.behaviour.axle.context import CarContext, car_context
from jounce.behaviour.axle.motions import steering_drive
from jounce.behaviour.axle.travel import TravelTable, column_map, travel_table
from jounce.car.file.document import CarDocument
from jounce.car.file.reading import read_car
from jounce.car.mechanics.assembly import axle_model
from jounce.car.mechanics.model import AXLES, AxleModel

DEMO = files("jounce.demo")
CARS = tuple(
    sorted(f.name for f in DEMO.iterdir() if f.name.endswith(".toml") and "\n[car]" in f"\n{f.read_text('utf-8')}")
)


@cache
def document(car: str) -> CarDocument:
    """A demo car, read."""
    with as_file(DEMO.joinpath(car)) as path:
        return read_car(path)


@cache
def axle_of(car: str, axle: str) -> tuple[AxleModel, CarContext]:
    """An axle and what its results need of the car."""
    return axle_model(document(car), axle), car_context(document(car), axle)


def axles() -> Iterator[tuple[str, str]]:
    """Car and axle of one axle of each layout, and of each way to steer it."""
    seen = set()
    for car in CARS:
        for axle in AXLES:
            model, _ = axle_of(car, axle)
            kind = (model.layout, steering_drive(model.stand, axle))
            if kind not in seen:
                seen.add(kind)
                yield car, axle


@cache
def with_layout(layout: str) -> tuple[AxleModel, CarContext]:
    """The first axle of a layout."""
    return next(axle_of(car, axle) for car, axle in axles() if axle_of(car, axle)[0].layout == layout)


def table(car: str, axle: str, motion: str, drive, held=None) -> TravelTable:
    """A motion's table."""
    model, context = axle_of(car, axle)
    return travel_table(model.stand, model.linkage, motion, np.asarray(drive, dtype=float), held, context)


def columns(car: str, axle: str, motion: str, drive, held=None):
    """A motion's columns by name."""
    return column_map(table(car, axle, motion, drive, held))

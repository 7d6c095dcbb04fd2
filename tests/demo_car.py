"""The demo car as a model."""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from pathlib import Path

from jounce.behaviour.axle.static import loaded
from jounce.car.file.document import CarDocument
from jounce.car.file.reading import read_car
from jounce.car.mechanics.assembly import axle_model
from jounce.car.mechanics.model import AxleModel
from tests.reference.whole_car import CarOnTyres, car_on_tyres


@cache
def demo_document() -> CarDocument:
    """The demo car file, read."""
    return read_car(Path(str(files("jounce.demo").joinpath("brisk-14.toml"))))


@cache
def demo_axle(name: str) -> AxleModel:
    """An axle with its springs loaded as found."""
    return loaded(axle_model(demo_document(), name))[0]


@cache
def demo_car() -> CarOnTyres:
    """The whole car."""
    height = demo_document().mass.centre_of_gravity_height.value
    return car_on_tyres(demo_axle("front"), demo_axle("rear"), height)

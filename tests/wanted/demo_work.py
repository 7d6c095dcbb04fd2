"""The demo cars as parts are sought on them, as found and with numbers of their files changed and read anew."""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from pathlib import Path

import pytest

from jounce.behaviour.road.of_document import car_as_found
from jounce.car.file.reading import parse_car
from jounce.car.file.rewriting import rewritten
from jounce.wanted.seek import PartWish, sought
from jounce.wanted.stood import Stood, stand
from jounce.wanted.work_car import WorkCar

DEMO = Path(str(files("jounce.demo")))
CARS = sorted(path.stem for path in DEMO.glob("*-[0-9][0-9].toml"))
AXLES = ("front", "rear")
QUICK = ("brisk-14", "bracken-16", "tansy-11")
EVERY_AXLE = [
    pytest.param(car, axle, id=f"{car}-{axle}", marks=[] if car in QUICK else [pytest.mark.validation_slow])
    for car in CARS
    for axle in AXLES
]
"""Both axles of every demo car; a few of them at every save."""


def text_of(name: str) -> str:
    """A demo car's file."""
    return (DEMO / f"{name}.toml").read_text("utf-8")


@cache
def work_of(name: str) -> WorkCar:
    """A demo car as found."""
    document = parse_car(text_of(name), name)
    return WorkCar(document, car_as_found(document))


@cache
def today(name: str) -> Stood:
    """It at rest."""
    return stand(work_of(name).car)


def read_anew(name: str, **values: object) -> Stood:
    """The car of a file in which keys are others, read and put to rest from the beginning; "__" stands for "."."""
    text = rewritten(text_of(name), {key.replace("__", "."): value for key, value in values.items()})
    return stand(car_as_found(parse_car(text, name)))


def found(part, read, wanted):
    """The number of a part that gives what is wanted."""
    result = sought(PartWish("wish", "ratio", wanted, read, ("", "")), part)
    assert result.value is not None, result
    return result

"""Car documents travel between processes: what arrives is what was sent."""

from __future__ import annotations

import pickle
from importlib.resources import files
from pathlib import Path

import pytest

from jounce.car.file.reading import read_car

CARS = sorted(path for path in Path(str(files("jounce.demo"))).glob("*-[0-9][0-9].toml"))


@pytest.mark.parametrize("car", CARS, ids=lambda path: path.stem)
def test_a_car_document_is_the_same_where_it_arrives(car):
    document = read_car(car)
    arrived = pickle.loads(pickle.dumps(document))  # noqa: S301  # our own

    assert arrived == document
    assert type(arrived.front) is type(document.front)
    assert arrived.model_dump() == document.model_dump()

"""A car file that states no ± is a whole car file: bands of zero, and every answer."""

from __future__ import annotations

import re
from importlib.resources import files

import numpy as np
import pytest

from jounce.behaviour.bands import as_found_standing, bands, figures
from jounce.car.file import parse_car
from jounce.car.inputs import measured_inputs
from jounce.car.model import AXLES

DEMO = files("jounce.demo")
CARS = sorted(
    path.name
    for path in DEMO.iterdir()
    if path.name.endswith(".toml") and "[car]\n" in path.read_text(encoding="utf-8")
)


def without(text: str, *, points_only: bool) -> str:
    """A car file without the ± of its points, or without any."""
    text = re.sub(r"(?m)^pivots_plus_minus.*\n", "", text)
    if not points_only:
        text = re.sub(r',\s*plus_minus\s*=\s*("[^"]*"|[\d.]+)', "", text)
        text = re.sub(r'\s*±\s*[^"]*"', '"', text)
    return text


@pytest.mark.parametrize("points_only", [True, False])
@pytest.mark.parametrize("car", CARS)
def test_a_car_without_bands_has_every_result(car: str, points_only: bool) -> None:  # noqa: FBT001  # a parameter
    text = DEMO.joinpath(car).read_text(encoding="utf-8")
    document = parse_car(without(text, points_only=points_only), car)
    found = bands(document, as_found_standing())
    nominal = {key: value for axle in AXLES for key, value in figures(document, axle, as_found_standing()).items()}

    assert measured_inputs(document) == [] or points_only
    assert found.keys() == nominal.keys()
    assert all(np.isfinite(band.plus_minus) for band in found.values())
    assert points_only or all(band.plus_minus == 0 for band in found.values())

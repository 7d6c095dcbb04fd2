"""A wrong sign or a misplaced decimal point in one coordinate never moves what matters without a word.

Every coordinate of every point of a demo car is written with the other sign, ten times as large and a tenth as large.
What then moves a wheel load, a wheel rate, a natural frequency or the roll stiffness by over a fifth is refused, or
something is remarked.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Sequence
from importlib.resources import files
from typing import Any, NamedTuple

import numpy as np
import pytest
from pydantic import ValidationError

from jounce.behaviour.axle.motions import AxleStates
from jounce.behaviour.axle.static import loaded, standing_figures
from jounce.behaviour.plausible import all_remarks, result_remarks
from jounce.car.file.document import CarDocument
from jounce.car.file.inputs import InputRef, all_inputs, with_value
from jounce.car.file.variants import varied
from jounce.car.mechanics.assembly import axle_model
from jounce.car.mechanics.model import AxleName
from jounce.conventions.errors import JounceError
from jounce.numerics.arrays import Array
from tests.behaviour.demo_layouts import CARS

SLIPS = {"the other sign": -1.0, "ten times": 10.0, "a tenth": 0.1}
MOVED = 0.2
WATCHED = ("load", "wheel_rate", "suspension_frequency", "ride_frequency")

each_car = pytest.mark.parametrize(
    "car", [pytest.param(car, marks=[] if car == "brisk-14.toml" else [pytest.mark.validation_slow]) for car in CARS]
)


class Slip(NamedTuple):
    """A coordinate, and how it was written wrongly."""

    ref: InputRef
    how: str

    @property
    def value(self) -> float:
        return SLIPS[self.how] * self.ref.value


def written(car: str) -> dict[str, Any]:
    return tomllib.loads(files("jounce.demo").joinpath(car).read_text("utf-8"))


def slips(document: CarDocument, axle: AxleName) -> Iterator[Slip]:
    """Every slip in an axle."""
    for ref in all_inputs(document):
        if ref.path.startswith(f"{axle}.") and ref.coordinate is not None and ref.value != 0:
            yield from (Slip(ref, how) for how in SLIPS)


def figures(document: CarDocument, axle: AxleName) -> Array:
    """What must not move unseen, (variants, figures)."""
    found = standing_figures(loaded(axle_model(document, axle))[0], AxleStates())
    wheels = [wheel[name] for wheel in found.wheels.values() for name in WATCHED]
    return np.stack(np.broadcast_arrays(*wheels, found.roll_stiffness), -1)


def moved(document: CarDocument, axle: AxleName, wrong: Sequence[Slip], as_found: Array) -> Iterator[Slip]:
    """Those that move a figure by over a fifth, many solved at once; what is refused is none of them."""
    if not wrong:
        return
    refs = [slip.ref for slip in wrong]
    changes = np.array([slip.value - slip.ref.value for slip in wrong])
    try:
        found = figures(varied(document, refs, changes), axle)
    except (JounceError, np.linalg.LinAlgError):
        half = len(wrong) // 2
        if half:
            yield from moved(document, axle, wrong[:half], as_found)
            yield from moved(document, axle, wrong[half:], as_found)
        return
    far = ~(abs(found / as_found - 1) <= MOVED).all(axis=-1)
    yield from (slip for slip, is_far in zip(wrong, np.broadcast_to(far, len(wrong)), strict=True) if is_far)


def silent(car: str, slip: Slip) -> bool:
    """Whether the car file with this slip in it is read and worked out without a word."""
    wrong = written(car)
    point: Any = wrong
    *path, axis = slip.ref.path.split(".")
    for key in path:
        point = point[int(key) - 1 if key.isdigit() else key]
    point = point["at"] if isinstance(point, dict) else point
    point["xyz".index(axis)] *= SLIPS[slip.how]
    try:
        document = CarDocument.model_validate(wrong)
        return not document.remarks() and not result_remarks(document)
    except (ValidationError, JounceError):
        return False


@each_car
@pytest.mark.parametrize("axle", ["front", "rear"])
def test_no_slip_moves_what_matters_without_a_word(car: str, axle: AxleName) -> None:
    document = CarDocument.model_validate(written(car))
    unremarked = [slip for slip in slips(document, axle) if not with_value(document, slip.ref, slip.value).remarks()]

    found = [slip for slip in moved(document, axle, unremarked, figures(document, axle)) if silent(car, slip)]

    assert [f"{slip.ref.path}, {slip.how}" for slip in found] == []


@each_car
def test_a_sound_car_is_not_remarked_upon(car: str) -> None:
    assert all_remarks(CarDocument.model_validate(written(car))) == ()


def test_the_mechanics_see_a_slip_that_moves_what_matters() -> None:
    document = CarDocument.model_validate(written("brisk-14.toml"))
    refs = {ref.path.removeprefix("rear.panhard."): ref for ref in all_inputs(document)}
    wrong = [Slip(refs[path], "the other sign") for path in ("axle_end.z", "body_end.x")]

    assert list(moved(document, "rear", wrong, figures(document, "rear"))) == wrong[:1]

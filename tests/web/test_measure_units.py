"""Readings in the unit that the scale or the gauge shows: chosen beside the field, by hand the same number."""

from __future__ import annotations

import re

import pytest

from jounce.car.file.reading import parse_car
from jounce.conventions.units import Kind
from jounce.web.pages.measure import _in_unit
from tests.workbench import Workbench, asked


@pytest.mark.parametrize(
    ("text", "unit", "kind", "read"),
    [
        ("2942,0", "N", Kind.MASS, "300.001 kg"),  # 2942 / 9.80665
        ("10", "kg", Kind.FORCE, "98.0665 N"),
        ("−1.5", "mm", Kind.ANGLE, "-1.5 mm"),
        ("300 kg", "N", Kind.MASS, "300 kg"),  # it names its own
        ("1 mm over 365 mm", "deg", Kind.ANGLE, "1 mm over 365 mm"),
        ("", "N", Kind.MASS, ""),
    ],
)
def test_a_reading_takes_the_unit_beside_it_unless_it_names_its_own(
    text: str, unit: str, kind: Kind, read: str
) -> None:
    assert _in_unit(text, unit, kind) == read


def test_scales_in_newtons_and_toe_in_millimetres_are_kept_as_what_they_are(workbench: Workbench) -> None:
    page = asked(workbench.port, f"/cars/{workbench.car}/measure/scales").text
    assert re.search(r'name="mass\.front_left~unit".*?<option selected>kg</option><option>N</option>', page)
    number = str(workbench.book.entry(workbench.car).number)
    form = {"number": number, "mass.front_left": "2942", "mass.front_left~unit": "N", "mass.front_left~band": "1"}
    answer = asked(workbench.port, f"/cars/{workbench.car}/measure/scales", form)
    assert answer.status == 303
    car = parse_car(workbench.book.entry(workbench.car).content, "car")
    assert car.mass.front_left.value == pytest.approx(2942 / 9.80665, rel=1e-5)

    number = str(workbench.book.entry(workbench.car).number)
    same = {
        "number": number,
        "mass.front_left": "300.001",
        "mass.front_left~unit": "stone",
        "mass.front_left~band": "1",
    }
    assert asked(workbench.port, f"/cars/{workbench.car}/measure/scales", same).status == 303
    assert parse_car(workbench.book.entry(workbench.car).content, "car").mass.front_left == car.mass.front_left


def test_a_number_that_is_wrong_comes_back_with_its_unit(workbench: Workbench) -> None:
    number = str(workbench.book.entry(workbench.car).number)
    form = {"number": number, "mass.front_left": "-5", "mass.front_left~unit": "N", "mass.front_left~band": "1"}
    answer = asked(workbench.port, f"/cars/{workbench.car}/measure/scales", form)
    assert answer.status == 422
    assert re.search(r'name="mass\.front_left~unit".*?<option>kg</option><option selected>N</option>', answer.text)
    assert 'value="−5"' in answer.text

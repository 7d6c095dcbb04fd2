"""Camber, toe and caster that a sentence asks for are wanted of the car; one that it is told to have is not."""

from math import asin, degrees

import pytest

from jounce.asked.amounts import told_in
from jounce.asked.answer import answered
from jounce.asked.passing import passing_case, understood_as
from jounce.car.file.reading import read_car
from jounce.case.case import Case, case_of_file
from tests.asked.demo import DEMO


@pytest.fixture(scope="module")
def car():
    return Case(read_car(DEMO / "brisk-14.toml"))


@pytest.mark.parametrize(
    ("text", "angles"),
    [
        ("2 degrees negative camber at the front, what happens", [("front", "camber", -2)]),
        ("minus zwei Grad Sturz vorne, geht das?", [("front", "camber", -2)]),
        ("camber -2.5", [("front", "camber", -2.5)]),
        ("50 lower front and -2.2 camber", [("front", "camber", -2.2)]),
        ("positive camber 0.5 degrees", [("front", "camber", 0.5)]),
        ("-2° camber front and -1.5° camber rear", [("front", "camber", -2), ("rear", "camber", -1.5)]),
        ("front 2 deg and rear 1.5 deg camber", [("front", "camber", -2), ("rear", "camber", -1.5)]),
        ("0.2 degrees toe out at the front total", [("front", "toe", -0.1)]),
        ("anderthalb Grad Sturz und 12 Minuten Vorspur", [("front", "camber", -1.5), ("front", "toe", 0.2)]),
        ("Nachlauf auf 6 Grad", [("front", "caster", 6)]),
        ("I have 1 degree camber and want 2.5", [("front", "camber", -2.5)]),
        ("can i run 3 degrees of neg camber with 40 lower", [("front", "camber", -3)]),
        ("1.5 camber 3 caster", [("front", "camber", -1.5), ("front", "caster", 3)]),
        ("camber 1.5 caster 3 toe 0.1", [("front", "camber", -1.5), ("front", "caster", 3), ("front", "toe", 0.1)]),
        ("Sturz 2 Nachlauf 4 Spur 0", [("front", "camber", -2), ("front", "caster", 4), ("front", "toe", 0)]),
        ("camber two and a half neg", [("front", "camber", -2.5)]),
        ("is minus two and a half degrees too much for the road", [("front", "camber", -2.5)]),
        ("it has 2 degrees negative camber, is that too much", []),
        ("wir fahren 2 Grad Sturz", []),
        ("I measured 1.2 degrees camber left, why", []),
        ("how much camber do I get 40 lower", []),
        ("it leans 3 degrees of roll, how much camber", []),
    ],
)
def test_which_angle_of_which_axle(text, angles):
    found = [(one.axle, one.name, round(degrees(one.value), 2)) for one in told_in(text).angles]
    assert found == angles


@pytest.mark.parametrize(
    ("text", "axle", "of_both"),
    [
        ("set the front to 2 mm toe in", "front", 2),
        ("toe out 1 mm each side", "front", -2),
        ("Vorspur hinten 3 mm gesamt", "rear", 3),
        ("1,5 mm Nachspur pro Rad", "front", -3),
        ("toe out 2", "front", -2),
    ],
)
def test_toe_in_millimetres_is_that_across_the_rims_of_both_wheels(car, text, axle, of_both):
    told = told_in(text)
    (found,) = told.angles
    assert (found.axle, found.name, found.across_rim) == (axle, "toe", True)
    assert not told.lower
    rim = 13 * 0.0254  # its tyres are 165/70 R13
    wanted = getattr(passing_case(car, "alignment", told).change_list.wanted, axle).toe.value
    assert (
        wanted
        == pytest.approx(  # total toe is that of both wheels, each has half; the nominal rim is rounded to 330 mm
            asin(of_both / 2000 / rim), rel=1e-3
        )
    )
    assert f"{abs(of_both):.1f} mm across the rims" in "; ".join(understood_as(car, "alignment", told, "metric"))


def test_toe_in_millimetres_asks_for_the_rim_where_none_is_known(car):
    front = {"left": car.car.front.left, "right": car.car.front.right}
    bare = {k: one.model_copy(update={"wheel": one.wheel.model_copy(update={"tyre": ""})}) for k, one in front.items()}
    case = Case(car.car.model_copy(update={"front": car.car.front.exchanged(bare, (), {})}))
    told = answered("set the front to 2 mm toe in", case, kind="alignment")
    assert not told.known
    assert "Add front.wheel.rim_diameter or the tyre's size to the car" in told.verdict


def test_a_degree_more_is_of_what_each_wheel_has(car):
    wanted = passing_case(car, "camber", told_in("what does one more degree of camber do")).change_list.wanted.front
    now = {row.key: row.found for row in passing_case(car, "camber", told_in("camber")).rows}
    for side in ("left", "right"):
        more = getattr(wanted, f"{side}_camber").value - now[f"front.{side}.camber"]
        assert degrees(more) == pytest.approx(-1.0, abs=1e-9)


def test_camber_asked_for_is_set_and_its_toe_told(car):
    told = answered("2 degrees negative camber at the front, what happens", car)
    values = {one.label: one.value for one in told.numbers}
    assert told.kind == "camber"
    assert "front camber wanted at each wheel: -2.00 deg" in told.understood
    assert degrees(values["front left camber, to the road"]) == pytest.approx(-2.0, abs=0.005)
    assert any("toe of each front wheel" in line and "set it again" in line for line in told.sentences)
    assert [line for line in told.steps if "top plate" in line]
    assert not [line for line in told.steps if "torsion bar" in line]  # only what was asked is set


def test_what_a_job_wanted_of_the_angle_gives_way():
    job = case_of_file(DEMO / "brisk-14-lower.toml")
    wanted = passing_case(job, "camber", told_in("2 degrees negative camber")).change_list.wanted.front
    assert degrees(wanted.camber.value) == pytest.approx(-2.0)
    assert wanted.left_camber is wanted.right_camber is None
    assert wanted.lower == job.change_list.wanted.front.lower


def test_an_angle_that_nothing_sets_is_told_so(car):
    told = answered("caster 4 degrees at the rear", car, kind="alignment")
    assert not told.known
    assert "Nothing on this car's rear axle sets its caster" in told.verdict

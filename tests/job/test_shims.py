"""Shims under hubs: their angle by plane geometry, the planned car a second way, words for sheet and screen."""

from __future__ import annotations

import math
from functools import cache
from importlib.resources import files
from pathlib import Path

import numpy as np
import pytest

from jounce.behaviour.axle.motions import AxleStates
from jounce.behaviour.axle.travel import column_map, states_table
from jounce.behaviour.road.of_document import car_of
from jounce.behaviour.road.static_car import settle
from jounce.car.file.reading import read_car
from jounce.case.case import Case
from jounce.checks import Verdict
from jounce.conventions.axes import CORNERS, Side
from jounce.conventions.errors import InputProblems
from jounce.conventions.units import DEG, MM
from jounce.job.document import JobDocument
from jounce.job.plan import value_of
from jounce.job.setting_bands import settings_needed
from jounce.job.shim_range import ShimRange, edge
from jounce.job.wording import settings_of
from jounce.layouts.catalogue import LAYOUTS
from tests.reference.whole_car import car_on_tyres
from tests.reference.whole_car import settle as settled_by_multipliers

DEMO = Path(str(files("jounce.demo")))
SIDES = ("left", "right")
SHIMMED = {
    "trailing-arm": "tansy-11",
    "semi-trailing-arm": "mallow-18",
    "twist-beam": "sedge-13",
    "beam-panhard": "brisk-14",
    "beam-watt": "teasel-15",
    "beam-four-link": "burnet-17",
    "beam-leaf": "bracken-16",
}
WANTED = {"left_camber": -1.4, "right_camber": -0.9, "left_toe": 0.15, "right_toe": 0.05}
FLANGE = {"flange": 95}


@cache
def shimmed(car: str, *, flange: bool = True, more: tuple[tuple[str, float], ...] = ()) -> Case:
    wanted = {"rear": {"lower": 10, **WANTED}}
    change = {"rear": {"shims": {**FLANGE, **dict(more)}}} if flange else {}
    written = {"job": {"name": "x", "car": "x"}, "wanted": wanted, "change": change}
    return Case(read_car(DEMO / f"{car}.toml"), JobDocument.model_validate(written))


def test_every_axle_whose_wheels_nothing_else_sets_has_shims():
    without = {name for name, one in LAYOUTS.items() if not {"camber", "toe"} & {a.sets for a in one.adjusters}}
    on_shims = {name for name, one in LAYOUTS.items() if any(a.part == "shims" for a in one.adjusters)}

    assert without == set()
    assert on_shims == SHIMMED.keys()


@pytest.mark.parametrize("car", SHIMMED.values())
def test_camber_and_toe_of_each_wheel_are_there_where_the_whole_car_stands(car):
    one = shimmed(car)
    geometry = one.plan.planned.geometry["rear"]
    for key, angle in WANTED.items():
        assert value_of(geometry, key) == pytest.approx(angle * DEG, abs=1e-10)
    told = [check for check in one.checks if check.code == "ALN-01" and "rear" in check.question]
    assert [check.verdict for check in told] == [Verdict.PASS] * 4


@pytest.mark.parametrize("car", SHIMMED.values())
def test_the_shimmed_car_rests_where_a_second_method_puts_it(car):
    """All bodies of both axles as one mechanism, brought to rest by multipliers."""
    one = shimmed(car)
    planned = one.plan.planned
    joints = {name: value for state in planned.states.values() for name, value in (state.settings or {}).items()}
    whole = car_on_tyres(*planned.models, one.car.mass.centre_of_gravity_height.value)
    elements = {**planned.models[0].elements, **planned.models[1].elements}
    other = settled_by_multipliers(whole, elements, joints, planned.sits.travel)

    for corner in CORNERS:
        assert planned.sits.travel[corner] == pytest.approx(other.travel[corner], abs=1e-9)
        assert planned.sits.load[corner] == pytest.approx(other.load[corner], rel=1e-7)


@pytest.mark.parametrize("car", SHIMMED.values())
def test_a_shim_turns_the_wheel_s_axis_by_its_angle_on_what_carries_it(car):
    """The axis of the wheel as a vector: the toe hinge is carried by the camber hinge, that by the arm or the tube."""
    one = shimmed(car)
    model = one.plan.planned.models[1]
    camber, toe = 0.4 * DEG, -0.3 * DEG
    at = {"left": 0.006, "right": -0.004}
    for side, out in (("left", 1.0), ("right", -1.0)):
        tables = [
            column_map(states_table(model.stand, model.linkage, AxleStates(**at, settings=put), (1.0, 1.0)))
            for put in ({}, {f"rear.{side}.shim_camber": camber, f"rear.{side}.shim_toe": toe})
        ]
        axes = [axis_of(float(t[f"{side}_camber"][0]), float(t[f"{side}_toe"][0]), out) for t in tables]
        angle = math.acos(min(1.0, float(axes[0] @ axes[1])))
        as_found = one.car.rear.side(Side(side)).alignment
        start = axis_of(as_found.camber.value, as_found.toe.value, out)
        about_x, about_z = -out * camber, -out * toe
        turned = turn(0, about_x) @ turn(2, about_z) @ start

        assert angle == pytest.approx(math.acos(float(start @ turned)), abs=1e-9)


def axis_of(camber: float, toe: float, out: float) -> np.ndarray:
    """Unit vector along a wheel's axis, to the left, by its true angles (ISO 8855)."""
    flat = np.array([out * math.sin(toe), math.cos(toe), 0.0]) * math.cos(camber)
    return flat + np.array([0.0, 0.0, -out * math.sin(camber)])


def turn(about: int, angle: float) -> np.ndarray:
    """Right-handed rotation about x (0) or z (2)."""
    c, s = math.cos(angle), math.sin(angle)
    if about == 0:
        return np.array([[1, 0, 0], [0, c, -s], [0, s, c]])
    return np.array([[c, -s, 0], [s, c, 0], [0, 0, 1]])


@pytest.mark.sweep
@pytest.mark.parametrize("car", ["mallow-18", "sedge-13", "brisk-14"])
@pytest.mark.parametrize("joint", ["shim_camber", "shim_toe"])
def test_the_slope_of_a_shim_agrees_with_whole_cars_let_down_with_it(car, joint):
    """What the plan asks for the last hundredth of a degree, against the car shimmed by hand and let down."""
    one, angle = shimmed(car), joint.removeprefix("shim_")
    planned = one.plan.planned
    joints = {name: value for state in planned.states.values() for name, value in (state.settings or {}).items()}
    step = 0.02 * DEG
    read = []
    for more in (-step, step):
        put = joints | {f"rear.left.{joint}": joints[f"rear.left.{joint}"] + more}
        sits = settle(car_of(one.planned.document, *planned.models, put), planned.sits.travel)
        own = {name: value for name, value in put.items() if name.startswith("rear.")}
        at = {side: sits.travel["rear", side] for side in SIDES}
        states = AxleStates(**at, settings=own, attitude=(sits.pitch, sits.roll))
        table = column_map(states_table(planned.models[1].stand, planned.models[1].linkage, states, (1.0, 1.0)))
        read.append(float(table[f"left_{angle}"][0]))
    slope = (read[1] - read[0]) / (2 * step)
    other = {**WANTED, f"left_{angle}": WANTED[f"left_{angle}"] + 0.01}
    written = {"job": {"name": "x", "car": "x"}, "wanted": {"rear": {"lower": 10, **other}}}
    again = Case(one.car, JobDocument.model_validate({**written, "change": {"rear": {"shims": FLANGE}}})).plan
    asked, first = (plan.settings["rear"].wheels["left"].shims[angle] for plan in (again, one.plan))

    assert slope == pytest.approx(1.0, abs=0.02)
    assert (asked - first) * slope == pytest.approx(0.01 * DEG, rel=2e-3)


def test_thickness_is_the_flange_times_the_tangent():
    """T / L is the tangent of the angle: 1 mm across 100 mm turns a hub by arctan(0.01), 0.5729 degrees."""
    shims = ShimRange(flange=100 * MM, thickest=2 * MM, step=0.5 * MM)

    assert shims.thickness(math.radians(0.5729386976834859)) == pytest.approx(1 * MM, abs=1e-12)
    assert shims.end_before(-0.03) == pytest.approx(-math.atan(0.02))
    assert shims.end_before(0.0199) is None
    assert shims.on_step(0.0072) == pytest.approx(math.atan(0.005))
    assert shims.on_step(0.5) == pytest.approx(math.atan(0.02))
    assert ShimRange().thickness(0.01) is None
    assert [edge(aim, way) for aim in ("camber", "toe") for way in (1.0, -1.0)] == ["upper", "lower", "rear", "front"]


def test_words_tell_thickness_and_edge_or_the_angle_without_a_flange():
    """Front edges of flanges and lower ones: thicker there leans the top in and turns the wheel out."""
    told, bare = (settings_of(shimmed("mallow-18", flange=flange).plan, "metric") for flange in (True, False))
    line, angle = (next(text for text in each if text.startswith("left rear wheel")) for each in (told, bare))
    wheel = shimmed("mallow-18").plan.settings["rear"].wheels["left"]
    thick = 95 * math.tan(abs(wheel.shims["camber"]))

    assert wheel.shims["camber"] < 0
    assert f"shim the hub {thick:.2f} mm under the lower edge of its flange" in line
    assert "until the gauge shows camber -1.40° and toe +0.15°" in line
    assert f"shim the hub to move camber by {math.degrees(wheel.shims['camber']):+.2f}°" in angle
    assert "(thicker under the lower edge)" in angle


def test_shims_as_thick_as_they_may_be_leave_the_rest_and_say_what_is_needed():
    one = shimmed("mallow-18", more=(("thickest", 0.5),))
    wheel = one.plan.settings["rear"].wheels["left"]
    lack = next(x for x in one.plan.short if (x.side, x.wish) == ("left", "camber"))
    geometry = one.plan.planned.geometry["rear"]

    assert abs(wheel.shims["camber"]) == pytest.approx(math.atan(0.5 / 95), abs=1e-12)
    assert value_of(geometry, "left_camber") > WANTED["left_camber"] * DEG
    assert value_of(geometry, "left_toe") == pytest.approx(WANTED["left_toe"] * DEG, abs=1e-10)
    assert lack.needed == pytest.approx(95 * MM * math.tan(wheel.shims_needed["camber"]))
    failed = [check for check in one.checks if check.code == "SHM-01" and check.verdict is Verdict.FAIL]
    assert "camber wanted -1.40 deg" in failed[0].sentence
    assert "under the lower edge would be needed" in failed[0].sentence


def test_shims_in_steps_are_the_nearest_there_is():
    one = shimmed("mallow-18", more=(("step", 0.25),))
    for side in SIDES:
        wheel = one.plan.settings["rear"].wheels[side]
        for aim in ("camber", "toe"):
            exact = 95 * math.tan(wheel.shims_needed[aim]) / 0.25
            assert 95 * math.tan(wheel.shims[aim]) / 0.25 == pytest.approx(round(exact), abs=1e-9)
    assert not one.plan.short
    assert {check.verdict for check in one.checks if check.code == "ALN-01"} == {Verdict.PASS}


def test_without_the_flange_the_check_asks_for_it():
    told = [check for check in shimmed("sedge-13", flange=False).checks if check.code == "SHM-01"]

    assert {check.verdict for check in told} == {Verdict.UNKNOWN}
    assert {check.asks for check in told} == {"change.rear.shims.flange"}


def test_bands_are_told_about_the_shims_that_are_set():
    one = shimmed(
        "tansy-11"
    )  # on its old springs it stands higher than wanted, but its angles hardly ask for the height
    needed = settings_needed(one.planned.varies, one.plan.planned.models[1])
    for side, wheel in one.plan.settings["rear"].wheels.items():
        for aim in ("camber", "toe"):
            assert needed[f"rear.{side}.shim_{aim}"][0] == pytest.approx(wheel.shims[aim], abs=2e-4)


def test_caster_is_refused_of_hubs_on_shims():
    written = {"job": {"name": "x", "car": "x"}, "wanted": {"rear": {"caster": 3}}}
    with pytest.raises(InputProblems) as raised:
        _ = Case(read_car(DEMO / "mallow-18.toml"), JobDocument.model_validate(written)).plan

    assert raised.value.problems[0].allowed == "camber, toe"


def test_shims_in_steps_have_the_band_of_what_would_be_needed():
    """A step that is kept does not say how surely it is the right one: what is needed is told, as without steps."""
    stepped, exact = (shimmed("tansy-11", more=more).planned.bands for more in ((("step", 0.25),), ()))
    for side in SIDES:
        for aim in ("camber", "toe"):
            key = f"rear.{side}.shim_{aim}"
            assert stepped[key].plus_minus == pytest.approx(exact[key].plus_minus, rel=1e-2)
    assert stepped["rear.left.shim_camber"].plus_minus > 0

"""A job on every demo car, whatever it is laid out by: wishes met, rest by a second method, settings by their bands."""

from __future__ import annotations

import math
from functools import cache
from importlib.resources import files
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import root

from jounce.behaviour.axle.motions import AxleStates
from jounce.behaviour.axle.travel import column_map, states_table
from jounce.car.file.reading import read_car
from jounce.car.mechanics.assembly import axle_model
from jounce.case.case import Case, case_of_file
from jounce.checks import Verdict
from jounce.conventions.axes import CORNERS, ENDS, Side
from jounce.conventions.errors import InputProblems
from jounce.conventions.units import DEG, MM
from jounce.job.document import JobDocument
from jounce.job.fitting import parts_taken
from jounce.job.plan import value_of
from jounce.job.setting_bands import settings_needed
from jounce.job.wording import settings_of
from jounce.layouts.naming import named
from jounce.numerics.rotations import rotation_matrix
from tests.own_heights import settings_by_own_heights
from tests.reference.whole_car import car_on_tyres, settle

DEMO = Path(str(files("jounce.demo")))
JOBS = sorted(path.stem for path in DEMO.glob("*-lower.toml"))
CARS = sorted(path.stem for path in DEMO.glob("*-[0-9][0-9].toml"))


@cache
def case(name: str) -> Case:
    return case_of_file(DEMO / f"{name}.toml")


def test_every_demo_car_has_a_job():
    assert [f"{car}-lower" for car in CARS] == JOBS


@pytest.mark.parametrize("name", JOBS)
def test_a_demo_job_is_sound(name):
    """Nothing on it fails, but what its own file says: the demo shows work that a shop would do."""
    assert [check.question for check in case(name).checks if check.verdict is Verdict.FAIL] == []


@pytest.mark.parametrize("name", JOBS)
def test_the_planned_car_rests_where_a_second_method_puts_it(name):
    """All bodies of both axles as one mechanism, brought to rest by multipliers."""
    planned = case(name).plan.planned
    front, rear = planned.models
    height = case(name).planned.document.mass.centre_of_gravity_height.value
    set_to = [(state.settings or {}).items() for state in planned.states.values()]
    joints = {joint: float(np.ravel(value)[0]) for items in set_to for joint, value in items}
    elements = {**front.elements, **rear.elements}
    other = settle(car_on_tyres(front, rear, height), elements, joints, planned.sits.travel)

    for corner in CORNERS:
        assert planned.sits.travel[corner] == pytest.approx(other.travel[corner], abs=1e-9)
        assert planned.sits.load[corner] == pytest.approx(other.load[corner], rel=1e-7)


@pytest.mark.parametrize("name", JOBS)
def test_wishes_are_met_within_what_steps_are_worth(name):
    one = case(name)
    for end, wanted in ((end, getattr(one.change_list.wanted, end)) for end in ENDS):
        for side in ("left", "right"):
            miss = one.plan.planned.sits.travel[str(end), side] - wanted.lower.value
            assert abs(miss) < 3 * MM
            for angle in ("camber", "caster", "toe"):
                asked = getattr(wanted, angle)
                if asked is not None:
                    told = value_of(one.plan.planned.geometry[str(end)], f"{side}_{angle}") or 0.0
                    assert told == pytest.approx(asked.value, abs=1e-9)


@pytest.mark.parametrize("name", JOBS)
def test_what_bands_are_told_about_is_what_is_set(name):
    """The settings needed, found anew from the finished car, are those of the plan but for their steps.

    Bars are told about as each corner's own height asks, exactly; the plan gives way a little where the other axle's
    springs are fixed and stand otherwise (0.3 mm in front, 0.07 degrees of a bar, under the van whose rear springs are).
    """
    one = case(name)
    own = settings_by_own_heights(one.car, one.planned.document, one.wishes)
    for model in one.plan.planned.models:
        needed = settings_needed(one.planned.varies, model)
        plan = one.plan.settings[model.name]
        for side, wheel in plan.wheels.items():
            if wheel.tie_rod is not None:
                assert needed[f"{model.name}.{side}.tie_rod"][0] == pytest.approx(wheel.tie_rod, abs=1e-4)
            if plan.mover and not wheel.shims:
                assert needed[f"{model.name}.{side}.plate_inward"][0] == pytest.approx(wheel.plate_inward, abs=1e-3)
        for side, seat in plan.seats.items():
            if seat.turns is not None:
                assert needed[f"{model.name}.{side}.seat"][0] == pytest.approx(seat.wanted, abs=1.5e-3)
        for side, bar in plan.bars.items():
            asked = own[model.name].bars[side].index.wanted
            assert needed[f"{model.name}.{side}.bar_turn"][0] == pytest.approx(asked, abs=1e-9)
            assert bar.index.wanted == pytest.approx(asked, abs=0.1 * DEG)


@pytest.mark.parametrize("name", JOBS)
def test_every_setting_is_told_by_its_axle(name):
    for line in settings_of(case(name).plan, "metric", case(name).planned.bands):
        assert " front " in line or " rear " in line or line.startswith("Panhard rod"), line
        assert "nan" not in line


def test_a_rod_is_called_what_its_layout_calls_it():
    """Struts in front have tie rods and are steered; struts on lateral links behind have neither tie rods nor a rack."""
    one = case("campion-22-lower")
    front, rear = (
        [line for line in settings_of(one.plan, "metric") if f"{end} wheel" in line] for end in ("front", "rear")
    )
    moved = [f"{effect.moved}; {effect.todo}" for effect in one.side_effects if effect.cause.startswith("rear")]

    assert all("tie rod about" in line for line in front)
    assert all("toe link about" in line for line in rear)
    assert any("left toe link, + longer," in line for line in moved)
    assert not any(word in line for line in moved for word in ("tie rod", "the rack", "steering wheel"))


GIVEN = {
    "torsion_bar": {"diameter": 20, "active_length": 900},
    "spring": {"rate": 20},
    "leaf": {"rate": 20},
    "panhard": {"shortest": 700, "longest": 900, "thread_pitch": 1.5},
    "top_plate": {},
    "upper_joint": {},
}


@pytest.mark.parametrize("car", CARS)
@pytest.mark.parametrize("end", ENDS)
def test_a_part_that_the_axle_has_not_is_refused_with_those_that_it_has(car, end):
    document = read_car(DEMO / f"{car}.toml")
    axle = document.axle(end)
    taken = parts_taken(axle)
    for key, written in GIVEN.items():
        job = JobDocument.model_validate({"job": {"name": "x", "car": "x"}, "change": {str(end): {key: written}}})
        if key in taken:
            continue
        with pytest.raises(InputProblems) as raised:
            _ = Case(document, job).plan
        (problem,) = raised.value.problems
        assert problem.place == f"change.{end}.{key}"
        assert problem.allowed == ", ".join(taken)


def test_a_seat_takes_a_thread_or_a_spacer():
    document = read_car(DEMO / "sedge-13.toml")
    written = {"perch": {"lowest": -10, "highest": 10, "pitch": 2}, "spacer": {"height": 10}}
    job = JobDocument.model_validate({"job": {"name": "x", "car": "x"}, "change": {"rear": written}})

    with pytest.raises(InputProblems, match="both set the height of one seat"):
        _ = Case(document, job).plan


@pytest.mark.parametrize(("car", "end"), [("sedge-13", "front"), ("bracken-16", "rear"), ("comfrey-20", "rear")])
def test_a_spacer_moves_the_wheel_by_what_its_spring_pushes_more_over_the_wheel_rate(car, end):
    """By virtual work: spring rate x motion ratio x height is the force at the wheel that the wheel rate takes up."""
    document = read_car(DEMO / f"{car}.toml")
    ways = []
    for height in (-1.0, 1.0):
        change = {end: {"spacer": {"height": height}}}
        job = JobDocument.model_validate({"job": {"name": "x", "car": "x"}, "change": change})
        travel = Case(document, job).plan.planned.sits.travel
        ways.append(np.mean([travel[end, side] for side in ("left", "right")]))
    found = Case(document).found
    wheel, rate = found.standing.axles[end].wheels["left"], found.models[ENDS.index(end)].main["left"].rate[0]
    pushed = rate * abs(wheel.motion_ratio) * 2 * MM

    assert (ways[0] - ways[1]) * wheel.wheel_rate == pytest.approx(pushed, rel=0.02)  # the body pitches a little


def _wishbone_placed(car: str, lowered: float, inward: float) -> tuple[float, float]:
    """Camber and toe of the left front wheel of a double wishbone, its knuckle's upper joint moved inward on its arm.

    The lower arm is turned by an angle; upper arm and knuckle follow: seven equations in seven unknowns.
    """
    side = read_car(DEMO / f"{car}.toml").front.side(Side.LEFT)
    names = [name for name in type(side.pivots).model_fields if getattr(side.pivots, name) is not None]
    at = {name: np.array(getattr(side.pivots, name).xyz, dtype=float) for name in names}
    camber, toe = side.alignment.camber.value, side.alignment.toe.value
    axis = np.array([math.sin(toe), math.cos(toe), -math.tan(camber)])
    rod = np.linalg.norm(at["tie_rod_outer"] - at["tie_rod_inner"])
    moved = np.array([0.0, -inward, 0.0])

    def arm(name: str, angle: float) -> np.ndarray:
        front, rear, ball = (at[f"{name}_{end}"] for end in ("front", "rear", "ball"))
        along = (front - rear) / np.linalg.norm(front - rear)
        rising = 1.0 if np.cross(along, ball - rear)[2] > 0 else -1.0
        return rear + rotation_matrix(rising * angle * along[None])[0] @ (ball - rear)

    def knuckle(unknown: np.ndarray, point: np.ndarray) -> np.ndarray:
        return at["wheel_centre"] + unknown[:3] + rotation_matrix(unknown[None, 3:6])[0] @ (point - at["wheel_centre"])

    def equations(unknown: np.ndarray) -> np.ndarray:
        lower_ball = knuckle(unknown, at["lower_ball"]) - arm("lower", lowered)
        upper_ball = knuckle(unknown, at["upper_ball"]) - arm("upper", unknown[6]) - moved
        length = np.linalg.norm(knuckle(unknown, at["tie_rod_outer"]) - at["tie_rod_inner"]) - rod
        return np.array([*lower_ball, *upper_ball, length])

    found = root(equations, np.zeros(7), tol=1e-13).x
    assert np.abs(equations(found)).max() < 1e-10
    turned = rotation_matrix(found[None, 3:6])[0] @ (axis / np.linalg.norm(axis))
    return -math.asin(turned[2]), math.atan2(turned[0], turned[1])


@pytest.mark.parametrize("inward", [-4 * MM, 0.0, 3 * MM, 8 * MM])
def test_an_upper_joint_moved_gives_the_camber_of_a_placement_by_hand(inward):
    model = axle_model(read_car(DEMO / "comfrey-20.toml"), "front")
    settings = {named("front", "left", "upper_ball_y"): -inward, named("front", "right", "upper_ball_y"): inward}
    states = AxleStates(left=20 * MM, right=20 * MM, settings=settings)
    table = column_map(states_table(model.stand, model.linkage, states, (1.0, 1.0)))
    camber, toe = _wishbone_placed("comfrey-20", float(table["left_lower_arm_angle"][0]), inward)

    assert float(table["left_camber"][0]) == pytest.approx(camber, abs=1e-8)
    assert float(table["left_toe"][0]) == pytest.approx(toe, abs=1e-8)

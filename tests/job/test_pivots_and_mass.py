"""Jobs that move pivots, put mass in or take it out: by a car measured so, by hand, and by a second method."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib.resources import files
from pathlib import Path

import numpy as np
import pytest
import tomlkit

from jounce.case.case import Case, case_of_file
from jounce.conventions.axes import CORNERS, End, Side
from jounce.conventions.constants import GRAVITY
from jounce.conventions.errors import InputProblems
from jounce.conventions.units import MM
from jounce.job.wording import parts_of
from tests.reference.whole_car import car_on_tyres, settle

DEMO = Path(str(files("jounce.demo")))
CARS = ("yarrow-12", "brisk-14", "fescue-10")


@pytest.fixture(scope="module")
def folder(tmp_path_factory) -> Path:
    return tmp_path_factory.mktemp("moved")


@cache
def read(name: str) -> dict:
    return tomllib.loads((DEMO / f"{name}.toml").read_text("utf-8"))


def case(folder: Path, car: dict, job: dict) -> Case:
    (folder / "car.toml").write_text(tomlkit.dumps(car), "utf-8")
    (folder / "job.toml").write_text(tomlkit.dumps({**job, "job": {"name": "moved", "car": "car.toml"}}), "utf-8")
    return case_of_file(folder / "job.toml")


def with_change(job: dict, end: str, **parts: dict) -> dict:
    change = job.get("change", {})
    return {**job, "change": {**change, end: {**change.get(end, {}), **parts}}}


def moved(point: list[float], *by: float) -> list[float]:
    return [value + step for value, step in zip(point, by, strict=True)]


def loads(one: Case) -> dict:
    return {corner: one.plan.planned.sits.load[corner] for corner in CORNERS}


def by_multipliers(one: Case):
    """The planned car at rest, all bodies as one mechanism."""
    planned = one.plan.planned
    joints = {
        joint: float(np.ravel(value)[0])
        for state in planned.states.values()
        for joint, value in (state.settings or {}).items()
    }
    elements = {**planned.models[0].elements, **planned.models[1].elements}
    height = one.planned.document.mass.centre_of_gravity_height.value
    return settle(car_on_tyres(*planned.models, height), elements, joints, planned.sits.travel)


def test_a_damper_mount_moved_by_the_job_is_the_car_measured_with_it_there(folder):
    """A damper carries nothing at rest: the car as found is the same, but for the way to its rubber."""
    car, job = read("yarrow-12"), read("yarrow-12-lower")
    at = moved(car["front"]["pivots"]["damper_upper"], 5.0, -10.0, 12.0)
    job = {
        **job,
        "change": {**job["change"], "front": {k: v for k, v in job["change"]["front"].items() if k != "bump_stop"}},
    }
    pivots = {**car["front"]["pivots"], "damper_upper": at}
    lengths = [
        np.linalg.norm(np.subtract(p["damper_upper"], p["damper_lower"])) for p in (car["front"]["pivots"], pivots)
    ]
    stop = car["front"]["bump_stop"]
    gap = float(str(stop["gap"]["value"] if isinstance(stop["gap"], dict) else stop["gap"]).split()[0])
    measured = {
        **car,
        "front": {**car["front"], "pivots": pivots, "bump_stop": {**stop, "gap": gap + lengths[1] - lengths[0]}},
    }

    by_job = case(folder, car, with_change(job, "front", pivots={"damper_upper": at}))
    by_car = case(folder, measured, job)

    for corner in CORNERS:
        assert by_job.plan.planned.sits.travel[corner] == pytest.approx(
            by_car.plan.planned.sits.travel[corner], abs=1e-12
        )
    for one, other in zip(by_job.plan.planned.stops["front"], by_car.plan.planned.stops["front"], strict=True):
        assert (one.name, one.side) == (other.name, other.side)
        assert one.travel == pytest.approx(other.travel, abs=1e-9)


@pytest.mark.parametrize("name", CARS)
def test_with_pivots_moved_the_planned_car_rests_where_a_second_method_puts_it(folder, name):
    car, job = read(name), read(f"{name}-lower")
    for end in ("front", "rear"):
        pivots = car[end]["pivots"]
        upper = "strut_top" if "strut_top" in pivots else "damper_upper"
        others = [key for key in pivots if key.endswith(("_front", "ball_joint", "arm_pivot", "spring_lower"))][:2]
        points = {key: moved(_at(pivots[key]), 3.0, -4.0, 6.0) for key in (upper, *others)}
        job = with_change(job, end, pivots=points)
    one = case(folder, car, job)
    other = by_multipliers(one)

    for corner in CORNERS:
        assert one.plan.planned.sits.travel[corner] == pytest.approx(other.travel[corner], abs=1e-9)
        assert one.plan.planned.sits.load[corner] == pytest.approx(other.load[corner], rel=1e-7)


def _at(point: object) -> list[float]:
    return point["at"] if isinstance(point, dict) else point


def test_a_raised_panhard_bracket_raises_the_roll_centre_by_half_of_it(folder):
    """The roll centre of a beam on a Panhard rod lies where the rod crosses the centre plane (Gillespie, chapter 7)."""
    car, job = read("yarrow-12"), read("yarrow-12-lower")
    ends = [_at(car["rear"]["panhard"][key]) for key in ("body_end", "axle_end")]
    raised = case(
        folder, car, with_change(job, "rear", axle_pivots={"panhard_body_end": moved(ends[0], 0.0, 0.0, 20.0)})
    )
    plain = case(folder, car, job)

    by_hand = 20.0 * MM * abs(ends[1][1]) / (abs(ends[0][1]) + abs(ends[1][1]))
    centres = [_centre(one) for one in (plain, raised)]
    assert centres[1] - centres[0] == pytest.approx(by_hand, rel=0.05)  # the rod is not level, and turns with the axle


def _centre(one: Case) -> float:
    table = one.plan.planned.geometry["rear"]
    return next(float(column.values[0]) for column in table.columns if column.name == "roll_centre_height")


@pytest.mark.parametrize("name", CARS)
def test_mass_put_in_and_taken_out_bears_on_the_wheels_by_its_lever(folder, name):
    """Moments about the ground under the wheels of the body as it was: sums of axles and of sides."""
    car, job = read(name), {"wanted": {}, "change": {}}
    pieces = {"cage": ([-1400.0, 0.0, 900.0], 22.0), "seat_out": ([-1900.0, -300.0, 520.0], -16.0)}
    change = {"mass": {key: {"at": at, "mass": mass} for key, (at, mass) in pieces.items()}}
    one = case(folder, car, {**job, "change": change})
    document = one.car

    weights = {(end, side): one.planned.document.mass.corner(end, side).value for end in End for side in Side}
    before = {(end, side): document.mass.corner(end, side).value for end in End for side in Side}
    wheel = {(end, side): document.axle(end).side(side).pivots.wheel_centre for end in End for side in Side}
    assert sum(weights.values()) == pytest.approx(sum(before.values()) + 6.0, abs=1e-9)
    for axis, k in (("x", 0), ("y", 1)):
        gained = sum((weights[c] - before[c]) * getattr(wheel[c], axis) for c in weights)
        assert gained == pytest.approx(sum(mass * at[k] * MM for at, mass in pieces.values()), abs=1e-9)
    total = sum(before.values())
    height = (total * document.mass.centre_of_gravity_height.value + 22 * 0.9 - 16 * 0.52) / (total + 6)
    assert one.planned.document.mass.centre_of_gravity_height.value == pytest.approx(height, abs=1e-12)
    assert sum(loads(one).values()) == pytest.approx((total + 6) * GRAVITY, rel=1e-9)
    other = by_multipliers(one)
    for corner in CORNERS:
        assert one.plan.planned.sits.travel[corner] == pytest.approx(other.travel[corner], abs=1e-9)


def test_lighter_wheels_take_their_mass_off_their_own_axle_alone(folder):
    car, job = read("yarrow-12"), read("yarrow-12-lower")
    one = case(folder, car, with_change(job, "rear", wheel={"heavier": -2.0}))
    was, now = one.car.mass, one.planned.document.mass

    assert now.unsprung_rear.value == pytest.approx(was.unsprung_rear.value - 2.0, abs=1e-12)
    assert now.unsprung_front == was.unsprung_front
    for end, less in ((End.FRONT, 0.0), (End.REAR, 2.0)):
        for side in Side:
            assert now.corner(end, side).value == pytest.approx(was.corner(end, side).value - less, abs=1e-12)


def test_measured_inertia_grows_by_the_mass_about_the_common_centre(folder):
    """Two point masses on a light rod: the parallel-axis theorem in full (Steiner)."""
    car = read("yarrow-12")
    car = {**car, "mass": {**car["mass"], "roll_inertia": 300.0, "pitch_inertia": 1000.0}}
    one = case(folder, car, {"change": {"mass": {"box": {"at": [-2000.0, 350.0, 700.0], "mass": 30.0}}}})
    was, now = one.car.mass, one.planned.document.mass
    wheel = {(end, side): one.car.axle(end).side(side).pivots.wheel_centre for end in End for side in Side}
    shares = {c: was.corner(*c).value / was.total for c in wheel}
    middle = np.array([sum(shares[c] * getattr(wheel[c], axis) for c in wheel) for axis in "xy"])
    at = np.array([*middle, was.centre_of_gravity_height.value])
    box = np.array([-2.0, 0.35, 0.7])
    common = (was.total * at + 30 * box) / (was.total + 30)
    for name, axes, start in (("roll_inertia", [1, 2], 300.0), ("pitch_inertia", [0, 2], 1000.0)):
        steiner = was.total * np.sum((at - common)[axes] ** 2) + 30 * np.sum((box - common)[axes] ** 2)
        assert getattr(now, name).value == pytest.approx(start + steiner, rel=1e-12)


def test_what_the_band_of_a_mass_is_worth_is_in_the_bands(folder):
    car, job = read("yarrow-12"), read("yarrow-12-lower")
    widths = []
    for band in (0.0, 4.0):
        mass = {"box": {"at": [-2300.0, 0.0, 500.0], "mass": f"20 ± {band} kg" if band else 20.0}}
        one = case(folder, car, {**job, "change": {**job["change"], "mass": mass}})
        widths.append(one.planned.bands["rear.left.load"].plus_minus)

    assert widths[1] > widths[0] + 5.0


@pytest.mark.parametrize(
    ("change", "place", "word"),
    [
        ({"front": {"pivots": {"uper_ball": [0, 500, 500]}}}, "change.front.pivots.uper_ball", "upper_ball"),
        ({"front": {"axle_pivots": {"panhard_body_end": [0, 500, 500]}}}, "change.front.axle_pivots", "no such pivot"),
        ({"front": {"pivots": {"upper_ball": [80, 390, 459]}}}, "change.front.pivots", "same point"),
        ({"mass": {"engine_out": {"at": [0, 600, 500], "mass": -450}}}, "change.mass", "nothing is left"),
    ],
)
def test_what_cannot_be_is_refused_where_it_stands(folder, change, place, word):
    car = read("yarrow-12")
    with pytest.raises(InputProblems) as caught:
        _ = case(folder, car, {"change": change}).plan
    told = str(caught.value)
    assert place in told
    assert word in told


def test_moved_pivots_and_masses_are_told_with_the_parts(folder):
    car, job = read("yarrow-12"), read("yarrow-12-lower")
    job = with_change(job, "front", pivots={"damper_upper": [20.0, 520.0, 600.0]})
    job["change"]["mass"] = {"rear_seat": {"at": [-1900.0, -100.0, 550.0], "mass": -18.0}}
    told = parts_of(case(folder, car, job).change_list, "metric")

    assert any("front pivots moved" in line and "damper upper at" in line for line in told)
    assert any(line.startswith("rear seat taken out, 18") for line in told)

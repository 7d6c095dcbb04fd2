"""Points near tyres, low points, hoses and joints: by brute force, in closed form, by a plane through the wheels."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib.resources import files
from pathlib import Path

import numpy as np
import pytest
import tomlkit
from scipy.optimize import brentq, minimize

from jounce.behaviour.axle.motions import AxleStates, place_axle
from jounce.behaviour.axle.travel import column_map, states_table
from jounce.car.mechanics.model import AxleModel
from jounce.case.case import Case, case_of_file
from jounce.checks.check import Check, Verdict
from jounce.checks.ends_of_travel import end_of_travel
from jounce.checks.low_points import height_over_road
from jounce.checks.tyre_room import gap_to_tyre
from jounce.conventions.axes import CORNERS, End, Side
from jounce.conventions.constants import GRAVITY
from jounce.conventions.errors import InputProblems
from jounce.conventions.units import DEG, MM
from jounce.layouts.naming import named
from jounce.numerics.rotations import rotation_matrix

DEMO = Path(str(files("jounce.demo")))


@cache
def read(name: str) -> dict:
    return tomllib.loads((DEMO / f"{name}.toml").read_text("utf-8"))


def case(folder: Path, car: dict, job: dict) -> Case:
    (folder / "car.toml").write_text(tomlkit.dumps(car), "utf-8")
    (folder / "job.toml").write_text(tomlkit.dumps({**job, "job": {"name": "named", "car": "car.toml"}}), "utf-8")
    return case_of_file(folder / "job.toml")


@pytest.fixture(scope="module")
def comfrey() -> Case:
    return case_of_file(DEMO / "comfrey-20-lower.toml")


def told(one: Case, code: str) -> list[Check]:
    return [check for check in one.checks if check.code == code]


def wheel_places(model: AxleModel, states: AxleStates) -> dict[str, np.ndarray]:
    """Centres of both wheels by the measures of a table, not as points of a body, shape (states, 3) [m]."""
    placed = place_axle(model.stand, model.name, states)
    names = {side: [named(model.name, side, f"wheel_{axis}") for axis in "xyz"] for side in ("left", "right")}
    return {side: model.stand.taken(three).values(placed.pose) for side, three in names.items()}


def test_a_gap_to_a_tyre_is_the_distance_to_the_nearest_point_of_its_cylinder():
    """A general optimiser over the solid's own coordinates: along the axis, out from it."""
    rng = np.random.default_rng(3)
    for _ in range(20):
        axis = rng.normal(size=3)
        axis /= np.linalg.norm(axis)
        centre, radius, width = rng.normal(size=3), 0.3, 0.2
        point = centre + rng.normal(size=3) * 0.35
        away = point - centre
        beside = away @ axis
        out = away - beside * axis
        if abs(beside) <= width / 2 and np.linalg.norm(out) <= radius:
            continue

        def distance(at: np.ndarray, out: np.ndarray = out, axis: np.ndarray = axis, away: np.ndarray = away) -> float:
            return float(np.linalg.norm(at[0] * axis + at[1] * out / np.linalg.norm(out) - away))

        nearest = minimize(distance, (0.0, 0.1), bounds=((-width / 2, width / 2), (0, radius)), tol=1e-14)
        gap = gap_to_tyre(point[None], centre[None], axis[None], radius, width)[0]
        assert gap == pytest.approx(nearest.fun, abs=1e-6)


def test_a_point_inside_a_tyre_is_as_deep_as_its_nearest_wall():
    centre, axis = np.zeros((3, 3)), np.tile([0.0, 1.0, 0.0], (3, 1))
    points = np.array([[0.0, 0.0, 0.29], [0.0, 0.095, 0.1], [0.0, 0.1, 0.3]])
    assert gap_to_tyre(points, centre, axis, 0.3, 0.2) == pytest.approx([-0.01, -0.005, 0.0], abs=1e-12)


def test_the_least_gap_is_that_of_the_wheel_placed_by_its_angles(comfrey):
    """Centre, steer and camber of a travel table put the wheel; no body's own place is asked."""
    plan, model = comfrey.plan, comfrey.plan.planned.models[0]
    droop, bump = (end_of_travel(plan.planned, "front", at).travel for at in ("droop", "bump"))
    rack = comfrey.car.front.steering.rack_travel.value
    way, lock = (grid.ravel() for grid in np.meshgrid(np.linspace(-droop, bump, 25), rack * np.linspace(-1, 1, 5)))
    standing = plan.planned.states["front"]
    states = AxleStates(standing.left + way, standing.right + way, rack=lock, settings=standing.settings)
    columns = column_map(states_table(model.stand, model.linkage, states, (1.0, 1.0)))
    steer, camber = columns["left_steer"], columns["left_camber"]
    axis = np.stack((-np.sin(steer) * np.cos(camber), np.cos(steer) * np.cos(camber), -np.sin(camber)), -1)
    centre = wheel_places(model, states)["left"]
    wheel = comfrey.planned.document.front.left.wheel
    weight = comfrey.car.mass.corner(End.FRONT, Side.LEFT).value * GRAVITY
    radius = wheel.loaded_radius.value + weight / wheel.tyre_rate.value
    at = np.broadcast_to(comfrey.car.near["arch_liner"].at.xyz, centre.shape)
    gaps = gap_to_tyre(at, centre, axis, radius, wheel.tyre_width.value)

    check = next(one for one in told(comfrey, "NER-01") if "left" in one.question and "arch liner" in one.question)
    assert check.value == pytest.approx(float(gaps.min()), abs=1e-6)
    assert check.verdict is Verdict.PASS


def test_the_tyre_that_swings_towards_a_point_is_told(comfrey):
    """Of a left wheel the front edge comes inward as it steers to the right, the rear edge as it steers to the left."""
    by_name = {one.question: one.sentence for one in told(comfrey, "NER-01")}
    assert "full lock to the right" in by_name["Does the left front tyre keep off the arch liner?"]
    assert "full lock to the left" in by_name["Does the left front tyre keep off the chassis rail?"]


def test_a_hose_on_a_trailing_arm_is_as_long_as_the_arm_s_circle_makes_it(tmp_path):
    """The hub's end goes round the arm's axis: one angle, found from the wheel's rise, gives the distance."""
    car, job, axle = read("mallow-18"), read("mallow-18-lower"), "rear"
    pivots = {key: np.array(_at(point), float) * MM for key, point in car[axle]["pivots"].items()}
    body_end, wheel_end = pivots["wheel_centre"] + [0.25, -0.2, 0.1], pivots["wheel_centre"] + [0.06, -0.1, -0.02]
    hose = {"axle": axle, "body_end": list(body_end / MM), "wheel_end": list(wheel_end / MM), "length": 900}
    one = case(tmp_path, {**car, "hose": {"rear": hose}}, job)
    check = next(found for found in told(one, "HOS-02") if "left" in found.question)

    inner, outer = pivots["arm_inner"], pivots["arm_outer"]
    along = (outer - inner) / np.linalg.norm(outer - inner)

    def turned(point: np.ndarray, angle: float) -> np.ndarray:
        return inner + rotation_matrix(along * angle) @ (point - inner)

    standing = one.plan.planned.sits.travel[axle, "left"]
    apart = []
    for at, way in (("droop", -1.0), ("bump", 1.0)):
        rise = standing + way * end_of_travel(one.plan.planned, axle, at).travel
        angle = brentq(
            lambda a, rise=rise: turned(pivots["wheel_centre"], a)[2] - pivots["wheel_centre"][2] - rise, -1, 1
        )
        apart.append(np.linalg.norm(turned(wheel_end, angle) - body_end))
    assert check.value == pytest.approx(0.9 - max(apart), abs=1e-9)


def _at(point: object) -> list[float]:
    return point["at"] if isinstance(point, dict) else point


def test_a_low_point_comes_down_with_the_plane_of_the_three_wheels_about_it(comfrey):
    """Where the body was at each wheel's centre it is now at the tyre's height less the wheel's travel."""
    sits = comfrey.plan.planned.sits
    standing = np.array([sits.heave, sits.pitch, sits.roll, *(sits.travel[corner] for corner in CORNERS)])
    at, heights = [], []
    for axle, side in CORNERS:
        one = comfrey.planned.document.axle(End(axle)).side(Side(side))
        weight = comfrey.car.mass.corner(End(axle), Side(side)).value * GRAVITY
        deflected = (sits.load[axle, side] - weight) / one.wheel.tyre_rate.value
        at.append([1.0, one.pivots.wheel_centre.x, one.pivots.wheel_centre.y])
        heights.append(one.wheel.loaded_radius.value - deflected - sits.travel[axle, side] - one.pivots.wheel_centre.z)
    plane = np.linalg.lstsq(np.array(at), np.array(heights), rcond=None)[0]
    sump = comfrey.car.low["sump"]
    by_plane = sump.at.z + plane @ [1.0, sump.at.x, sump.at.y]

    assert height_over_road(sump, comfrey.plan, standing) == pytest.approx(by_plane, abs=0.2 * MM)
    assert height_over_road(sump, comfrey.plan, np.zeros(7)) == pytest.approx(sump.at.z, abs=1e-12)


def test_what_hangs_on_the_upright_keeps_its_height_but_for_the_tyre(comfrey):
    bracket = comfrey.car.low["link_bracket"]
    check = next(one for one in told(comfrey, "GND-02") if "bracket" in one.question)
    assert check.value == pytest.approx(bracket.at.z, abs=1.5 * MM)


def test_a_rod_end_s_swing_is_the_rod_s_own_turn(tmp_path):
    """A Panhard rod on a body that stays: its inner end swings by the angle between the rod as found and now."""
    car, job = read("yarrow-12"), read("yarrow-12-lower")
    joint = {"axle": "rear", "joint": "panhard", "end": "inner", "max_angle": 12}
    x, _, z = _at(car["rear"]["pivots"]["wheel_centre"])
    rod = {**car["rear"]["panhard"], "body_end": [x, 440, 300], "axle_end": [x, -420, z]}
    one = case(tmp_path, {**car, "rear": {**car["rear"], "panhard": rod}, "joint": {"panhard_body_end": joint}}, job)
    (check,) = told(one, "JNT-01")

    model, standing = one.plan.planned.models[1], one.plan.planned.states["rear"]
    droop, bump = (end_of_travel(one.plan.planned, "rear", at).travel for at in ("droop", "bump"))
    rods = []
    ends = [np.array(rod[key], float) * MM for key in ("body_end", "axle_end")]
    for left, right in ((-droop, -droop), (bump, bump), (-droop, bump), (bump, -droop)):
        states = AxleStates(standing.left + left, standing.right + right, settings=standing.settings)
        wheels = [places[0] for places in wheel_places(model, states).values()]
        was = [np.array(_at(car["rear"]["pivots"]["wheel_centre"]), float) * MM * (1, way, 1) for way in (1, -1)]
        share = (ends[1][1] - was[1][1]) / (was[0][1] - was[1][1])  # its foot lies on the line of the wheels
        moved = share * (wheels[0] - was[0]) + (1 - share) * (wheels[1] - was[1])
        rods.append(ends[1] + moved - ends[0])
    slopes = [np.arctan2(one[2], abs(one[1])) for one in (ends[1] - ends[0], *rods)]
    angles = np.subtract(slopes[1:], slopes[0])
    assert check.value == pytest.approx(max(np.abs(angles)), abs=0.05 * DEG)


def test_a_stud_along_the_steering_axis_is_not_swung_by_steering(tmp_path):
    car, job = read("comfrey-20"), read("comfrey-20-lower")
    plain = case(tmp_path, car, job)
    stiff = {**car, "front": {**car["front"], "steering": {"rack_travel": 10}}}
    less = case(tmp_path, {k: v for k, v in stiff.items() if k != "near"}, job)
    swings = [
        next(c for c in told(one, "JNT-01") if "left front lower ball" in c.question).value for one in (plain, less)
    ]

    assert swings[0] == pytest.approx(swings[1], abs=1.0 * DEG)  # but for the axis's own lean, which steering changes


def test_without_lengths_width_or_limit_it_says_what_to_measure(tmp_path):
    car, job = read("comfrey-20"), read("comfrey-20-lower")
    wheel = {key: value for key, value in car["front"]["wheel"].items() if key != "tyre_width"}
    limits = {key: value for key, value in car["limits"].items() if key != "minimum_ground_clearance"}
    one = case(tmp_path, {**car, "limits": limits, "front": {**car["front"], "wheel": wheel}}, job)

    assert {c.asks for c in told(one, "NER-01")} == {"front.wheel.tyre_width"}
    assert {c.asks for c in told(one, "GND-02")} == {"limits.minimum_ground_clearance"}
    no_damper = {key: value for key, value in job["change"]["front"].items() if key != "damper"}
    plain = {key: value for key, value in car["front"].items() if key not in {"damper", "bump_stop"}}
    other = case(
        tmp_path,
        {**car, "front": plain},
        {**job, "change": {**job["change"], "front": {k: v for k, v in no_damper.items() if k != "bump_stop"}}},
    )
    asked = {c.asks for code in ("NER-01", "HOS-02", "JNT-01") for c in told(other, code)}
    assert asked <= {"front.damper.closed_length", "front.damper.open_length"}
    assert asked


def test_without_the_locks_nothing_that_steers_passes(tmp_path):
    """Straight ahead all is well; a hose, a joint, a tyre that nobody looked at at full lock is not known to be."""
    car, job = read("comfrey-20"), read("comfrey-20-lower")
    front = {key: value for key, value in car["front"].items() if key != "steering"}
    one = case(tmp_path, {**car, "front": front}, job)
    for code in ("NER-01", "HOS-02", "JNT-01"):
        assert {check.verdict for check in told(one, code)} == {Verdict.UNKNOWN}
        assert {check.asks for check in told(one, code)} == {"front.steering.rack_travel"}


@pytest.mark.parametrize(
    ("section", "place", "word"),
    [
        ({"near": {"rail": {"wheel": "front", "at": [0, 500, 300], "on": "uper_arm"}}}, "near.rail.on", "upper_arm"),
        ({"low": {"pan": {"at": [0, 0, 160], "on": "ground"}}}, "low.pan.on", "knuckle"),
        ({"near": {"rail": {"wheel": "front right", "at": [0, 500, 300]}}}, "near.rail.at", "other side"),
        ({"near": {"caliper": {"wheel": "front", "at": [0, 500, 300], "on": "wheel"}}}, "near.caliper.on", "upright"),
        ({"low": {"pan": {"axle": "rear", "at": [0, 0, 160], "on": "tube"}}}, "low.pan.on", "knuckle"),
        ({"joint": {"ball": {"axle": "front", "joint": "ball", "max_angle": 20}}}, "joint.ball.joint", "lower_ball"),
        (
            {"hose": {"f": {"axle": "front", "body_end": [0, 400, 500], "wheel_end": [0, 650, 300], "length": 300}}},
            "hose.f.length",
            "320 mm",
        ),
    ],
)
def test_what_names_no_part_of_the_car_is_refused_where_it_stands(tmp_path, section, place, word):
    with pytest.raises(InputProblems) as caught:
        case(tmp_path, {**read("comfrey-20"), **section}, read("comfrey-20-lower"))
    assert place in str(caught.value)
    assert word in str(caught.value)

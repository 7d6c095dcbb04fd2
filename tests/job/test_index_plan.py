"""Heights that an index gives, against the car and the axle let down by the balance: a wholly different calculation."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from importlib.resources import files

import numpy as np
import pytest

from jounce.behaviour.axle.motions import AxleStates
from jounce.behaviour.axle.static import loaded, with_main_springs
from jounce.behaviour.bands import RestPlace
from jounce.car.file.document import CarDocument
from jounce.car.file.quantity import Measured, MeasuredPoint
from jounce.car.file.reading import parse_car
from jounce.car.file.walk import leaves
from jounce.car.mechanics.assembly import axle_model
from jounce.car.mechanics.model import weight
from jounce.car.parts.torsion_bar import TorqueTube
from jounce.conventions.errors import Impossible, InputError
from jounce.elements.law import Linear
from jounce.job.apply import planned_document, wishes_of
from jounce.job.file import parse_job
from jounce.job.index.hanging import hanging_point
from jounce.job.index.plan import IndexTask, bar_indices
from jounce.job.index.task import indexed_axle, task_of_car, task_of_plan
from jounce.job.index.words import index_sentences
from jounce.job.kept import Changed, KeptSettings
from jounce.job.plan import make_plan
from jounce.layouts.naming import SIDES, named
from jounce.linkage.balance import Element, balance
from tests.job.test_plan import demo
from tests.reference.whole_car import car_on_tyres, settle
from tests.simulated import drawn, results

CARS = ("brisk-14", "yarrow-12", "tansy-11", "fescue-10")


@cache
def demo_car_file(name: str) -> CarDocument:
    return parse_car(files("jounce.demo").joinpath(f"{name}.toml").read_text("utf-8"), name)


@cache
def task_of(car: str, lower: float = 0.02) -> IndexTask:
    document = demo_car_file(car)
    return task_of_car(document, indexed_axle(document), dict.fromkeys(SIDES, lower))


@cache
def demo_task() -> IndexTask:
    job, car, _, plan = demo()
    return task_of_plan(car, job, plan, wishes_of(car, job).lower)


def let_down(task: IndexTask, turns: dict[str, float]) -> dict[str, float]:
    """Travel of both wheels of the axle on its stand with its bars turned, under the task's wheel loads [m]."""
    axle, mechanism = task.turns.planned, task.turns.planned.stand
    elements = dict(axle.elements)
    for side in SIDES:
        rate = float(axle.main[side].rate[0])
        preload = rate * (float(np.asarray(task.turns.wound_found[side])) + turns[side])
        elements[f"{side} bar"] = Element(axle.main[side].measure, Linear(rate, preload))
        road, travel = named(axle.name, side, "road_height"), named(axle.name, side, "travel")
        elements[f"{side} road"] = Element(road, Linear(0.0, -float(task.turns.loads[side][0])))
        elements[f"{side} weight"] = Element(travel, Linear(0.0, float(weight(axle.unsprung[side])[0])))
    values = dict(task.turns.standing.settings or {})
    rest = balance(mechanism, elements, values)
    assert rest.reached[0]
    names = [named(axle.name, side, "travel") for side in SIDES]
    return dict(zip(SIDES, map(float, mechanism.taken(names).values(rest.pose)[0]), strict=True))


@pytest.mark.parametrize("car", CARS)
@pytest.mark.parametrize("lower", [-0.02, 0.0, 0.012])
def test_a_turn_puts_the_axle_where_the_balance_lets_it_down(car: str, lower: float):
    task = task_of(car)
    turns = {side: float(turn[0]) for side, turn in task.turns.at(lower).turn.items()}
    found = let_down(task, turns)

    for side in SIDES:
        assert found[side] == pytest.approx(task.stands[side] + lower, abs=1e-8)


@pytest.mark.parametrize("car", CARS)
def test_heights_of_turns_are_the_way_back(car: str):
    heights = task_of(car).turns.reach()
    lower = np.array([-0.03, -0.0071, 0.0, 0.0123, 0.025])
    for side in SIDES:
        turns = heights.turns.at(lower).turn[side]

        np.testing.assert_allclose(heights.lower_of(side, turns), lower, atol=2e-9)


def test_a_turn_out_of_reach_has_no_height():
    heights = task_of("brisk-14").turns.reach()

    assert np.isnan(heights.lower_of("left", np.array([9.0, -9.0]))).all()


@pytest.mark.parametrize("car", CARS)
def test_the_chosen_row_is_where_the_whole_car_stands(car: str):
    """The car on its tyres, pitching and leaning, against the axle on its stand under the same loads."""
    for one in bar_indices(task_of(car), 0.03).values():
        chosen = next(row for row in one.rows if row.chosen)

        assert chosen.height == pytest.approx(one.expected_height, abs=0.05e-3)
        assert (chosen.arm_teeth, chosen.anchor_teeth) == (one.chosen.arm_teeth, one.chosen.anchor_teeth)


def test_the_chosen_row_of_a_plan_is_where_its_car_stands():
    _, _, _, plan = demo()
    for side, one in bar_indices(demo_task()).items():
        chosen = next(row for row in one.rows if row.chosen)

        assert one.expected_height == one.found_height - plan.planned.sits.travel["front", side]
        assert chosen.height == pytest.approx(one.expected_height, abs=0.05e-3)
        point = hanging_point(plan.planned.models[0].linkage, side)
        as_found = float(point.over_pivots(0.0)[0])
        assert chosen.hanging - as_found == pytest.approx(plan.settings["front"].bars[side].ball_joint_free, rel=1e-12)
        assert one.places[1].twist == pytest.approx(plan.planned.axles["front"].wheels[side].wound_up, abs=2e-5)


def test_both_sides_one_pair_further_stand_where_the_table_says():
    """Another pair on both sides, the whole car settled anew: its weight moves by little, its height as listed."""
    task = task_of("brisk-14")
    found = bar_indices(task, 0.03)
    rows = {side: one.rows for side, one in found.items()}
    further = {side: rows[side][next(k for k, row in enumerate(rows[side]) if row.chosen) + 1] for side in SIDES}
    bare = task.turns.planned
    springs = {}
    for side in SIDES:
        rate = float(bare.main[side].rate[0])
        wound = float(np.asarray(task.turns.wound_found[side])) + further[side].turn
        springs[side] = Element(bare.main[side].measure, Linear(rate, rate * wound))
    rear = loaded(axle_model(task.document, "rear"))[0]
    front = loaded(axle_model(task.document, "front"))[0]
    car = car_on_tyres(front, rear, task.document.mass.centre_of_gravity_height.value)
    sits = settle(car, {**with_main_springs(bare, springs).elements, **rear.elements})
    for side in SIDES:
        listed, stands = further[side].height, found[side].found_height - sits.travel["front", side]
        carried = (sits.load["front", side] - found[side].load) / 17e3  # what the load's change is worth of height

        assert stands == pytest.approx(listed - carried, abs=0.05e-3)


def test_rows_rise_and_lie_within_what_was_asked():
    for one in bar_indices(task_of("tansy-11"), 0.010).values():
        heights = [row.height for row in one.rows]

        assert heights == sorted(heights)
        assert len(one.rows) > 4
        assert all(abs(row.miss) <= 0.010 for row in one.rows)
        assert all(row.height - row.miss == pytest.approx(one.wanted_height, abs=1e-12) for row in one.rows)
        middle = int(np.argmin([abs(row.miss) for row in one.rows]))
        assert (heights[middle + 1] - heights[middle - 1]) / 2 == pytest.approx(one.step, rel=0.005)


def test_a_bolt_reaches_both_ways_from_every_pair_listed():
    one = bar_indices(task_of("yarrow-12"))["left"]

    assert 0.004 < one.bolt_step < 0.0075  # an adjusting bolt gives 4 to 7.5 mm a turn, common practice
    for row in one.rows:
        low, high = row.bolt_heights
        assert low <= row.height <= high


def test_the_same_bar_at_the_same_height_keeps_its_marks():
    document = demo_car_file("brisk-14")
    for one in bar_indices(task_of_car(document, "front", dict.fromkeys(SIDES, 0.0))).values():
        assert one.chosen.reached == 0
        assert one.turn_same_height == pytest.approx(0, abs=1e-9)
        assert one.expected_height == pytest.approx(one.found_height, abs=1e-9)
        assert one.places[1].twist == pytest.approx(one.twist_found, abs=1e-9)


def test_a_thicker_bar_at_the_same_height_is_unwound_by_what_it_twists_less():
    one = bar_indices(demo_task())["left"]
    by_rates = one.twist_found * ((21 / 23.5) ** 4 - 1)

    # The arm's angle is that as found, so only the load's small change and the second bar's make a difference.
    assert one.turn_same_height == pytest.approx(by_rates, abs=math.radians(0.3))
    assert any("the old marks do not serve" in sentence for sentence in index_sentences(one, "metric"))


def test_stress_and_wind_up_of_a_row_are_those_of_the_bar_at_the_ends_of_travel():
    one = bar_indices(demo_task())["left"]
    chosen = next(row for row in one.rows if row.chosen)
    droop, rest, bump = one.places

    assert (droop.name, rest.name, bump.name) == (
        "full droop: damper open",
        "at rest",
        "full bump: bump rubber solid",
    )
    assert chosen.stress == pytest.approx(bump.stress, rel=1e-12)
    assert chosen.droop_twist == pytest.approx(droop.twist, rel=1e-12)
    assert droop.lower < 0 < bump.lower
    assert bump.energy == pytest.approx(0.5 * bump.torque * bump.twist, rel=1e-12)
    assert bump.margin == pytest.approx(one.stress_limit - bump.stress, rel=1e-12)
    # A pair more winds the bar up by as much at every height: 16 T / (pi d³) of k times it.
    torque = bump.torque / bump.twist * (one.rows[1].turn - one.rows[0].turn)
    assert one.rows[1].stress - one.rows[0].stress == pytest.approx(16 * torque / (np.pi * 0.0235**3), rel=1e-9)


def test_tube_and_anchor_take_their_share_of_the_twist():
    document = demo_car_file("brisk-14")
    giving = _with_parts(document)
    stiff, soft = (
        bar_indices(task_of_car(one, "front", dict.fromkeys(SIDES, 0.0)))["left"] for one in (document, giving)
    )

    assert set(soft.shares) == {"bar", "tube", "anchor"}
    assert sum(soft.shares.values()) == pytest.approx(1)
    # The load asks for the same torque, so the same stress, whatever gives behind the bar; the arm sees more twist.
    assert soft.places[1].stress == pytest.approx(stiff.places[1].stress, rel=1e-9)
    assert soft.places[1].bar_twist == pytest.approx(stiff.places[1].twist, rel=1e-9)
    assert soft.places[1].twist > 1.05 * stiff.places[1].twist
    assert soft.places[2].stress < stiff.places[2].stress  # at full bump the soft whole is stressed less


def _with_parts(document: CarDocument) -> CarDocument:
    tube = TorqueTube.model_validate({"diameter": 45, "inner_diameter": 39, "length": 600})
    anchor = (
        type(document.front.left.torsion_bar)
        .model_validate({"diameter": 21, "active_length": 900, "anchor_rate": "900 N·m/deg"})
        .anchor_rate
    )
    sides = {
        side: getattr(document.front, side).model_copy(
            update={
                "torsion_bar": getattr(document.front, side).torsion_bar.model_copy(
                    update={"tube": tube, "anchor_rate": anchor}
                )
            }
        )
        for side in SIDES
    }
    return document.model_copy(update={"front": document.front.model_copy(update=sides)})


@pytest.mark.parametrize(
    ("car", "point"),
    [("brisk-14", "ball joint"), ("yarrow-12", "lower ball joint"), ("tansy-11", "wheel centre")],
)
def test_an_arm_hangs_by_the_point_it_carries(car: str, point: str):
    task = task_of(car)
    hanging = hanging_point(task.turns.planned.linkage, "left")
    small = 1e-6

    assert hanging.name == point
    assert hanging.rise(0.0)[0] == 0
    assert hanging.rise(0.1)[0] > 0 > hanging.rise(-0.1)[0]
    # Turned a little, the point rises by the arm's lever: the derivative of its height by the bar's twist.
    lever = (hanging.rise(small)[0] - hanging.rise(-small)[0]) / (2 * small)
    assert 0.2 < lever < 0.5


def test_a_wheel_on_the_arm_hangs_where_the_linkage_puts_it():
    """A trailing arm carries its wheel: hanging by the bar's angle and placed by the linkage is one thing."""
    task = task_of("tansy-11")
    hanging = hanging_point(task.turns.planned.linkage, "left")
    lower = 0.03
    twist = task.turns.arm_angle("left", lower)

    assert hanging.rise(twist)[0] == pytest.approx(task.stands["left"] + lower, abs=1e-10)


def test_the_band_of_a_height_is_what_moving_each_input_moves():
    """Each input by hand: the car with it moved, its index kept, the whole of it settled anew."""
    document = _with_bands_only_of(demo_car_file("brisk-14"), {"front.torsion_bar.diameter", "front.pivots.ball_joint"})
    task = task_of_car(document, "front", dict.fromkeys(SIDES, 0.02))
    car = Changed(document, None, KeptSettings({("front", side): task.chosen[side].reached for side in SIDES}, {}))
    still = RestPlace(np.zeros(7), {})
    here, count = results(car, still)["front.left.height"], len(car.inputs)
    moved = [results(drawn(car, 0.01 * np.eye(count)[k]), still)["front.left.height"] for k in range(count)]
    slopes = (np.array(moved) - here) / 0.01

    assert [ref.path.rpartition(".")[2] for ref in car.inputs] == ["x", "y", "z", "diameter"]
    assert here == pytest.approx(document.heights.front_left.value - task.stands["left"], abs=1e-9)
    assert task.bands["left"] == pytest.approx(1.645 * math.sqrt(sum(slopes**2)), rel=0.005)
    assert task.bands["left"] > 1e-5


def test_a_new_bar_in_the_same_words_is_not_the_old_bar():
    """Both bars are measured each for itself: their errors do not cancel as those of one bar do."""
    text = """
        [job]
        name = "same words"
        car = "brisk-14.toml"
        [wanted.front]
        lower = 20
        [change.front.torsion_bar]
        diameter = "21 mm ± 0.05 mm"
        active_length = "900 mm ± 5 mm"
        splines_arm = 40
        splines_anchor = 44
        material = "hot-formed spring steel"
    """
    car, job = demo_car_file("brisk-14"), parse_job(text, "same words")
    plan = make_plan(car, planned_document(car, job), wishes_of(car, job))
    new = task_of_plan(car, job, plan, wishes_of(car, job).lower).bands["left"]
    old = task_of_car(car, "front", dict.fromkeys(SIDES, 0.02)).bands["left"]

    assert new > 1.15 * old


def _with_bands_only_of(document: CarDocument, kept: set[str]) -> CarDocument:
    for leaf in leaves(document):
        if isinstance(leaf.value, Measured | MeasuredPoint) and leaf.value.plus_minus and leaf.name not in kept:
            for path in leaf.paths:
                document = _without_band(document, path)
    return document


def _without_band(section, path):
    name, *rest = path
    below = getattr(section, name)
    changed = _without_band(below, rest) if rest else replace(below, plus_minus=0.0)
    return section.model_copy(update={name: changed})


def test_an_axle_without_torsion_bars_is_refused_with_what_it_has():
    document = demo_car_file("brisk-14")
    with pytest.raises(InputError, match=r"no torsion bar to index; found rear: coil; allowed: front"):
        indexed_axle(document, "rear")
    with pytest.raises(InputError, match=r"found front: coil; rear: coil"):
        indexed_axle(demo_car_file("sorrel-21"))


def test_a_height_beyond_the_stops_is_refused_with_what_ends_it():
    with pytest.raises(Impossible, match=r"cannot be lowered by 90.0 mm.*bump rubber solid"):
        task_of_car(demo_car_file("yarrow-12"), "front", dict.fromkeys(SIDES, 0.09))
    with pytest.raises(Impossible, match=r"cannot be raised by 150.0 mm.*damper open"):
        task_of_car(demo_car_file("yarrow-12"), "front", dict.fromkeys(SIDES, -0.15))


def test_a_height_beyond_the_linkage_is_refused():
    turns = task_of("yarrow-12").turns
    with pytest.raises(Impossible, match="does not reach the height wanted"):
        replace(turns, standing=AxleStates(left=0.9, right=0.9)).reach()


def test_a_semi_trailing_arm_on_a_torsion_bar_is_indexed_too():
    """A car file in which the rear coil is exchanged for a bar in the arm's line."""
    text = files("jounce.demo").joinpath("mallow-18.toml").read_text("utf-8")
    coil = text[text.index("[rear.spring]") :].partition("\n\n")[0]
    bar = "[rear.torsion_bar]\ndiameter = 24\nactive_length = 620\nsplines_arm = 40\nsplines_anchor = 44\n"
    document = parse_car(text.replace(coil, bar), "car")
    assert indexed_axle(document) == "rear"
    task = task_of_car(document, "rear", dict.fromkeys(SIDES, 0.01))
    found = let_down(task, {side: float(turn[0]) for side, turn in task.turns.at(0.004).turn.items()})

    assert found["left"] == pytest.approx(task.stands["left"] + 0.004, abs=1e-8)
    assert bar_indices(task)["left"].hanging_point == "wheel centre"


def test_without_spline_counts_the_angle_and_the_hanging_height_remain():
    document = demo_car_file("brisk-14")
    sides = {
        side: getattr(document.front, side).model_copy(
            update={"torsion_bar": getattr(document.front, side).torsion_bar.model_copy(update={"splines_arm": None})}
        )
        for side in SIDES
    }
    bare = document.model_copy(update={"front": document.front.model_copy(update=sides)})
    one = bar_indices(task_of_car(bare, "front", dict.fromkeys(SIDES, 0.02)))["right"]

    assert one.rows == ()
    assert one.step is None
    assert one.expected_height == pytest.approx(one.wanted_height, abs=0.0004)
    assert any("Spline counts unknown: mark out" in sentence for sentence in index_sentences(one, "metric"))

"""Anti-roll bars on their cars: every way to tell a bar, preload from uneven links, play, bars carried by a beam."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from jounce.behaviour.axle.anti_roll_bars import anti_roll_bars_at_rest
from jounce.behaviour.axle.contact import contact_state
from jounce.behaviour.axle.motions import AxleStates, place_axle, wheel_motions
from jounce.behaviour.axle.static import axle_sits, loaded
from jounce.behaviour.axle.travel import states_table
from jounce.behaviour.road.freed_bars import loads_when_freed
from jounce.behaviour.road.of_document import car_of as road_car_of
from jounce.car.file.inputs import all_inputs
from jounce.car.file.reading import parse_car
from jounce.car.file.variants import varied
from jounce.car.mechanics.anti_roll_bars import fitted_bar
from jounce.car.mechanics.assembly import axle_model
from jounce.conventions.errors import InputProblems
from jounce.layouts.naming import SIDES
from tests.behaviour.demo_layouts import DEMO

STRAIGHT = "arm_end = [45, 500, 236]\nbend = [260, 430, 220]\n"
BUSH = "bush = [260, 330, 220]\n"


@cache
def text_of(car="brisk-14.toml"):
    return DEMO.joinpath(car).read_text("utf-8")


def told(*lines, shape=STRAIGHT, left=""):
    text = text_of()
    assert text.count(STRAIGHT) == 1
    text = text.replace(STRAIGHT, shape + "".join(f"{line}\n" for line in lines))
    return parse_car(text + (f"\n[front.left.roll_bar]\n{left}\n" if left else ""), "car.toml")


def bar_of(document, name="roll_bar"):
    return fitted_bar(getattr(document.front.left, name), getattr(document.front.right, name))


def sits_of(document, axle="front", states=None):
    model = loaded(axle_model(document, axle))[0]
    return anti_roll_bars_at_rest(getattr(document, axle), model, states)[0], model


def test_a_centre_line_of_sharp_straight_arms_is_the_formula_but_for_shear():
    plain = bar_of(told())
    line = bar_of(told(shape="centre_line = [[45, 500, 236], [260, 430, 220]]\n"))

    assert line.rate == pytest.approx(plain.rate, rel=2e-3)
    assert line.rate[0] < plain.rate[0]
    assert not np.array_equal(line.rate, plain.rate)


def test_a_bend_radius_shortens_and_stiffens_the_bar():
    sharp, round_ = (bar_of(told(f"bend_radius = {r}", shape="centre_line = [[45, 500, 236], [260, 430, 220]]\n"))
                     for r in (0, 50))  # fmt: skip

    assert 1.005 < float(round_.rate[0] / sharp.rate[0]) < 1.06


def test_the_middle_point_may_lie_on_the_centre_plane():
    ends = "[45, 500, 236], [260, 430, 220], [260, 200, 220]"
    joined = bar_of(told("bend_radius = [20, 20, 0]", shape=f"centre_line = [{ends}, [240, 0, 200]]\n"))
    apart = bar_of(told("bend_radius = [20, 20, 0]", shape=f"centre_line = [{ends}, [240.1, 1, 200.1]]\n"))

    assert joined.rate == pytest.approx(apart.rate, rel=1e-3)


def test_links_give_in_series_over_both_levers():
    stiff, soft = bar_of(told()), bar_of(told("link_rate = 500"))
    lever = np.hypot(260 - 45, 236 - 220) * 1e-3

    assert 1 / soft.rate - 1 / stiff.rate == pytest.approx(2 / lever**2 / 500e3, rel=1e-9)


def test_holes_nearer_the_shaft_stiffen_the_bar_by_the_lever():
    """At a hole the bar is the bar whose arm ends there."""
    hole = bar_of(told("holes = [0, 25, 50]", "hole = 3"))
    end, bend = np.array([45, 500, 236.0]), np.array([260, 430, 220.0])
    there = end + 50 * (bend - end) / np.linalg.norm(bend - end)
    same = bar_of(told(shape=f"arm_end = {there.tolist()}\nbend = [260, 430, 220]\n"))
    by_point = bar_of(told(f"hole_points = [[45, 500, 236], {there.tolist()}]", "hole = 2"))

    assert hole.rate == pytest.approx(same.rate, rel=1e-12)
    assert by_point.rate == pytest.approx(same.rate, rel=1e-12)
    assert hole.rate[0] != pytest.approx(bar_of(told()).rate[0], rel=0.01)


@pytest.mark.parametrize("shape", [STRAIGHT, "centre_line = [[45, 500, 236], [260, 430, 220]]\n"])
def test_a_blade_takes_the_place_of_the_arm_s_end(shape):
    """A blade as stiff as the bar changes next to nothing; on edge it is stiffer than flat."""
    side = (np.pi * 18**4 / 64 * 12) ** 0.25  # a square strip with the bar's second moment of area
    blade = ("blade_length = 120", "blade_angle = 30")
    same = bar_of(told(*blade, f"blade_width = {side}", f"blade_thickness = {side}", shape=shape))
    flat, edge = (
        bar_of(told("blade_length = 120", "blade_width = 30", "blade_thickness = 6", f"blade_angle = {a}", shape=shape))
        for a in (0, 90)
    )

    assert same.rate == pytest.approx(bar_of(told(shape=shape)).rate, rel=1e-3)
    assert flat.rate[0] < 0.9 * same.rate[0]
    assert edge.rate[0] > flat.rate[0]
    assert sum(float(np.ravel(give)[0]) for give in flat.gives.values()) == pytest.approx(float(1 / flat.rate[0]))


def test_only_one_blade_gives_half_as_much():
    blade = "blade_length = 120\nblade_width = 30\nblade_thickness = 6\nblade_angle = 0"
    both, one, none = bar_of(told(blade)), bar_of(told(left=blade)), bar_of(told())

    assert 1 / one.rate - 1 / none.rate == pytest.approx((1 / both.rate - 1 / none.rate) / 2, rel=1e-9)


def test_uneven_links_wind_the_bar_and_shift_the_main_springs_not_the_weights():
    bar, model = sits_of(told("link_length = 36", left="link_length = 40"))
    even = loaded(axle_model(told(), "front"))[0]
    motions = wheel_motions(place_axle(model.stand, "front", AxleStates()), "front")
    found = contact_state(model, motions).load[0]

    assert bar.twist == pytest.approx(4 / 215, rel=0.02)
    assert bar.torque == pytest.approx(bar.rate * bar.twist, rel=1e-12)
    assert found == pytest.approx([float(model.corner_load[side][0]) for side in SIDES], rel=1e-9)
    without = replace(model, elements={k: e for k, e in model.elements.items() if "roll_bar" not in k})
    less = contact_state(without, motions).load[0]
    assert (found - less) == pytest.approx([bar.wheel_load[side] for side in SIDES], rel=1e-9)
    assert bar.wheel_load["left"] > 0 > bar.wheel_load["right"]
    wound, plain = (axle_sits(m, look_for_slack=False).wheels["left"].spring_force for m in (model, even))
    assert wound < plain


def test_the_link_is_as_long_as_it_was_told():
    bar, _ = sits_of(told("link_length = 36", left="link_length = 40"))

    assert bar.link_length["left"] == pytest.approx(0.040, abs=1e-12)
    assert bar.link_length["right"] == pytest.approx(0.036, abs=1e-12)


@pytest.mark.parametrize("side", SIDES)
def test_the_link_length_that_frees_the_bar_does(side):
    """Written into the file it leaves no torque, as found and as the file says."""
    bar, _ = sits_of(told("link_length = 36", left="link_length = 40.5"))
    lengths = {"left": 40.5, "right": 36.0} | {side: bar.free_link_length[side] * 1e3}
    freed, _ = sits_of(told(f"link_length = {lengths['right']!r}", left=f"link_length = {lengths['left']!r}"))

    assert abs(bar.torque) > 1
    assert freed.torque == pytest.approx(0, abs=1e-9)


def test_the_link_length_that_frees_the_bar_does_where_the_car_leans():
    states = AxleStates(left=0.02, right=-0.01)
    bar, model = sits_of(told(), states=states)
    longer = {"front.left.roll_bar_link": bar.free_link_length["left"]}
    placed = place_axle(model.stand, "front", replace(states, settings=longer))
    twist = model.stand.taken(["front.roll_bar_twist"]).values(placed.pose)[0, 0]

    assert abs(bar.twist) > 0.05
    assert twist == pytest.approx(0, abs=1e-10)


def test_freeing_a_bar_moves_load_crosswise_and_keeps_the_weight():
    document = told("link_length = 36", left="link_length = 40")
    models = tuple(loaded(axle_model(document, axle))[0] for axle in ("front", "rear"))
    bar = anti_roll_bars_at_rest(document.front, models[0])[0]
    moved = loads_when_freed(road_car_of(document, *models), "front", bar)

    assert sum(moved.values()) == pytest.approx(0, abs=1e-6)
    assert moved["front", "left"] + moved["front", "right"] == pytest.approx(0, abs=1e-2)
    assert moved["front", "left"] < 0 < moved["rear", "left"]
    assert abs(moved["front", "left"]) < bar.wheel_load["left"]


def test_links_of_the_bar_hold_its_torque():
    """Work of both links over a small further twist is the torque's."""
    bar, model = sits_of(told("link_length = 36", left="link_length = 40"))
    names = ["front.roll_bar_twist"]
    step = 1e-6
    for side in SIDES:
        link = f"front.{side}.roll_bar_link"
        longer = [bar.link_length[side] + d for d in (-step, step)]
        twists = [
            model.stand.taken(names).values(place_axle(model.stand, "front", AxleStates(settings={link: value})).pose)[
                0, 0
            ]
            for value in longer
        ]
        per_length = (twists[1] - twists[0]) / (2 * step)
        assert bar.link_force[side] == pytest.approx(-bar.torque * per_length, rel=1e-6)


def test_play_of_the_links_lets_the_bar_alone_over_the_roll_that_is_told():
    document = told("link_slack = 3")
    bar, model = sits_of(document)
    low, high = bar.free_roll
    element = model.elements["front.roll_bar_twist"]

    def torque(roll):
        placed = place_axle(model.stand, "front", AxleStates(roll=roll))
        return float(
            element.law.force(element.displacement(model.stand.taken([element.measure]).values(placed.pose)[:, 0]))[0]
        )

    assert low < 0 < high
    assert [torque(r) for r in (0.99 * low, 0.0, 0.99 * high)] == [0, 0, 0]
    assert torque(1.1 * low) * torque(1.1 * high) < 0
    lever = np.hypot(260 - 45, 236 - 220) * 1e-3
    assert element.law.gap == pytest.approx([3e-3 / lever], rel=1e-12)
    assert bar.torque == 0
    assert axle_sits(model, look_for_slack=False).roll_parts["anti-roll bar"] == 0


def test_without_play_no_roll_is_free():
    assert sits_of(told())[0].free_roll is None


def test_stress_per_roll_is_the_stress_at_a_small_roll():
    document = told()
    bar, _ = sits_of(document)
    leaning, _ = sits_of(document, states=AxleStates(left=-0.0005, right=0.0005))
    table = states_table(axle_model(document, "front").stand, axle_model(document, "front").linkage,
                         AxleStates(), (1.0, -1.0))  # fmt: skip
    per_roll = next(c.values[0] for c in table.columns if c.name == "roll_bar_twist_per_roll")

    assert bar.stress_per_roll == pytest.approx(leaning.peak_stress / abs(leaning.twist) * abs(per_roll), rel=1e-3)


def test_two_bars_on_one_link_act_in_parallel():
    points = "arm_end = [45, 500, 250]\nbend = [250, 440, 238]\nbush = [250, 340, 238]\n"
    second = f"\n[front.roll_bar_2]\ndiameter = 15\n{points}"
    one = loaded(axle_model(parse_car(text_of(), "one"), "front"))[0]
    two = loaded(axle_model(parse_car(text_of() + second, "two"), "front"))[0]
    parts = [axle_sits(m, look_for_slack=False).roll_parts["anti-roll bar"] for m in (one, two)]
    alone = text_of().replace('link_end = [45, 500, 200]\nlink_on = "arm"\n', "") + second
    alone = alone.replace("[front.roll_bar]\ndiameter = 18\n" + STRAIGHT + BUSH, "")
    alone += 'link_end = [45, 500, 200]\nlink_on = "arm"\n'
    last = axle_sits(loaded(axle_model(parse_car(alone, "second"), "front"))[0], look_for_slack=False).roll_parts

    assert parts[1] == pytest.approx(parts[0] + last["anti-roll bar"], rel=1e-9)


def test_a_bar_carried_by_the_beam_with_links_to_the_body():
    """Roll winds it, heave does not; its wheel loads are its torque over the twist per travel."""
    document = parse_car(text_of("burnet-17.toml"), "burnet")
    model = loaded(axle_model(document, "rear"))[0]
    flat = anti_roll_bars_at_rest(document.rear, model, AxleStates(left=0.03, right=0.03))[0]
    leaning = anti_roll_bars_at_rest(document.rear, model, AxleStates(left=-0.03, right=0.03))[0]

    assert document.rear.left.roll_bar.link_on == "body"
    assert abs(flat.twist) < 0.02 * abs(leaning.twist)
    assert abs(leaning.twist) > 0.1
    assert leaning.wheel_load["left"] == pytest.approx(-leaning.wheel_load["right"], rel=0.1)
    assert np.sign(leaning.wheel_load["right"]) == 1


def test_bar_inside_a_beam_over_its_arms():
    """Small angles: ``K = (G J / L) (t / La)²`` with t the spacing and La the length of the arms, arms level."""
    text = text_of()
    for old, new in (
        ("arm_bush = [-1965, 530, 285]", "arm_bush = [-1980, 600, 265]"),
        ("diameter = 15\nactive_length = 1100", "diameter = 20\nactive_length = 1000"),
    ):
        assert text.count(old) == 1
        text = text.replace(old, new)
    model = axle_model(parse_car(text, "car"), "rear")
    table = states_table(model.stand, model.linkage, AxleStates(), (1.0, -1.0))
    per_roll = next(c.values[0] for c in table.columns if c.name == "inner_bar_twist_per_roll")

    assert model.elements["rear.inner_bar"].law.rate * per_roll**2 == pytest.approx(11097.676, rel=1e-6)


def test_tube_and_clamps_stand_in_series_with_the_inner_bar():
    alone = axle_model(parse_car(text_of(), "car"), "rear").elements["rear.inner_bar"].law.rate
    more = "active_length = 1100\nclamp_rate = 500\n\n[rear.inner_bar.tube]\nrate = 800\n"
    text = text_of().replace("diameter = 15\nactive_length = 1100\n", f"diameter = 15\n{more}")
    together = axle_model(parse_car(text, "car"), "rear").elements["rear.inner_bar"].law.rate
    per_degree = np.pi / 180

    assert 1 / together - 1 / alone == pytest.approx(per_degree * (1 / 800 + 1 / 500), rel=1e-9)


def test_exact_derivatives_come_through_every_number_of_a_bar():
    """Imaginary steps of every number of a bar with everything against central differences."""
    lines = ("bend_radius = 30", "bush_rate = 5000", "link_rate = 800", "link_slack = 1", "link_length = 36")
    blade = ("blade_length = 80", "blade_width = 25", "blade_thickness = 8", "blade_angle = 30")
    shape = "centre_line = [[45, 500, 236], [150, 450, 245], [260, 430, 220], [260, 200, 220], [235, 150, 190]]\n"
    document = told(*lines, *blade, shape=shape, left="link_length = 40")
    inputs = [ref for ref in all_inputs(document) if "roll_bar" in ref.path and ref.value]

    def results(changes):
        bar = bar_of(varied(document, inputs, changes))
        return np.stack([np.broadcast_to(value, (len(inputs),)) for value in (bar.rate, bar.twist, bar.gap)])

    exact = np.imag(results(np.full(len(inputs), 1e-30j))) / 1e-30
    steps = np.array([max(abs(ref.value), 0.01) * 1e-5 for ref in inputs])
    rough = (results(steps) - results(-steps)) / (2 * steps)

    assert len(inputs) > 30
    for one, other in zip(exact, rough, strict=True):
        assert one == pytest.approx(other, rel=1e-5, abs=1e-6 * np.abs(one).max())


@pytest.mark.parametrize(
    ("lines", "shape", "place", "words"),
    [
        ((), "arm_end = [45, 500, 236]\n", "front.roll_bar.bend", '"bend" is missing'),
        ((), STRAIGHT + "centre_line = [[45, 500, 236], [260, 430, 220]]\n", "front.roll_bar.arm_end", "twice"),
        ((), "centre_line = [[45, 500, 236]]\n", "front.roll_bar.centre_line", "2 or more points"),
        ((), "centre_line = [[45, 500, 236], [260, -430, 220]]\n", "front.roll_bar.centre_line.2", "other side of the car"),
        (("bend_radius = [10, 20, 30]",), "centre_line = [[45, 500, 236], [260, 430, 220]]\n",
         "front.roll_bar.bend_radius", "found 3 for 2 points; allowed: 1 or 1"),
        (("bend_radius = 400",), "centre_line = [[45, 500, 236], [260, 430, 220]]\n", "front.roll_bar", "do not fit"),
        ((), "centre_line = [[45, 500, 236], [260, 430, 240]]\n", "front.roll_bar", "not on a straight piece"),
        (("holes = [0, 20]",), STRAIGHT, "front.roll_bar.hole", "found none; allowed: 1 to 2"),
        (("holes = [0, 20]", "hole = 3"), STRAIGHT, "front.roll_bar.hole", "found 3; allowed: 1 to 2"),
        (("hole = 1",), STRAIGHT, "front.roll_bar.hole", "no hole without a list"),
        (("blade_length = 100",), STRAIGHT, "front.roll_bar.blade_width", "is missing"),
        (("link_length = 500",), STRAIGHT, "front.roll_bar.link_length", "does not reach"),
        (
            ("blade_length = 300", "blade_width = 30", "blade_thickness = 6", "blade_angle = 0"), STRAIGHT,
            "front.roll_bar.blade_length", "longer than the straight end of the arm",
        ),
    ],
)  # fmt: skip
def test_a_bar_that_cannot_be_is_refused(lines, shape, place, words):
    with pytest.raises(InputProblems) as caught:
        told(*lines, shape=shape)
    found = {problem.place.split(" (")[0]: str(problem) for problem in caught.value.problems}

    assert words in found[place]

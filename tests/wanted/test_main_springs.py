"""Springs for a height, a frequency, a wheel rate: against closed forms, the planner, and the files read anew."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from jounce.behaviour.axle.motions import place_axle
from jounce.car.file.reading import parse_car
from jounce.car.file.rewriting import rewritten
from jounce.case.case import Case
from jounce.conventions.constants import GRAVITY
from jounce.job.file import parse_job
from jounce.layouts.naming import SIDES, named
from jounce.wanted.main_springs import longer_springs, raised_springs, spring_word, stiffer_springs
from jounce.wanted.seek import PartWish, sought
from jounce.wanted.stood import stand
from tests.wanted.demo_work import AXLES, EVERY_AXLE, found, read_anew, text_of, today, work_of

STEP = 1e-4  # of a wheel's travel for differences [m]


def lower(car, axle):
    before = today(car).lower(axle)
    return lambda stood: stood.lower(axle) - before


def measured_at(stood, axle, measures, more):
    """Measures of an axle with its left wheel a little higher than where the car stands."""
    model = stood.car.axles[AXLES.index(axle)].axle
    states = stood.states(axle)
    placed = place_axle(model.stand, axle, replace(states, left=states.left + np.asarray(more)))
    return model.stand.taken(measures).values(placed.pose)


def carried_by_coil(stood, axle, side="left"):
    """Force of a coil that stands alone between wheel and body, by virtual work over differences of whole positions [N]."""
    model = stood.car.axles[AXLES.index(axle)].axle
    names = [model.main[side].measure, named(axle, side, "road_height"), named(axle, side, "centre_height")]
    ways = (np.diff(measured_at(stood, axle, names, [-STEP, STEP]), axis=0) / (2 * STEP))[0]
    work = stood.sits.load[axle, side] * ways[1] - float(model.unsprung[side][0]) * GRAVITY * ways[2]
    return -work / ways[0], float(measured_at(stood, axle, names, [0.0])[0, 0])


@pytest.mark.parametrize("rate", [None, 38e3, 60e3])
@pytest.mark.parametrize(("car", "axle"), [("mallow-18", "rear"), ("sorrel-21", "front")])
def test_free_length_is_the_length_at_rest_and_force_over_rate(car, axle, rate):
    """``L0 = L + F / k`` (Shigley, 10th ed., 10-1; EN 13906-1) with the force by virtual work, on axles without a bar."""
    work = work_of(car)
    part = longer_springs(work, axle, today(car), rate)
    answer = found(part, lower(car, axle), 0.018)
    force, length = carried_by_coil(answer.stood, axle)
    own = rate or float(np.ravel(work.model(axle).main["left"].rate)[0])

    assert answer.value == pytest.approx(length + force / own, abs=2e-5 * force / own)


@pytest.mark.parametrize(("car", "axle"), [("mallow-18", "rear"), ("sorrel-21", "front")])
def test_rate_of_a_coil_is_that_of_the_wheel_by_the_square_of_the_ratio(car, axle):
    """``k_wheel = k r² + F dr/dz`` along the left wheel's own travel, all by differences of positions; a coil alone."""
    part = stiffer_springs(work_of(car), axle, today(car))
    wanted = 1.2 * today(car).of_wheels(axle, "wheel_rate")
    answer = found(part, lambda stood: stood.of_wheels(axle, "wheel_rate"), wanted)
    stood, model = answer.stood, work_of(car).model(axle)
    names = [model.main["left"].measure, named(axle, "left", "road_height"), named(axle, "left", "centre_height")]
    step = 2e-3
    below, here, above = measured_at(stood, axle, names, [-step, 0.0, step])
    slope, bend = (above - below) / (2 * step), (above - 2 * here + below) / step**2
    force, load = carried_by_coil(stood, axle)[0], stood.sits.load[axle, "left"]
    hanging = float(model.unsprung["left"][0]) * GRAVITY
    # The load follows from virtual work: P = (W c' + F(-l')) / h'; its change over the contact's rise is the rate.
    rises = answer.value * slope[0] ** 2 - force * bend[0] - load * bend[1] + hanging * bend[2]
    rate = rises / slope[1] ** 2

    assert rate == pytest.approx(stood.axles[axle].wheels["left"].wheel_rate, rel=2e-4)
    assert stood.of_wheels(axle, "wheel_rate") == pytest.approx(wanted, rel=1e-9)


@pytest.mark.parametrize("axle", AXLES)
@pytest.mark.parametrize("car", ["burnet-17", "bracken-16", "mallow-18"])
def test_file_with_the_rate_read_anew_has_the_frequency(car, axle):
    part = stiffer_springs(work_of(car), axle, today(car))
    answer = found(part, lambda stood: stood.of_wheels(axle, "ride_frequency"), 1.55)
    section = "leaf" if spring_word(work_of(car), axle) == "leaf" else "spring"
    anew = read_anew(car, **{f"{axle}__{section}__rate": answer.value / 1e3})

    assert anew.of_wheels(axle, "ride_frequency") == pytest.approx(1.55, rel=1e-9)
    assert anew.lower(axle) == pytest.approx(answer.stood.lower(axle), abs=1e-9)


def test_wire_of_that_rate_by_the_published_equation_has_the_frequency():
    """EN 13906-1 (and Shigley, 10-9): ``k = G d⁴ / (8 D³ n)``, solved for the wire and read anew in place of the rate."""
    part = stiffer_springs(work_of("burnet-17"), "rear", today("burnet-17"))
    answer = found(part, lambda stood: stood.of_wheels("rear", "ride_frequency"), 1.6)
    mean, turns, modulus = 0.105, 6.0, 78.5e9
    wire = (8 * mean**3 * turns * answer.value / modulus) ** 0.25
    of_spring = {"rate": None, "wire": wire * 1e3, "mean_diameter": mean * 1e3, "active_turns": turns}
    anew = read_anew("burnet-17", **{f"rear__spring__{key}": value for key, value in of_spring.items()})

    assert anew.of_wheels("rear", "ride_frequency") == pytest.approx(1.6, rel=1e-9)


@pytest.mark.parametrize(("car", "axle"), [("brisk-14", "front"), ("fescue-10", "front"), ("yarrow-12", "front")])
def test_diameter_of_a_torsion_bar_goes_by_the_fourth_power(car, axle):
    """Nothing is in series with these bars: the rate of the bar alone is ``pi G d⁴ / (32 L)`` (Shigley, 4-5)."""
    work = work_of(car)
    before = today(car).of_wheels(axle, "wheel_rate")
    read = lambda stood: stood.of_wheels(axle, "wheel_rate")  # noqa: E731
    part = stiffer_springs(work, axle, today(car))
    one, other = (found(part, read, before + more) for more in (2e3, 4e3))
    bar = work.section(axle).left.torsion_bar
    length, modulus = bar.active_length.value, bar.shear_modulus.value
    rates = [np.pi * modulus * d**4 / (32 * length) for d in (part.today, one.value, other.value)]

    # At one height and one load the wheel rate is straight in the bar's rate: equal steps of one are equal of the other.
    assert rates[2] - rates[1] == pytest.approx(rates[1] - rates[0], rel=1e-8)
    assert float(np.ravel(one.stood.car.axles[0].axle.main["left"].rate)[0]) == pytest.approx(rates[1], rel=1e-12)
    anew = read_anew(car, **{f"{axle}__torsion_bar__diameter": one.value * 1e3})
    assert read(anew) == pytest.approx(before + 2e3, rel=1e-9)


@pytest.mark.parametrize(("rate", "down"), [(17.0, 0.02), (24.0, 0.012), (30.0, 0.03)])
def test_planner_with_the_free_length_in_a_job_stands_as_low(rate, down):
    """Another way in: the job's own calculation of a car with a new coil of that rate and length and no threaded seat."""
    car = "brisk-14"
    part = longer_springs(work_of(car), "rear", today(car), rate * 1e3)
    answer = found(part, lower(car, "rear"), down)
    job = (
        '[job]\nname = "coils"\ncar = "brisk-14.toml"\n[wanted.front]\nlower = 0\n[wanted.rear]\nlower = 0\n'
        f"[change.rear.spring]\nrate = {rate}\nfree_length = {answer.value * 1e3!r}\n"
    )
    planned = Case(parse_car(text_of(car), car), parse_job(job, "job")).planned

    assert np.mean([planned.standing.sits.travel["rear", side] for side in SIDES]) == pytest.approx(down, abs=1e-8)


def test_a_pair_as_long_as_by_the_weights_leaves_the_car_where_it_is():
    """Asked for today's height, today's part: but for what the two coils differ by the weights, which a pair does not."""
    for car, axle in (("mallow-18", "rear"), ("burnet-17", "front")):
        part = longer_springs(work_of(car), axle, today(car))

        assert found(part, lower(car, axle), 0.0).value == pytest.approx(part.today, abs=2e-5)


@pytest.mark.parametrize(("car", "axle"), EVERY_AXLE)
def test_today_asked_for_is_todays_part(car, axle):
    work, stood = work_of(car), today(car)
    frequency = stood.of_wheels(axle, "ride_frequency")
    raised = found(raised_springs(work, axle), lower(car, axle), 0.0)
    part = stiffer_springs(work, axle, stood)
    stiffer = found(part, lambda stood: stood.of_wheels(axle, "ride_frequency"), frequency)

    assert raised.value == pytest.approx(0.0, abs=1e-9)
    assert stiffer.value == pytest.approx(part.today, rel=1e-8)


@pytest.mark.parametrize(("car", "axle"), EVERY_AXLE)
def test_lower_asks_for_less_and_the_slope_is_that_between_answers(car, axle):
    """Answers to neighbouring wishes are whole calculations too: their difference is the slope, turned round."""
    part = raised_springs(work_of(car), axle)
    wishes = np.array([-0.01, 0.0099, 0.01, 0.0101, 0.02])
    answers = [found(part, lower(car, axle), wish) for wish in wishes]
    values = [one.value for one in answers]

    assert np.all(np.diff(values) < 0)
    for one, wish in zip(answers, wishes, strict=True):
        assert lower(car, axle)(one.stood) == pytest.approx(wish, abs=1e-9)
    assert answers[2].slope == pytest.approx((wishes[3] - wishes[1]) / (values[3] - values[1]), rel=2e-4)


@pytest.mark.parametrize(("car", "axle"), EVERY_AXLE)
def test_stiffer_springs_leave_the_car_where_it_stands(car, axle):
    part = stiffer_springs(work_of(car), axle, today(car))
    before = today(car)
    answers = [
        found(
            part,
            lambda stood: stood.of_wheels(axle, "ride_frequency"),
            share * before.of_wheels(axle, "ride_frequency"),
        )
        for share in (0.95, 1.05, 1.15)
    ]

    assert np.all(np.diff([one.value for one in answers]) > 0)
    for one in answers:
        assert [one.stood.sits.travel[corner] for corner in before.sits.travel] == pytest.approx(
            list(before.sits.travel.values()), abs=1e-9
        )


def test_a_rate_out_of_reach_is_told_with_its_ends():
    part = stiffer_springs(work_of("burnet-17"), "rear", today("burnet-17"))
    result = sought(
        PartWish("f", "frequency", 7.5, lambda stood: stood.of_wheels("rear", "ride_frequency"), ("", "")), part
    )

    assert result.value is None
    assert result.tried[-1][0] == part.high
    assert result.tried[-1][1] == pytest.approx(stand(part.fitted(part.high)).of_wheels("rear", "ride_frequency"))


def test_threaded_seats_end_where_their_thread_ends():
    text = rewritten(
        text_of("burnet-17"), {f"rear.perch.{k}": v for k, v in {"lowest": -8, "highest": 12, "pitch": 2}.items()}
    )
    document = parse_car(text, "car")
    part = raised_springs(replace(work_of("burnet-17"), document=document), "rear")
    answer = found(part, lower("burnet-17", "rear"), 0.004)

    assert (part.low, part.high) == pytest.approx((-0.008, 0.012))
    assert part.also(answer.value, answer.stood)[0].value == pytest.approx(answer.value / 0.002)

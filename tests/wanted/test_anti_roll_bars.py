"""Anti-roll bars for a balance, a roll angle, wheel lift: by the fourth power, and the files read anew."""

from __future__ import annotations

import numpy as np
import pytest

from jounce.behaviour.road.corner import corner
from jounce.behaviour.road.feel import feel
from jounce.conventions.errors import Impossible
from jounce.conventions.units import DEG
from jounce.shelf.shelf import Shelf
from jounce.wanted.answered import answered
from jounce.wanted.anti_roll_bars import lifts_at, roll_angle, thicker_bar
from jounce.wanted.seek import PartWish
from jounce.wanted.wishes import WishedPart
from tests.wanted.demo_work import found, read_anew, today, work_of

ACROSS = 5.0
PLAIN = [("burnet-17", "front"), ("burnet-17", "rear"), ("tansy-11", "front"), ("yarrow-12", "front")]
"""Bars of which nothing gives but the steel: straight arms, links and bushes rigid."""
INNER = [("brisk-14", "rear"), ("teasel-15", "rear"), ("yarrow-12", "rear")]
"""Bars in a beam's tube."""


def key_of(car, axle):
    return f"{axle}__{'inner_bar' if (car, axle) in INNER else 'roll_bar'}__diameter"


@pytest.mark.parametrize(("car", "axle"), [*PLAIN, *INNER])
def test_share_by_the_parts_of_the_roll_stiffness_and_the_fourth_power(car, axle):
    """Without a try: what the bar's part of the roll stiffness has to become, its diameter by the fourth power."""
    stood = today(car)
    wanted = stood.front_share + (0.02 if axle == "front" else -0.02)
    own, other = (stood.axles[one] for one in ((axle, "rear") if axle == "front" else (axle, "front")))
    share = wanted if axle == "front" else 1 - wanted
    bar = own.roll_parts["inner bar" if (car, axle) in INNER else "anti-roll bar"]
    needed = share / (1 - share) * other.roll_stiffness - (own.roll_stiffness - bar)
    part = thicker_bar(work_of(car), axle)
    answer = found(part, lambda stood: stood.front_share, wanted)

    # A bar that is wound a little at rest shifts the car by some hundredths of a millimetre as it grows.
    assert answer.value == pytest.approx(part.today * (needed / bar) ** 0.25, rel=1e-5)
    assert part.also(answer.value, answer.stood)[1].value == pytest.approx((answer.value / part.today) ** 4, rel=1e-12)


@pytest.mark.parametrize(("car", "axle"), [("burnet-17", "rear"), ("brisk-14", "rear"), ("bracken-16", "front")])
def test_file_with_the_diameter_read_anew_has_share_and_angle(car, axle):
    read = roll_angle(ACROSS)
    part = thicker_bar(work_of(car), axle)
    share = today(car).front_share + (0.03 if axle == "front" else -0.03)
    for reading, wanted in ((lambda stood: stood.front_share, share), (read, 0.93 * read(today(car)))):
        answer = found(part, reading, wanted)
        anew = read_anew(car, **{key_of(car, axle): answer.value * 1e3})

        assert reading(anew) == pytest.approx(wanted, rel=1e-7)


def test_roll_angle_is_that_of_the_question_of_cornering():
    turned = corner(work_of("burnet-17").car, np.array([ACROSS, -ACROSS])).roll

    assert roll_angle(ACROSS)(today("burnet-17")) == pytest.approx((turned[0] - turned[1]) / 2, rel=1e-9)


@pytest.mark.parametrize(("car", "axle"), [("brisk-14", "front"), ("burnet-17", "front")])
def test_thicker_bar_for_less_roll_and_todays_for_todays(car, axle):
    read, part = roll_angle(ACROSS), thicker_bar(work_of(car), axle)
    now = read(today(car))
    answers = [found(part, read, share * now) for share in (1.02, 1.0, 0.95, 0.9)]

    assert np.all(np.diff([one.value for one in answers]) > 0)
    assert answers[1].value == pytest.approx(part.today, rel=1e-7)


def test_slope_is_that_between_answers():
    read, part = roll_angle(ACROSS), thicker_bar(work_of("burnet-17"), "front")
    wanted = 0.95 * read(today("burnet-17"))
    more = 0.01 * DEG
    low, here, high = (found(part, read, wanted + off) for off in (-more, 0.0, more))

    assert here.slope == pytest.approx(2 * more / (high.value - low.value), rel=1e-3)


def test_more_roll_than_without_the_bar_cannot_be():
    """What the springs alone give is told, and is the roll of the car with its bar taken off."""
    work = work_of("burnet-17")
    bare = roll_angle(ACROSS)(type(today("burnet-17"))(work.car.without({"anti-roll bar"}), today("burnet-17").sits))
    part = thicker_bar(work, "rear")
    told = answered(
        WishedPart(PartWish("roll", "angle", 8 * DEG, roll_angle(ACROSS), ("", "")), lambda: part), "metric", Shelf()
    )
    without = roll_angle(ACROSS)(type(today("burnet-17"))(part.bare[1](), today("burnet-17").sits))

    assert told.found is None
    assert told.cannot.startswith("Cannot: ")
    assert f"Without this anti-roll bar it is {without / DEG:.2f} deg" in told.cannot
    assert without < bare  # the front bar is still there


def test_an_axle_without_a_bar_is_told():
    with pytest.raises(Impossible, match="no anti-roll bar"):
        thicker_bar(work_of("mallow-18"), "rear")


@pytest.mark.validation_slow
def test_wheel_lift_is_what_a_driver_of_the_file_read_anew_would_feel():
    car, axle = "brisk-14", "rear"
    wanted = lifts_at(axle)(today(car)) - 0.3
    answer = found(thicker_bar(work_of(car), axle), lifts_at(axle), wanted)
    felt = feel(read_anew(car, **{key_of(car, axle): answer.value * 1e3}).car)[0]

    assert min(felt.left.rear_lift, felt.right.rear_lift) == pytest.approx(wanted, abs=1e-5)
    assert answer.value > 0.015

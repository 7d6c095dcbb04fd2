"""A bounced corner that a general solver steps: its spring, damping and friction come back, or it is said why not."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from jounce.conventions.errors import Impossible
from jounce.recordings.bounce import MOST_DAMPED, Bounce, bounced
from jounce.recordings.free_swing import Underneath
from jounce.recordings.sensor_csv import Recording, parse_recording
from tests.reference.bounced_car import Corner, as_csv, recorded

CASES = [(1.3, 0.17, 0.0), (1.3, 0.17, 60.0), (1.55, 0.3, 40.0), (1.85, 0.39, 60.0), (1.2, 0.33, 60.0)]


@cache
def found(frequency: float, ratio: float, friction: float, seed: int, rate: float, tyre: float = 1.0) -> Bounce:
    corner = Corner(frequency, ratio, friction)
    recording = parse_recording(as_csv(*recorded(corner, seed, rate)))
    return bounced(recording, Underneath(tyre * corner.tyre / corner.mass, corner.unsprung / corner.mass))


@pytest.mark.sweep
@pytest.mark.parametrize("rate", [100.0, 200.0])
@pytest.mark.parametrize("case", CASES)
def test_spring_damping_and_friction_come_back(case, rate):
    """Frequency within 3 %, damping ratio within 0.05, friction within 25 N: what a shop needs of it."""
    one = found(*case, 1, rate)

    assert [push.why_not for push in one.pushes] == [""] * 6
    assert one.frequency.value == pytest.approx(case[0], rel=0.03)
    assert one.ratio.value == pytest.approx(case[1], abs=0.05)
    assert one.friction.value * Corner(*case).mass == pytest.approx(case[2], abs=25)


@pytest.mark.validation_long
def test_what_is_stated_covers():
    """Forty garages, tyres off by up to a tenth that nobody knows of: each band holds the truth in 85 of 100 and more."""
    rng = np.random.default_rng(11)
    held = np.zeros(3)
    for seed in range(40):
        case = (rng.uniform(1.2, 1.9), rng.uniform(0.12, 0.4), rng.uniform(0.0, 60.0))
        one = found(*case, seed, float(rng.choice([100.0, 200.0])), float(rng.uniform(0.9, 1.1)))
        truth = (case[0], case[1], case[2] / Corner(*case).mass)
        told = (one.frequency, one.ratio, one.friction)
        held += [abs(got.value - true) <= got.plus_minus for got, true in zip(told, truth, strict=True)]
    assert (held >= 0.85 * 40).all(), held


def test_a_well_damped_car_is_told_as_such():
    assert found(1.4, 0.55, 20.0, 3, 100.0).well_damped
    assert not found(1.3, 0.17, 60.0, 1, 100.0).well_damped
    assert MOST_DAMPED == 0.4


def test_a_push_with_the_hand_on_the_car_is_left_out():
    """From the third push on a hand follows: the body creeps up as the hand lets it."""
    times, felt = recorded(Corner(1.3, 0.2, 20.0), 4)
    clean = parse_recording(as_csv(times, felt))
    third = [push.start for push in bounced(clean, WHEEL).pushes][2]
    after = (times > third + 0.1) & (times < third + 2.0)
    felt[after] += 1.4 * np.sin(2 * np.pi * 2.9 * (times[after] - third))[:, None] * [0, 0, 1]
    one = bounced(parse_recording(as_csv(times, felt)), WHEEL)

    assert one.pushes[2].why_not
    assert sum(not push.why_not for push in one.pushes) == 5
    assert one.frequency.value == pytest.approx(1.3, rel=0.03)


WHEEL = Underneath(170e3 / 240, 28 / 240)


def test_no_pushes_are_no_answer():
    rng = np.random.default_rng(1)
    time = np.arange(0, 20, 0.01)
    still = Recording(time, rng.normal((0.0, 0.0, 9.81), 0.03, (len(time), 3)))
    with pytest.raises(Impossible, match="pushes were followed by swings that agree"):
        bounced(still, WHEEL)


def test_the_logarithmic_decrement_is_nowhere():
    """It tells dry friction as damping, and the first peak of an acceleration lies beside its envelope."""
    one = found(1.3, 0.17, 60.0, 1, 100.0)
    times, felt = recorded(Corner(1.3, 0.17, 60.0), 1)
    upward = parse_recording(as_csv(times, felt)).vertical
    start = one.pushes[0].start
    swings = upward[(times >= start) & (times < start + 1.6)]
    peaks = [k for k in range(1, len(swings) - 1) if swings[k] > max(swings[k - 1], swings[k + 1]) and swings[k] > 0.3]
    decrement = np.log(swings[0] / swings[peaks[-1]])
    by_peaks = decrement / np.hypot(decrement, 2 * np.pi)

    assert abs(by_peaks - 0.17) > 2 * abs(one.ratio.value - 0.17)

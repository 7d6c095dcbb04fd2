"""A car driven round a circle: gradients come back from laps made by another route, or it is said why not."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from scipy.stats import binom

from jounce.conventions.errors import Impossible, InputError
from jounce.recordings.circle import CircleDrive, DrivenLaps, Unsure, circled, of_felt
from jounce.recordings.laps import FeltDrive, felt_laps
from jounce.recordings.sensor_csv import Recording, parse_recording
from jounce.recordings.watched_laps import watched
from tests.reference.driven_circle import GRAVITY, Circled, as_csv, driven

PER_G = float(np.degrees(1) * GRAVITY)
SURE = Unsure(1e-9, 1e-9)


def recorded(car: Circled, turn: float, seed: int, **how) -> Recording:
    """A recording without its file, every fourth sample."""
    time, felt, spin, steering = (one[::4] for one in driven(car, turn, seed, **how))
    return Recording(time, felt, (), spin, steering)


@cache
def by_files(seed: int) -> tuple[FeltDrive, FeltDrive]:
    texts = [as_csv(*driven(Circled(), turn, seed + k)) for k, turn in enumerate((1.0, -1.0))]
    left, right = (felt_laps(parse_recording(text), "it") for text in texts)
    return left, right


def test_roll_and_understeer_come_back_from_files():
    left, right = by_files(3)
    one = circled(of_felt((left, right), 30.0), "sensor", Unsure(0.003, 0.0025))

    assert (left.turn, right.turn) == (1.0, -1.0)
    assert left.driven == right.driven == 12
    assert one.roll.value * PER_G == pytest.approx(4.0, abs=0.5)
    assert one.steering.value * PER_G == pytest.approx(25.0, abs=0.8)
    assert one.roll.plus_minus * PER_G < 0.6
    assert abs(one.radius_felt) < 0.02


def test_without_strays_and_noise_they_are_those_put_in():
    """Slope of the ground, a sensor askew and beside the middle, and a gyroscope 3 % off fall out."""
    car = replace(Circled(), wobble=0.0, noise=0.0, steered_noise=0.0, scale=1.015, slope=np.radians(1.5))
    drives = [felt_laps(recorded(car, turn, 1), "it") for turn in (1.0, -1.0)]
    both = circled(of_felt(drives, 30.0), "sensor", SURE)

    assert both.roll.value * PER_G == pytest.approx(4.0, abs=0.06)
    assert both.steering.value * PER_G == pytest.approx(25.0, abs=0.3)


def exact(turn: float, across: float, roll: float, lean: float) -> DrivenLaps:
    """What a level aboard shows, by the components of what it feels."""
    rolled = roll * across
    felt = across * np.cos(rolled) + GRAVITY * np.sin(rolled)
    up = GRAVITY * np.cos(rolled) - across * np.sin(rolled)
    return DrivenLaps(turn, across, float(np.arctan2(felt, up)) + turn * lean, 1.5 + 0.3 * across + 0.1 * turn)


LAPS = tuple(exact(turn, across, 0.007, 0.04) for turn in (1.0, -1.0) for across in (0.5, 1.5, 3.0, 4.5))


def test_the_gradients_of_exact_laps_are_exact_and_the_sensors_lean_is_told():
    one = circled(LAPS, "sensor", SURE)

    assert (one.roll.value, one.lean) == pytest.approx((0.007, 0.04), rel=1e-9)
    assert one.steering.value == pytest.approx(0.3, rel=1e-9)
    assert one.roll.plus_minus < 1e-6


def test_a_radius_one_percent_off_is_worth_what_the_closed_form_says():
    """1 % of the radius: 57.3 · 0.01 = 0.57 degrees per g and 1 % of the roll itself, for small angles."""
    slow = tuple(exact(turn, across, 0.007, 0.0) for turn in (1.0, -1.0) for across in (0.5, 1.5, 2.0, 2.6))
    off = circled([replace(lap, across=lap.across * 0.99) for lap in slow], "sensor", SURE).roll
    exactly = circled(slow, "sensor", SURE).roll
    told = circled(slow, "sensor", Unsure(0.01)).roll

    assert (off.value - exactly.value) * PER_G == pytest.approx(0.573 + 0.01 * 0.007 * PER_G, rel=0.12)
    assert told.plus_minus / 1.6449 == pytest.approx(off.value - exactly.value, rel=0.05)


def test_the_line_is_that_of_a_general_solver_with_noise():
    rng = np.random.default_rng(4)
    laps = [replace(lap, angle=lap.angle + rng.normal(0, 0.002), steer=None) for lap in LAPS]
    turn, across, angle = np.array([(lap.turn, lap.across, lap.angle) for lap in laps]).T
    rolled = angle - np.arctan(across / GRAVITY)
    slope, *_ = np.linalg.lstsq(np.column_stack((turn * across, np.ones(len(turn)))), turn * rolled, rcond=None)[0]

    assert circled(laps, "sensor", SURE).roll.value == pytest.approx(slope, rel=1e-9)


@pytest.mark.parametrize(
    ("laps", "word"),
    [
        ([lap for lap in LAPS if lap.turn > 0], "no laps to the right"),
        ([lap for lap in LAPS if lap.turn < 0], "no laps to the left"),
        ([lap for lap in LAPS if lap.turn > 0 or lap.across > 2], "2 laps to the right"),
        ([replace(lap, across=3 + 0.1 * lap.across) for lap in LAPS], "too little"),
        ([replace(lap, across=0.5 * lap.across) for lap in LAPS], "too little"),
        ([replace(lap, across=5.5) for lap in LAPS], "faster than counts"),
    ],
)
def test_what_cannot_be_told_is_told_in_words(laps, word):
    with pytest.raises(Impossible, match=word):
        circled(laps, "sensor", SURE)


def test_friction_that_holds_the_body_is_seen():
    held = [replace(lap, angle=lap.angle - 0.008, steer=None) for lap in LAPS]
    rng = np.random.default_rng(1)
    scattered = [replace(lap, angle=lap.angle + rng.normal(0, 2e-4)) for lap in held]

    assert abs(circled(scattered, "sensor", SURE).bent) > 3


@pytest.mark.parametrize(("short", "word"), [(0.4, "not whole ones")])
def test_a_recording_that_stops_elsewhere_is_refused(short, word):
    with pytest.raises(Impossible, match=word):
        felt_laps(recorded(Circled(), 1.0, 2, across=(1.2, 3.0), short=short), "it")


def test_recordings_that_are_none_of_a_circle_are_refused():
    sound = recorded(Circled(), 1.0, 2, across=(1.2, 3.0))
    moving = sound.time > 10
    cut = Recording(sound.time[moving] - 10, sound.acceleration[moving], (), sound.turning[moving])
    back = Recording(sound.time, sound.acceleration, (), np.where((sound.time > 60)[:, None], -1, 1) * sound.turning)

    with pytest.raises(InputError, match="tells no turning"):
        felt_laps(replace(sound, turning=None), "it")
    with pytest.raises(InputError, match="no gravity"):
        felt_laps(replace(sound, acceleration=sound.acceleration - sound.acceleration.mean(axis=0)), "it")
    with pytest.raises(Impossible, match="begin and end with the car standing"):
        felt_laps(cut, "it")
    with pytest.raises(Impossible, match="turns both ways"):
        felt_laps(back, "it")
    with pytest.raises(Impossible, match="does not turn at all"):
        felt_laps(replace(sound, turning=np.zeros_like(sound.turning)), "it")


def test_laps_by_the_watch():
    laps, by = watched("left 3 laps 41.2 s roll 2.1 deg steer 95 deg", 30.0, "metric")
    tilted, aboard = watched("RIGHT 1 lap 20 s tilt -18.5°", 30.0, "metric")

    assert (by, aboard) == ("outside", "sensor")
    assert laps.across == pytest.approx(30 * (6 * np.pi / 41.2) ** 2)
    assert (laps.angle, laps.steer) == pytest.approx((np.radians(2.1), np.radians(95)))
    assert (tilted.turn, tilted.angle) == pytest.approx((-1.0, np.radians(-18.5)))


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ("left 2.5 laps 41 s roll 2 deg", "not whole laps"),
        ("left 0 laps 41 s roll 2 deg", "not whole laps"),
        ("straight 2 laps 41 s roll 2 deg", "not understood"),
        ("left 2 laps 41 s", "Nothing was seen"),
        ("left 2 laps 41 s roll 2 deg roll 3 deg", "not understood"),
        ("left 2 laps 41 s roll 2 deg tilt 3 deg", "both told"),
        ("left 2 laps 41 s roll 60 deg", "out of range"),
        ("left 2 laps 4 s roll 2 deg", "No car corners so fast"),
        ("left 2 laps 41 s roll nonsense", "nonsense"),
    ],
)
def test_laps_that_are_not_understood(text, word):
    with pytest.raises(InputError, match=word):
        watched(text, 30.0, "metric")


@pytest.mark.validation_long
def test_what_is_stated_covers_the_circle():
    """Sixty drives of other cars: so many bands hold as nine of ten would in all but one of a hundred such trials."""
    rng = np.random.default_rng(12)
    held = np.zeros(2, int)
    for seed in range(60):
        roll, more = rng.uniform(2, 7), rng.uniform(-10, 40)
        car = Circled(
            roll=np.radians(roll) / GRAVITY, steer_more=np.radians(more) / GRAVITY, slope=np.radians(rng.uniform(0, 1)),
            wider=rng.normal(0, 0.0025), scale=rng.normal(1, 0.005), radius=30 * (1 + rng.normal(0, 0.003)),
            askew=(*rng.uniform(-0.15, 0.15, 2), rng.uniform(-3, 3)),
        )  # fmt: skip
        drives = [felt_laps(recorded(car, turn, 2 * seed + (turn > 0)), "it") for turn in (1.0, -1.0)]
        one: CircleDrive = circled(of_felt(drives, 30.0), "sensor", Unsure(0.003, 0.0025))
        for k, (got, true) in enumerate(((one.roll, roll), (one.steering, more))):
            held[k] += abs(got.value * PER_G - true) <= got.plus_minus * PER_G
    assert (held >= binom.ppf(0.01, 60, 0.9)).all(), held

"""A fitted car: exact slopes, a second method for its mean and bands, simulated garages for bands and flags."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from scipy.optimize import least_squares

from jounce.conventions.certainty import DEVIATIONS_SHOWN
from jounce.conventions.errors import Impossible, InputError, NotConverged
from jounce.fit.axle_figures import AxleFigure, AxleFigures
from jounce.fit.car_fit import answers_for, fit_car
from jounce.fit.car_values import CarValues, at_values, figure_of
from jounce.fit.next_reading import variance_gains
from jounce.fit.planning import Planning
from jounce.fit.readings import GarageReading, ReadingPlace
from jounce.fit.unknowns import known_of, unknowns
from tests.fit.simulated import EVERY, FIVE, NOT_KNOWN, THIRTEEN, document, garage, read

REAR = (
    ReadingPlace("toe", "rear", "right", bump=-0.03),
    ReadingPlace("camber", "rear", "left", bump=0.02),
    ReadingPlace("total-toe", "rear", bump=0.02),
    ReadingPlace("coil-compressed", "rear", "left"),
    ReadingPlace("sink", "rear", load=80.0),
    ReadingPlace("bounce-frequency", "rear"),
    ReadingPlace("roll-stiffness", "rear"),
)
ABOARD = (
    ReadingPlace("height", "front", "left", aboard=(("boot", 60.0),)),
    ReadingPlace("height", "rear", "right", aboard=(("passenger", None), ("boot", 20.0))),
    ReadingPlace("scale", "rear", "left", aboard=(("passenger", 80.0),)),
    ReadingPlace("roll-gradient", aboard=(("passenger", 80.0),)),
    ReadingPlace("height", "rear", "left"),
    ReadingPlace("scale", "front", "right"),
    ReadingPlace("length", points=("front.pivots.tie_rod_inner", "front.pivots.tie_rod_outer")),
)
WIDE = {**NOT_KNOWN, "rear.spring.rate": "15 %", "rear.inner_bar.diameter": "1 mm"}
COILS = {"front.spring.rate": "15 %", "rear.spring.rate": "15 %", "front.wheel.tyre_rate": "16 %"}
DOUBLE = (
    *(one for one in EVERY if one.what not in ("bar-twist", "sink")),
    ReadingPlace("spring-length", "front", "left", bump=0.03),
    ReadingPlace("sink", "front", load=50.0),
)
LAYOUTS = {
    "brisk-14": ((*EVERY, *REAR, *ABOARD), WIDE),
    "comfrey-20": ((*DOUBLE, *REAR), COILS),
    "teasel-15": ((*DOUBLE, *REAR), COILS),
}


@pytest.mark.parametrize("name", LAYOUTS)
def test_slopes_are_the_differences_of_whole_calculations(name) -> None:
    """Along a few directions in which all inputs move at once; central differences of fourth order."""
    places, wider = LAYOUTS[name]
    car = document(name)
    inputs = unknowns(car, wider)
    known, model = known_of(inputs), CarValues(car, inputs, places)
    slopes = model(known.values).slopes
    scatter = np.random.default_rng(5)
    for _ in range(3):
        way = 0.02 * known.deviations * scatter.standard_normal(len(inputs))
        moved = {n: model(known.values + n * way).values for n in (-2, -1, 1, 2)}
        difference = (8 * (moved[1] - moved[-1]) - (moved[2] - moved[-2])) / 12
        largest = np.linalg.norm(slopes * way, axis=1)

        assert np.abs(slopes @ way - difference) == pytest.approx(0, abs=1e-6 * largest.max())
        assert (np.abs(slopes @ way - difference) < 1e-6 * largest + 1e-12).all()


def test_mean_and_bands_are_those_of_a_general_minimiser() -> None:
    """SciPy's trust-region method on the same sum of squares, its slopes differences of many cars at once."""
    car = document()
    told = garage(car, NOT_KNOWN, FIVE, [], 1, 11)
    fit = fit_car(car, read(FIVE, told.readings[:, 0], [0.4, -1.0, 0.8, -0.5, 1.1]), NOT_KNOWN)
    known, readings, count = fit.used.known, fit.used.readings, len(fit.inputs)

    def misses(columns):
        many = at_values(car, fit.inputs, (known.values + columns * known.deviations).T)
        axle = AxleFigures(many, "front")
        seen = np.array([np.broadcast_to(axle.value(figure_of(one, axle)), len(columns)) for one in FIVE])
        return np.concatenate(((readings.values[:, None] - seen) / readings.whole_deviations[:, None], columns.T))

    def slopes(x):
        step = 1e-3
        both = misses(np.concatenate((x + step * np.eye(count), x - step * np.eye(count))))
        return (both[:, :count] - both[:, count:]) / (2 * step)

    other = least_squares(
        lambda x: misses(x[None])[:, 0], np.zeros(count), jac=slopes, xtol=1e-10, ftol=1e-13, gtol=1e-10
    )
    scaled = fit.used.root / known.deviations[:, None]

    assert np.abs(fit.used.moved - other.x).max() < 2e-4
    assert 2 * other.cost == pytest.approx(fit.used.chi_square, rel=1e-6)
    assert scaled @ scaled.T == pytest.approx(np.linalg.inv(other.jac.T @ other.jac), abs=1e-4)


def test_an_unknown_bar_is_known_from_five_readings_and_bump_steer_from_thirteen() -> None:
    car = document()
    told = garage(car, NOT_KNOWN, THIRTEEN, [], 1, 2)
    five = fit_car(car, read(FIVE, told.readings[:5, 0], np.zeros(5)), NOT_KNOWN)
    thirteen = fit_car(car, read(THIRTEEN, told.readings[:, 0], np.zeros(13)), NOT_KNOWN)

    def narrower(fit):
        names = [one.name for one in fit.answers]
        return dict(zip(names, fit.sure_before.plus_minus / fit.sure_after.plus_minus, strict=True))

    assert narrower(five)["front.main_rate"] > 5
    assert narrower(five)["front.wound_up"] > 5
    assert narrower(five)["front.bump_steer"] == pytest.approx(1, abs=0.02)
    assert narrower(thirteen)["front.bump_steer"] > 2.5
    assert five.belongs
    assert five.left_out == ()


def test_a_driven_circle_tells_an_anti_roll_bar_that_nobody_measured() -> None:
    """A bar 2.5 mm thicker than the file says; roll hangs on the height of the centre of gravity as well."""
    car, wider = document(), {"front.roll_bar.diameter": "3 mm", "mass.centre_of_gravity_height": "8 mm"}
    inputs, place = unknowns(car, wider), ReadingPlace("roll-gradient")
    true = known_of(inputs).values.copy()
    true[[one.path for one in inputs].index("front.roll_bar.diameter")] += 0.0025
    driven = float(CarValues(car, inputs, [place])(true).values[0])
    fit = fit_car(car, [GarageReading(place, driven, float(np.radians(0.3)) / 9.80665)], wider)
    names = [one.name for one in fit.answers]
    stiffness, roll = names.index("front.roll_stiffness"), names.index("car.roll_gradient")
    narrower = fit.sure_before.plus_minus[[stiffness, roll]] / fit.sure_after.plus_minus[[stiffness, roll]]
    moved = fit.used.values - fit.used.known.values

    assert {one.axle for one in fit.answers} == {"front", "rear", None}
    assert (narrower > 2).all()
    assert moved[[one.path for one in fit.inputs].index("front.roll_bar.diameter")] == pytest.approx(0.0025, abs=0.0005)


def test_the_next_reading_of_a_whole_car_keeps_what_it_promises() -> None:
    """Planned only where the height of the centre of gravity is among the unknowns: its own answer sees to it."""
    car, wider = document(), {"front.roll_bar.diameter": "3 mm"}
    both, front = fit_car(car, [], wider), fit_car(car, read(FIVE, np.ones(5), np.zeros(5))[:1], wider)
    planning = Planning(both)
    roll = [one.name for one in both.answers].index("car.roll_gradient")
    place = ReadingPlace("roll-gradient")
    number = planning.places.index(place)
    slopes, root = planning.slopes[roll], planning.root
    gain = variance_gains(root, slopes, planning.might)[number]
    promised = DEVIATIONS_SHOWN * np.sqrt(np.linalg.norm(slopes @ root) ** 2 - gain)
    taken = GarageReading(place, float(planning.seen.values[number]), planning.plus_minus[number])

    assert promised < 0.8 * both.sure_after.plus_minus[roll]
    assert fit_car(car, [taken], wider).sure_after.plus_minus[roll] == pytest.approx(promised, rel=1e-3)
    assert place not in Planning(front).places


def test_what_no_number_with_a_plus_minus_reaches_asks_for_no_reading() -> None:
    """A beam on leaves steers and cambers with no pivot: what rounding leaves of slopes is no band to be narrowed."""
    planning = Planning(fit_car(document("bracken-16"), [], {}))
    names = [one.name for one in planning.fit.answers]
    for name in ("rear.bump_camber", "rear.toe_lower", "rear.main_rate"):
        assert planning.fit.sure_before.plus_minus[names.index(name)] == 0
        assert planning.steps(names.index(name), 3) == []
        assert planning.idle(names.index(name)) == len(planning.places)
    assert planning.fit.sure_before.plus_minus[names.index("rear.roll_centre_height")] > 1e-4
    assert planning.steps(names.index("rear.roll_centre_height"), 1)


def test_what_is_read_as_the_file_says_moves_nothing() -> None:
    car = document()
    inputs = unknowns(car, NOT_KNOWN)
    seen = CarValues(car, inputs, THIRTEEN)(known_of(inputs).values).values
    fit = fit_car(car, read(THIRTEEN, seen, np.zeros(13)), NOT_KNOWN)

    assert np.abs(fit.used.moved).max() < 1e-9
    assert fit.sure_after.values == pytest.approx(fit.sure_before.values)


def test_a_gross_error_is_named_left_out_and_does_no_harm() -> None:
    car = document()
    told = garage(car, NOT_KNOWN, EVERY, [], 1, 8)
    errors = np.random.default_rng(4).standard_normal(25)
    sound = fit_car(car, read(EVERY, told.readings[:, 0], errors), NOT_KNOWN)
    spoilt = fit_car(car, read(EVERY, told.readings[:, 0], errors, gross=12.0 * np.eye(25)[7]), NOT_KNOWN)
    bump_steer = [one.name for one in sound.answers].index("front.bump_steer")

    assert sound.left_out == ()
    assert spoilt.left_out == (7,)
    assert spoilt.belongs
    band = sound.sure_after.plus_minus[bump_steer]
    assert abs(spoilt.sure_after.values[bump_steer] - sound.sure_after.values[bump_steer]) < band


def test_ten_heights_by_one_tape_are_not_ten_heights() -> None:
    """By hand: known to ± 2 mm, read ten times to ± 2 mm half of the variance the tape's and floor's."""
    car = document()
    height = ReadingPlace("height", "front", "left")
    inputs = unknowns(car, {})
    found = CarValues(car, inputs, [height])(known_of(inputs).values).values[0]
    fit = fit_car(car, [GarageReading(height, float(found), 2e-3)] * 10, {})
    own = [one.path for one in fit.inputs].index("heights.front_left")

    assert float(np.sqrt(fit.used.covariance[own, own])) == pytest.approx(
        1e-3 * (1 + 1 / (0.5 + 0.05)) ** -0.5, rel=1e-6
    )


def test_readings_of_another_car_do_not_belong() -> None:
    car = document()
    seen = CarValues(car, unknowns(car, NOT_KNOWN), THIRTEEN)(known_of(unknowns(car, NOT_KNOWN)).values).values
    fit = fit_car(car, read(THIRTEEN, seen, [9.0, -9.0] * 6 + [9.0]), NOT_KNOWN)

    assert not fit.belongs


def test_a_reading_that_an_axle_has_not_is_refused_with_its_place() -> None:
    wrong = [GarageReading(ReadingPlace("bar-twist", "rear", "left"), 0.3, 0.02)]
    with pytest.raises(InputError, match="rear left bar twist: The rear axle has no such reading"):
        fit_car(document(), wrong, {})


def test_a_height_that_the_linkage_does_not_reach_is_told_in_words() -> None:
    wrong = [GarageReading(ReadingPlace("toe", "front", "left", bump=0.24), 0.0, 0.001)]
    with pytest.raises(Impossible, match=r"front left toe, wheels 240\.0 mm up: The front wheels do not reach"):
        fit_car(document(), wrong, {})


def test_readings_that_no_number_with_a_plus_minus_reaches_are_refused() -> None:
    alone = [GarageReading(ReadingPlace("tyre-rate", "front", "left"), 170e3, 9e3)]
    with pytest.raises(InputError, match="anything to do with what was read"):
        fit_car(document(), alone, {})


def test_a_slip_that_no_numbers_suit_is_named_in_words() -> None:
    """Centimetres taken for millimetres: no spring is so soft."""
    car = document()
    inputs = unknowns(car, NOT_KNOWN)
    seen = CarValues(car, inputs, FIVE)(known_of(inputs).values).values
    slipped = read(FIVE, seen, np.zeros(5))
    slipped[3] = replace(slipped[3], value=10 * slipped[3].value)
    with pytest.raises(NotConverged, match=r"front sink, 100\.0 kg put on: .* times what both ± leave open"):
        fit_car(car, slipped, NOT_KNOWN)


def test_two_pivots_in_one_place_are_no_length() -> None:
    twice = ReadingPlace("length", points=("front.roll_bar.arm_end", "front.roll_bar.arm_end"))
    with pytest.raises(InputError, match="Both pivots lie in one place"):
        fit_car(document(), [GarageReading(twice, 0.3, 0.001)], {})


# ---- what bands and flags promise, on simulated garages


@cache
def fits(cars, seed, gross):
    """Cars with all 25 readings fitted, with how far off each answer is; a gross error of 8 deviations in a random one."""
    car = document()
    answers = answers_for(car, read(EVERY, np.ones(25), np.zeros(25)))
    told = garage(car, NOT_KNOWN, EVERY, [one.figure for one in answers], cars, seed)
    scatter = np.random.default_rng(seed + 1)
    found = []
    for k in range(cars):
        errors, slip = scatter.standard_normal(25), np.zeros(25)
        wrong = int(scatter.integers(25)) if gross else None
        if wrong is not None:
            slip[wrong] = 8.0 * scatter.choice([-1.0, 1.0])
        fit = fit_car(car, read(EVERY, told.readings[:, k], errors, slip), NOT_KNOWN)
        off = (told.answers[:, k] - fit.sure_after.values) / fit.sure_after.plus_minus
        found.append((fit, wrong, off))
    return found


def test_bands_hold_nine_of_ten_in_a_few_cars() -> None:
    """Eight cars, eleven answers that hang together: three standard deviations of what chance alone does."""
    found = fits(8, 20, gross=False)
    inside = np.abs(np.array([off for _, _, off in found])) <= 1

    assert inside.mean() > 0.75
    assert np.sqrt(np.mean([(off * DEVIATIONS_SHOWN) ** 2 for _, _, off in found])) == pytest.approx(1, abs=0.35)


@pytest.mark.validation_long
def test_bands_hold_nine_of_ten() -> None:
    found = fits(100, 30, gross=False)
    inside = np.abs(np.array([off for _, _, off in found])) <= 1

    assert inside.shape[1] >= 10
    assert 0.87 <= inside.mean() <= 0.93
    assert inside.mean(axis=0).min() >= 0.82
    assert inside.mean(axis=0).max() <= 0.97


@pytest.mark.validation_long
def test_false_alarms_are_rare_and_gross_errors_are_named() -> None:
    alarms = np.mean([bool(fit.left_out) for fit, _, _ in fits(100, 30, gross=False)])
    named = np.mean([fit.left_out == (wrong,) for fit, wrong, _ in fits(100, 50, gross=True)])
    other = np.mean([bool(fit.left_out) and wrong not in fit.left_out for fit, wrong, _ in fits(100, 50, gross=True)])

    assert alarms <= 0.05
    assert named >= 0.85
    assert other <= 0.03


@pytest.mark.validation_long
def test_a_systematic_error_that_readings_share_is_not_caught() -> None:
    """Rate 10 % too high and bounce 5 % too fast suit each other: the bar's band misses, and mostly nothing is flagged."""
    car = document()
    rate = AxleFigure("front", "main_rate")
    told = garage(car, NOT_KNOWN, EVERY, [rate], 24, 70)
    scatter = np.random.default_rng(71)
    held, flagged = [], []
    for k in range(24):
        values = told.readings[:, k].copy()
        values[2] *= 1.05
        values[3] /= 1.10
        fit = fit_car(car, read(EVERY, values, scatter.standard_normal(25)), NOT_KNOWN)
        own = [one.figure for one in fit.answers].index(rate)
        held.append(abs(told.answers[0, k] - fit.sure_after.values[own]) <= fit.sure_after.plus_minus[own])
        flagged.append(bool(fit.left_out) or not fit.belongs)

    assert np.mean(held) < 0.8
    assert np.mean(flagged) < 0.5


def test_figures_of_many_cars_at_once_are_those_of_each() -> None:
    """The simulated garage itself: a car out of many is the car alone."""
    car = document()
    inputs = unknowns(car, NOT_KNOWN)
    known = known_of(inputs)
    scatter = np.random.default_rng(9).standard_normal((len(inputs), 3))
    told = garage(car, NOT_KNOWN, FIVE, [AxleFigure("front", "roll_stiffness")], 3, 9)
    alone = CarValues(car, inputs, FIVE)(known.values + known.deviations * scatter[:, 1]).values

    assert told.readings[:, 1] == pytest.approx(alone, rel=1e-9)
    assert AxleFigures(car, "front").value(AxleFigure("front", "roll_stiffness"))[0] > 0

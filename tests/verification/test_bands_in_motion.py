"""Bands of cornering and braking against a simulation: drawn cars, each put to rest in the turn by its own forces.

As in `test_coverage`: a band says nine of ten, from 86 to 94 is three standard deviations of 500 draws each way.
"""

from __future__ import annotations

import re
from functools import cache

import numpy as np
import pytest
from typer.testing import CliRunner

from jounce.behaviour.axle.static import loaded
from jounce.behaviour.bands import FoundCar, RestPlace, Slopes, settings_of
from jounce.behaviour.bands_in_motion import felt_with_bands, straight_ahead_bands
from jounce.behaviour.bands_of_ride import ride_bands, ride_numbers, swinging_cars
from jounce.behaviour.ride.dampers import at_swinging, dampers_of
from jounce.behaviour.ride.inertia import body_inertia, whole_inertia
from jounce.behaviour.ride.modes import modes
from jounce.behaviour.ride.small_motions import small_motions
from jounce.behaviour.road.brake import straight_ahead
from jounce.behaviour.road.corner import LINEAR_TO
from jounce.behaviour.road.equilibrium import at_rest
from jounce.behaviour.road.feel import BRISK, HARD_BRAKE, feel
from jounce.behaviour.road.loading import steady
from jounce.behaviour.road.of_document import car_of
from jounce.car.file.reading import parse_car, read_car
from jounce.car.mechanics.assembly import axle_model
from jounce.car.mechanics.model import AXLES
from jounce.cli.app import commands
from jounce.conventions.constants import GRAVITY
from jounce.questions.cornering import cornering_table
from jounce.questions.ride_tables import SWING_SPEED
from jounce.sheets.corner_feel import feel_table
from tests.house.places import ROOT
from tests.simulated import Many, drawn
from tests.verification.test_coverage import demo_job

MANY = 500
SEED = 20261129


@cache
def as_found():
    return FoundCar(read_car(ROOT / "src" / "jounce" / "demo" / "yarrow-12.toml")), RestPlace(np.zeros(7), {})


CARS = {"a job": demo_job, "as found": as_found}


@cache
def told(name):
    """The car as it is with its bands, its sweep, its braking at three decelerations, and many drawn cars."""
    car, place = CARS[name]()
    many = Many(car, place, MANY, SEED)
    found = feel(many.still)
    return felt_with_bands(car, place, found), found[1], many


def freedoms(sweep, across):
    return sweep.states.freedoms[np.argmin(np.abs(sweep.acting.across - across))]


def moved(rest):
    """Load moved to the right-hand wheels of each axle."""
    return 0.5 * (rest.load[:, :, 1] - rest.load[:, :, 0])


def steer(rest):
    return np.arctan2(-rest.axis[..., 0], rest.axis[..., 1]).mean(axis=2)


def drawn_turn(name, turn):
    """The numbers of one turn of all drawn cars, each (cars,)."""
    _, sweep, many = told(name)
    still, standing = many.at_rest(many.place.freedoms)
    gentle, _ = many.at_rest(freedoms(sweep, turn * LINEAR_TO), turn * LINEAR_TO)
    _, brisk = many.at_rest(freedoms(sweep, turn * BRISK), turn * BRISK)
    transfer = moved(brisk) - moved(standing)
    turned = (steer(brisk) - steer(standing)) * turn
    outside = 1 if turn > 0 else 0
    return {
        "roll_gradient": (gentle[:, 2] - still[:, 2]) / LINEAR_TO * turn,
        "front_share": transfer[:, 0] / transfer.sum(axis=1),
        "outer_front_camber": np.arcsin(brisk.axis[:, 0, outside, 2]) * (-1.0, 1.0)[outside],
        "front_steer": -turned[:, 0],
        "rear_steer": turned[:, 1],
        "jacking": brisk.body_centre[:, 2] - standing.body_centre[:, 2],
    }


@pytest.mark.sweep(2)
@pytest.mark.parametrize("turn", [1.0, -1.0], ids=["left", "right"])
@pytest.mark.parametrize("name", CARS)
def test_nine_of_ten_drawn_cars_turn_inside_every_band(name, turn):
    felt = told(name)[0]
    one = felt.left if turn > 0 else felt.right
    inside = {
        result: np.mean(np.abs(values - getattr(one, result)) <= one.bands[result])
        for result, values in drawn_turn(name, turn).items()
    }

    assert set(inside) == {result for result in one.bands if "lift" not in result}
    assert len(inside) == 6
    assert {result: share for result, share in inside.items() if not 0.86 <= share <= 0.94} == {}


@pytest.mark.parametrize(
    ("name", "turn", "part", "share", "room"),
    [("a job", 1.0, 0.5, 0.205, 0.054), ("as found", -1.0, 1.0, 0.05, 0.029)],
)
def test_inside_wheels_lift_before_their_band_as_seldom_as_it_says(name, turn, part, share, room):
    """One in twenty before a band, 20.5 in a hundred before half of it: normal distribution, 1.645 and 0.822 deviations.

    A drawn car that finds no rest there has lifted its wheel before. ``room`` is three deviations of 500 draws.
    """
    felt, sweep, many = told(name)
    one, wheel = (felt.left, 0) if turn > 0 else (felt.right, 1)
    size = one.limits.rear - part * one.bands["rear_lift"]
    near = at_rest(many.still, steady(turn * size), freedoms(sweep, turn * size)[None]).freedoms[0]
    _, rest, rests = many.put_to_rest(near, turn * size, 0.0, 40)
    lifted = ~rests | (rest.load[:, 1, wheel] <= 0)

    assert np.mean(lifted) == pytest.approx(share, abs=room)


@pytest.mark.parametrize("name", CARS)
def test_nine_of_ten_drawn_cars_brake_inside_every_band(name):
    _, _, many = told(name)
    car, place = CARS[name]()
    told_ahead = straight_ahead(many.still, np.array([-0.4 * GRAVITY, -HARD_BRAKE]))
    bands = straight_ahead_bands(car, place, told_ahead)
    still, _ = many.at_rest(place.freedoms)
    inside = {}
    for k, ahead in enumerate(told_ahead.acting.ahead):
        at, rest = many.at_rest(told_ahead.states.freedoms[k], 0.0, ahead)
        numbers = {"pitch": (at[:, 1] - still[:, 1], told_ahead.pitch[k])}
        for axle, end in enumerate(AXLES):
            travel = (at - still)[:, 3 + 2 * axle : 5 + 2 * axle].mean(axis=1)
            numbers[f"{end}_travel"] = travel, told_ahead.travel[k, axle]
            numbers[f"{end}_load"] = rest.load[:, axle].sum(axis=1), told_ahead.load[k, axle]
            used = (np.abs(rest.ahead[:, axle]) / rest.load[:, axle]).max(axis=1)
            numbers[f"{end}_used"] = used, told_ahead.friction_used[k, axle]
        for result, (values, centre) in numbers.items():
            inside[result, k] = np.mean(np.abs(values - centre) <= bands[result][k])

    assert {result: share for result, share in inside.items() if not 0.86 <= share <= 0.94} == {}


@pytest.mark.parametrize("name", CARS)
def test_nine_of_ten_drawn_cars_swing_inside_every_band(name):
    """Frequencies and damping ratios of each drawn car where it rests by its own forces."""
    car, place = CARS[name]()
    many = told(name)[2]
    at, _ = many.at_rest(place.freedoms)
    own = body_inertia(many.still, whole_inertia(car.document))
    motions = small_motions(many.still, own)
    damping = {corner: at_swinging(curve, SWING_SPEED) for corner, curve in dampers_of(car.document).curves.items()}
    assert name != "a job" or len(damping) == 4
    known = damping if len(damping) == 4 else None
    bands, still = ride_bands(car, Slopes(car, place), motions, known), ride_numbers(motions, known)
    drawn = [ride_numbers(one, known) for one in swinging_cars(motions, (many.drawn.document, many.models, place), at)]
    inside = {
        result: np.mean([abs(one[result] - still[result]) <= band for one in drawn]) for result, band in bands.items()
    }

    assert {"heave", "pitch", "roll", "front", "ends"} <= set(inside)
    assert known is None or {"heave.ratio", "front wheels hop together.ratio"} <= set(inside)
    assert {result: share for result, share in inside.items() if not 0.86 <= share <= 0.94} == {}


def test_a_car_among_many_swings_as_it_does_alone():
    """One drawn car linearised by itself, from its own rest; another way than all of them at once."""
    car, place = demo_job()
    random = np.random.default_rng(11)
    one = drawn(car, [float(random.normal()) for _ in car.inputs])
    models = [one.axle(axle) for axle in AXLES]
    settings = {k: float(v[0]) for model in models for k, v in settings_of(model, place.adjusted).items()}
    road = car_of(one.document, *models, settings)
    alone = small_motions(road, body_inertia(road, whole_inertia(one.document)))
    many = told("a job")[2]
    motions = small_motions(many.still, body_inertia(many.still, whole_inertia(car.document)))
    (among,) = swinging_cars(motions, (one.document, dict(zip(AXLES, models, strict=True)), place), alone.rest.freedoms)
    curves = dampers_of(car.document).curves
    damping = {corner: at_swinging(curve, SWING_SPEED) for corner, curve in curves.items()}

    assert ride_numbers(among, damping) == pytest.approx(ride_numbers(alone, damping), rel=1e-7)


def test_hard_braking_has_the_bands_of_the_same_state_on_the_way():
    car, place = as_found()
    felt, _, many = told("as found")
    bands = straight_ahead_bands(car, place, straight_ahead(many.still, np.array([-HARD_BRAKE])))

    for name, same in (("dive", "pitch"), ("nose", "front_travel"), ("tail", "rear_travel")):
        assert felt.bands[name] == pytest.approx(bands[same][0], rel=1e-6)


def test_tables_and_sheets_tell_the_bands_and_what_they_mean():
    felt = told("as found")[0]
    table = cornering_table("in a corner", {"found": felt})
    roll = next(row for row in table.rows if row.name == "roll gradient")
    on_paper = next(row for row in feel_table({"as found": felt}, "metric").rows if row[0].startswith("roll gradient"))

    assert roll.bands == (felt.left.bands["roll_gradient"], felt.right.bands["roll_gradient"])
    assert table.as_json()["rows"][0]["plus_minus"] == list(roll.bands)
    assert any("9 of 10" in remark for remark in table.remarks)
    assert all(" ± 0." in cell for cell in on_paper[1:])


def test_the_command_for_braking_tells_bands():
    file = str(ROOT / "src" / "jounce" / "demo" / "yarrow-12.toml")
    shown = CliRunner().invoke(commands, ["brake", file, "--at", "-0.3 g"]).stdout

    assert re.search(r"nose-down pitch, deg +\d\.\d\d ± 0\.\d\d\n", shown)
    assert "± holds the true value in 9 of 10 cases" in shown


def test_a_mode_that_is_as_much_heave_as_pitch_keeps_its_name_where_bands_are_worked_out():
    """A front that all but stands on its stops: another name for either mode would tell 3 Hz as a band."""
    text = (ROOT / "src" / "jounce" / "demo" / "tansy-11.toml").read_text("utf-8")
    hard = text.replace("[front.spring]\nrate = 18", '[front.spring]\nrate = "230 ± 15 N/mm"')
    car = FoundCar(parse_car(hard, "hard.toml"))
    models = [loaded(axle_model(car.document, axle))[0] for axle in AXLES]
    road = car_of(car.document, *models, {})
    motions = small_motions(road, body_inertia(road, whole_inertia(car.document)))
    bands = ride_bands(car, Slopes(car, RestPlace(np.zeros(7), {})), motions, None)

    assert {mode.name: mode.share for mode in modes(motions)}["heave"] == pytest.approx(0.5, abs=0.01)
    assert 0.01 < bands["heave"] < 0.1
    assert 0.01 < bands["pitch"] < 0.1

"""The whole car's ride: linear car, random road, time histories and dampers, each held against another way to the same."""

from __future__ import annotations

import doctest
import json
import time
from dataclasses import replace
from functools import cache
from importlib.resources import files
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from scipy.linalg import eig
from typer.testing import CliRunner

from jounce.behaviour.axle.static import axle_sits
from jounce.behaviour.ride.damper_match import ORDER_SPEEDS, Wish, axle_matches, ratio_after, roll_ratio
from jounce.behaviour.ride.dampers import at_random, at_swinging, dampers_of
from jounce.behaviour.ride.flat_ride import flat_ride, over_profile
from jounce.behaviour.ride.inertia import WholeInertia, body_inertia, estimated_inertia, whole_inertia
from jounce.behaviour.ride.modes import modes, ride_ends
from jounce.behaviour.ride.obstacles import OBSTACLES, bump, hump, pothole, profile, step
from jounce.behaviour.ride.random_ride import FREQUENCIES, random_ride, ride_outputs
from jounce.behaviour.ride.road_surface import Road, road_class
from jounce.behaviour.ride.small_motions import small_motions
from jounce.behaviour.ride.time_history import drive_over, let_go
from jounce.behaviour.ride.vibration import spectra, undamped_modes
from jounce.behaviour.road.axle_table import tabulated
from jounce.behaviour.road.equilibrium import at_rest
from jounce.behaviour.road.forces import TRAVELS
from jounce.behaviour.road.loading import steady
from jounce.behaviour.road.of_document import car_as_found
from jounce.car.file.reading import parse_car
from jounce.cli.app import commands
from jounce.conventions.errors import Impossible, InputError
from jounce.conventions.units import KM_PER_H
from jounce.elements.dampers.force_velocity import ForceVelocity
from tests.reference.energy_balance import stored, unaccounted
from tests.reference.quarter_car import undamped_modes as quarter_car_modes
from tests.reference.white_road import white_variances

BRISK = "brisk-14.toml"
OTHERS = ("mallow-18.toml", "tansy-11.toml", "yarrow-12.toml")
SEAT = np.array([-1.2, 0.35, 0.45])
BOTH = np.array([0.05, 1.05])
EVEN = ForceVelocity(BOTH, 1500 * BOTH, 1500 * BOTH)


@cache
def document(name):
    return parse_car(files("jounce.demo").joinpath(name).read_text("utf-8"), name)


@cache
def parts(name):
    """Car, its body's inertia, and the car about where it sits."""
    car = car_as_found(document(name))
    own = body_inertia(car, whole_inertia(document(name)))
    return car, own, small_motions(car, own)


def even_dampers(motions):
    return dict.fromkeys(motions.corners, EVEN)


def damped(motions, rate=1500.0):
    return motions.damped(dict.fromkeys(motions.corners, rate))


# Axle tables


@pytest.mark.parametrize("name", [BRISK, *OTHERS])
def test_table_of_an_axle_agrees_with_its_linkage(name) -> None:
    car, _, _ = parts(name)
    travel = np.random.default_rng(4).uniform(-0.1, 0.1, (300, 2))
    for axle in car.axles:
        exact, _ = axle.at(travel)
        table, inside = tabulated(axle).at(travel)

        assert inside.all()
        assert np.abs(table.centre - exact.centre).max() < 1e-7
        assert np.abs(table.centre_rate - exact.centre_rate).max() < 5e-5
        assert np.abs(table.measure - exact.measure).max() < 1e-6


def test_finer_tables_are_better_by_the_fourth_power_of_the_step() -> None:
    axle = parts(BRISK)[0].axles[1]
    travel = np.random.default_rng(5).uniform(-0.08, 0.08, (300, 2))
    exact = axle.at(travel)[0].centre
    coarse, fine = (np.abs(tabulated(axle, step=s).at(travel)[0].centre - exact).max() for s in (0.025, 0.0125))

    assert coarse / fine > 12


def test_a_car_on_tables_rests_where_the_exact_one_does() -> None:
    car = parts(BRISK)[0]
    acting = steady(np.array([-4.0, 0.0, 4.0]))
    exact, table = at_rest(car, acting), at_rest(replace(car, axles=tuple(map(tabulated, car.axles))), acting)

    assert table.reached.all()
    assert np.abs(table.freedoms - exact.freedoms).max() < 1e-7
    assert np.abs(table.acted.load - exact.acted.load).max() < 1e-3


def test_beyond_its_edge_a_table_says_not_reached() -> None:
    table = tabulated(parts(BRISK)[0].axles[0], reach=0.05)
    _, reached = table.at(np.array([[0.049, 0.0], [0.08, 0.0]]))

    assert reached.tolist() == [True, False]


# Modes


@pytest.mark.parametrize("name", [BRISK, *OTHERS])
def test_frequencies_of_two_methods_agree(name) -> None:
    system = parts(name)[2].undamped
    roots = eig(system.state_matrix(), right=False)
    by_roots = np.sort(np.abs(roots.imag))[::2] / (2 * np.pi)

    assert undamped_modes(system).frequency == pytest.approx(by_roots, rel=1e-8)


def test_mass_and_stiffness_are_symmetric_and_carry_the_whole_car() -> None:
    car, _, motions = parts(BRISK)
    system = motions.undamped

    assert system.mass == pytest.approx(system.mass.T, abs=1e-9)
    assert system.mass[0, 0] == pytest.approx(car.mass, rel=1e-12)
    assert system.stiffness[:, 0] == pytest.approx(system.push.sum(axis=1), abs=1e-3)  # raised with the ground
    assert system.push[0].sum() == pytest.approx(motions.tyre_rate.sum())


def test_pitch_inertia_is_about_the_car_s_centre() -> None:
    car, own, motions = parts(BRISK)
    whole = whole_inertia(document(BRISK))
    centre = -motions.undamped.mass[1, 0] / car.mass  # of the whole car from the front axle
    pitch = np.array([centre, 1.0, 0, 0, 0, 0, 0])  # about the whole car's centre, wheels carried along

    assert pitch @ motions.undamped.mass @ pitch == pytest.approx(whole.pitch, rel=1e-9)
    assert (own > 0).all()


@pytest.mark.parametrize("name", [BRISK, *OTHERS])
def test_modes_are_named_once_each_and_are_where_road_cars_have_them(name) -> None:
    motions = parts(name)[2]
    found = modes(motions, damped(motions))
    names = [mode.name for mode in found]

    assert len(set(names)) == 7
    assert set(names[:3]) == {"heave", "pitch", "roll"}
    assert all(0.8 < mode.frequency < 2.6 for mode in found[:3])
    assert all(9 < mode.frequency < 18 for mode in found[3:])  # body 1 to 1.5 Hz, hop 10 to 12 Hz: Barton & Fieldhouse
    assert all(mode.damping.ratio > 0.05 for mode in found)


def test_body_and_hop_of_each_end_are_near_a_quarter_car() -> None:
    motions = parts(BRISK)[2]
    found = {mode.name: mode.frequency for mode in modes(motions)}
    ends = ride_ends(motions).frequency
    for match, wheel, end in zip(axle_matches(motions), (31.0, 27.0), ends, strict=True):
        quarter = quarter_car_modes(match.body_mass, wheel, match.wheel_rate, 170e3)

        assert end == pytest.approx(quarter.frequency[0], rel=0.02)
        assert found[f"{match.name} wheels hop together"] == pytest.approx(quarter.frequency[1], rel=0.02)


def test_ride_frequency_agrees_with_the_axle_alone() -> None:
    car, _, motions = parts(BRISK)
    for axle, end in zip(car.axles, ride_ends(motions).frequency, strict=True):
        wheels = axle_sits(axle.axle, look_for_slack=False).wheels
        plain = np.mean([wheel.ride_frequency for wheel in wheels.values()])

        assert end == pytest.approx(plain, rel=0.02)


def test_inertia_is_estimated_unless_given() -> None:
    assert "estimate" in whole_inertia(document(BRISK)).origin
    assert estimated_inertia(350.0).pitch == pytest.approx(estimated_inertia(700.0).pitch / 2)
    text = files("jounce.demo").joinpath(BRISK).read_text("utf-8")
    given = parse_car(text.replace("[heights]", "roll_inertia = 250\npitch_inertia = 1100\n\n[heights]"), BRISK)

    assert whole_inertia(given) == WholeInertia(250.0, 1100.0, whole_inertia(document(BRISK)).yaw, "car file")


def test_an_inertia_below_that_of_the_wheels_is_refused() -> None:
    with pytest.raises(InputError, match="pitch inertia is too small"):
        body_inertia(parts(BRISK)[0], WholeInertia(250.0, 90.0, 1000.0, "car file"))


# Random road


def test_spectra_and_lyapunov_agree_for_the_whole_car_on_one_track() -> None:
    """All wheels on the same height at the same time, white speed: two methods, all outputs."""
    motions = parts(BRISK)[2]
    system, outputs = damped(motions), ride_outputs(motions, SEAT)
    frequency = np.geomspace(1e-4, 1e8, 40_001)
    ground = np.ones((4, 4)) * (2.0 / (2 * np.pi * frequency) ** 2)[:, None, None]
    density = spectra(system, outputs, frequency, ground)
    by_spectra = np.trapezoid(density * frequency[:, None], np.log(frequency), axis=0)

    assert by_spectra == pytest.approx(white_variances(system, outputs, 1.0), rel=2e-6, abs=1e-9)


def test_straight_dampers_make_shaking_grow_as_the_road_does() -> None:
    motions = parts(BRISK)[2]
    one, four = (random_ride(motions, even_dampers(motions), Road("", g), 20.0, SEAT) for g in (1e-5, 4e-5))

    assert four.weighted == pytest.approx(2 * one.weighted, rel=1e-9)
    assert four.stroke == pytest.approx(2 * one.stroke, rel=1e-9)


def test_left_and_right_strokes_are_alike_and_faster_is_rougher() -> None:
    motions = parts(BRISK)[2]
    curves = dampers_of(document(BRISK)).curves
    slow, fast = (random_ride(motions, curves, road_class("B"), v * KM_PER_H, SEAT) for v in (50, 110))

    assert slow.stroke[0] == pytest.approx(slow.stroke[1], rel=0.05)
    assert fast.weighted > slow.weighted
    assert slow.damping["front", "left"] > fast.damping["front", "left"]  # a digressive curve counts less when worked


def test_a_random_road_driven_in_time_shakes_as_its_spectrum_says() -> None:
    """A sum of waves under all wheels: mean square of the linear car's acceleration against the spectra's."""
    motions = parts(BRISK)[2]
    system, outputs = damped(motions), ride_outputs(motions, SEAT)[:1]
    speed, road = 20.0, road_class("B")
    lines = (np.arange(400) + 0.5) * 0.05  # [Hz]
    size = np.sqrt(2 * road.density(lines / speed) / speed * 0.05)
    phase = np.random.default_rng(7).uniform(0, 2 * np.pi, len(lines))
    freedoms = system.response(lines)
    answer = outputs[0].response(lines, freedoms) @ np.ones(4)
    times = np.linspace(0, 40, 40_001)
    wave = (size * np.abs(answer))[:, None] * np.cos(
        2 * np.pi * lines[:, None] * times + (phase + np.angle(answer))[:, None]
    )
    squares = np.mean(wave.sum(axis=0) ** 2)
    ground = np.ones((4, 4)) * (road.density(lines / speed) / speed)[:, None, None]

    assert squares == pytest.approx(spectra(system, outputs, lines, ground)[:, 0].sum() * 0.05, rel=0.01)


def test_equal_lines_of_a_straight_damper_are_itself() -> None:
    assert at_swinging(EVEN, 0.3) == pytest.approx(1500)
    assert at_random(EVEN, 0.3) == pytest.approx(1500)


def test_the_spectra_are_fine_enough() -> None:
    motions = parts(BRISK)[2]
    system, outputs = damped(motions), ride_outputs(motions, SEAT)
    fine = np.geomspace(FREQUENCIES[0], FREQUENCIES[-1], 4 * len(FREQUENCIES) - 3)
    coarse_sum, fine_sum = (
        np.trapezoid(spectra(system, outputs, f, road_class("C").heights(f, 20.0, motions.foot)), f, axis=0)
        for f in (FREQUENCIES, fine)
    )

    assert coarse_sum == pytest.approx(fine_sum, rel=1e-3)


# In time


@cache
def over_hump(speed, what="hump", duration=3.0):
    car, own, _ = parts(BRISK)
    return drive_over(car, dampers_of(document(BRISK)).curves, own, OBSTACLES[what], speed * KM_PER_H, duration)


@pytest.mark.parametrize("side", ["both", "left"])
def test_a_small_bump_moves_the_car_as_the_linear_car(side) -> None:
    car, own, motions = parts(BRISK)
    low = bump(0.0004, 1.0).under(side)
    history = drive_over(car, even_dampers(motions), own, low, 5.0, 1.5)
    times, states = over_profile(motions, damped(motions), 5.0, low, 1.5)
    linear = np.stack([np.interp(history.time, times, states[:, k]) for k in range(7)], 1)
    moved = history.freedoms - history.freedoms[0]

    assert np.abs(moved - linear).max() < 0.01 * np.abs(linear).max()


@pytest.mark.sweep(3)
@pytest.mark.parametrize("what", ["hump", "bump", "step", "pothole"])
@pytest.mark.parametrize("speed", [5, 30])
def test_energy_in_is_stored_or_dissipated(what, speed) -> None:
    history = over_hump(speed, what)
    largest = max(np.abs(history.road_work).max(), np.ptp(stored(history)))

    assert np.abs(unaccounted(history)).max() < 3e-4 * largest


@pytest.mark.parametrize("name", ["heave", "pitch", "roll"])
def test_let_go_it_swings_with_the_mode_s_frequency_and_damping(name) -> None:
    car, own, motions = parts(BRISK)
    mode = next(m for m in modes(motions, damped(motions, 600.0)) if m.name == name)
    rate = ForceVelocity(BOTH, 600 * BOTH, 600 * BOTH)
    shape = 1e-4 * mode.shape
    start = np.concatenate((shape, np.zeros(7)))
    history = let_go(car, dict.fromkeys(motions.corners, rate), own, start, np.linspace(0, 2.0, 2001))
    way = motions.undamped.mass @ mode.shape  # picks this mode alone, but for what the dampers mix
    swing = history.freedoms @ way
    crossing = history.time[1:][np.diff(np.sign(swing)) != 0]
    peaks = np.array([np.abs(swing[(history.time >= a) & (history.time <= b)]).max() for a, b in pairwise(crossing)])
    decrement = np.log(peaks[0] / peaks[2])
    ratio = decrement / np.hypot(2 * np.pi, decrement)

    assert 1 / (crossing[2] - crossing[0]) == pytest.approx(mode.damping.seen, rel=0.03)
    assert ratio == pytest.approx(mode.damping.ratio, rel=0.12)


def test_faster_than_real_time() -> None:
    over_hump(20)  # warm
    car, own, _ = parts(BRISK)
    spent = []
    for _ in range(3):
        start = time.process_time()
        drive_over(car, dampers_of(document(BRISK)).curves, own, hump(), 20 * KM_PER_H, 3.0)
        spent.append(time.process_time() - start)

    assert min(spent) < 3.0


def test_body_acceleration_is_the_second_difference_of_its_height() -> None:
    history = over_hump(30)
    pitch, roll = history.freedoms[:, 1], history.freedoms[:, 2]
    x, y, z = SEAT
    height = history.freedoms[:, 0] - np.sin(pitch) * x + np.cos(pitch) * (np.sin(roll) * y + np.cos(roll) * z)
    h = history.time[1] - history.time[0]
    by_difference = (height[2:] - 2 * height[1:-1] + height[:-2]) / h**2

    assert np.abs(by_difference - history.body_acceleration(SEAT)[1:-1]).max() < 0.05


def test_at_rest_before_and_nearly_again_after() -> None:
    history = over_hump(20, duration=6.0)

    assert np.abs(history.accelerations[:20]).max() < 1e-3
    assert np.abs(history.freedoms[-1] - history.freedoms[0]).max() < 1e-3
    assert history.load[0].sum() == pytest.approx(history.car.mass * 9.80665, rel=1e-6)


def test_a_wheel_falls_off_the_edge_of_a_hole_and_meets_its_far_edge() -> None:
    history = over_hump(30, "pothole")

    assert history.off_the_road.any()
    assert (history.load >= 0).all()


def test_one_wheel_s_bump_rolls_the_car_mirrored_left_and_right() -> None:
    car, own, motions = parts("tansy-11.toml")
    left, right = (
        drive_over(car, even_dampers(motions), own, bump(0.02, 1.0).under(side), 6.0, 1.0) for side in ("left", "right")
    )

    assert left.freedoms[:, 2].min() * right.freedoms[:, 2].max() < 0
    assert np.abs(left.freedoms[:, 1] - right.freedoms[:, 1]).max() < 0.2 * np.abs(left.freedoms[:, 1]).max()


def test_too_high_a_step_for_the_linkage_is_refused() -> None:
    car, own, motions = parts(BRISK)
    tall = profile("wall", np.array([0.0, 0.01, 0.5]), np.array([0.0, 0.45, 0.45]))
    with pytest.raises(Impossible, match="its linkage is known from"):
        drive_over(car, even_dampers(motions), own, tall, 20.0, 1.0)


# Obstacles


def test_a_rolling_wheel_bridges_a_narrow_gap() -> None:
    narrow = pothole(depth=0.1, length=0.1, edge=0.005).rolled(0.28)

    assert narrow.left.min() == pytest.approx(-(0.28 - np.sqrt(0.28**2 - 0.05**2)), abs=5e-4)
    assert narrow.left.max() == pytest.approx(0.0, abs=1e-12)


def test_a_step_stays_up_and_a_hump_has_its_height() -> None:
    assert step(0.03).rolled(0.28).left[-1] == pytest.approx(0.03)
    assert hump(0.075).left.max() == pytest.approx(0.075, abs=1e-6)
    assert bump(0.05, 1.0).under("right").left.max() == 0.0


def test_a_profile_whose_places_fall_back_is_refused() -> None:
    with pytest.raises(InputError, match="must rise"):
        profile("road", np.array([0.0, 1.0, 0.5]), np.zeros(3))


# Dampers and flat ride


def test_critical_damping_goes_with_the_motion_ratio_squared() -> None:
    for match in axle_matches(parts(BRISK)[2]):
        assert match.critical_at_rod * match.heave_ratio**2 == pytest.approx(match.critical_at_wheel)
        assert match.ratio(0.35 * match.critical_at_rod) == pytest.approx(0.35)


def test_motion_ratios_of_the_match_are_those_of_the_linkage() -> None:
    car, _, motions = parts(BRISK)
    h = 1e-5
    for axle, match, travels in zip(car.axles, axle_matches(motions), TRAVELS, strict=True):
        at = motions.rest.freedoms[0, travels]
        table = tabulated(axle)
        rods = [24 + table.measured.index(f"{match.name}.{side}.damper") for side in ("left", "right")]
        (together, _, _), (against, _, _) = (table.table.at(at + h * np.array([[1, s], [-1, -s]])) for s in (1.0, -1.0))

        for value, told in ((together, match.heave_ratio), (against, match.lean_ratio)):
            each = np.diff(value[:, rods], axis=0) / (2 * h)
            assert np.sqrt(np.mean(each**2)) == pytest.approx(told, rel=1e-5)


def test_ordered_forces_give_the_ratio_asked_for() -> None:
    wish = Wish(ratio=0.4, rebound_share=0.7)
    match = axle_matches(parts(BRISK)[2])[0]
    bump_force, rebound = match.forces(wish)
    ordered = ForceVelocity(ORDER_SPEEDS, bump_force, rebound)

    assert match.ratio(at_swinging(ordered, 0.13)) == pytest.approx(0.4)
    assert rebound / (bump_force + rebound) == pytest.approx(0.7)


def test_ratio_of_the_match_is_near_that_of_an_uncoupled_mode() -> None:
    """Roll of a nearly symmetric car is alone; the plain ratio leaves tyres and gravity out."""
    _, own, motions = parts(BRISK)
    plain = roll_ratio(axle_matches(motions), (1000.0, 1000.0), float(own[0]))
    mode = next(m for m in modes(motions, damped(motions, 1000.0)) if m.name == "roll")

    assert plain == pytest.approx(mode.damping.ratio, rel=0.25)


def test_half_as_stiff_again_takes_the_ratio_to_082() -> None:
    assert ratio_after(1.5) == pytest.approx(0.816, abs=5e-4)


def test_in_step_after_is_where_both_phases_meet() -> None:
    motions = parts(BRISK)[2]
    ends = ride_ends(motions)
    found = flat_ride(motions, ends, 22.0, bump(0.03, 1.0), damped(motions))
    moment = found.in_step_after / ends.frequency[0]

    assert ends.frequency[0] * moment == pytest.approx(ends.frequency[1] * (moment - found.delay))
    assert found.delay == pytest.approx(2.38 / 22.0, rel=1e-3)


# The pages and the command


@pytest.mark.parametrize("page", ["modes", "random-road", "comfort", "time-history", "damper-match"])
def test_worked_number_of_the_page(page) -> None:
    path = Path(__file__).parents[2] / "docs" / "theory" / f"{page}.md"
    failed, attempted = doctest.testfile(str(path), module_relative=False, encoding="utf-8")

    assert attempted >= 2
    assert failed == 0


def run(*arguments):
    result = CliRunner().invoke(commands, ["ride", *arguments])
    assert result.exit_code == 0, result.output
    return result.output


@pytest.fixture
def car_file(tmp_path):
    path = tmp_path / BRISK
    path.write_text(files("jounce.demo").joinpath(BRISK).read_text("utf-8"), "utf-8")
    return path


def test_command_prints_all_tables(car_file) -> None:
    text = run(str(car_file), "--road", "C", "--over", "bump", "--damping", "0.4")

    assert "heave, Hz" in text
    assert "class C at 80.0 km/h" in text
    assert "Over a bump at 20.0 km/h" in text
    assert "For a ratio of 0.40" in text
    assert "are taken to go on straight" in " ".join(
        text.split()
    )  # rods move faster than the demo's curves were measured
    assert "nan" not in text.lower()


def test_command_without_curves_says_unknown_and_what_to_give(car_file) -> None:
    lines = car_file.read_text("utf-8").splitlines()
    car_file.write_text("\n".join(line for line in lines if not line.startswith("curve = [[0.052")), "utf-8")
    text = run(str(car_file), "--over", "hump")

    assert "unknown" in text
    assert "give a damper curve" in " ".join(text.split())
    assert "heave, Hz" in text


def test_command_writes_json_and_csv(car_file, tmp_path) -> None:
    table = tmp_path / "drive.csv"
    values = json.loads(run(str(car_file), "--json", "-", "--over", "step", "--csv", str(table)))
    rows = table.read_text("utf-8").splitlines()

    assert values[0]["rows"][0]["name"] == "heave"
    assert rows[0].startswith("car,time_s,heave_mm,pitch_deg")
    assert len(rows) > 1000


def test_command_refuses_an_unknown_obstacle(car_file) -> None:
    result = CliRunner().invoke(commands, ["ride", str(car_file), "--over", "ramp"])

    assert isinstance(result.exception, InputError)
    assert "hump" in str(result.exception)

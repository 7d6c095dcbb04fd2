"""Tests of dampers on a bench: the file, its means, gas and friction, gaps, and nothing beyond what was reached."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.testing import assert_allclose

from jounce.car.file.damper_bench import parse_bench
from jounce.conventions.errors import InputError
from jounce.conventions.units import LBF
from jounce.elements.dampers.bench_rows import BenchPoints, averaged
from jounce.elements.dampers.damper_knee import Knee, knee_curve

TRUE = knee_curve(Knee(1200, 0.3, 1200), Knee(2600, 0.3, 2600))


def sine(fastest, gas=0.0, friction=0.0, loop=0.0, points=2000, run=0, noise=0.0):
    """One run of a crank: force of the true curve, gas, friction, and a loop of half the width ``loop``."""
    turn = np.linspace(0, 2 * np.pi, points, endpoint=False) + 1e-3
    speed = fastest * np.sin(turn)
    growing = np.sign(np.cos(turn) * np.sin(turn))
    random = np.random.default_rng(run).normal(0.0, noise, points)
    force = TRUE.force(speed) + gas + np.sign(speed) * (friction + loop * growing) + random
    return BenchPoints(speed, force, np.full(points, run))


def joined(*tests):
    return BenchPoints(*(np.concatenate([getattr(t, name) for t in tests]) for name in ("speed", "force", "run")))


def csv_of(points, head="speed [m/s],force [N]", factors=(1.0, 1.0), sign=1.0):
    rows = zip(points.speed / factors[0], sign * points.force / factors[1], strict=True)
    return head + "\n" + "\n".join(f"{v:.9g},{f:.9g}" for v, f in rows)


def test_gas_and_friction_are_told_apart_and_the_curve_comes_back():
    test = averaged(joined(sine(0.06, 120, 15), sine(0.6, 120, 15, run=1)))

    assert test.gas_force == pytest.approx(120, abs=0.5)
    assert test.friction == pytest.approx(15, abs=0.5)
    assert (test.runs, test.missing, test.gaps) == (2, (), ())
    for speed in (0.052, 0.13, 0.26):  # below the knee the means are those of a straight line
        assert float(test.curve.force(speed)) == pytest.approx(float(TRUE.force(speed)) + 15, abs=0.6)
        assert float(test.curve.force(-speed)) == pytest.approx(float(TRUE.force(-speed)) - 15, abs=0.6)


def test_spread_is_that_of_the_points_and_the_mean_is_better():
    test = averaged(joined(*(sine(0.6, 100, noise=20.0, run=k, points=4000) for k in range(3))))
    mean = test.bump[1]

    assert mean is not None
    assert mean.spread == pytest.approx(20.0, rel=0.15)
    assert mean.force - 100 == pytest.approx(float(TRUE.force(0.13)), abs=4 * 20 / np.sqrt(mean.count))


def test_hysteresis_is_the_width_of_the_loop():
    test = averaged(sine(0.6, 100, loop=12.0))
    widths = [mean.hysteresis for mean in (*test.bump[1:4], *test.rebound[1:4]) if mean is not None]

    assert widths == pytest.approx([24.0] * 6, rel=0.02)


def test_nothing_is_told_beyond_what_both_directions_reached():
    whole = sine(0.6)
    kept = whole.speed > -0.3  # rebound was tested to 0.3 m/s only
    test = averaged(BenchPoints(whole.speed[kept], whole.force[kept], whole.run[kept]))

    assert test.known_to == pytest.approx(0.3, abs=1e-3)
    assert test.speeds.tolist() == [0.052, 0.13, 0.26]
    assert test.curve.known_to == 0.26
    assert not test.curve.known(0.39)


def test_a_gap_is_shown_and_its_speed_has_no_row():
    whole = joined(sine(0.06), sine(0.6, run=1))
    away = (whole.speed > 0.2) & (whole.speed < 0.3)
    test = averaged(BenchPoints(whole.speed[~away], whole.force[~away], whole.run[~away]))

    assert [(gap.direction, round(gap.low, 2), round(gap.high, 2)) for gap in test.gaps] == [("bump", 0.2, 0.3)]
    assert test.bump[2] is None
    assert test.rebound[2] is not None
    assert test.missing == (0.26,)
    assert 0.26 not in test.curve.speed


def test_the_fastest_speed_is_not_carried_beyond_nor_drawn_low_by_its_own_side():
    """All points of a sine lie below its peak: their mean alone would be too low there."""
    reached, short = averaged(sine(0.26, 50)), averaged(sine(0.25, 50))

    assert reached.bump[2] is not None
    assert reached.bump[2].force == pytest.approx(float(TRUE.force(0.26)) + 50, abs=0.5)
    assert short.speeds.tolist() == [0.052, 0.13]


def test_points_beside_a_speed_do_not_stand_for_it():
    """A test at 0.12 and 0.14 m/s alone says nothing at 0.13; one at 0.128 does."""
    speed = np.array([0.05, 0.12, 0.14, 0.26])
    beside = np.concatenate([speed, -speed])
    test = averaged(BenchPoints(beside, 1000 * beside, np.zeros(8, dtype=int)))
    nearer = np.where(np.abs(beside) == 0.12, np.sign(beside) * 0.128, beside)

    assert test.missing == (0.052, 0.13)
    assert averaged(BenchPoints(nearer, 1000 * nearer, np.zeros(8, dtype=int))).missing == (0.052,)


def test_without_slow_points_the_gas_force_says_so():
    fast = sine(0.6, 100)
    kept = np.abs(fast.speed) > 0.1
    test = averaged(BenchPoints(fast.speed[kept], fast.force[kept], fast.run[kept]))
    told = averaged(BenchPoints(fast.speed[kept], fast.force[kept], fast.run[kept]), gas_force=100.0)

    assert (test.gas_speed, test.friction, test.gas_told) == (0.13, None, False)
    assert test.gas_force == pytest.approx(100 + 0.13 * (1200 - 2600) / 2, abs=1.0)  # off, as the answer warns
    assert (told.gas_force, told.gas_told) == (100.0, True)


def test_a_test_of_other_speeds_and_a_wrong_gas_force_are_refused():
    with pytest.raises(InputError, match="No chosen speed has points in both directions"):
        averaged(sine(0.01))
    with pytest.raises(InputError, match="drives its rod"):
        _ = averaged(sine(0.6), gas_force=500.0).curve


@pytest.mark.parametrize(
    ("head", "factors"),
    [
        ("speed [m/s],force [N]", (1.0, 1.0)),
        ("Velocity (mm/s),Load (lbf)", (1e-3, LBF)),
        ("v in/s,F kN", (0.0254, 1e3)),
        ("# made on Monday\n\nVelocity,Force\nmm/s,N", (1e-3, 1.0)),
    ],
)
def test_heads_and_units(head: str, factors: tuple[float, float]):
    points = sine(0.6, 100, points=200)
    found = parse_bench(csv_of(points, head, factors))

    assert_allclose(found.points.speed, points.speed, rtol=1e-7)
    assert_allclose(found.points.force, points.force, rtol=1e-7, atol=1e-5)
    assert found.remarks == ()


def test_semicolons_and_decimal_commas():
    points = sine(0.6, 100, points=100)
    text = csv_of(points, "run,speed [mm/s],force [N]", (1e-3, 1.0))
    head, *rows = text.splitlines()
    text = "\n".join([head.replace(",", ";"), *("7;" + row.replace(",", ";").replace(".", ",") for row in rows)])

    assert_allclose(parse_bench(text).points.speed, points.speed, rtol=1e-6)


def test_a_bench_that_counts_force_against_speed_is_turned_and_told():
    points = sine(0.6, 0.0, points=200)
    found = parse_bench(csv_of(points, sign=-1.0))

    assert_allclose(found.points.force, points.force, rtol=1e-7, atol=1e-5)
    assert "sign was turned" in found.remarks[0]


def test_a_bench_that_counts_bump_negative():
    points = sine(0.6, 100, points=200)
    mirrored = BenchPoints(-points.speed, points.force, points.run)
    found = parse_bench(csv_of(mirrored, sign=1.0), bump_negative=True)

    assert_allclose(found.points.speed, points.speed, rtol=1e-7)
    assert_allclose(found.points.force, points.force, rtol=1e-7, atol=1e-5)


def test_units_told_with_the_file():
    points = sine(0.6, 100, points=200)
    text = csv_of(points, "speed,force", (1e-3, 1.0))

    with pytest.raises(InputError, match=r"The speed column has no unit"):
        parse_bench(text)
    assert_allclose(parse_bench(text, speed_unit="mm/s", force_unit="N").points.speed, points.speed, rtol=1e-7)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "No head names a speed and a force"),
        ("speed [m/s],stroke [mm]\n1,2", "No head"),
        ("speed [m/s],force [N]\n0.1,300", "two points or more"),
        ("speed [m/s],force [N]\n0.1,300\n0.2,fast", r'line 3: This cell is no number; found "fast"'),
        ("speed [furlongs],force [N]\n0.1,300\n-0.1,-300", "furlongs"),
        ("speed [m/s],force [N]\n0.1,300\n-0.1,300\n0.1,-300\n-0.1,-300", "do not go together"),
    ],
)
def test_files_that_are_no_test(text: str, words: str):
    with pytest.raises(InputError, match=words):
        parse_bench(text)

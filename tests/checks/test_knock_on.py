"""What else moves: each number against the plan that it is read from, and nothing where nothing changes."""

from __future__ import annotations

import math

import pytest

from jounce.checks.side_effects import knock_on
from jounce.job.plan import value_of
from tests.job.changed_jobs import DEMO, worked


def moved(job=(), car=()):
    found = worked(job, car)
    return {one.moved: one for one in knock_on(found.job, found.plan)}


LEVEL = (
    ("[wanted.front]\nlower = 35", "[wanted.front]\nlower = 0"),
    ("[wanted.rear]\nlower = 35", "[wanted.rear]\nlower = 0"),
)


def test_lowering_moves_what_the_plan_says():
    found, plan = moved(), worked().plan
    travel = plan.planned.sits.travel
    fronts = [travel["front", side] for side in ("left", "right")]

    assert found["lamps over the ground"].value == pytest.approx(-sum(fronts) / 2)
    assert found["rear axle to the left, rod left alone,"].value == plan.settings["rear"].rod.shift_if_left
    before = value_of(plan.found.geometry["front"], "left_camber")
    assert found["left front camber, left alone,"].value == pytest.approx(
        plan.settings["front"].alone["camber", "left"] - before
    )
    assert found["lamp beams at 10 m"].value == pytest.approx(-10 * math.tan(plan.planned.sits.pitch))
    assert "load-sensing" in found["rear body on its axle"].todo
    assert "rubber bushes" in found["front arms turn by"].todo
    # The arm swings up about its pivots 0.3 m inboard of the ball joint.
    assert found["front arms turn by"].value == pytest.approx(0.036 / 0.303, rel=0.1)


def test_a_shorter_damper_hangs_the_wheel_higher():
    """Full droop is the damper's open length: 55 mm shorter behind, tilted a little."""
    raised = moved()["rear wheels' lowest place on the body, + higher,"].value

    assert raised == pytest.approx(0.055 / math.cos(math.radians(10)), rel=0.15)


def test_stiffer_springs_on_old_dampers_leave_less_damping():
    text = DEMO.joinpath("brisk-14-lower.toml").read_text("utf-8")
    start = text.index("[change.front.damper]")
    section = text[start : text.index("\n\n", start) + 2]
    found = moved((("free_height = 52", "gap = 25"), (section, "")))
    plan = worked((("free_height = 52", "gap = 25"), (section, ""))).plan
    rates = [state.axles["front"].wheels["left"].wheel_rate for state in (plan.found, plan.planned)]

    factor = found["front damping ratio, dampers as they are, becomes times"].value
    assert factor == pytest.approx(math.sqrt(rates[0] / rates[1]))
    assert "front damping ratio, dampers as they are, becomes times" not in moved()


def test_smaller_wheels_change_what_the_speedometer_says():
    wheels = (
        ("[change.front.torsion_bar]", "[change.front.wheel]\nloaded_radius = 258\n\n[change.front.torsion_bar]"),
    )
    found = moved(wheels)

    assert found["speedometer and revolutions per distance"].value == pytest.approx(265 / 258 - 1)
    assert found["body over the ground, by the tyres,"].value == pytest.approx(-0.007)


def test_offsets_that_are_not_both_known_give_no_number():
    wheels = (("[change.front.torsion_bar]", "[change.front.wheel]\noffset = 25\n\n[change.front.torsion_bar]"),)
    one = moved(wheels)["wheel centre outward"]

    assert one.value is None
    assert "measure" in one.todo
    assert one.sentence() == f"wheel centre outward; {one.todo}."


def test_a_job_that_leaves_the_heights_moves_no_valve():
    assert "rear body on its axle" in moved()
    assert "rear body on its axle" not in moved(
        (*LEVEL, ("lowest = -10\nhighest = 40\npitch = 2", "lowest = -60\nhighest = 80\npitch = 0.3"))
    )

"""What half a step of what sets an angle is worth: never less than what random wishes are missed by, and hardly more."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from jounce.behaviour.axle.travel import column_map, states_table
from jounce.conventions.axes import End
from jounce.conventions.units import DEG
from jounce.job.settings import joints_set, wheel_settings
from jounce.job.step_worth import half_steps_worth
from tests.odd_cars import BARS_EVERYWHERE, STEERED_LINKS, odd_case

SET_IN_STEPS = [
    (BARS_EVERYWHERE, "front"),  # upper joints in holes, both ways across
    (STEERED_LINKS, "front"),  # links on quarter turns of their threads
    (STEERED_LINKS, "rear"),  # shims under the hubs
]
MET = 0.01 * DEG
WISHES = 24


def set_of(car, axle):
    case = odd_case(car)
    angles = case.wishes.axles[axle].angles
    model = case.plan.planned.models[0 if axle == "front" else 1]
    return case.plan, model, joints_set(case.planned.document.axle(End(axle)), angles), angles


@pytest.mark.parametrize(("car", "axle"), SET_IN_STEPS)
def test_wishes_are_missed_by_less_than_half_steps_are_worth_and_nearly_by_that(car, axle):
    """The axle held where the planned car stands; each wish set on it as a plan sets it, and its angles read."""
    plan, model, joints, angles = set_of(car, axle)
    standing = plan.planned.states[axle]
    free = {name: value for name, value in standing.settings.items() if name.split(".")[-1] not in joints.values()}
    worth = half_steps_worth(plan, (axle, "left"), joints, angles, MET)
    aims = [aim for aim in ("camber", "caster", "toe") if angles.of(aim) is not None]
    random, missed = np.random.default_rng(5), []

    for _ in range(WISHES):
        asked = {aim: dict(angles.of(aim)) for aim in aims}
        for aim in aims:
            asked[aim]["left"] += random.uniform(-0.25, 0.25) * DEG
        put = wheel_settings(model, replace(standing, settings=free), joints, replace(angles, **asked))
        states = replace(standing, settings=standing.settings | put.values)
        table = column_map(states_table(model.stand, model.linkage, states, (1.0, 1.0)))
        missed.append([table[f"left_{aim}"][0] - asked[aim]["left"] for aim in aims])

    for aim, most in zip(aims, np.abs(missed).max(axis=0), strict=True):
        assert most <= 1.03 * worth[aim] + 1e-9, (aim, most / DEG, worth[aim] / DEG)
        assert most >= 0.5 * worth[aim], (aim, most / DEG, worth[aim] / DEG)
    assert max(worth.values()) > 0.01 * DEG


@pytest.mark.parametrize(("car", "axle"), SET_IN_STEPS)
def test_a_miss_is_not_put_down_to_a_joint_that_stands_on_its_nearest_step(car, axle):
    """However much an angle is missed, half a step is worth what it was."""
    plan, _, joints, angles = set_of(car, axle)
    worth = half_steps_worth(plan, (axle, "left"), joints, angles, MET)
    further = {side: angle + 2 * DEG for side, angle in angles.camber.items()}

    assert half_steps_worth(plan, (axle, "left"), joints, replace(angles, camber=further), MET) == pytest.approx(worth)

"""Slopes of what sets angles, on cars that are no demo cars, against differences of whole plans."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from jounce.car.file.quantity import Measured
from jounce.conventions.axes import ENDS, End
from jounce.conventions.units import DEG
from jounce.job.angle_slopes import angle_slopes
from jounce.job.apply import planned_document, wishes_of
from jounce.job.plan import car_before, make_plan
from jounce.job.settings import joints_set
from jounce.layouts.naming import named
from tests.odd_cars import WRITTEN_CARS, odd_case

pytestmark = pytest.mark.validation_long

MORE = 0.02 * DEG


def without_steps(case):
    """Its change list with nothing that ends or goes in steps: seats, bars, slots, threads, shims."""
    job = case.change_list
    ends = {"step": None, "reach_inward": None, "reach_outward": None, "reach_fore": None, "reach_rear": None}
    without = {
        "perch": {"pitch": Measured(4e-9)},
        "torsion_bar": {"splines_arm": None, "splines_anchor": None, "adjuster": None},
        "top_plate": ends,
        "upper_joint": ends,
        "caster_link": {"thread_pitch": None, "longer": None, "shorter": None},
        "camber_link": {"thread_pitch": None, "longer": None, "shorter": None},
        "toe_rod": {"longer": None, "shorter": None},
        "shims": {"step": None, "thickest": None},
        "trailing_links": {"thread_pitch": None, "longer": None, "shorter": None},
    }
    changes = {}
    for end in ENDS:
        change, new = job.change.of(end), {}
        for part, keys in without.items():
            fitted = getattr(change, part, None)
            if fitted is not None:
                new[part] = fitted.model_copy(
                    update={key: value for key, value in keys.items() if hasattr(fitted, key)}
                )
        changes[str(end)] = change.model_copy(update=new)
    return job.model_copy(update={"change": job.change.model_copy(update=changes)})


@pytest.mark.parametrize("car", WRITTEN_CARS)
def test_a_little_more_of_an_angle_takes_what_the_slopes_of_all_adjusters_say(car):
    """Two whole plans for each angle of a left wheel: the car is let down anew with all that it then asks for."""
    case = odd_case(car)
    document = planned_document(case.car, without_steps(case))
    wishes, found = wishes_of(document, without_steps(case)), car_before(case.car)
    wishes = replace(wishes, axles={axle: replace(one, free_bars=None) for axle, one in wishes.axles.items()})
    plan = make_plan(case.car, document, wishes, found)
    looked = 0
    for number, end in enumerate(ENDS):
        axle = str(end)
        angles = wishes.axles[axle].angles
        joints = joints_set(document.axle(End(axle)), angles)
        joints = {aim: joint for aim, joint in joints.items() if angles.of(aim) is not None}
        if not joints:
            continue
        slopes = angle_slopes(plan.planned.models[number], plan.planned.states[axle], "left", joints)
        for k, aim in enumerate(joints):
            stood = []
            for by in (-MORE, MORE):
                asked = {**angles.of(aim), "left": angles.of(aim)["left"] + by}
                one = replace(wishes.axles[axle], angles=replace(angles, **{aim: asked}))
                made = make_plan(case.car, document, replace(wishes, axles={**wishes.axles, axle: one}), found)
                settings = made.planned.states[axle].settings
                stood.append(np.array([settings[named(axle, "left", joint)] for joint in joints.values()]))
            told = slopes @ (stood[1] - stood[0]) / (2 * MORE)
            looked += 1
            assert told == pytest.approx(np.eye(len(joints))[k], abs=3e-3), (axle, aim)
    assert looked

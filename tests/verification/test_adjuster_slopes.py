"""Slopes of what sets angles, on cars that are no demo cars, against differences of whole plans."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from jounce.behaviour.axle.travel import column_map
from jounce.car.file.quantity import Measured
from jounce.conventions.axes import ENDS, End
from jounce.conventions.units import DEG, MM
from jounce.job.angle_slopes import angle_slopes
from jounce.job.apply import planned_document, wishes_of
from jounce.job.document import RackHeight
from jounce.job.plan import car_before, make_plan
from jounce.job.settings import joints_set
from jounce.layouts.naming import SIDES, named
from tests.odd_cars import AT_ODDS, RAISED, WRITTEN_CARS, odd_case
from tests.without_steps import without_ends

pytestmark = pytest.mark.validation_long

MORE = 0.02 * DEG


@pytest.mark.parametrize("car", WRITTEN_CARS)
def test_a_little_more_of_an_angle_takes_what_the_slopes_of_all_adjusters_say(car):
    """Two whole plans for each angle of a left wheel: the car is let down anew with all that it then asks for."""
    case = odd_case(car)
    document = planned_document(case.car, without_ends(case.change_list))
    wishes, found = wishes_of(document, without_ends(case.change_list)), car_before(case.car)
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
            assert told == pytest.approx(np.eye(len(joints))[k], abs=5e-3), (
                axle,
                aim,
            )  # heights a few thousandths of a mm off
    assert looked


def test_links_that_set_a_thrust_line_go_as_two_whole_plans_do():
    """The slope that half a quarter turn of them is held to."""
    case = odd_case(RAISED)
    job = without_ends(case.change_list)
    document = planned_document(case.car, job)
    wishes, found = wishes_of(document, job), car_before(case.car)
    wish = wishes.axles["rear"]
    links = []
    for by in (0.0, -MORE, MORE):
        one = replace(wish, trailing=replace(wish.trailing, thrust=wish.trailing.thrust + by))
        axles = {**wishes.axles, "rear": one}
        links.append(make_plan(case.car, document, replace(wishes, axles=axles), found).settings["rear"].trailing)
    told = (wish.trailing.thrust - links[0].thrust_if_left) / links[0].apart_needed

    assert abs(told) > DEG / 0.1  # a tenth of a metre a degree
    assert 2 * MORE / (links[2].apart_needed - links[1].apart_needed) == pytest.approx(told, rel=0.02)


def test_a_rack_of_own_leading_arms_steers_over_bumps_as_two_whole_jobs_with_it_higher_and_lower():
    case = odd_case(AT_ODDS)
    bump = case.plan.settings["front"].bump_steer
    told = []
    for by in (-MM, MM):
        rack = RackHeight(higher=Measured(bump.set + by))
        change, wanted = case.change_list.change, case.change_list.wanted
        front = change.front.model_copy(update={"rack": rack})
        without = wanted.front.model_copy(update={"bump_steer": None})
        job = case.change_list.model_copy(
            update={
                "change": change.model_copy(update={"front": front}),
                "wanted": wanted.model_copy(update={"front": without}),
            }
        )
        table = column_map(case.with_job(job).plan.planned.geometry["front"])
        told.append(np.mean([table[f"{side}_bump_steer"][0] for side in SIDES]))

    assert (told[1] - told[0]) / (2 * MM) == pytest.approx(bump.slope, rel=0.02)

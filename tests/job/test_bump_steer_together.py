"""Bump steer beside heights that contradict each other: found in turns, it is where a search over all unknowns puts it."""

from __future__ import annotations

import re
from importlib.resources import files

import numpy as np
import pytest
from scipy.optimize import least_squares

from jounce.behaviour.axle.preload import main_spring_name
from jounce.car.file.quantity import Measured
from jounce.car.file.reading import parse_car
from jounce.car.mechanics.model import AXLES
from jounce.case.case import Case
from jounce.conventions.axes import CORNERS
from jounce.conventions.units import DEG, MM
from jounce.job.apply import planned_document, wishes_of
from jounce.job.file import parse_job
from jounce.job.plan import JobPlan, plan_on_springs, value_of
from jounce.job.spring_moved import spring_moved
from jounce.layouts.naming import SIDES

DEMO = files("jounce.demo")
ODD = "[wanted.front]\nleft_height = 309\nright_height = 315\nbump_steer = 0\n"
"""Heights that lean the front alone, which tyres do not allow: every corner misses some of it."""
ROUGHLY = np.array([10 * MM, 10 * MM, MM, MM, MM])
"""About how far bars [mrad], seats and the rack go in a step of the search."""
FIRST = 1e4 * MM / DEG  # bump steer comes before heights: a hundred-thousandth of a degree per mm weighs as 0.1 mm


def without_steps() -> Case:
    """The demo job with nothing to round: bars without splines, coils of any length, a rack without shims."""
    car, job = (DEMO.joinpath(f"{name}.toml").read_text("utf-8") for name in ("brisk-14", "brisk-14-lower"))
    for gone in (r"splines_\w+ = \d+.*\n", r"free_length = .*\n", r"\[change.rear.perch\][^\[]*", r"perch = .*\n"):
        job = re.sub(gone, "", job)
    job = re.sub(r"\[wanted.front\][^\n]*\nlower = 35\n", ODD, job)
    return Case(
        parse_car(re.sub(r"splines_\w+ = \d+.*\n", "", car), ""), parse_job(f"{job}\n[change.front.rack]\n", "")
    )


def let_down(case: Case, moved: np.ndarray) -> JobPlan:
    """The car with four springs and its rack set elsewhere than planned, by [rad or m], its angles put right."""
    job, plan = case.change_list, case.plan
    rack = job.change.front.rack.model_copy(update={"higher": Measured(job.change.front.rack.higher.value + moved[4])})
    front = job.change.front.model_copy(update={"rack": rack})
    job = job.model_copy(update={"change": job.change.model_copy(update={"front": front})})
    springs = {}
    for axle, model in zip(AXLES, plan.planned.models, strict=True):
        own = {side: model.elements[main_spring_name(axle, side)] for side in SIDES}
        by = {side: float(moved[CORNERS.index((axle, side))]) for side in SIDES}
        springs[axle] = plan.settings[axle], {side: spring_moved(own[side], by[side]) for side in SIDES}
    planned, wishes = planned_document(case.car, job), wishes_of(case.car, job)
    return plan_on_springs(planned, plan.found, wishes, springs, plan.planned)


@pytest.mark.validation_slow
def test_in_turns_it_comes_to_what_all_unknowns_together_leave_least():
    case = without_steps()

    def misses(moved):
        state = let_down(case, moved * ROUGHLY).planned
        heights = [(state.sits.travel[corner] - case.wishes.lower[corner]) / MM for corner in CORNERS]
        cross = (state.sits.cross_share - case.wishes.cross_share) / 0.001
        bump = np.mean([value_of(state.geometry["front"], f"{side}_bump_steer") for side in SIDES])
        return np.array([*heights, cross, bump * FIRST])

    begun = misses(np.zeros(5))
    best = least_squares(misses, np.zeros(5), diff_step=1e-3, max_nfev=4)

    assert np.abs(begun[:4]).min() > 0.9  # the wishes do contradict each other
    assert np.sum(begun[:5] ** 2) == pytest.approx(np.sum(best.fun[:5] ** 2), rel=1e-4)
    assert begun[:5] == pytest.approx(best.fun[:5], abs=0.005)
    assert abs(best.x[4] * ROUGHLY[4]) < 0.001 * MM
    assert abs(begun[5]) < 0.01
    # A rack put elsewhere is told from the best by far, so the search would have gone there.
    assert abs(misses(np.array([0, 0, 0, 0, 1.0]))[5]) > 1.0

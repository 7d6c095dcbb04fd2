"""An upper ball that slots move on its arm: the steering axis goes through it, and the knuckle stays one piece."""

from __future__ import annotations

import math
from functools import cache
from importlib.resources import files
from pathlib import Path

import pytest

from jounce.car.file.reading import read_car
from jounce.case.case import Case
from jounce.checks.alignment_reach import reach_checks
from jounce.checks.check import Verdict
from jounce.conventions.units import DEG
from jounce.job.file import parse_job
from jounce.job.plan import JobPlan, value_of
from jounce.layouts.adjusters import UPPER_JOINT
from jounce.layouts.naming import SIDES

DEMO = Path(str(files("jounce.demo")))
WISHBONES = ("bracken-16", "comfrey-20", "yarrow-12")


@cache
def plan(car: str, caster: float | None = None) -> JobPlan:
    text = (DEMO / f"{car}-lower.toml").read_text("utf-8")
    wish = "" if caster is None else f"caster = {caster}\n"
    job = parse_job(text.replace("[wanted.front]\n", f"[wanted.front]\n{wish}", 1), "job.toml")
    return Case(read_car(DEMO / f"{car}.toml"), job).plan


@pytest.mark.parametrize("car", WISHBONES)
def test_camber_and_kingpin_inclination_keep_their_sum(car):
    """Both balls and the hub are of one knuckle: the angle between kingpin and wheel is made by it alone.

    Angles are of a front view, which a degree of caster or toe turns by some ten-thousandths.
    """
    told = plan(car)
    for side in SIDES:
        sums, cambers = [], []
        for state in (told.found, told.planned):
            camber, inclination = (
                value_of(state.geometry["front"], f"{side}_{name}") for name in ("camber", "kingpin_inclination")
            )
            sums.append(camber + inclination)
            cambers.append(camber)
        assert abs(cambers[1] - cambers[0]) > 0.4 * DEG
        assert sums[1] == pytest.approx(sums[0], abs=0.01 * DEG)


@pytest.mark.parametrize("car", WISHBONES)
def test_caster_is_set_by_the_height_of_the_upper_ball_over_the_lower(car):
    """The upper ball goes to the rear by the height between the balls times the change of the tangent: plane geometry."""
    casters = (3.6, 4.4)
    pivots = read_car(DEMO / f"{car}.toml").front.left.pivots
    tall = pivots.upper_ball.z - pivots.lower_ball.z
    ways = [plan(car, caster).settings["front"].wheels["left"].rearward_needed for caster in casters]
    between = tall * (math.tan(casters[1] * DEG) - math.tan(casters[0] * DEG))

    for caster in casters:
        reached = value_of(plan(car, caster).planned.geometry["front"], "left_caster")
        assert reached == pytest.approx(caster * DEG, abs=0.005 * DEG)
    # The arm is not level, and the ball goes along it: within a twentieth.
    assert ways[1] - ways[0] == pytest.approx(between, rel=0.05)


def test_a_caster_beyond_slots_of_which_only_the_way_across_is_known_is_asked_about():
    """The region of slots in one direction is a line: that a caster lies beside it says nothing until they are measured."""
    written = (DEMO / "comfrey-20-lower.toml").read_text("utf-8")
    text = written.replace("[wanted.front]\n", "[wanted.front]\ncaster = 4.4\n", 1)
    document = read_car(DEMO / "comfrey-20.toml")
    known = text.replace("[change.front.upper_joint]\n", "[change.front.upper_joint]\nreach_rear = 2\n", 1)
    verdicts = []
    for one in (text, known):
        case = Case(document, parse_job(one, "job.toml"))
        found = reach_checks("front", UPPER_JOINT[0], case.states[1].document, case.change_list, case.plan)
        verdicts.append({check.verdict for check in found})

    assert verdicts == [{Verdict.UNKNOWN}, {Verdict.FAIL}]

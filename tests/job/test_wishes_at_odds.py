"""Heights and cross weight that contradict each other: what is told of them is missed, and what is advised is not."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import pytest

from jounce.car.file.reading import parse_car
from jounce.case.case import Case
from jounce.checks.check import Verdict
from jounce.conventions.axes import CORNERS
from jounce.conventions.units import MM
from jounce.job.file import parse_job
from jounce.job.wishes_at_odds import TOLD_FROM, WishesAtOdds
from jounce.job.wording import settings_of, unmet_told
from tests.job.changed_jobs import worked
from tests.workbench import demo_text

ARCHES = {"front": (345, 347), "rear": (340, 341)}


def job_lower(front, rear, cross="50 %"):
    """The demo job with each corner lowered by so much [mm]."""
    edits = [('cross_weight = "50 %"', f'cross_weight = "{cross}"')]
    for axle, lower, after in (("front", front, "\ncamber"), ("rear", rear, "\n\n[change.front.torsion_bar]")):
        left, right = (arch - by for arch, by in zip(ARCHES[axle], lower, strict=True))
        edits.append((f"lower = 35{after}", f"left_height = {left}\nright_height = {right}{after}"))
    return worked(tuple(edits))


def told_of(one):
    return [text for text in settings_of(one.plan, "metric") if "no plane" in text or "contradict" in text]


def test_a_lean_of_one_axle_is_told_as_a_twist_that_all_corners_share():
    one = job_lower((31, 39), (35, 35))
    at_odds = one.plan.at_odds
    shares = [at_odds.lower_by[corner] / MM for corner in CORNERS]

    # 8 mm of lean and a fourth of it at each corner, but for unequal tracks, and what the tyres give for the cross weight
    assert shares == pytest.approx([2, -2, -2, 2], abs=0.25)
    assert at_odds.twist / MM == pytest.approx(8, abs=0.6)
    assert not at_odds.by_cross
    (told,) = told_of(one)
    assert told in unmet_told(one.plan, "metric")
    assert re.search(r"no plane: [78]\.\d mm of twist, .* 2\.\d mm each", told)


def test_a_height_that_fails_of_a_twist_asks_for_no_other_springs():
    one = job_lower((25, 45), (35, 35))
    failed = [check for check in one.checks("HGT-01") if check.verdict is Verdict.FAIL]

    assert failed
    assert all("each other take 5.0 mm" in check.sentence and "no other springs" in check.todo for check in failed)


@pytest.mark.parametrize("axle", ["front", "rear"])
def test_the_lean_that_is_advised_puts_the_heights_into_a_plane(axle):
    lower = {"front": np.array([31.0, 39.0]), "rear": np.array([35.0, 35.0])}
    at_odds = job_lower(*lower.values()).plan.at_odds
    more = {"front": at_odds.front_lean, "rear": at_odds.rear_lean}[axle] / MM
    lower[axle] += np.array([more, -more])
    one = job_lower(*lower.values())

    assert abs(more) > 3
    assert one.plan.at_odds.each < 0.05 * MM
    assert told_of(one) == []


def test_a_cross_weight_that_twists_level_heights_is_told_with_the_one_that_goes_with_them():
    one = job_lower((35, 35), (35, 35), "54 %")
    (told,) = told_of(one)
    share = one.plan.at_odds.cross_share
    other = job_lower((35, 35), (35, 35), f"{share * 100:.3f} %")

    assert one.plan.at_odds.by_cross
    assert "contradict each other" in told
    assert other.plan.at_odds.each < 0.05 * MM
    assert told_of(other) == []


def test_it_is_told_from_its_limit_on():
    none = WishesAtOdds(dict.fromkeys(CORNERS, 0.0), 0.0, 0.0, 0.5, by_cross=False)
    at_limit = replace(none, lower_by={**none.lower_by, ("rear", "left"): -TOLD_FROM})
    within = replace(none, lower_by={**none.lower_by, ("rear", "left"): -TOLD_FROM * 0.999})

    assert at_limit.telling
    assert not within.telling
    assert worked().plan.at_odds.telling is False


def test_programs_read_it_beside_what_falls_short():
    told = job_lower((31, 39), (35, 35)).plan.at_odds.values()

    assert told["telling"] is True
    assert sum(map(abs, told["lower_by"].values())) == told["twist"]
    assert [*told["lower_by"]] == ["front.left", "front.right", "rear.left", "rear.right"]
    assert told["rear_lean"] * told["front_lean"] < 0  # the front less askew, or the rear as much the same way


def test_wishes_are_not_at_odds_where_a_spring_is_loose_as_the_car_stands():
    text = demo_text("comfrey-20-lower.toml").replace("free_length = 304", "free_length = 180")
    perch = re.compile(r"\[change\.rear\.perch\]\n(?:.+\n)+")
    assert perch.search(text)
    one = Case(parse_car(demo_text("comfrey-20.toml"), "car"), parse_job(perch.sub("", text), "job"))

    assert not one.plan.at_odds.telling
    assert any(check.verdict is Verdict.FAIL for check in one.checks if check.code == "PER-01")

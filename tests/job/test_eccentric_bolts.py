"""Eccentric bolts: by closed form, at the end of their turn, against slots as long, in words."""

from __future__ import annotations

import math
from functools import cache
from importlib.resources import files
from pathlib import Path

import pytest

from jounce.case.case import Case
from jounce.conventions.units import MM
from jounce.job.file import parse_job, read_job
from jounce.job.slot_range import SlotRange
from jounce.job.wording import settings_of

JOB = Path(str(files("jounce.demo").joinpath("bracken-16-lower.toml")))
SLOTS = "reach_inward = 8\nreach_outward = 8"


@cache
def bolted(keys: str, camber: str = "camber = -0.5") -> Case:
    text = JOB.read_text("utf-8")
    assert SLOTS in text
    job = parse_job(text.replace(SLOTS, keys).replace("camber = -0.5", camber), "")
    return Case(read_job(JOB)[1], job)


def test_the_joint_goes_across_by_the_eccentricity_times_the_sine_of_the_turn():
    free, one = (bolted(keys).plan.settings["front"].wheels for keys in (SLOTS, "eccentricity = 8"))
    for side in ("left", "right"):
        assert one[side].plate_inward == pytest.approx(free[side].plate_inward, abs=1e-12)
        assert 8 * MM * math.sin(one[side].bolt_turn) == pytest.approx(free[side].plate_inward, abs=1e-12)
        assert free[side].bolt_turn is None


def test_bolts_turned_square_are_at_their_end_as_slots_of_their_eccentricity():
    one = bolted("eccentricity = 2", "camber = -3").plan
    other = bolted("reach_inward = 2\nreach_outward = 2", "camber = -3").plan
    for side in ("left", "right"):
        mine, theirs = (plan.settings["front"].wheels[side] for plan in (one, other))
        assert mine.plate_inward == theirs.plate_inward == pytest.approx(2 * MM)
        assert mine.bolt_turn == pytest.approx(math.pi / 2)
        assert mine.inward_needed == pytest.approx(theirs.inward_needed, abs=1e-12)
    assert {lack.wish for lack in one.short} == {"camber"}
    checks = [check for check in bolted("eccentricity = 2", "camber = -3").checks if check.code == "PLT-01"]
    assert [check.limit for check in checks] == pytest.approx([2 * MM] * 2)
    assert "eccentric bolts 90° from their middle, cam inward" in " ".join(settings_of(one, "metric"))


def test_the_slope_is_the_cosine_and_a_shorter_slot_ends_before_the_bolt():
    bolt = SlotRange(eccentricity=6 * MM)
    for turn in (-0.7, 0.2, 1.1):
        way, step = 6 * MM * math.sin(turn), 1e-7
        slope = (bolt.bolt_turn(way + step) - bolt.bolt_turn(way - step)) / (2 * step)
        assert slope == pytest.approx(1 / (6 * MM * math.cos(turn)), rel=1e-6)
    assert SlotRange(inward=4 * MM, eccentricity=6 * MM).ends("camber") == pytest.approx((-6 * MM, 4 * MM))
    assert SlotRange(eccentricity=6 * MM).ends("caster") == (-math.inf, math.inf)

"""Room for the tyre at full lock: what is read passes or fails with what a new wheel takes of it, on both sides."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np
import pytest

from jounce.checks.check import Verdict
from jounce.checks.full_lock import _edges, taken_at_lock, wheel_checks
from jounce.checks.limits import USUAL
from jounce.conventions.units import MM
from tests.job.changed_jobs import worked

RACK = 65 * MM
GAP = "17 mm ± 2 mm"
TYRE = "tyre_rate = 170"


def checks_of(wheel="", *, gap=GAP, at="strut", present="offset = 35\ntyre_width = 165", height=""):
    """Both sides' checks of the demo job with other front wheels."""
    new = f"[change.front.wheel]\n{wheel}\n[change.front.top_plate]" if wheel else "[change.front.top_plate]"
    edits = [("[change.front.top_plate]", new), *height]
    grip = 'lateral = "example 1987"\ngrip = { value = 0.95, from = "estimate: an example tyre stands for this one" }'
    axle = "\n\n[front.torsion_bar]"  # the front wheel, not the rear one
    car = (
        ('full_lock_gap = { value = "17 mm ± 2 mm"', f'full_lock_gap = {{ value = "{gap}"'),
        ('full_lock_at = "inner rear"', f'full_lock_at = "{at}"' if at else ""),
        (f"{TYRE}\n{grip}{axle}", f"{TYRE}\n{present}{axle}"),
    )
    job = worked(tuple(edits), car)
    left, right, *_ = wheel_checks(job.job, job.planned, job.plan, USUAL)
    return left, right


@pytest.mark.parametrize(
    ("wheel", "taken"),
    [
        ("offset = 45", 10.0),  # ten inward
        ("tyre_width = 185", 10.0),  # half of twenty
        ("offset = 41\ntyre_width = 173", 10.0),
        ("offset = 43\nloaded_radius = 271", 10.0),  # eight inward and six up: their root of squares
    ],
)
def test_a_new_wheel_takes_from_the_gap_at_the_strut_what_it_comes_nearer(wheel, taken):
    for share, verdict in ((1e-6, Verdict.PASS), (-1e-6, Verdict.FAIL)):
        gap = 5 + taken + share
        for check in checks_of(wheel, gap=f"{gap:.7f} mm ± 2 mm"):
            assert (check.verdict, check.code) == (verdict, "WHL-01"), check.sentence
            assert check.margin == pytest.approx(share * MM, abs=1e-9)
            assert check.critical


def test_at_the_body_the_planned_height_takes_of_the_gap_too():
    """By hand: at one steer of the wheel the foremost place goes where wheel centre and steer take it."""
    plan = worked().plan
    for side in ("left", "right"):
        for place in ("inner front", "inner rear"):
            assert 0 < taken_at_lock(plan, side, place, RACK) < 5 * MM
        assert taken_at_lock(plan, side, "strut", RACK) == pytest.approx(0, abs=1e-12)


def test_ten_inward_bring_a_wheel_in_along_its_own_axis_at_each_lock():
    """Forward or back by the sine of the steer, in by its cosine."""
    plans = [
        worked(
            (("[change.front.top_plate]", f"[change.front.wheel]\noffset = {offset}\n[change.front.top_plate]"),),
            (("tyre_rate = 170\nlateral", "tyre_rate = 170\noffset = 35\nlateral"),),
        ).plan
        for offset in (45, 35.0001)
    ]
    for ahead in (1.0, -1.0):
        (wide, narrow) = (_edges(plan.planned, "left", ahead, RACK) for plan in plans)

        assert np.hypot(*(wide - narrow).T) == pytest.approx([10 * MM, 10 * MM], rel=0.02)
        assert (wide[:, 1] < narrow[:, 1] - 7 * MM).all()
        assert (wide[0, 0] - narrow[0, 0]) * (wide[1, 0] - narrow[1, 0]) < 0


def test_without_a_place_the_worst_counts_and_without_a_reading_nothing_is_known():
    (one, _), (other, _) = checks_of("offset = 45", at=""), checks_of("offset = 45", at="inner rear")

    assert one.value <= other.value
    assert "where it is least" in one.sentence


def test_a_tyre_far_further_out_than_was_read_for_is_not_known():
    for check in checks_of("offset = 20"):
        assert check.verdict is Verdict.UNKNOWN
        assert "further out" in check.sentence


def test_what_is_missing_is_asked_for():
    assert checks_of("offset = 45", present="tyre_width = 165")[0].asks == "front.wheel.offset"
    assert "present tyre's width" in checks_of("tyre_width = 185", present="offset = 35")[0].sentence
    assert "loaded radius" in checks_of('tyre = "175/65 R14"')[0].sentence


def test_a_right_hand_gap_of_its_own_counts_on_the_right_alone():
    car = worked().planned
    right = car.front.right.clearance.model_copy(
        update={"full_lock_gap": SimpleNamespace(value=4 * MM, plus_minus=0.0)}
    )
    front = car.front.model_copy(update={"right": car.front.right.model_copy(update={"clearance": right})})
    left, other, *_ = wheel_checks(worked().job, car.model_copy(update={"front": front}), worked().plan, USUAL)

    assert (left.verdict, other.verdict) == (Verdict.PASS, Verdict.FAIL)

"""What stands over the paper of a job that fails, whose figures a quote carries, and how far a car may still come down."""

from __future__ import annotations

import datetime
import io
import math
import re
from dataclasses import replace
from functools import cache

import numpy as np
import pypdf
import pytest

from jounce.case.case import Case
from jounce.checks import Verdict
from jounce.checks.lower_still import lower_still
from jounce.conventions.errors import InputError
from jounce.conventions.units import Kind
from jounce.job.wording import settings_of
from jounce.sheets.blocks import TableBlock
from jounce.sheets.catalogue import SHEETS, sheet
from jounce.sheets.job_sheet import job_sheet
from jounce.sheets.notice import Despite, despite_of
from jounce.sheets.paperwork import Paperwork, Printout
from jounce.sheets.shown import number
from jounce.sheets.travel_proof import travel_proof
from jounce.sheets.wheels import rubber_gap, travel_alone
from tests.job.changed_jobs import worked
from tests.sheets.cases import (
    REASON,
    car_case,
    case_for,
    demo_case,
    job_case,
    looking,
    offers,
    priced_case,
    shop,
    text_of,
)

OF_JOB = [word for word, kind in SHEETS.items() if not kind.priced and word != "baseline"]
TALL = (("free_height = 52", "free_height = 110"),)
WEAK = (("stress_limit = { value = 900", "stress_limit = { value = 500"),)


@cache
def failing():
    """The front bump rubbers are so tall that the car stands on them."""
    return changed(TALL)


@cache
def deadly():
    """The torsion bars bear less than full bump asks of them."""
    return changed(WEAK)


def changed(job=(), car=()):
    one = worked(job, car)
    return Printout(Case(one.car, one.job), Paperwork(shop=shop()))


def two_pages(case, despite=None):
    given = Printout(case.case, Paperwork(despite=despite))
    return " ".join(" ".join(p.extract_text() for p in pypdf.PdfReader(io.BytesIO(job_sheet(given))).pages).split())


def test_a_bar_of_unknown_splines_is_marked_out_on_the_set_up_sheet_and_a_plate_is_set_as_its_scale_is_read():
    unsplined = changed((("splines_arm = 40\nsplines_anchor = 44\nstress", "stress"),))
    told = text_of("set-up", unsplined)
    plates = told[told.index("top plates, from as found") :][:120]

    assert re.search(r"teeth arm / anchor, from old marks mark [+-−]\d+\.\d+ ", told)
    assert "+0 / +0" not in told
    assert re.search(r"left about \d+\.[05] mm (inward|outward), right about \d+\.[05] mm (inward|outward)", plates)


def test_the_gap_of_a_rubber_is_what_a_rule_reads_on_the_rod():
    """The demo's rear rubbers of 45 mm on dampers of 285 mm closed: they touch at 330 mm between the eyes."""
    case = changed()
    planned = case.case.plan.planned
    for side in ("left", "right"):
        length = next(c for c in planned.geometry["rear"].columns if c.name == f"{side}_damper_length").values[0]
        assert rubber_gap(planned, "rear", side) == pytest.approx(float(length) - 0.330, abs=1e-6)


@pytest.mark.sweep(2)
@pytest.mark.parametrize("word", OF_JOB)
def test_every_sheet_of_a_failing_job_says_at_its_head_what_fails_by_how_much_and_what_to_do(word):
    case = failing()
    told = text_of(word, case)
    count = sum(check.verdict is Verdict.FAIL for check in case.case.every_check)
    tail = told[told.index("STOP: ") :]

    assert told.index("STOP: ") < 450, told[:600]
    assert tail.startswith(f"STOP: {count} checks fail")
    assert "Is there free bump travel at the front? 0 mm to the rubber, 10 mm wanted." in tail
    assert "Found 0.0 mm, needed at least 10.0 mm. What to do: A lower bump stop or a shorter damper" in tail


def test_the_car_before_is_not_stopped_by_what_is_planned_of_it():
    told = text_of("baseline", deadly())

    assert "STOP" not in told
    assert "Four corners" in told


@pytest.mark.sweep(2)
@pytest.mark.parametrize("word", OF_JOB)
def test_a_sheet_of_a_good_job_stops_nobody_and_names_what_is_not_known(word):
    told = text_of(word, job_case())

    assert "STOP" not in told
    assert "Can the Panhard rod buckle?" in told
    assert "Not known" in told


@pytest.mark.sweep(2)
@pytest.mark.parametrize("word", OF_JOB)
def test_what_lives_depend_on_is_printed_only_with_a_reason_that_is_printed_too(word):
    case = deadly()
    with pytest.raises(InputError, match=r"lives depend: Does the left front torsion bar stand full bump\?"):
        sheet(word, case)

    told = text_of(word, replace(case, look=replace(case.look, despite=REASON)))
    assert (
        "DANGER. Does the left front torsion bar stand full bump? 608 MPa at full bump (bump rubber solid) exceeds"
        in told
    )
    assert "Printed all the same by A. Tester on 2026-03-21, for this reason: to show what these parts would do" in told


def test_the_two_pages_of_a_job_stop_and_ask_for_a_reason_alike():
    assert "STOP" not in two_pages(job_case())
    assert two_pages(failing()).index("STOP: ") < 200
    with pytest.raises(InputError, match="lives depend"):
        two_pages(deadly())
    assert "for this reason: to show" in two_pages(deadly(), REASON)


@pytest.mark.parametrize("reason", ["x", "why", "y" * 301, "line\x00feed"])
def test_a_reason_is_a_sentence(reason):
    with pytest.raises(InputError, match="no reason"):
        despite_of(reason, "")


def test_a_reason_carries_the_day_and_who_where_known():
    told = despite_of("  for the   inspector ", "")

    assert isinstance(told, Despite)
    assert told.reason == "for the inspector"
    assert abs((told.day - datetime.datetime.now().astimezone().date()).days) <= 1
    assert "somebody who gave no name" in told.sentence
    assert despite_of("   ", "A. Tester") is None


def test_a_car_without_a_job_is_judged_by_nobody():
    assert "STOP" not in text_of("answer", car_case())


@pytest.mark.sweep(4)
@pytest.mark.parametrize("units", ["metric", "inch"])
@pytest.mark.parametrize("word", SHEETS)
def test_no_key_of_a_file_comes_onto_paper(word, units):
    told = text_of(word, looking(case_for(word), units, "a4"))

    assert re.findall(r"[A-Za-z]+_[A-Za-z_]+", told) == []
    assert re.findall(r"\b[a-z]{3,}\.[a-z]{3,}", told) == []
    assert re.findall(r"\[(?:front|rear|limits|shelf|change)[.\]]", told) == []


def test_each_package_is_quoted_with_its_own_parts_and_its_own_figures():
    good, better = (offer.case for offer in offers())
    gradients = [math.degrees(one.planned.feel.left.roll_gradient) * 9.80665 for one in (good, better)]
    told = text_of("quote", priced_case())

    assert good.job.change.rear.perch is None
    assert better.job.change.rear.perch is not None
    for unsold in ("rear coils", "adjustable Panhard rod", "front dampers"):
        assert unsold not in told
    for gradient in gradients:
        assert f"{gradient:.2f}" in told
    assert abs(gradients[0] - gradients[1]) > 0.5
    assert told.count("Is there free bump travel at the front?") == 1  # what both fail is said once
    assert "Packages good and better. Is there free bump travel at the front?" in told
    assert "Is there enough bump travel in all at the front? good: Found 32.3 mm" in told
    assert "Package better. DANGER. Is the right rear coil still seated at full droop?" in told
    with pytest.raises(InputError, match="lives depend"):
        sheet("quote", replace(priced_case(), look=job_case().look))


def test_no_setting_is_of_zero_or_finer_than_its_thread():
    for units in ("metric", "inch"):
        lines = settings_of(demo_case().plan, units)

        assert all(not re.search(r"(?<![\d.])[+-]?0(\.0+)? (mm|in|teeth|turns?)\b", line) for line in lines), lines
        rods = [line for line in lines if "tie rod" in line]
        assert all("less than a flat" in line for line in rods)


def test_a_setting_of_the_tie_rod_is_told_in_flats():
    plan = changed((("toe = 0\n", "toe = 0.3\n"),)).case.plan
    wheel = plan.settings["front"].wheels["left"]
    line = next(one for one in settings_of(plan, "metric") if one.startswith("left front wheel"))

    assert wheel.tie_rod > 0.5e-3
    assert f"{round(wheel.tie_rod / 0.25e-3)} flats of its hexagon where a turn is 1.5 mm" in line
    assert f"{round(wheel.tie_rod / 0.25e-3) * 0.25:.1f} mm longer" in line


def test_a_car_at_its_ground_clearance_is_not_to_be_lowered_any_further():
    low = (("ground_clearance = { value = 155", "ground_clearance = { value = 130"),)
    told = text_of("hand-over", changed((), low))

    assert "STOP: " in told
    assert told.count("not to be lowered any further: a check fails already (Is there ground clearance enough?)") == 2
    assert "at the very most" not in told


def test_the_nearest_of_all_limits_is_told_by_its_name():
    high = (("ground_clearance = { value = 155", "ground_clearance = { value = 175"),)
    work = changed((), high).case
    near = {
        axle: lower_still(work.planned.document, work.plan, (work.every_check, work.rules.limits), axle)[0]
        for axle in ("front", "rear")
    }
    loose = {
        axle: min(
            wheel.loose_at - next(m.travel for m in work.plan.planned.stops[axle] if m.at == "droop" and m.hard)
            for wheel in work.plan.planned.axles[axle].wheels.values()
        )
        for axle in near
    }

    assert near["front"].words == "the right spring is loose at full droop"
    assert near["front"].way == pytest.approx(loose["front"], abs=1e-9)
    assert (
        near["rear"].words == "this no longer holds: Do the rear bump rubbers stay free with people and luggage aboard?"
    )
    assert 0 < near["rear"].way < loose["rear"]
    tight = (("ground_clearance = { value = 155", "ground_clearance = { value = 148.8"),)
    ground = changed((), tight).case
    first = lower_still(ground.planned.document, ground.plan, (ground.every_check, ground.rules.limits), "front")[0]
    assert first.words == "this no longer holds: Is there ground clearance enough with people and luggage aboard?"
    assert 0 < first.way < 2e-3


def test_bars_without_a_bolt_are_left_to_the_makers_manual_with_what_they_still_press_with():
    told = text_of("job-card", job_case())

    assert "bolt backed off" not in told
    assert "Torsion bars unloaded as the maker's manual says: they have no adjusting bolt" in told
    forces = [float(x) for x in re.findall(r"arm: (\d+) N at the ball joint", told)]
    torques = [float(x) for x in re.findall(r"old front (?:left|right) torsion bar [\d. -]+ ([\d.]+) N·m", told)]
    arm, ball, rear = (np.array(p) for p in ((110, 345, 212), (5, 648, 190), (-220, 345, 216)))
    axis = (rear - arm) / np.linalg.norm(rear - arm)
    lever = np.linalg.norm(np.cross(axis, ball - arm)) / 1e3
    assert forces == pytest.approx([torque / lever for torque in torques], rel=2e-3)


def test_an_added_bar_is_placed_from_what_can_be_touched():
    """Bush at 250, 340, 238; front pivot of the arm at 110, 345, 212."""
    told = text_of("job-card", job_case())

    assert "140.0 mm ahead and 26.0 mm above the front pivot of the left lower arm, 340.0 mm from the middle" in told


def test_the_droop_of_the_checks_is_the_droop_of_the_travel_sheet():
    """On a car that leans one wheel hangs before the other: both tell the first of the two, by one source."""
    uneven = (("[wanted.front]\nlower = 35", "[wanted.front]\nleft_height = 302\nright_height = 312"),)
    case = changed(uneven)
    state = case.case.plan.planned
    told = {axle: check.value for axle, check in zip(("front", "rear"), rebound(case), strict=True)}
    sheet = travel_proof(case)
    together = next(block for block in sheet[2:] if isinstance(block, TableBlock))

    for row, axle in ((1, "front"), (3, "rear")):
        hanging = min(stop.travel for stop in state.stops[axle] if stop.at == "droop" and stop.hard)
        assert told[axle] == hanging
        assert together.rows[row][0] == f"{axle}, droop"
        assert together.rows[row][3] == number(told[axle], Kind.LENGTH, "metric")
    left, right = (travel_alone(state, "front", side).droop.travel for side in ("left", "right"))
    assert abs(left - right) > 2e-3
    assert told["front"] == pytest.approx(min(left, right), abs=3e-3)


def rebound(case):
    return [check for check in case.case.every_check if check.code == "TRV-04"]

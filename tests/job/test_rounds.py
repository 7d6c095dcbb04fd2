"""Rounds after the work, on cars whose springs are secretly set otherwise than they were thought to be."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from functools import cache

import numpy as np
import pytest

from jounce.case.case import Case, case_of_file
from jounce.conventions.axes import CORNERS
from jounce.conventions.errors import InputError
from jounce.conventions.units import DEG, MM, Kind
from jounce.job.plan import height, make_plan
from jounce.job.round_words import round_steps
from jounce.job.rounds import CorrectionTask, ReadNumber, RoundFound, _heights, _is_length, corrected
from jounce.ledger.outcome import Outcome, PromisedNumber
from jounce.measuring.afterwards import FoundNumber
from jounce.questions.rounds import JobRound, found_of_round, round_table, rounds_of
from tests.house.places import ROOT

TAPE = 2 * MM


@cache
def case(name: str) -> Case:
    return case_of_file(ROOT / "src" / "jounce" / "demo" / f"{name}-lower.toml")


def task(name):
    of = case(name)
    return CorrectionTask(of.car, of.with_parts, of.wishes, of.plan, of.plan)


def secret(of, shares):
    """Displacements of the springs that nobody knows: 8 mm of a seat, or 1.5 degrees of a bar."""
    full = np.array([8 * MM if _is_length(of.plan.planned, corner) else 1.5 * DEG for corner in CORNERS])
    return full * np.array(shares)


def read(heights, plus_minus=TAPE):
    return {corner: ReadNumber(float(one), plus_minus) for corner, one in zip(CORNERS, heights, strict=True)}


def as_planned(of):
    return [height(of.car, of.plan.planned, corner) for corner in CORNERS]


@pytest.mark.parametrize("name", ["brisk-14", "sedge-13"])
def test_a_car_with_secret_springs_is_inside_after_two_rounds(name):
    """The settings of the second method are made for true: the same springs are let down with what was turned."""
    of = task(name)
    off = secret(of, (-1.0, 0.1, 0.8, 0.0))
    now, worst = of, []
    for _ in range(3):
        turned = np.array([_set_in(now, corner) - _set_in(of, corner) for corner in CORNERS])
        stands = _heights(of, off + turned)
        worst.append(np.abs(stands - as_planned(of)).max())
        told = corrected(now, RoundFound(read(np.round(stands, 3))))
        now = replace(now, in_place=told.plan)

    assert worst[0] > 4 * MM
    assert worst[2] < 2 * MM, "a tooth is more than 1 mm here"
    assert worst[2] < worst[0] / 2


def test_a_car_that_sits_deep_in_its_rubbers_is_explained_all_the_same():
    """Bump rubbers grow stiffer with every millimetre: the slopes of the plan alone do not lead to these heights."""
    of = task("sedge-13")
    stands = _heights(of, secret(of, (-6.0, -6.0, 0.0, 0.0)))
    told = corrected(of, RoundFound(read(stands)))
    turned = {step.where for step in round_steps(of.in_place, told.plan, "metric")}

    assert (as_planned(of) - stands)[:2].min() > 30 * MM
    assert max(abs(one) for one in told.twist.values()) < 1 * MM
    assert {"front left", "front right"} <= turned


def _set_in(of, corner):
    """How a spring is set by its settings alone, whatever was found [m or rad]."""
    axle, side = corner
    settings = of.in_place.settings[axle]
    return settings.bars[side].index.reached if side in settings.bars else settings.seats[side].seat


@pytest.mark.parametrize("name", ["brisk-14", "sedge-13"])
def test_only_the_corner_that_is_off_is_turned(name):
    """One front spring is off: both front heights and the rear ones move by it, and one corner is turned."""
    of = task(name)
    stands = _heights(of, secret(of, (-1.0, 0.0, 0.0, 0.0)))
    told = corrected(of, RoundFound(read(stands)))
    steps = round_steps(of.in_place, told.plan, "metric")
    turned = {step.where for step in steps if step.what.startswith(("torsion bar", "spring seat", "adjusting bolt"))}

    assert len(told.off) >= 2
    assert turned == {"front left"}
    for corner in CORNERS:
        assert told.heights[corner] == pytest.approx(told.promised[corner], abs=2 * MM)


def test_what_is_told_is_what_it_gives():
    """Second method: the secret springs with the told turn on top, let down by themselves."""
    of = task("sedge-13")
    off = secret(of, (0.0, 0.0, -1.0, 0.0))
    told = corrected(of, RoundFound(read(_heights(of, off))))
    turned = np.array([_set_in(replace(of, in_place=told.plan), corner) - _set_in(of, corner) for corner in CORNERS])

    assert np.count_nonzero(turned) == 1
    # The plates are set again as well, which moves the heights by hundredths.
    assert list(told.heights.values()) == pytest.approx(list(_heights(of, off + turned)), abs=0.1 * MM)


@pytest.mark.parametrize("name", ["brisk-14", "sedge-13"])
def test_a_twist_of_the_floor_turns_no_spring_and_is_told(name):
    """Heights 1.5 mm up and down crosswise: no lift, pitch or lean in them, by hand."""
    of = task(name)
    twist = np.array([1.5, -1.5, -1.5, 1.5]) * MM
    told = corrected(of, RoundFound(read(np.add(as_planned(of), twist), 1 * MM)))

    assert round_steps(of.in_place, told.plan, "metric") == []
    assert list(told.twist.values()) == pytest.approx(twist, abs=0.2 * MM)
    assert told.twisted == pytest.approx(1.5 * MM - ReadNumber(0, 1 * MM).room, abs=0.2 * MM)
    said = round_table(1, JobRound(told, (), made=False), "metric").remarks
    assert any("twisted against each other" in line for line in said)


@pytest.mark.parametrize("name", ["brisk-14", "sedge-13"])
def test_one_low_reading_is_one_low_corner(name):
    """A corner read 4 mm low, the others right, is no stiff body: the nearest one has that corner's spring off, by hand."""
    of = task(name)
    told = corrected(of, RoundFound(read(np.add(as_planned(of), [-4 * MM, 0, 0, 0]), 1 * MM)))
    steps = round_steps(of.in_place, told.plan, "metric")
    springs = {
        one.where for one in steps if one.what.startswith(("torsion bar", "spring seat", "adjusting bolt", "spacer"))
    }

    assert springs == {"front left"}
    assert list(told.twist.values()) == pytest.approx([-1 * MM, 1 * MM, 1 * MM, -1 * MM], abs=0.4 * MM)


def test_a_car_that_is_inside_is_left_alone():
    of = task("brisk-14")
    told = corrected(of, RoundFound(read(np.add(as_planned(of), [1 * MM, -1 * MM, 0.5 * MM, 0]))))

    assert told.inside
    assert not told.turns
    assert round_steps(of.in_place, told.plan, "metric") == []


def test_an_angle_that_came_out_otherwise_is_asked_for_otherwise():
    of = task("brisk-14")
    wanted = of.wishes.axles["front"].angles.toe["left"]
    found = RoundFound(read(as_planned(of)), {("front", "left", "toe"): ReadNumber(wanted + 0.3 * DEG, 0.08 * DEG)})
    told = corrected(of, found)
    (step,) = round_steps(of.in_place, told.plan, "metric")

    assert told.off_angles == told.outside_angles == (("front", "left", "toe"),)
    assert (step.where, step.what) == ("front left", "tie rod")
    assert "flat" in step.amount
    assert told.angles["front", "left", "toe"] == pytest.approx(wanted, abs=0.01 * DEG)


def test_one_height_alone_is_refused_with_those_that_are_missing():
    of = task("brisk-14")
    with pytest.raises(InputError, match="All four heights") as refused:
        corrected(of, RoundFound({CORNERS[0]: ReadNumber(0.3, TAPE)}))
    assert "front right and rear left and rear right" in str(refused.value)


def test_rounds_follow_each_other_in_words():
    of = case("brisk-14")
    stands = _heights(task("brisk-14"), secret(task("brisk-14"), (-1.0, 0.0, 0.0, 0.0)))
    numbers = {f"{a}.{s}.height": FoundNumber(float(h), TAPE) for (a, s), h in zip(CORNERS, stands, strict=True)}
    first = found_of_round(numbers)
    one = rounds_of(of, [(first, True)], "metric")[0]
    then = RoundFound(read([one.correction.heights[corner] for corner in CORNERS]))
    told = rounds_of(of, [(first, True), (then, False)], "metric")

    assert told[0].steps
    assert told[1].correction.inside
    assert "nothing is turned" in round_table(2, told[1], "metric").remarks[0]
    assert any("front left −" in line for line in round_table(1, told[0], "metric").remarks)


@pytest.mark.parametrize("more", [0.9, 1.1])
def test_inside_is_what_the_ledger_counts_as_inside(more):
    """Band 6 mm promised, tape ± 2 mm: by hand both together are √(6² + 1.645²) = 6.22 mm; at both doors alike."""
    of = replace(task("sedge-13"), bands={f"{axle}.{side}.height": 6 * MM for axle, side in CORNERS})
    off = more * 6.2213 * MM
    found = np.add(as_planned(of), [off, 0, 0, 0])
    told = corrected(of, RoundFound(read(found)))
    promised = PromisedNumber("front.left.height", Kind.LENGTH, as_planned(of)[0], 6 * MM)

    assert told.inside is (more < 1)
    assert Outcome("job", promised, float(found[0]), TAPE, date(2031, 5, 2)).inside is told.inside
    assert told.off == (CORNERS[0],), "the tape alone tells that it is off, and it may be brought nearer"
    assert told.turns
    said = " ".join(round_table(1, JobRound(told, (), made=False), "metric").remarks)
    assert ("Inside what was promised" in said) is told.inside
    assert ("Outside what was promised" in said) is not told.inside


def test_springs_that_are_set_as_planned_stand_as_planned():
    """Closed form: no secret, no correction; and a plan made anew is the plan."""
    of = task("sedge-13")
    again = make_plan(of.car, of.with_parts, of.wishes)

    assert _heights(of, np.zeros(4)) == pytest.approx(as_planned(of), abs=1e-6)
    assert [height(of.car, again.planned, corner) for corner in CORNERS] == pytest.approx(as_planned(of), abs=1e-9)

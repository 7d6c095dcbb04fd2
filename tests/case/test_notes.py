"""What has to be known before a job's numbers are believed: contradictions, ends that are passed, heights nothing sets."""

from __future__ import annotations

import copy
from functools import cache

import tomlkit

from jounce.car.file.reading import parse_car
from jounce.case.case import Case
from jounce.case.notes import notes_on
from jounce.job.file import parse_job
from jounce.job.wording import settings_of
from jounce.questions.catalogue import QUESTIONS
from jounce.questions.question import Asked
from tests.odd_cars import ODD_CARS, STEERED_LINKS


@cache
def too_short():
    """Front coils far too short on seats without a thread, no rubber to hold them; the old coil's length a slip."""
    car, job = copy.deepcopy(ODD_CARS[STEERED_LINKS]())
    car["front"].pop("bump_stop")
    car["front"]["spring"]["free_length"] = 320
    for part in ("perch", "bump_stop", "drop_link"):
        job["change"]["front"].pop(part)
    job["wanted"]["front"].pop("free_bars")
    job["wanted"]["front"].pop("bump_steer")
    job["change"]["front"].pop("tie_rod_spacer")
    job["change"]["front"]["spring"]["free_length"] = 290
    job["change"]["front"]["damper"]["closed_length"] = 345
    return Case(parse_car(tomlkit.dumps(car), "odd.toml"), parse_job(tomlkit.dumps(job), "odd-job.toml"))


def test_a_car_that_would_stand_beyond_its_dampers_is_told_as_such():
    case = too_short()
    beyond = [note for note in notes_on(case) if "beyond the end" in note]

    assert case.plan.planned.sits.travel["front", "left"] > 0.08
    assert len(beyond) == 1
    assert beyond[0].startswith("The front as planned would stand beyond the end of its travel (damper closed): metal ")


def test_measurements_that_contradict_each_other_are_told_with_a_job():
    assert [note[:36] for note in notes_on(too_short()) if "contradict" in note] == 2 * [
        "front spring free length 320.0 mm an"
    ]


def test_what_a_height_would_need_is_told_where_nothing_sets_it():
    case = too_short()
    told = [line for line in settings_of(case.plan, "metric") if "nothing on it sets a height" in line]
    seats = case.plan.settings["front"].seats

    assert [line.split(";")[0] for line in told] == [
        f"{side} front spring: nothing on it sets a height" for side in ("left", "right")
    ]
    for line, side in zip(told, ("left", "right"), strict=True):
        assert f"raises the body on it by {seats[side].wanted * 1000:.1f} mm" in line


def test_a_height_that_springs_miss_is_not_put_down_to_wishes_that_contradict_each_other():
    (check,) = [one for one in too_short().checks if one.code == "HGT-01" and "front" in one.question]

    assert check.todo == "Other springs, seats with more thread, or another height."


@cache
def orders(free_length):
    """What the dampers' orders of the planned car remark, front then rear, its front coils as long as that [mm]."""
    car, job = copy.deepcopy(ODD_CARS[STEERED_LINKS]())
    for part in ("perch", "drop_link", "tie_rod_spacer"):
        job["change"]["front"].pop(part)
    for wish in ("free_bars", "bump_steer"):
        job["wanted"]["front"].pop(wish)
    job["change"]["front"]["spring"]["free_length"] = free_length
    case = Case(parse_car(tomlkit.dumps(car), "odd.toml"), parse_job(tomlkit.dumps(job), "odd-job.toml"))
    question = QUESTIONS["ride"]
    tables = question.answer(Asked(question.as_first(), "metric", case))
    return [" ".join(map(str, table.remarks)) for table in tables if table.question.startswith("Damper order, planned")]


def test_dampers_are_not_ordered_for_the_rate_of_a_bump_rubber_without_a_word():
    front, rear = orders(300)

    assert "The front stands on its bump rubbers, whose rate is in this" in front
    assert "stands on its bump rubbers" not in rear
    assert "stands on its bump rubbers" not in " ".join(orders(360))

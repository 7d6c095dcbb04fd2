"""Goals as somebody writes them: windows, weights and reasons, in the job file and in one line."""

from __future__ import annotations

from importlib.resources import files

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jounce.conventions.errors import InputError, InputProblems
from jounce.conventions.units import DEG, STANDARD_GRAVITY, Kind
from jounce.job.file import parse_job
from jounce.job.goal_window import Window, read_window
from jounce.search.goals import METRICS, Goal, usual_goals
from jounce.search.shown import failed_words, met_words, window_words
from jounce.search.written_goals import goals_of, read_goal

JOB = files("jounce.demo").joinpath("brisk-14-lower.toml").read_text("utf-8")
PER_G = DEG / STANDARD_GRAVITY


def job_with(goals):
    return parse_job(f"{JOB}\n{goals}", "job.toml")


def test_goals_of_the_file_go_before_the_usual_ones_and_those_of_the_line_before_both():
    job = job_with(
        '[goals.roll_gradient]\nwindow = "3.5 to 4.5 deg/g"\nweight = 2\nreason = "less roll"\n'
        '[goals.rear_bump]\nwindow = "2 in to 6 in"\n[goals.front_share]\nwindow = [46, "54 %"]\nweight = 0\n'
    )
    usual = {goal.metric: goal for goal in usual_goals()}
    told = {goal.metric: goal for goal in goals_of(job, [read_goal("rear_bump = 60 to 90 mm")])}

    assert told["roll_gradient"].low == pytest.approx(3.5 * PER_G, rel=1e-12)
    assert told["roll_gradient"].high == pytest.approx(4.5 * PER_G, rel=1e-12)
    assert (told["roll_gradient"].weight, told["roll_gradient"].reason) == (2.0, "less roll")
    assert told["rear_bump"].high == pytest.approx(0.09)
    assert told["front_frequency"] == usual["front_frequency"]
    assert "front_share" not in told  # a weight of 0 is no goal


def test_what_is_wrong_with_goals_is_told_with_its_line():
    with pytest.raises(InputProblems) as caught:
        job_with(
            '[goals.roll_gradiant]\nwindow = "3.5 to 4.5 deg/g"\n[goals.front_bump]\nwindow = "150 to 50 mm"\n'
            '[goals.rear_lift]\nweight = -1\n[goals.front_share]\nwindow = "46 to 154 %"\n'
            '[goals.rear_bump]\nwindow = "50 mm"\n[goals.rear_free]\nwindow = "1 to 2 deg"\n'
        )
    first = len(JOB.splitlines()) + 2
    told = str(caught.value)

    assert len(caught.value.problems) == 7
    assert (
        f'goals.roll_gradiant (line {first}): "roll_gradiant" is not known here. Did you mean "roll_gradient"?' in told
    )
    assert f"goals.front_bump.window (line {first + 3}): The window is empty" in told
    assert '"window" is missing' in told
    assert "The number is too small; found -1" in told
    assert "The window is out of range; found '46 to 154 %'; allowed: 0 to 100 %" in told
    assert "This is no window; found '50 mm'; allowed: \"low to high mm\"" in told
    assert "cannot be read in this unit" in told


def test_one_line_holds_window_weight_and_reason():
    goal = read_goal("roll_gradient=3.5..4.5 deg/g; weight 2; softer; for the long road")

    assert (goal.weight, goal.reason) == (2.0, "softer; for the long road")
    assert goal.low == pytest.approx(3.5 * PER_G)
    assert read_goal("front_bump = 2 to 6", "inch").high == pytest.approx(0.1524)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("comfort = 1 to 2", "This is no goal"),
        ("roll_gradient", "This is no goal"),
        ("front_bump = 50", "This is no window"),
        ("front_bump = to 50 mm", "This is no window"),
        ("front_bump = 90 to 50 mm", "The window is empty"),
        ("front_bump = 50 to 90 N", "cannot be read in this unit"),
        ("front_bump = 50 to 90 mm; weight two", "This is no weight"),
        ("front_bump = 50 to 90 mm; weight nan", "This is no weight"),
        ("front_bump = nan to 90 mm", "This is not a length"),
    ],
)
def test_a_line_that_says_no_goal_is_refused(text, told):
    with pytest.raises(InputError, match=told):
        read_goal(text)


def test_a_job_whose_goals_all_weigh_nothing_is_refused():
    nothing = "".join(f"[goals.{goal.metric}]\nwindow = [{1}, {1}]\nweight = 0\n" for goal in usual_goals()).replace(
        "[1, 1]", "[1, 2]"
    )
    with pytest.raises(InputError, match="No goal is left"):
        goals_of(job_with(nothing))


@given(st.floats(0.1, 5), st.floats(0, 3))
def test_a_window_reads_back_as_it_was_written(low, width):
    high = low + width

    assert read_window(f"{low!r} to {high!r} Hz", Kind.FREQUENCY) == Window(low, high)
    assert read_window([low, high], Kind.FREQUENCY) == Window(low, high)


def test_a_miss_is_told_with_its_way_and_never_as_nothing():
    goal = Goal("roll_gradient", 3.5 * PER_G, 4.5 * PER_G)

    assert window_words(goal) == "3.50 to 4.50 deg/g"
    assert met_words(goal, 4.0 * PER_G) == "met"
    assert met_words(goal, 4.75 * PER_G) == "0.25 deg/g more"
    assert met_words(goal, 3.1 * PER_G) == "0.40 deg/g less"
    assert met_words(goal, 4.500001 * PER_G) == "under 0.01 deg/g more"
    assert met_words(goal, None) == "not known"


def test_the_job_file_has_a_goal_for_every_number():
    assert set(type(job_with("").goals).model_fields) == set(METRICS)


def test_what_packages_fail_is_told_once_with_how_many_fail_it():
    packages = [("ALN-02: camber 0.0 deg", "TIP-01: at 0.88 g"), ("ALN-02: camber 0.1 deg",), ("no rest",)]

    assert failed_words(packages) == [
        "- ALN-02: camber 0.0 deg So 2 of 3.",
        "- TIP-01: at 0.88 g So 1 of 3.",
        "- no rest So 1 of 3.",
    ]
    assert failed_words(packages[:2])[-1].startswith("What all of them fail")

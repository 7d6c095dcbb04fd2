"""Every problem of a file is told, once, at its place and line, with what to do."""

from __future__ import annotations

import re
from contextlib import suppress

import pytest

from jounce.car.file.reading import parse_car
from jounce.conventions.errors import InputError, InputProblems
from tests.car.conftest import Changed, problems_in

BALL_JOINT = "ball_joint = [0, 640, 190]"
STOP_CURVE = "curve = [[0, 0], [20, 800], [40, 4000]]"
TURNING = 'turning_side = "right"'
FRONT_DAMPER = "closed_length = 380\nopen_length = 540"


@pytest.mark.parametrize(
    ("old", "new", "place", "words"),
    [
        ('diameter = "20.5 ± 0.1 mm"', 'diameter = "205 mm"', "front.torsion_bar.diameter", "found 205 mm"),
        ("rack_travel = 65", 'rack_travel = "65 kg"', "front.steering.rack_travel", "found 'kg'; allowed: mm, in"),
        ("preset = true", "prseet = true", "front.torsion_bar.prseet", 'Did you mean "preset"?'),
        ("[front.steering]", "[front.stering]", "front.stering", 'Did you mean "steering"?'),
        ("[limits]", "[limit]", "limit", 'Did you mean "limits"?'),
        (BALL_JOINT, "", "front.pivots.ball_joint", "Add it: centre of the lower ball joint"),
        (BALL_JOINT, "ball_joint = [0, -640, 190]", "front.pivots.ball_joint", "mirrored side"),
        (BALL_JOINT, "ball_joint = [0, 640]", "front.pivots.ball_joint", "three coordinates"),
        (BALL_JOINT, "ball_joint = [0, 330, 205]", "front.pivots.ball_joint", "the arm turns about that line"),
        (BALL_JOINT, "ball_joint = [120, 330, 205]", "front.pivots.ball_joint", "are the same point"),
        (FRONT_DAMPER, "closed_length = 540\nopen_length = 380", "front.damper.open_length", "not longer open"),
        (FRONT_DAMPER, "closed_length = 280\nopen_length = 340", "front.damper", "allowed: 280.0 mm to 340.0 mm"),
        (FRONT_DAMPER, "closed_length = 500", "front.damper", "allowed: 500.0 mm or more"),
        ("gap = 20 ", "gap = 20\nfree_height = 30 ", "front.bump_stop", 'both "gap" and "free_height"'),
        ("gap = 20 ", "", "front.bump_stop", 'neither "gap" nor "free_height"'),
        ("closed_length = 300\n", "", "rear.bump_stop.free_height", 'Add "closed_length" to the damper'),
        (STOP_CURVE, "curve = [[0, 0], [20, 800], [20, 900]]", "front.bump_stop.curve", "row 3"),
        (STOP_CURVE, "curve = [[0, 900], [20, 800]]", "front.bump_stop.curve", "Row 2 falls"),
        (STOP_CURVE, "curve = [[0, 0]]", "front.bump_stop.curve", "two rows"),
        (STOP_CURVE, "curve = [[0, 0], [20]]", "front.bump_stop.curve", "Row 2 has not 2"),
        (STOP_CURVE, "curve = [[-1, 0], [2, 3]]", "front.bump_stop.curve", "below zero"),
        ("inner_diameter = 18", "inner_diameter = 24", "rear.panhard.inner_diameter", "less than 24.0 mm"),
        ("axle_end = [-2400, -420, 275]", "axle_end = [-2400, 430, 300]", "rear.panhard.axle_end", "same point"),
        ("shortest = 820", "shortest = 860", "rear.panhard.shortest", "found 850.4 mm; allowed: 860.0 mm"),
        ('rate = "20 ± 1 N/mm"', "wire = 11", "rear.spring", "neither rate nor mean_diameter, active_turns"),
        ("solid_length = 110", "solid_length = 330", "rear.spring.free_length", "not longer free than solid"),
        ("highest = 10", "highest = -50", "rear.perch.highest", "not above the lowest"),
        (TURNING, 'turning_side = "none"', "rear.beam.turning_side", "allowed: 'left', 'right', 'both' or 'neither'"),
        (TURNING, f"{TURNING}\nbush_axis = [0, 0, 0]", "rear.beam.bush_axis", "no length"),
        (TURNING, f"{TURNING}\nbush_axis = [0, 1]", "rear.beam.bush_axis", "three plain numbers"),
        ('link_on = "arm"', 'link_on = "body"', "front.roll_bar.link_on", 'found "body"; allowed: "arm" or "strut"'),
        ('layout = "beam-panhard"', 'layout = "beam"', "rear.layout", 'found "beam"'),
        ('layout = "beam-panhard"', "", "rear", '"layout" is missing'),
        ('toe = "0.5 mm ± 0.5 mm"', 'toe = "400 mm"', "front.alignment.toe", "not shorter than the diameter"),
        ("toe_diameter = 365", "", "front.alignment.toe", 'Add "toe_diameter"'),
        ("toe_diameter = 365", 'toe_diameter = "0 mm"', "front.alignment.toe_diameter", "allowed: 250 to 800 mm"),
        ("toe_diameter = 365", 'toe_diameter = "5 kg"', "front.alignment.toe_diameter", "found 'kg'"),
        ('front_left = "292 ± 1 kg"', 'front_left = "592 kg"', "mass", "share on front right and rear left"),
        ("year = 1987", 'year = "old"', "car.year", "whole number"),
        ("year = 1987", "year = 87", "car.year", "1900 or more"),
        ("date = 2026-03-02", 'date = "yesterday"', "measured.date", "This is a date"),
        ("preset = true", 'preset = "perhaps"', "front.torsion_bar.preset", "true, false"),
        ('name = "Brisk 14, blue"', 'name = ""', "car.name", "The text is empty"),
        ('name = "Brisk 14, blue"', "name = 14", "car.name", "Put it in quotation marks."),
        ("splines_arm = 28", "splines_arm = 2", "front.torsion_bar.splines_arm", "8 or more"),
        ("[front.steering]", "[front.left]\nx = 1\n[front.steering]", "front.left.x", "not known here"),
        ("[front.steering]", "[front.right.damping]\nx = 1\n[front.steering]", "front.right.damping", 'mean "damper"'),
    ],
)  # fmt: skip
def test_problem(changed: Changed, old: str, new: str, place: str, words: str) -> None:
    found = problems_in(changed((old, new)))

    assert list(found) == [place], found
    assert words in found[place]


SIDES = [
    ("[front.right.pivots]\nball_joint = [0, 640, 190]", "front.right.pivots.ball_joint", "y <= 0"),
    ("[front.left.pivots]\nball_joint = [0, -640, 190]", "front.left.pivots.ball_joint", "y >= 0"),
    ("[front.right.pivots]\nball_jiont = [0, -640, 190]", "front.right.pivots.ball_jiont", 'mean "ball_joint"'),
    ("[front.right.torsion_bar]\ndiameter = 205", "front.right.torsion_bar.diameter", "8 to 60 mm"),
    ("[front.right.torsion_bar.adjuster]\npitch = 1", "front.right.torsion_bar.adjuster.lever", "is missing"),
    ("[front.right.roll_bar]\ndiameter = 20", "front.roll_bar.diameter", "cannot differ from side to side"),
    ("[front.right]\ndamper = 3", "front.right.damper", "Write it as [damper]"),
]


@pytest.mark.parametrize(("more", "place", "words"), SIDES, ids=[row[1] for row in SIDES])
def test_problem_of_one_side_is_placed_where_it_was_written(
    changed: Changed, more: str, place: str, words: str
) -> None:
    found = problems_in(f"{changed()}\n{more}\n")

    assert place in found, found
    assert words in found[place]


def test_bar_on_one_side_only(changed: Changed) -> None:
    found = problems_in(changed(("[rear.roll_bar] ", "[rear.left.roll_bar] ")))

    assert "missing on the right" in found["rear.roll_bar"]


def test_any_layout_may_stand_at_either_end(changed: Changed) -> None:
    text = changed()
    general, _, axles = text.partition("[front]")
    front, _, rear = axles.partition("[rear]")
    points = re.compile(r"\[(-?\d+), (?=-?\d+, -?\d+\])")
    front, rear = (
        points.sub(lambda found, by=by: f"[{int(found[1]) + by}, ", axle) for axle, by in ((front, -2380), (rear, 2380))
    )
    swapped = general + "[rear]" + front.replace("[front.", "[rear.") + "[front]" + rear.replace("[rear.", "[front.")

    document = parse_car(swapped, "swapped.toml")

    assert (document.front.layout, document.rear.layout) == ("beam-panhard", "strut-torsion-bar")


def test_all_problems_are_told_at_once_in_the_order_of_the_file_with_their_lines(changed: Changed) -> None:
    text = changed(
        ("year = 1987", "yaer = 1987"),
        ("rack_travel = 65", "rack_travel = 650"),
        (BALL_JOINT, "ball_joint = [0, -640, 190]"),
        ("active_length = 980", "active_length = 98"),
    )
    with pytest.raises(InputProblems) as caught:
        parse_car(text, "brisk-14.toml")
    lines = text.splitlines()
    places = ["car.yaer", "front.pivots.ball_joint", "front.steering.rack_travel", "rear.inner_bar.active_length"]
    starts = ["yaer", "ball_joint", "rack_travel = 650", "active_length = 98"]
    numbers = [next(n for n, line in enumerate(lines, 1) if line.startswith(start)) for start in starts]

    assert [problem.place for problem in caught.value.problems] == [
        f"{place} (line {number})" for place, number in zip(places, numbers, strict=True)
    ]
    assert str(caught.value).startswith("brisk-14.toml: 4 problems found.\n  1. car.yaer (line 3): ")


def test_unreadable_band_of_an_axle_is_told_once_and_not_at_every_point(changed: Changed) -> None:
    text = changed()
    text = text.replace("pivots_plus_minus = 1.0 ", 'pivots_plus_minus = "1 kg" ', 1)

    assert list(problems_in(text)) == ["front.pivots_plus_minus"]


@pytest.mark.parametrize("text", ["", "front = 3", "[front]", "front = [1]\nrear = []", "[front]\nlayout = 3"])
def test_nothing_that_is_toml_gives_anything_but_problems(text: str) -> None:
    with pytest.raises(InputProblems):
        parse_car(text, "car")


@pytest.mark.sweep
@pytest.mark.parametrize("value", ["3", "[1]", "true", '"x"', "{}", "[{}]", "{ left = 3 }", "2026-03-02", "nan"])
def test_any_key_with_any_wrong_value_gives_problems_and_no_traceback(car_text: str, value: str) -> None:
    """Every key of the example, one after the other, is given a value that fits it or not."""
    lines = car_text.splitlines()
    for number, line in enumerate(lines):
        key, equals, rest = line.partition(" = ")
        if not equals or rest.strip() == "[" or rest.startswith("[  "):
            continue
        text = "\n".join([*lines[:number], f"{key} = {value}", *lines[number + 1 :]])
        with suppress(InputError):
            parse_car(text, "car")


def test_a_torsion_bar_strut_has_a_rack_or_a_steering_box(changed: Changed) -> None:
    box = "\n[front.steering_box]\n" + "\n".join(
        f"{name} = [-200, {y}, {z}]"
        for name, y, z in (
            ("pitman_pivot", 300, 300),
            ("pitman_end", 300, 250),
            ("idler_pivot", -300, 300),
            ("idler_end", -300, 250),
        )
    )
    found = problems_in(changed() + box + "\ntravel = 35\n")

    assert "a rack or a steering box, not both" in found["front.steering_box"]

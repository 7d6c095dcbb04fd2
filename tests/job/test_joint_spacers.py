"""Spacers at joints and the rack's height: the same as pivots written by hand, by closed form, in words, in the search."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from importlib.resources import files
from pathlib import Path

import numpy as np
import pytest

from jounce.case.case import Case
from jounce.conventions.axes import CORNERS, SIDES
from jounce.conventions.errors import InputProblems
from jounce.conventions.units import MM
from jounce.job.bay_table import bay_rows
from jounce.job.document import JobDocument
from jounce.job.file import parse_job, read_job
from jounce.job.plan import value_of
from jounce.job.wording import parts_of, settings_of
from jounce.questions.effects import effects_of
from jounce.search.build import search_space
from jounce.search.goals import Goal
from jounce.search.result import SearchWishes
from jounce.search.run import search
from jounce.search.slots import USUAL, bought, job_of, reasons_against, slot_named
from jounce.search.wheel_choices import packages_around
from jounce.shelf.file import read_shelf
from jounce.shelf.shelf import Shelf

JOB = Path(str(files("jounce.demo").joinpath("brisk-14-lower.toml")))
PIVOTS = {"ball_joint": -10.0, "tie_rod_outer": -8.0, "tie_rod_inner": 3.0}
PARTS = {
    "ball_joint_spacer": "height = 10",
    "tie_rod_spacer": "height = 8",
    "rack": "higher = 3\nshim = 1.5",
}
PLACES = ("front ball-joint spacers", "front tie-rod spacers")
STOPS = ("BS-F35", "BS-F45")
CODES = (*STOPS, "C-22.5-270", "IB-20", "BJ-10", "TR-8")
ALL = SearchWishes((Goal("front_share", 0.0, 1.0),), kept=1000, proofs=0)


@cache
def with_text(text: str) -> Case:
    job = parse_job(JOB.read_text("utf-8") + text, "")
    return Case(read_job(JOB)[1], job)


def with_parts() -> Case:
    return with_text("".join(f"\n[change.front.{key}]\n{keys}\n" for key, keys in PARTS.items()))


@cache
def with_pivots() -> Case:
    """The same pivots typed into the job, each where it is with the part in."""
    car = read_job(JOB)[1]
    rows = []
    for name, by in PIVOTS.items():
        point = getattr(car.front.left.pivots, name)
        x, y, z = (value / MM for value in (point.x, point.y, point.z))
        rows.append(f"{name} = [{x!r}, {y!r}, {z + by!r}]")
    return with_text("\n[change.front.pivots]\n" + "\n".join(rows) + "\n")


def test_the_plan_is_that_of_the_same_pivots_typed_by_hand():
    one, other = with_parts().plan, with_pivots().plan
    for corner in CORNERS:
        assert one.planned.sits.travel[corner] == pytest.approx(other.planned.sits.travel[corner], abs=1e-12)
        assert one.planned.sits.load[corner] == pytest.approx(other.planned.sits.load[corner], rel=1e-12)
    for side in SIDES:
        mine, theirs = (plan.settings["front"].wheels[str(side)] for plan in (one, other))
        assert mine.tie_rod == pytest.approx(theirs.tie_rod, abs=1e-12)
        assert mine.plate_inward == pytest.approx(theirs.plate_inward, abs=1e-12)
    bump_steer = [
        value_of(plan.planned.geometry["front"], "left_bump_steer")
        for plan in (one, other, Case(*read_job(JOB)[::-1]).plan)
    ]
    assert bump_steer[0] == pytest.approx(bump_steer[1], abs=1e-12)
    assert abs(bump_steer[0] - bump_steer[2]) > 1e-3


def test_settings_tell_them_before_the_tie_rods():
    lines = settings_of(with_parts().plan, "metric")
    rack = next(k for k, line in enumerate(lines) if line.startswith("front rack"))

    assert lines[rack] == (
        "front rack: 3.0 mm higher than found, both ends alike (2 shims of 1.5 mm more under each end). Then the tie rods."
    )
    assert any(
        "lower ball joints, left and right: spacers that set them 10.0 mm lower" in line for line in lines[:rack]
    )
    assert rack < next(k for k, line in enumerate(lines) if "front wheel" in line)
    assert "spacers at the front lower ball joints, 10.0 mm" in " ".join(parts_of(with_parts().change_list, "metric"))
    rows = {row.what: row for row in bay_rows(with_parts().car, with_parts().plan, "metric")}
    assert rows["rack, end"].cells.keys() == {"left", "right"}


def test_a_shim_under_the_rack_turns_the_wheels_by_the_slope_of_the_tie_rods():
    """The rod's outer end goes aside by height over length times the rise of its slope; over the lever, that is the toe."""
    case = with_text(f"\n[change.front.rack]\n{PARTS['rack']}\n")
    planned = case.states[1]
    found = effects_of(planned.document, planned.car, "x", case.change_list.change)
    effect = next(one for one in found.effects if one.adjuster.group == "front rack: shim more")
    told = dict(zip((one.name for one in found.stands), effect.changes, strict=True))
    model, states = case.plan.planned.models[0], case.plan.planned.states["front"]
    pivots = planned.document.front.left.pivots
    inner, outer = (np.array([p.x, p.y, p.z]) for p in (pivots.tie_rod_inner, pivots.tie_rod_outer))
    outer = outer + np.array([0, 0, states.left])  # the knuckle up by its travel, the inner end stays
    axis = np.array([pivots.wheel_centre.x, pivots.wheel_centre.y, 0.0])
    lever = outer[0] - axis[0]
    shim = 1.5 * MM
    length = np.linalg.norm(outer - inner)
    aside = math.sqrt(length**2 - (outer[2] - inner[2] - shim) ** 2) - math.sqrt(length**2 - (outer[2] - inner[2]) ** 2)

    assert model.name == "front"
    for side in SIDES:
        # Steering about the inclined axis through the ball joint, not the wheel's middle: within a third.
        assert told[f"front {side} toe"] == pytest.approx(-aside / lever, rel=0.34)
        assert abs(told[f"front {side} toe"]) > 1e-4


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("\n[change.rear.ball_joint_spacer]\nheight = 10\n", "has no ball joint spacer to exchange"),
        ("\n[change.rear.rack]\nhigher = 3\n", "has no rack to exchange"),
        ("\n[change.front.rack]\nhigher = 3\nshim = 2\n", "no whole number of its shims"),
    ],
)
def test_what_an_axle_has_not_is_refused(text, words):
    with pytest.raises(InputProblems, match=words):
        _ = with_text(text).plan


def space(job: JobDocument, *places: str, codes: tuple[str, ...] = CODES):
    whole = read_shelf(JOB.parent / "shelf.toml")
    shelf = Shelf(tuple(whole.part(code) for code in codes))
    return search_space(read_job(JOB)[1], job, shelf, [slot_named(name) for name in places])


@cache
def found():
    return search(space(read_job(JOB)[0], "front stops", "rear springs", "inner bar", PLACES[0]), ALL)


def part(code):
    return read_shelf(JOB.parent / "shelf.toml").part(code)


def test_a_search_finds_what_searches_of_jobs_with_these_spacers_find():
    job, document = read_job(JOB)
    package = {PLACES[0]: part("BJ-10")}
    alone = search(space(job_of(job, package, document), "front stops", "rear springs", "inner bar"), ALL)
    result = found()
    own = {}
    for k in range(len(result.found.score)):
        codes = {name: one.code for name, one in result.package(k).items()}
        if codes.pop(PLACES[0], "") == "BJ-10":
            own[frozenset(codes.items())] = result.numbers(k)

    assert len(own) == len(alone.found.score) > 1
    for k in range(len(alone.found.score)):
        key = frozenset((name, one.code) for name, one in alone.package(k).items())
        assert own[key] == pytest.approx(alone.numbers(k), rel=1e-12)


def test_a_pair_is_bought_once_and_every_spacer_goes_with_every_other():
    ball, rod = part("BJ-10"), part("TR-8")

    assert bought({PLACES[0]: ball, PLACES[1]: rod}) == {PLACES[0]: 1, PLACES[1]: 1}
    assert bought({PLACES[0]: ball.model_copy(update={"pieces": 1})}) == {PLACES[0]: 2}
    chosen = packages_around({PLACES[0]: (ball,), PLACES[1]: (rod,)})
    assert [set(one) for one in chosen] == [set(), {PLACES[1]}, {PLACES[0]}, set(PLACES)]


def test_their_own_errors_reach_the_planned_car():
    """A spacer that was measured to 0.1 mm counts as a new part, beside the pivot's own ±."""
    text = '\n[change.front.rack]\nhigher = { value = "3 mm", plus_minus = "5 mm" }\n'
    wide, sure = with_text(text), with_text("\n[change.front.rack]\nhigher = 3\n")
    both = [case.planned.bands for case in (wide, sure)]
    names = [f"front.{side}.bump_steer" for side in SIDES]

    assert all(both[0][key].plus_minus > 1.5 * both[1][key].plus_minus for key in names)


def test_a_moved_pivot_is_raised_where_it_was_moved_to():
    case = with_text("\n[change.front.pivots]\ntie_rod_inner = [-120, 330, 255]\n\n[change.front.rack]\nhigher = 2\n")
    point = case.states[1].document.front.right.pivots.tie_rod_inner
    assert replace(point).z == pytest.approx(257 * MM, abs=1e-12)
    assert point.y < 0


def test_spacers_behind_go_on_tie_rods_that_are_not_steered_and_are_chosen_apart_from_those_in_front():
    places = ("front tie-rod spacers", "rear tie-rod spacers")
    spacer = part("TR-8").model_copy(update={"place": "either"})
    job, car = read_job(JOB.with_name("comfrey-20-lower.toml"))
    found = packages_around({place: [spacer] for place in places})
    behind = job_of(job, {places[1]: spacer}, car)

    assert [set(one) for one in found] == [set(), {places[1]}, {places[0]}, set(places)]
    assert behind.change.rear.tie_rod_spacer.height.value == pytest.approx(8 * MM)
    assert behind.change.front.tie_rod_spacer is None
    assert not any("has no place" in why for why in reasons_against(spacer, slot_named(places[1]), car, USUAL))
    beam = read_job(JOB)[1]
    assert reasons_against(spacer, slot_named(places[1]), beam, USUAL) == ["TR-8: the car has no place for it."]

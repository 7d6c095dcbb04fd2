"""What a search tells of a package is what the whole job of that package says: numbers, goals and checks."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from pathlib import Path

import numpy as np
import pytest

from jounce.behaviour.road.corner import corner
from jounce.car.file.reading import read_car
from jounce.checks import Verdict, run_checks
from jounce.conventions.errors import Impossible
from jounce.job.apply import planned_document, wishes_of
from jounce.job.file import parse_job
from jounce.job.on_road import car_in
from jounce.job.plan import make_plan
from jounce.search.build import search_space
from jounce.search.goals import usual_goals
from jounce.search.result import SearchWishes
from jounce.search.run import search
from jounce.search.slots import USUAL, slot_named
from jounce.search.to_job import job_text
from jounce.search.why_not import why_not
from jounce.shelf.file import read_shelf
from jounce.shelf.shelf import Shelf

DEMO = Path(str(files("jounce.demo").joinpath("brisk-14-lower.toml"))).parent
NEEDED = ("TB-24", "DF-330", "BS-F45", "C-25-245", "P-97", "DR-285-R", "BS-R38")
"""Parts of which there is a package that stands 40 mm lower."""
MORE = ("TB-25", "DF-315", "BS-F60", "A2-16", "C-2R-16-28", "C-28-240", "DR-300", "BS-R45", "IB-20", "IB-22", "TP-10")
PLACES = ("front bars", "front dampers", "front stops", "rear springs", "rear perches", "rear dampers", "rear stops")


@dataclass(frozen=True)
class Case:
    front: float
    rear: float
    parts: str = "none"
    codes: tuple[str, ...] = ()
    places: tuple[str, ...] = ()


@cache
def shelf():
    return read_shelf(DEMO / "shelf.toml")


@cache
def car():
    return read_car(DEMO / "brisk-14.toml")


def text_of(case):
    """A job: none, some or all of the demo job's parts in it."""
    wanted = f"[wanted.front]\nlower = {case.front}\ntoe = 0\n\n[wanted.rear]\nlower = {case.rear}\n"
    head = f'[job]\nname = "x"\ncar = "brisk-14.toml"\n\n{wanted}'
    tables = (DEMO / "brisk-14-lower.toml").read_text("utf-8").split("\n[change")[1:]
    kept = {"none": [], "some": tables[1::2], "all": tables}[case.parts]
    return head + "".join(f"\n[change{table}" for table in kept)


def searched(case, **wanted):
    parts = Shelf(tuple(shelf().part(code) for code in (*NEEDED, *case.codes)))
    slots = [slot_named(name) for name in (*PLACES, *case.places)]
    space = search_space(car(), parse_job(text_of(case), "job"), parts, slots)
    return search(space, SearchWishes(usual_goals(), **wanted))


def whole_job(case, result, number):
    """A package written out as a job file and worked out: numbers, failed and unknown checks."""
    job = parse_job(job_text(text_of(case), result.space.job(result.package(number))), "job")
    planned = planned_document(car(), job)
    plan = make_plan(car(), planned, wishes_of(car(), job))
    state = plan.planned
    turn = corner(car_in(planned, state), np.array([-4.0, 4.0]))
    numbers = {"roll_gradient": float(turn.roll[1] - turn.roll[0]) / 8}
    for axle in ("front", "rear"):
        wheels = state.axles[axle].wheels.values()
        numbers[f"{axle}_frequency"] = sum(wheel.ride_frequency for wheel in wheels) / 2
        numbers[f"{axle}_free"] = next(m.travel for m in state.stops[axle] if m.name == "bump rubber touches")
        numbers[f"{axle}_bump"] = next(m.travel for m in state.stops[axle] if m.at == "bump" and m.hard)
    checks = run_checks(job, planned, plan)
    return numbers, *({c.code for c in checks if c.verdict is one} for one in (Verdict.FAIL, Verdict.UNKNOWN))


def agrees(case):
    """How many packages were named; each number, goal and check of each is that of its job."""
    try:
        result = searched(case, proofs=12)
    except Impossible:  # it says so in words, and names nothing
        return 0
    for number in result.told():
        numbers, failed, unknown = whole_job(case, result, number)
        told, worked = result.numbers(number), result.worked(number)
        for name, value in numbers.items():
            assert told[name] == pytest.approx(value, rel=1e-6, abs=1e-9), (case, name)
        assert {text.partition(":")[0] for text in worked.wishes} == failed, case
        assert not worked.parts
        assert set(worked.unknown) == unknown, case
        met = all(goal.outside(told[goal.metric]) == 0 for goal in result.wanted.goals)
        assert result.does_all(number) == (met and not failed), case
    return len(result.told())


@pytest.mark.sweep(1)
@pytest.mark.parametrize(
    "case",
    [
        Case(40, 40),
        Case(30, 40, "some", ("IB-22",), ("inner bar",)),
        Case(35, 35, "all", ("TB-23.5",)),
    ],
)
def test_every_package_that_is_named_is_what_its_job_says(case):
    assert agrees(case)


@pytest.mark.endurance
def test_every_package_that_is_named_is_what_its_job_says_for_random_jobs_and_shelves():
    dice, named = np.random.default_rng(20), 0
    for _ in range(40):
        case = Case(
            *(float(x) for x in dice.integers(-15, 50, 2)),
            str(dice.choice(["none", "some", "all"])),
            tuple(str(code) for code in dice.choice(MORE, 4, replace=False)),
            tuple(str(p) for p in dice.choice(["inner bar", "second front roll bar", "top plates"], 1)),
        )
        named += agrees(case)
    assert named > 20


@pytest.mark.parametrize("parts", ["none", "all"])
def test_packages_are_judged_at_the_height_wanted_whatever_the_job_has_now(parts):
    """Before any is worked out: travels within what whole teeth and quarter turns are worth, two to four millimetres."""
    case = Case(40, 40, parts)
    result = searched(case, proofs=0)
    assert len(result.told())
    for number in result.told():
        numbers, _, _ = whole_job(case, result, number)
        for name in ("front_free", "rear_free", "front_bump", "rear_bump"):
            assert result.numbers(number)[name] == pytest.approx(numbers[name], abs=4e-3), name


def test_a_package_that_fails_what_is_wanted_does_not_do_all_that_is_asked():
    """A clearance that 40 mm lower cannot keep: told with each package, which then does not do all."""
    from jounce.web.searching.found import three_packages

    case = Case(40, 40)
    lowest = car().limits.model_copy(
        update={
            "ground_clearance": type(car().heights.front_left)(0.150),
            "minimum_ground_clearance": type(car().heights.front_left)(0.130),
        }
    )
    low = car().model_copy(update={"limits": lowest})
    parts = Shelf(tuple(shelf().part(code) for code in NEEDED))
    space = search_space(low, parse_job(text_of(case), "job"), parts, [slot_named(name) for name in PLACES])
    result = search(space, SearchWishes((usual_goals()[0],)))
    assert len(result.told())
    for package in three_packages(result, "metric"):
        assert "It fails GND-01" in package.said
        assert "all that is asked" not in package.said
    codes = [part.code for part in result.package(0).values()]
    assert any("GND-01" in reason for reason in why_not(result, shelf(), codes, USUAL))

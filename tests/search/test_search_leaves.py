"""Leaves, shackles and blocks among what is searched: each package is what its job says, and what reaches is kept."""

from __future__ import annotations

from functools import cache
from itertools import product
from pathlib import Path

import pytest

from jounce.car.file.reading import read_car
from jounce.case.case import Case
from jounce.checks import Verdict
from jounce.conventions.units import MM
from jounce.job.file import parse_job
from jounce.search.build import search_space
from jounce.search.goals import Goal, usual_goals
from jounce.search.result import SearchWishes
from jounce.search.run import search
from jounce.search.slots import cost_of, job_of, slot_named
from jounce.search.to_job import job_text
from jounce.shelf.file import read_shelf
from jounce.shelf.shelf import Shelf
from tests.reference.held_package import metrics_of

HERE = Path(__file__).parent
SEATED = ("rear leaves", "rear shackles", "rear spacers")
TEXT = '[job]\nname = "x"\ncar = "leaf_van.toml"\n\n[wanted.front]\nlower = 0\n\n[wanted.rear]\nlower = 32\n'


@cache
def van():
    return read_car(HERE / "leaf_van.toml")


@cache
def shelf(*codes):
    whole = read_shelf(HERE / "leaf_shelf.toml")
    return Shelf(tuple(whole.part(code) for code in codes)) if codes else whole


def searched(places, wishes, *codes):
    space = search_space(van(), parse_job(TEXT, "job"), shelf(*codes), [slot_named(name) for name in places])
    return search(space, wishes)


def test_every_package_that_is_named_is_what_its_job_says():
    """Numbers and checks of a package, against its job written out, read again and worked out by itself."""
    result = searched((*SEATED, "rear dampers", "rear stops"), SearchWishes(usual_goals(), proofs=3))
    assert len(result.told())
    for number in result.told():
        job = parse_job(job_text(TEXT, result.space.job(result.package(number))), "job")
        one, told = Case(van(), job), result.numbers(number)
        wheels = one.plan.planned.axles["rear"].wheels.values()
        stops_met = one.plan.planned.stops["rear"]

        assert told["rear_frequency"] == pytest.approx(sum(w.ride_frequency for w in wheels) / 2, rel=1e-6)
        hard = next(m.travel for m in stops_met if m.at == "bump" and m.hard)
        assert told["rear_bump"] == pytest.approx(hard, abs=1e-6)
        assert {text.partition(":")[0] for text in result.worked(number).wishes} == {
            check.code for check in one.checks if check.verdict is Verdict.FAIL
        }
        assert not result.worked(number).parts


def test_the_search_keeps_what_reaches_by_whole_plans_of_every_combination():
    """By force: each of 12 combinations planned as a job; of those whose seats reach the cheapest with each leaf."""
    codes = ("L2", "L5", "S3", "B1")
    everything = SearchWishes((Goal("front_share", 0.0, 1.0),), kept=1000, proofs=0)
    result = searched(SEATED, everything, *codes)
    choices = [[None, *(part for part in shelf(*codes).parts if kind == part.KIND)] for kind in KINDS]
    cheapest: dict[str, tuple[float, frozenset[str]]] = {}
    reached = 0
    for parts in product(*choices):
        package = {name: part for name, part in zip(SEATED, parts, strict=True) if part is not None}
        plan = Case(van(), job_of(parse_job(TEXT, "job"), package, van())).plan
        seats = plan.settings["rear"].seats.values()
        if all(abs(seat.wanted - seat.seat) <= NEAR for seat in seats):
            reached += 1
            told = cost_of(package)[0], frozenset(part.code for part in package.values())
            leaf = "" if parts[0] is None else parts[0].code
            cheapest[leaf] = min(cheapest.get(leaf, told), told)

    numbers = range(len(result.found.score))
    assert {frozenset(part.code for part in result.package(k).values()) for k in numbers} == {
        codes for _, codes in cheapest.values()
    }
    assert 1 < len(cheapest) < reached < 12
    exact, quick = metrics_of(result.space, result.package(0)), result.numbers(0)
    assert quick["rear_frequency"] == pytest.approx(exact["rear_frequency"], rel=2e-4)
    assert quick["roll_gradient"] == pytest.approx(exact["roll_gradient"], rel=2e-3)  # it leans 8 degrees at 1 g


KINDS = ("leaf", "shackle", "spring_spacer")
NEAR = 3 * MM
"""That a seat may be off: half a hole of shackle S3 is worth as much."""


def test_a_leaf_of_unknown_camber_is_in_no_package():
    bare = shelf().part("L3").model_copy(update={"free_camber": None})
    space = search_space(van(), parse_job(TEXT, "job"), Shelf((bare,)), [slot_named("rear leaves")])

    assert space.options["rear leaves"] == ()

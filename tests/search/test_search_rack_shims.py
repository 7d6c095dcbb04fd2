"""Shims under the rack in the search: the same as a job with them, the whole set or as many as a bump steer needs."""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from pathlib import Path

import pytest

from jounce.case.case import Case
from jounce.conventions.units import MM
from jounce.job.document import JobDocument
from jounce.job.file import parse_job, read_job
from jounce.search.build import SearchSpace, search_space
from jounce.search.goals import Goal
from jounce.search.result import Result, SearchWishes
from jounce.search.run import search
from jounce.search.slots import USUAL, bought, job_of, reasons_against, slot_named, slots_of
from jounce.search.to_job import job_text
from jounce.shelf.file import read_shelf
from jounce.shelf.shelf import Shelf

DEMO = Path(str(files("jounce.demo")))
JOB = DEMO / "brisk-14-lower.toml"
WITH_BUMP_STEER = JOB.read_text("utf-8").replace("[wanted.front]\n", "[wanted.front]\nbump_steer = -0.002\n", 1)
PLACE = "rack shims"
OTHERS = ("front stops", "rear springs", "inner bar")
BEHIND = ("C-22.5-270", "IB-20")
SHELF = read_shelf(DEMO / "shelf.toml")
CAR = read_job(JOB)[1]
ALL = SearchWishes((Goal("front_share", 0.0, 1.0),), kept=100, proofs=0)


def space(job: JobDocument, *places: str) -> SearchSpace:
    shelf = Shelf(tuple(SHELF.part(code) for code in ("BS-F35", "BS-F45", *BEHIND, "RS-6", "RS-10")))
    return search_space(CAR, job, shelf, [slot_named(name) for name in places])


@cache
def found(text: str) -> Result:
    return search(space(parse_job(text, ""), *OTHERS, PLACE), ALL)


def test_a_search_finds_what_searches_of_jobs_with_these_shims_find():
    job, result = read_job(JOB)[0], found(JOB.read_text("utf-8"))
    with_it = job_of(job, {PLACE: SHELF.part("RS-10")}, CAR)
    alone = search(space(with_it, *OTHERS), ALL)
    packages = {k: {name: one.code for name, one in result.package(k).items()} for k in range(len(result.found.score))}
    own = {
        frozenset(codes.values()) - {"RS-10"}: result.numbers(k)
        for k, codes in packages.items()
        if codes.get(PLACE) == "RS-10"
    }

    assert {codes.get(PLACE) for codes in packages.values()} == {None, "RS-6", "RS-10"}
    assert with_it.change.front.rack.higher.value == pytest.approx(10 * MM)
    assert len(own) == len(alone.found.score) > 1
    for k in range(len(alone.found.score)):
        codes = frozenset(one.code for one in alone.package(k).values())
        assert own[codes] == pytest.approx(alone.numbers(k), rel=1e-12)


def test_as_many_shims_go_in_as_a_bump_steer_needs():
    result = found(WITH_BUMP_STEER)
    number = next(k for k in range(len(result.found.score)) if result.job(k).shelf.front.rack == "RS-6")
    job = result.job(number)
    plan = Case(CAR, job).plan
    setting = plan.settings["front"].bump_steer

    assert job.change.front.rack.higher is None
    assert setting.part == "rack"
    assert setting.set == pytest.approx(min(max(round(setting.needed / (1.5 * MM)), 0), 4) * 1.5 * MM, abs=1e-12)
    assert setting.reached == pytest.approx(setting.wanted + setting.slope * (setting.set - setting.needed), abs=2e-3)
    written = parse_job(job_text(WITH_BUMP_STEER, job), "")
    assert written.change.front.rack == job.change.front.rack
    assert written.shelf.front.rack == "RS-6"


def test_a_set_is_bought_once_and_goes_where_there_is_a_rack():
    shims = SHELF.part("RS-6")
    assert bought({PLACE: shims}) == {PLACE: 1}
    assert not reasons_against(shims, slot_named(PLACE), CAR, USUAL)
    box = read_job(DEMO / "bracken-16-lower.toml")[1]
    assert PLACE not in {slot.name for slot in slots_of(box)}
    assert reasons_against(shims, slot_named(PLACE), box, USUAL) == ["RS-6: the car has no place for it."]

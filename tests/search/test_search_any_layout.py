"""Packages for cars of any layout: the places that a car has, and each package told as its whole job works it out."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

import numpy as np
import pytest

from jounce.behaviour.road.corner import corner
from jounce.car.file.reading import read_car
from jounce.case.case import Case
from jounce.checks.limits import USUAL
from jounce.job.document import JobDocument
from jounce.job.on_road import car_in
from jounce.search.build import search_space
from jounce.search.goals import usual_goals
from jounce.search.result import SearchWishes
from jounce.search.run import search
from jounce.search.slots import Choosy, slot_named, slots_of
from jounce.search.variants import limits, variants_of
from jounce.shelf.file import read_shelf
from jounce.shelf.shelf import Shelf

DEMO = Path(str(files("jounce.demo")))
ALIKE = ("dampers", "stops", "drop links", "wheels")
PLACES = {
    "brisk-14": {"front bars", "top plates", "front roll bar", "second front roll bar", "rear springs", "rear helpers",
                 "rear perches", "rear spacers", "inner bar", "rear roll bar", "Panhard rod", "front toe rods",
                 "rear trailing links", "rear hub shims", "front ball-joint spacers", "front tie-rod spacers",
                 "rack shims"},
    "comfrey-20": {"front springs", "front helpers", "front perches", "front spacers", "front roll bar",
                   "second front roll bar", "rear springs", "rear helpers", "rear perches", "rear spacers",
                   "first rear roll bar", "second rear roll bar", "front tie-rod spacers",
                   "rear tie-rod spacers", "rack shims", "front toe rods", "rear toe rods", "front upper joints",
                   "rear camber links", "rear caster links"},
    "bracken-16": {"front springs", "front helpers", "front perches", "front spacers", "front roll bar",
                   "second front roll bar", "rear leaves", "rear shackles", "rear spacers", "rear roll bar",
                   "front tie-rod spacers", "front toe rods", "front upper joints", "rear hub shims"},
    "tansy-11": {"front springs", "front helpers", "front perches", "front spacers", "top plates", "front roll bar",
                 "second front roll bar", "rear bars", "first rear roll bar", "second rear roll bar", "front toe rods",
                 "rear hub shims", "front ball-joint spacers", "front tie-rod spacers", "rack shims"},
}  # fmt: skip
"""Places of each car beside dampers, stops, drop links and wheels of both axles."""


@pytest.mark.parametrize("car", PLACES)
def test_a_car_has_the_places_that_its_axles_have(car):
    places = {slot.name for slot in slots_of(read_car(DEMO / f"{car}.toml"))}

    assert places == PLACES[car] | {f"{end} {name}" for end in ("front", "rear") for name in ALIKE}


SEARCHED = {
    "comfrey-20": (
        ("front perches", "front stops", "second front roll bar", "rear springs", "rear perches", "rear dampers"),
        ("P-D46.5", "BS-F52", "A2-16", "C-22.5-290", "C-25-245", "P-97", "DR-300", "DR-285-A"),
    ),
    "yarrow-12": (
        ("front stops", "second front roll bar", "rear springs", "rear perches", "rear dampers", "inner bar"),
        ("BS-F52", "A2-15", "C-2R-16-28", "C-25-245", "P-97-S", "DR-285-A", "IB-24", "IB-22"),
    ),
}


@pytest.mark.sweep(1)
@pytest.mark.parametrize("car", SEARCHED)
def test_what_is_told_of_a_package_is_what_its_whole_job_says(car):
    document, (places, codes) = read_car(DEMO / f"{car}.toml"), SEARCHED[car]
    wanted = {end: {"lower": 25} for end in ("front", "rear")}
    base = JobDocument.model_validate({"job": {"name": "x", "car": "x"}, "wanted": wanted})
    stock = read_shelf(DEMO / "shelf.toml")
    shelf = Shelf(tuple(stock.part(code) for code in codes))
    space = search_space(document, base, shelf, [slot_named(name) for name in places], Choosy(unsure=True))
    result = search(space, SearchWishes(usual_goals(), proofs=6))

    assert result.told()
    for number in result.told():
        case = Case(document, space.job(result.package(number)))
        planned, told = case.plan.planned, result.numbers(number)
        turn = corner(car_in(case.planned.document, planned), np.array([-4.0, 4.0]))
        assert told["roll_gradient"] == pytest.approx(float(turn.roll[1] - turn.roll[0]) / 8, rel=1e-6)
        for axle in ("front", "rear"):
            wheels = planned.axles[axle].wheels.values()
            assert told[f"{axle}_frequency"] == pytest.approx(sum(one.ride_frequency for one in wheels) / 2, rel=1e-6)
            free = next(met.travel for met in planned.stops[axle] if met.name == "bump rubber touches")
            assert told[f"{axle}_free"] == pytest.approx(free, rel=1e-6, abs=1e-9)


def test_a_leaf_and_a_shackle_that_reach_a_height_only_together_are_found():
    document, stock = read_car(DEMO / "bracken-16.toml"), read_shelf(DEMO / "shelf.toml")
    base = JobDocument.model_validate({"job": {"name": "x", "car": "x"}, "wanted": {"rear": {"lower": 29.5}}})
    shelf = Shelf((stock.part("LS-20-102"), stock.part("SK-65")))
    places = [slot_named("rear leaves"), slot_named("rear shackles")]
    variants = variants_of(search_space(document, base, shelf, places, only=1).axles[1])
    missed = limits(variants, USUAL).broken["leaf springs out of reach of the height"]

    reach = [{part.code for part in variants.parts(k).values()} for k in np.flatnonzero(~missed)]
    assert len(variants) == 4
    assert reach == [{"LS-20-102", "SK-65"}]

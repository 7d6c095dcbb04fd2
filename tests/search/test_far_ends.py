"""Ends of travel that lie beyond what a search looks at: no limit is kept by not looking."""

from __future__ import annotations

import re
from importlib.resources import files

import numpy as np

from jounce.car.file.reading import parse_car
from jounce.checks.limits import CheckLimits
from jounce.job.file import parse_job
from jounce.search.build import search_space
from jounce.search.goals import usual_goals
from jounce.search.result import SearchWishes
from jounce.search.run import search
from jounce.search.shown import nothing_words
from jounce.search.slots import Choosy, slot_named
from jounce.search.variants import limits, variants_of
from jounce.shelf.shelf import Shelf
from jounce.shelf.toml import parse_toml

DEMO = files("jounce.demo")


FEW = ("front bars", "rear dampers", "inner bar")


def space_of(car: str, job: str, places: tuple[str, ...], *codes: str):
    stock = parse_toml(DEMO.joinpath("shelf.toml").read_text("utf-8"), "shelf.toml").whole("shelf.toml")
    shelf = Shelf(tuple(map(stock.part, codes))) if codes else stock
    slots = [slot_named(place) for place in places]
    return search_space(parse_car(car, ""), parse_job(job, ""), shelf, slots, Choosy(unsure=True))


def demo(name: str) -> tuple[str, str]:
    car, job = (DEMO.joinpath(f"{one}.toml").read_text("utf-8") for one in (name, f"{name}-lower"))
    return car, job


def test_an_arch_that_is_met_before_an_end_far_away_is_met():
    car, job = demo("brisk-14")
    far = job.replace("closed_length = 330", "closed_length = 220").replace("free_height = 52", "free_height = 20")
    found = limits(variants_of(space_of(car, far, ("front bars",), "TB-24").axles[0]), CheckLimits())

    assert far.count("= 220") == 1
    assert np.all(found.bump > 0.1)  # as far as was looked
    assert np.all(found.broken["tyre meets the arch before the bump ends"])


def test_what_no_package_tells_is_no_matter_of_money():
    """Without a rear rubber nobody knows the free travel that is a goal; with one there was only no money."""
    car, job = demo("brisk-14")
    bare = [re.sub(r"\[(change\.)?rear\.bump_stop\]\n(.+\n)+", "", text) for text in (car, job)]
    told = [
        nothing_words(search(space_of(*texts, FEW), SearchWishes(usual_goals(), budget, proofs=0)))
        for texts, budget in ((bare, np.inf), ((car, job), -1.0))
    ]

    assert "not known of any is rear travel to the rubber." in told[0][0]
    assert told[1] == ["Nothing within the budget."]

"""Drop links in the search: picked by the length that frees each choice of bars, which is that of the whole job."""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from pathlib import Path

import pytest

from jounce.car.file.document import CarDocument
from jounce.case.case import Case
from jounce.conventions.units import MM
from jounce.job.document import JobDocument
from jounce.job.file import parse_job, read_job
from jounce.search.build import search_space
from jounce.search.goals import Goal
from jounce.search.packaged import beside_the_plan
from jounce.search.result import Result, SearchWishes
from jounce.search.run import search
from jounce.search.slots import USUAL, Choosy, bought, reasons_against, slot_named
from jounce.shelf.file import read_shelf
from jounce.shelf.part import Part
from jounce.shelf.shelf import Shelf

DEMO = Path(str(files("jounce.demo")))
JOB = DEMO / "brisk-14-lower.toml"
PLACE = "front drop links"
WANTED = SearchWishes((Goal("front_share", 0.0, 1.0),), kept=100, proofs=0)


def car() -> CarDocument:
    return read_job(JOB)[1]


def job() -> JobDocument:
    """The demo job, which adds a second bar on the first one's links, with free bars wanted and no such bar."""
    text = JOB.read_text("utf-8").replace("[wanted.front]\n", '[wanted.front]\nfree_bars = "left"\n', 1)
    whole = parse_job(text, "")
    front = whole.change.front.model_copy(update={"roll_bar_2": None})
    return whole.model_copy(update={"change": whole.change.model_copy(update={"front": front})})


@cache
def stock() -> dict[str, Part]:
    """Bars and links: one bar's arms end 9 mm higher than those of the car's own."""
    shelf = read_shelf(DEMO / "shelf.toml")
    codes = ("AF-20", "A2-15", "L-36", "L-40-60", "BS-F35", "C-22.5-270", "IB-20")
    parts = {code: shelf.part(code) for code in codes}
    end = parts["AF-20"].arm_end
    raised = {"code": "AF-20-H", "arm_end": end.__class__(end.x, end.y, end.z + 9 * MM, end.plus_minus, end.origin)}
    short, long = (parts["L-40-60"].shortest.__class__(x * MM) for x in (25, 42))
    near = {"code": "L-25-42", "shortest": short, "longest": long}
    parts["AF-20-H"] = parts["AF-20"].model_copy(update=raised)
    parts["L-25-42"] = parts["L-40-60"].model_copy(update=near | {"price": 40})
    return parts


@cache
def found() -> Result:
    places = ("front stops", "front roll bar", "second front roll bar", "rear springs", "inner bar", PLACE)
    shelf = Shelf(tuple(stock().values()))
    space = search_space(car(), job(), shelf, [slot_named(name) for name in places], Choosy(unsure=True))
    return search(space, WANTED)


def test_each_choice_of_bars_has_the_cheapest_links_that_reach_the_length_at_which_it_is_free():
    result, seen = found(), {}
    for k in range(len(result.found.score)):
        package = result.package(k)
        bar, link = (package.get(name) for name in ("front roll bar", PLACE))
        seen.setdefault(bar and bar.code, (k, link and link.code))

    assert set(seen) == {None, "AF-20", "AF-20-H"}
    for number, code in seen.values():
        setting = Case(car(), result.job(number)).plan.settings["front"].links["roll_bar"]
        fits = [
            link.code
            for link in sorted(stock().values(), key=lambda one: one.price)
            if link.KIND == "drop_link"
            and not link.is_fixed
            and link.shortest.value + MM <= setting.free_length <= link.longest.value - MM
        ]
        assert code == fits[0]
        assert setting.set_length == pytest.approx(setting.free_length, abs=0.75 * MM / 2 + 1e-9)
    assert len({code for _, code in seen.values()}) == 2


def test_a_second_bar_on_the_same_links_is_no_choice_where_bars_are_to_be_free():
    result = found()

    assert all("second front roll bar" not in result.package(k) for k in range(len(result.found.score)))
    assert any("A2-15: " in why and "one link" in why for why in result.refused)


def test_numbers_are_those_of_a_search_with_the_bar_and_its_links_in_the_job():
    """A bar of other arms is free in its own search and in that where it is a choice."""
    result = found()
    number = next(
        k
        for k in range(len(result.found.score))
        if result.package(k).get("front roll bar") is stock()["AF-20-H"] and "front stops" not in result.package(k)
    )
    package = result.package(number)
    whole = result.job(number)
    others = [slot_named(name) for name in ("rear springs", "inner bar")]
    alone = search(search_space(car(), whole, Shelf(tuple(stock().values())), others, Choosy(unsure=True)), WANTED)
    own = {name: part.code for name, part in package.items() if name in ("rear springs", "inner bar")}
    same = next(k for k in range(len(alone.found.score)) if {n: p.code for n, p in alone.package(k).items()} == own)

    assert result.numbers(number) == pytest.approx(alone.numbers(same), rel=1e-12)


def test_a_link_of_one_length_is_sold_beside_the_plan_and_a_pair_is_bought_once():
    fixed, link = stock()["L-36"], stock()["L-40-60"]

    assert reasons_against(fixed, slot_named(PLACE), car(), USUAL) == ["L-36 has one length: nothing of it can be set."]
    assert beside_the_plan([(fixed, 1), (link, 1)]) == [fixed]
    assert bought({PLACE: link}) == {PLACE: 1}

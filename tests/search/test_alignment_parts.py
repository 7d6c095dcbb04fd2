"""Parts that set alignment: picked is what a brute force over whole plans says, and the package is what its job says."""

from __future__ import annotations

import math
from functools import cache
from importlib.resources import files
from pathlib import Path

import pytest
import tomlkit

from jounce.car.file.reading import parse_car
from jounce.case.case import Case
from jounce.checks import Verdict
from jounce.conventions.errors import Impossible, InputProblems
from jounce.job.apply import problems_between
from jounce.job.file import parse_job
from jounce.job.part_words import part_lines
from jounce.job.wording import settings_of
from jounce.quote.parts_named import without_code
from jounce.search.alignment_parts import freed, offers_for, picked_setters, places_that_set
from jounce.search.build import held_where_wanted, search_space
from jounce.search.goals import Goal
from jounce.search.result import SearchWishes
from jounce.search.run import search
from jounce.search.slots import Choosy, job_of, reasons_against, slot_named
from jounce.search.to_job import job_text
from jounce.search.whole_car_check import numbers_of
from jounce.shelf.file import read_shelf
from jounce.shelf.shelf import Shelf
from jounce.web.pages.job_places import WRITTEN, places_of

DEMO = Path(str(files("jounce.demo")))
FIVE_LINK = """
wanted.rear.camber = -0.2
wanted.rear.caster = -6.5
wanted.rear.toe = -0.9
change.rear.camber_link.link = "link_3"
change.rear.caster_link.link = "link_1"
change.rear.toe_rod = { longer = 1, shorter = 1 }
"""
WATT = """
wanted.rear.lower = 40
wanted.rear.thrust = 0.8
change.rear.perch.lowest = -60
change.rear.trailing_links = { longer = 1, shorter = 1 }
"""
WISHBONES = """
wanted.front.camber = -2.2
wanted.front.caster = 4.4
"""
CASES = {
    "five links": ("comfrey-20", FIVE_LINK, ("rear caster links", "rear camber links", "rear toe rods")),
    "Watt linkage": ("teasel-15", WATT, ("rear trailing links", "rear Watt bracket")),
    "wishbones": ("bracken-16", WISHBONES, ("front upper joints",)),
}
WISHES = {
    "toe_rod": {"toe"},
    "camber_link": {"camber"},
    "caster_link": {"caster"},
    "upper_joint": {"camber", "caster"},
    "trailing_links": {"thrust line"},
    "watt_bracket": {"middle of the axle"},
}
"""What each part gives."""


@cache
def read(name: str):
    """A demo car's job with other wishes, the car, the places: the Watt linkage's rods end elsewhere than drawn."""
    stem, more, places = CASES[name]
    text, car = (DEMO / f"{stem}-lower.toml").read_text("utf-8"), (DEMO / f"{stem}.toml").read_text("utf-8")
    job = tomlkit.parse(text)
    for end in ("front", "rear"):
        job["change"][end].pop("upper_joint", None)
    for line in more.strip().splitlines():
        way, _, value = line.partition(" = ")
        *tables, key = way.split(".")
        at = job
        for table in tables:
            at = at.setdefault(table, {})
        at[key] = tomlkit.parse(f"x = {value}")["x"]
    return (
        tomlkit.dumps(job),
        parse_car(moved(car) if name == "Watt linkage" else car, ""),
        [slot_named(p) for p in places],
    )


def moved(car: str) -> str:
    """With rods that do not lie level, so that lowering takes the axle off the middle."""
    return car.replace("left_rod_end = [-2540, 470, 330]", "left_rod_end = [-2540, 470, 300]")


@cache
def stock() -> Shelf:
    """The demo shelf's parts for these places, each also cheaper and less long, and dearer and a little longer."""
    parts = []
    for part in read_shelf(DEMO / "shelf.toml").parts:
        if part.KIND not in KINDS or part.code.endswith("-S"):
            continue
        for number, (share, price) in enumerate(((1.0, 0), (0.4, -30), (0.7, -15), (1.2, 9))):
            values = {"code": f"{part.code}-{number}", "price": part.price + price}
            for low, high in (("shortest", "longest"), ("upper_shortest", "upper_longest")):
                if getattr(part, low, None) is not None:
                    own, most = getattr(part, low), getattr(part, high)
                    values[high] = type(most)(own.value + (most.value - own.value) * share)
            for key in ("reach_inward", "reach_rear", "reach_fore", "left", "right"):
                if getattr(part, key, None) is not None:
                    values[key] = type(getattr(part, key))(getattr(part, key).value * share)
            parts.append(part.model_copy(update=values))
    return Shelf(tuple(parts))


KINDS = ("upper_joint", "toe_rod", "camber_link", "caster_link", "trailing_link", "watt_bracket")


@cache
def picked(name: str):
    text, car, slots = read(name)
    job = parse_job(text, "")
    stand = held_where_wanted(car, freed(car, job, slots))[2]
    return picked_setters(stand.axles, car, job, stock(), slots, Choosy())


@pytest.mark.parametrize("name", CASES)
def test_what_is_picked_is_the_cheapest_of_all_with_which_the_whole_plan_lacks_nothing(name):
    """Brute force from the cheapest on: the others as picked, the plan worked out, until one lacks nothing of its wish."""
    text, car, slots = read(name)
    job, whole, short = parse_job(text, ""), Case(car), 0
    for slot in slots:
        others = {place: part for place, part in picked(name).parts.items() if place != slot.name}
        fitting = [one for one in stock().of_kind(slot.kind) if not reasons_against(one, slot, car, Choosy())]

        def lacks(part, others=others, slot=slot):
            plan = whole.with_job(job_of(job, {**others, slot.name: part}, car)).plan
            return any(one.wish in WISHES[slot.key] for one in plan.short)

        cheapest = next(part for part in sorted(fitting, key=lambda one: one.price) if not lacks(part))
        assert picked(name).parts[slot.name].code == cheapest.code, (slot.name, picked(name).told[slot.name])
        short += cheapest.price > min(part.price for part in fitting)
    assert short  # one that is cheaper, and fits, does not reach


def test_a_package_with_them_is_what_its_job_says_and_costs_what_they_cost():
    """Written out, read again, worked out: the lengths told are within the parts' ends, and give what was wanted."""
    text, car, slots = read("five links")
    space = search_space(car, parse_job(text, ""), stock(), slots)
    result = search(space, SearchWishes((Goal("front_share", 0.0, 1.0),), proofs=1))
    package, parts = result.package(0), picked("five links").parts
    job = parse_job(job_text(text, result.job(0)), "")
    case = Case(car, job)

    assert {name: part.code for name, part in package.items()} == {name: part.code for name, part in parts.items()}
    assert result.found.price[0] == pytest.approx(sum(float(part.price) for part in parts.values()))
    assert result.numbers(0)["roll_gradient"] == pytest.approx(case_numbers(case)["roll_gradient"], rel=1e-6)
    assert not case.plan.short
    for side, wheel in case.plan.settings["rear"].wheels.items():
        for aim, slot in (("caster", "rear caster links"), ("camber", "rear camber links")):
            link = wheel.links[aim]
            assert package[slot].shortest.value <= link.length <= package[slot].longest.value
            own = getattr(car.rear, side).pivots
            ends = (getattr(own, f"{LINKS[aim]}_{end}").xyz for end in ("inner", "outer"))
            assert link.length - link.longer == pytest.approx(math.dist(*ends), abs=1e-12)
        rod, toe = package["rear toe rods"], case.plan.settings["rear"].rods
        assert rod.shortest.value <= toe.found[side] + wheel.tie_rod <= rod.longest.value
    told = " ".join(settings_of(case.plan, "metric"))
    length = f"{1e3 * case.plan.settings['rear'].wheels['left'].links['camber'].length:.1f} mm between the middles"
    assert f"new link 3 {length}" in told
    assert {c.verdict for c in case.checks if c.code in ("LNK-01", "ALN-01")} == {Verdict.PASS}


LINKS = {"caster": "link_1", "camber": "link_3"}


def case_numbers(case: Case) -> dict[str, float]:
    return numbers_of(case.plan, case.drive)


def test_what_goes_across_alone_is_enough_where_camber_alone_is_asked_for():
    text, car, slots = read("wishbones")
    job = parse_job(text.replace("caster = 4.4\n", ""), "")
    none = {key: type(stock().part("UJ-8-0").reach_fore)(0.0) for key in ("reach_fore", "reach_rear")}
    across = stock().part("UJ-16-0").model_copy(update=none | {"code": "ACROSS", "price": 1})
    stand = held_where_wanted(car, freed(car, job, slots))[2]

    assert picked_setters(stand.axles, car, job, Shelf((*stock().parts, across)), slots, Choosy()).parts == {
        "front upper joints": across
    }


def test_nothing_on_the_shelf_that_reaches_is_told_and_what_the_car_has_is_enough_where_it_is():
    text, car, slots = read("five links")
    near = parse_job(text.replace("longer = 1, shorter = 1", "longer = 60, shorter = 60"), "")
    stand = held_where_wanted(car, freed(car, near, slots))[2]
    few = Shelf(tuple(one for one in stock().parts if not one.code.startswith(("CL-262", "TR-"))))
    found = picked_setters(stand.axles, car, near, few, slots, Choosy())

    assert set(found.parts) == {"rear caster links"}
    assert found.none_reaches == ("rear camber links",)
    assert found.told["rear camber links"].startswith("none: no camber link on the shelf fits and is known to reach ")
    assert found.told["rear toe rods"].startswith("none: what the car has reaches ")


def test_a_thrust_line_without_links_that_reach_is_refused_in_words():
    text, car, slots = read("Watt linkage")
    bare = parse_job(text, "")
    rear = bare.change.rear.model_copy(update={"trailing_links": None})
    bare = bare.model_copy(update={"change": bare.change.model_copy(update={"rear": rear})})
    none = Shelf(tuple(one for one in stock().parts if not one.code.startswith("TA-")))
    with pytest.raises(
        Impossible, match="rear trailing links: none: no trailing link on the shelf fits and is known to reach"
    ):
        search_space(car, bare, none, slots)

    assert places_that_set(car, bare) == ("rear trailing links",)


def test_new_rods_that_cannot_be_as_long_as_found_need_a_wish_that_sets_them():
    text, car, _ = read("five links")
    job = parse_job(text, "")
    rear = job.change.rear.model_copy(update={"toe_rod": stock().part("TR-460-0").mechanics})
    wanted = job.wanted.rear.model_copy(update={"toe": None})
    other = job.model_copy(
        update={
            "change": job.change.model_copy(update={"rear": rear}),
            "wanted": job.wanted.model_copy(update={"rear": wanted}),
        }
    )
    problems = problems_between(car, other)

    assert [one.place for one in problems] == ["change.rear.toe_rod.shortest"]
    assert "cannot be made as long" in str(problems[0])


def test_what_the_car_itself_has_is_no_part_to_fit_or_to_sell():
    job = parse_job(read("five links")[0], "")
    own = {("rear", key) for key in ("toe_rod", "camber_link", "caster_link")}
    bought = {
        f"rear {key}s": stock().part(code) for key, code in (("toe rod", "TR-375-0"), ("camber link", "CL-262-0"))
    }
    new = job_of(job, bought, read("five links")[1])

    assert not own & part_lines(job, "metric").keys()
    assert not own & without_code(job).keys()
    now = {place.name: place.now for place in places_of(job, read("five links")[1], Shelf(()))}
    assert (now["rear toe rods"], now["rear dampers"]) == ("", WRITTEN)
    lines = part_lines(new, "metric")
    assert lines["rear", "toe_rod"].startswith("new rear toe rods, shortest 360.0 mm")
    assert lines["rear", "camber_link"].endswith("code CL-262-0, 2 pieces")


def test_a_part_that_the_job_has_stays_where_the_shelf_has_none_for_its_place():
    text, car, _ = read("five links")
    space = search_space(car, parse_job(text, ""), Shelf(()), [slot_named("rear perches"), slot_named("rear springs")])

    assert space.base.change.rear.perch is not None
    assert space.base.change.rear.spring is not None


def test_a_plan_that_falls_short_is_offered_the_part_that_would_meet_it():
    """Each wish at its end has the part that a search picks; with all of them in, the plan lacks nothing."""
    text, car, _ = read("five links")
    case = Case(car, parse_job(text.replace('link = "link_3"', 'link = "link_3"\nlonger = 1\nshorter = 1'), ""))
    offers = offers_for(case.plan, car, case.change_list, stock())

    assert {(lack.axle, lack.wish) for lack in case.plan.short} == {("rear", "camber"), ("rear", "toe")}
    assert [one.place for one in offers] == ["rear camber links", "rear toe rods"]
    fitted = job_of(case.change_list, {one.place: one.part for one in offers}, car)
    assert not case.with_job(fitted).plan.short
    none = offers_for(case.plan, car, case.change_list, Shelf(()))
    assert all(one.part is None and one.told.startswith("none: no ") for one in none)


def test_a_link_that_the_car_names_is_one_of_its_own_and_is_named_where_a_job_lacks_it():
    text = (DEMO / "comfrey-20.toml").read_text("utf-8")
    with pytest.raises(InputProblems, match="rear axle has no such link"):
        parse_car(text.replace('camber_link = "link_3"', 'camber_link = "link_7"'), "")
    job = parse_job((DEMO / "comfrey-20-lower.toml").read_text("utf-8"), "")
    rear = job.wanted.rear.model_copy(update={"camber": type(job.wanted.rear.toe)(-0.02)})
    asked = job.model_copy(update={"wanted": job.wanted.model_copy(update={"rear": rear})})

    assert [one.todo for one in problems_between(parse_car(text, ""), asked)] == [
        'Say which by link under [change.rear.camber_link]. The car names "link_3" for it.'
    ]

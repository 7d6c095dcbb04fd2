"""More places: a first front bar, helper and tender springs, and what is picked to go with a package."""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from pathlib import Path

import numpy as np
import pytest

from jounce.checks import Verdict, run_checks
from jounce.job.apply import planned_document, wishes_of
from jounce.job.file import read_job
from jounce.job.plan import make_plan
from jounce.search.build import search_space
from jounce.search.goals import Goal, usual_goals
from jounce.search.result import SearchWishes
from jounce.search.run import search
from jounce.search.slots import USUAL, slot_named, without
from jounce.search.why_not import why_not
from jounce.shelf.file import read_shelf
from jounce.shelf.shelf import Shelf
from tests.reference.held_package import metrics_of

DEMO = Path(str(files("jounce.demo").joinpath("brisk-14-lower.toml"))).parent
CODES = ("TB-24", "AF-16", "AF-20", "A2-15", "C-25-245", "H97-1.5-60", "H97-18-80", "P-97", "IB-20")
PLACES = (
    "front bars",
    "front roll bar",
    "second front roll bar",
    "rear springs",
    "rear helpers",
    "rear perches",
    "inner bar",
)


@cache
def shelf():
    return read_shelf(DEMO / "shelf.toml")


def some(*codes):
    return Shelf(tuple(shelf().part(code) for code in codes))


@cache
def found():
    job, document = read_job(DEMO / "brisk-14-lower.toml")
    space = search_space(document, job, some(*CODES), [slot_named(name) for name in PLACES])
    return search(space, SearchWishes((Goal("front_share", 0.0, 1.0),), kept=1000, proofs=0))


def test_first_bars_and_stacked_springs_agree_with_the_whole_car():
    """As the other places: each number against exact linkages and one equilibrium of all."""
    packages = [found().package(k) for k in range(len(found().found.score))]
    kinds = {
        "bar": [k for k, p in enumerate(packages) if "front roll bar" in p],
        "helper": [k for k, p in enumerate(packages) if getattr(p.get("rear helpers"), "role", "") == "helper"],
        "tender": [k for k, p in enumerate(packages) if getattr(p.get("rear helpers"), "role", "") == "tender"],
    }
    assert all(kinds[name] for name in ("bar", "helper")), {name: len(those) for name, those in kinds.items()}
    dice = np.random.default_rng(5)
    for those in kinds.values():
        for number in dice.choice(those, min(3, len(those)), replace=False):
            exact, quick = metrics_of(found().space, packages[number]), found().numbers(int(number))
            for name in ("front_frequency", "rear_frequency", "frequency_ratio"):
                assert quick[name] == pytest.approx(exact[name], rel=1e-4), name
            assert quick["roll_gradient"] == pytest.approx(exact["roll_gradient"], rel=3e-4)
            assert quick["front_share"] == pytest.approx(exact["front_share"], abs=2e-3)
            assert quick["rear_lift"] == pytest.approx(exact["rear_lift"], abs=0.2)


def test_a_thicker_first_bar_takes_roll_and_moves_the_balance_to_the_front():
    by_bar = {}
    for k in range(len(found().found.score)):
        package = dict(found().package(k))
        bar = package.pop("front roll bar", None)
        by_bar.setdefault(frozenset(p.code for p in package.values()), {})[bar and bar.code] = found().numbers(k)
    both = [told for told in by_bar.values() if {"AF-16", "AF-20"} <= told.keys()]

    assert both
    for told in both:
        assert told["AF-20"]["roll_gradient"] < told["AF-16"]["roll_gradient"]
        assert told["AF-20"]["front_share"] > told["AF-16"]["front_share"]


def test_a_helper_that_is_not_solid_where_the_car_stands_is_no_choice():
    rear = found().axles[1]
    broken = rear.limits.broken["helper spring not solid where the car stands"]
    helped = [
        k
        for k, option in enumerate(rear.all.space.choices[0])
        if "H97-1.5-60" in {p.code for p in option.parts.values()}
    ]
    stiff = [option.bounds.least for option in rear.all.space.choices[0]]

    assert not broken[np.isin(rear.all.chosen[:, 0], helped)].any()
    assert max(stiff[k] for k in helped) == pytest.approx(1500 * 0.06 * 0.9, rel=0.3)  # rate by its way to solid


@pytest.fixture(scope="module")
def picked(tmp_path_factory):
    """A search with picked places on a car whose Panhard rod lies steep, so that lowering takes its axle off the middle."""
    folder = tmp_path_factory.mktemp("steep")
    car = (DEMO / "brisk-14.toml").read_text("utf-8")
    (folder / "brisk-14.toml").write_text(car.replace("[-2400, 430, 312]", "[-2400, 430, 372]"), "utf-8")
    (folder / "job.toml").write_text((DEMO / "brisk-14-lower.toml").read_text("utf-8"), "utf-8")
    job, document = read_job(folder / "job.toml")
    names = ("front bars", "front dampers", "top plates", "rear dampers", "Panhard rod", "inner bar")
    codes = ("TB-24", "DF-330", "DF-350", "DR-285-R", "IB-20", "IB-22", "TP-10", "TP-18", "TP-25", "PR-845", "PR-835")
    rod = shelf().part("PR-835")
    planned = planned_document(document, job)
    length = make_plan(document, planned, wishes_of(document, job)).settings["rear"].rod.centring_length
    ends = type(rod.longest)(length + 0.0005)  # half a millimetre to spare is too little
    parts = Shelf((rod.model_copy(update={"code": "PR-SHORT", "price": 1, "longest": ends}), *some(*codes).parts))
    space = search_space(document, job, parts, [slot_named(name) for name in names])
    return space, search(space, SearchWishes(usual_goals(), proofs=5))


def test_the_cheapest_plate_and_rod_that_fit_and_reach_go_with_every_package(picked):
    space, result = picked
    length = space.stand.axles["rear"].rod.centring_length

    assert abs(space.stand.axles["rear"].rod.shift_if_left) > 0.001
    for number in result.told():
        package = result.package(number)
        rod = package["Panhard rod"]
        assert package["top plates"].code == "TP-10"
        assert rod.shortest.value < length < rod.longest.value
        assert rod.code == "PR-835"  # a cheaper one does not reach, a dearer one does
        price = sum(float(p.price) for p in package.values())
        assert result.found.price[number] == pytest.approx(price)


def test_a_picked_plate_and_rod_pass_their_checks(picked):
    space, result = picked
    job = space.job(result.package(result.three()["good"]))
    planned = planned_document(space.document, job)
    checks = run_checks(job, planned, make_plan(space.document, planned, wishes_of(space.document, job)))

    assert {c.verdict for c in checks if c.code in ("PLT-01", "PAN-01", "AXS-01")} == {Verdict.PASS}


def test_what_is_picked_says_why_and_what_is_not_asked_for_too(picked):
    space, result = picked

    assert "the cheapest that fits the dampers and reaches" in space.picked.told["top plates"]
    told = why_not(result, shelf(), ["TP-25"], USUAL)
    assert "the cheapest that fits and reaches" in space.picked.told["Panhard rod"]
    assert told == [f"TP-25: no goal depends on it; picked is {space.picked.told['top plates']}"]
    assert "not asked for" in why_not(found(), shelf(), ["TP-25"], USUAL)[0]


def test_no_plate_that_reaches_is_told():
    job, document = read_job(DEMO / "brisk-14-lower.toml")
    front = job.wanted.front.model_copy(update={"camber": type(job.wanted.front.camber)(-0.06)})
    far = job.model_copy(update={"wanted": job.wanted.model_copy(update={"front": front})})
    space = search_space(document, far, some("TP-10", "IB-20"), [slot_named("top plates"), slot_named("inner bar")])

    assert "none: no plate on the shelf is known to reach" in space.picked.told["top plates"]
    assert all("top plates" not in option.parts for group in space.axles[0].choices for option in group)


def test_plates_stay_where_the_job_puts_them():
    job, _ = read_job(DEMO / "brisk-14-lower.toml")
    plate = job.change.front.top_plate.model_copy(update={"rearward": type(job.wanted.front.lower)(0.004)})
    front = job.change.front.model_copy(update={"top_plate": plate})
    moved = job.model_copy(update={"change": job.change.model_copy(update={"front": front})})
    left = without(moved, [slot_named("top plates")]).change.front.top_plate

    assert left.rearward.value == 0.004
    assert left.reach_inward is None


def test_what_is_sold_singly_is_bought_twice_for_both_sides():
    coil = shelf().part("C-25-245")
    single = coil.model_copy(update={"pieces": 1})

    assert slot_named("rear springs").lots(coil) == 1
    assert slot_named("rear springs").lots(single) == 2
    assert slot_named("inner bar").lots(shelf().part("IB-20")) == 1

"""Wheels and spacers among what is searched: each wheel is a car of its own, and a set of four is bought once."""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from pathlib import Path

import pytest

from jounce.conventions.errors import Impossible
from jounce.job.file import parse_job, read_job
from jounce.search.build import search_space
from jounce.search.goals import Goal, usual_goals
from jounce.search.packaged import job_of_parts
from jounce.search.result import SearchWishes
from jounce.search.run import search
from jounce.search.slots import Choosy, bought, cost_of, job_of, slot_named, without
from jounce.search.to_job import job_text
from jounce.search.wheel_choices import MOST_AROUND, packages_around
from jounce.search.why_not import why_not
from jounce.shelf.file import read_shelf
from jounce.shelf.shelf import Shelf
from tests.reference.held_package import metrics_of

DEMO = Path(str(files("jounce.demo").joinpath("brisk-14-lower.toml"))).parent
WHEELS = ("front wheels", "rear wheels")
PLACES = ("front bars", "rear springs", "inner bar")
CODES = ("TB-22", "TB-24", "C-22.5-270", "C-PROG-18-30", "IB-17", "IB-20", "W-14-6", "W-13-55")
ALL = SearchWishes((Goal("front_share", 0.0, 1.0),), kept=1000, proofs=0)


@cache
def some(*codes):
    whole = read_shelf(DEMO / "shelf.toml")
    return Shelf(tuple(whole.part(code) for code in codes))


@cache
def demo():
    return read_job(DEMO / "brisk-14-lower.toml")


def spaces(job, *places, shelf=None):
    return search_space(demo()[1], job, shelf or some(*CODES), [slot_named(name) for name in places])


@cache
def found():
    return search(spaces(demo()[0], *PLACES, *WHEELS), ALL)


def told(result, ours=lambda package: package):
    """Price, hours and numbers of every kept package, by the codes of its parts."""
    return {
        frozenset((name, part.code) for name, part in ours(result.package(k)).items()): (
            float(result.found.price[k]),
            result.hours(k),
            result.numbers(k),
        )
        for k in range(len(result.found.score))
    }


@pytest.mark.parametrize("code", ["", "W-14-6", "W-13-55"])
def test_a_search_with_wheels_finds_what_searches_of_jobs_on_these_wheels_find(code):
    """Written into the job by hand, the wheels are no choice but a fact: the second way to the same numbers."""
    base, document = demo()
    base = without(base, [slot_named(name) for name in WHEELS])
    wheels = {name: some(*CODES).part(code) for name in WHEELS} if code else {}
    alone = search(spaces(job_of(base, wheels, document), *PLACES), ALL)
    price, hours = cost_of(wheels)
    own = {key: value for key, value in told(found()).items() if {c for n, c in key if n in WHEELS} == {code} - {""}}

    assert len(own) == len(alone.found.score) > 5
    for key, (its_price, its_hours, numbers) in told(alone, lambda package: package | wheels).items():
        assert own[key][0] == pytest.approx(its_price + price)
        assert own[key][1] == pytest.approx(its_hours + hours)
        assert own[key][2] == pytest.approx(numbers, rel=1e-12)


def test_numbers_on_other_wheels_agree_with_the_whole_car():
    """Against exact linkages and one equilibrium of all, as for every other place."""
    result = found()
    for branch in result.branches:
        wheels = dict(branch.space.wheels)
        numbers = range(len(result.found.score))
        number = next(k for k in numbers if {n: p for n, p in result.package(k).items() if n in WHEELS} == wheels)
        exact, quick = metrics_of(branch.space, found().package(number)), found().numbers(number)
        assert quick["front_frequency"] == pytest.approx(exact["front_frequency"], rel=1e-4)
        assert quick["roll_gradient"] == pytest.approx(exact["roll_gradient"], rel=3e-4)


@pytest.mark.validation_long
def test_the_package_told_is_a_job_with_its_wheels_at_both_ends():
    space = spaces(demo()[0], *PLACES, *WHEELS)
    result = search(space, SearchWishes(usual_goals(), proofs=4))
    number = result.three()["good"]
    text = job_text((DEMO / "brisk-14-lower.toml").read_text("utf-8"), result.job(number))
    worked = result.worked(number)

    assert parse_job(text, "").change == result.job(number).change
    assert worked is not None
    assert result.numbers(number) == pytest.approx(dict(worked.numbers))
    on = [k for k in range(len(result.found.score)) if "front wheels" in result.package(k)]
    for k in on:
        job = result.job(k)
        assert job.change.front.wheel == job.change.rear.wheel is not None
        assert job.shelf.front.wheel == job.shelf.rear.wheel is not None


def test_a_set_of_four_is_bought_once():
    wheel = some(*CODES).part("W-14-6")
    both = dict.fromkeys(WHEELS, wheel)
    pair = wheel.model_copy(update={"pieces": 2})

    assert bought(both) == {"front wheels": 1, "rear wheels": 0}
    assert bought(dict.fromkeys(WHEELS, pair)) == {"front wheels": 1, "rear wheels": 1}
    assert cost_of(both) == (float(wheel.price), wheel.labour_hours)


def test_wheels_for_either_axle_go_on_both_and_others_with_each_of_the_other_axle():
    wheel = some(*CODES).part("W-14-6")
    one, two = (wheel.model_copy(update={"code": f"F{k}", "place": "front"}) for k in (1, 2))
    rear = wheel.model_copy(update={"code": "R1", "place": "rear"})
    packages = packages_around({"front wheels": (wheel, one, two), "rear wheels": (wheel, rear)})
    codes = [{name: part.code for name, part in package.items()} for package in packages]

    assert codes[0] == {}
    assert len(codes) == 3 * 2 + 1
    assert {"front wheels": "W-14-6", "rear wheels": "W-14-6"} in codes
    assert {"front wheels": "F2", "rear wheels": "R1"} in codes
    assert [dict(one) for one in packages_around({"front wheels": (wheel,)})] == [{}, {"front wheels": wheel}]
    many = tuple(wheel.model_copy(update={"code": f"W{k}"}) for k in range(MOST_AROUND))
    with pytest.raises(Impossible, match="choices of wheels"):
        packages_around({"front wheels": many})


def test_a_stop_tells_how_many_wheels_were_looked_at():
    space = spaces(demo()[0], *PLACES, *WHEELS)
    shares = [0.0]
    result = search(space, ALL, progress=shares.append, stop=lambda: shares[-1] > 0.25)  # the second of three
    assert 0 < len(result.branches) < 3
    assert f"{len(result.branches)} of 3 choices of wheels were looked at" in result.stopped


def test_wheels_that_somebody_asks_about_are_judged_on_their_own_branch():
    heavy = why_not(found(), some(*CODES), ["W-14-6", "TB-24", "IB-20"], Choosy())
    assert not any("no place" in text or "Too little" in text for text in heavy)


def test_a_quote_by_part_puts_wheels_for_either_axle_on_both():
    base, document = demo()
    wheel = some(*CODES).part("W-14-6")
    job = job_of_parts(base, document, [(wheel, 1)])

    assert job.change.front.wheel == job.change.rear.wheel == wheel.mechanics


def test_spacers_are_searched_and_their_numbers_are_those_of_the_whole_car():
    """Seats without a thread: a spacer puts the one spring that is soft enough where it belongs."""
    bare = without(demo()[0], [slot_named("rear perches"), slot_named("rear springs")])
    shelf = some("C-22.5-270", "C-25-280", "SP-10", "SP-20", "SP-T6", "IB-20", "TB-24")
    result = search(spaces(bare, "front bars", "rear springs", "rear spacers", "inner bar", shelf=shelf), ALL)
    choices = result.axles[1].all.space.choices[0]
    heights = {option.bounds.seats[0] for option in choices if "rear spacers" in option.parts}

    assert sorted(heights) == pytest.approx([-0.006, 0.010, 0.020])
    packages = [result.package(k) for k in range(len(result.found.score))]
    assert {package["rear spacers"].code for package in packages} == {"SP-T6"}
    for k, package in enumerate(packages[:3]):
        exact, quick = metrics_of(result.space, package), result.numbers(k)
        assert quick["rear_frequency"] == pytest.approx(exact["rear_frequency"], rel=1e-4)
        assert result.job(k).change.rear.spacer.height.value == pytest.approx(-0.006)
        assert result.job(k).shelf.rear.spacer == "SP-T6"


def test_a_thread_that_the_job_keeps_leaves_no_room_for_a_spacer():
    space = spaces(demo()[0], "front bars", "rear springs", "rear spacers", shelf=some("TB-24", "C-25-262", "SP-10"))

    assert space.options["rear spacers"] == ()
    assert [text for text in space.refused if "spacer" in text] == [
        "rear spacers: the job has a perch there, and both would set the height of one seat."
    ]

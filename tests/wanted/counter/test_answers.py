"""Who is told at the counter: what fits before what fails, each another kind of work; and how low parts fit that fail."""

from __future__ import annotations

from dataclasses import replace

import pytest

from jounce.car.file.reading import parse_car
from jounce.case.case import Case
from jounce.conventions.units import MM
from jounce.job.file import parse_job
from jounce.search.result import Worked
from jounce.search.tasks import Run
from jounce.search.workers import InPlace
from jounce.wanted.counter import eased as eased_module
from jounce.wanted.counter.answers import three_of
from jounce.wanted.counter.eased import eased
from jounce.wanted.counter.today import nothing_done, today_of
from jounce.wanted.counter.tried import Tried
from jounce.wanted.counter.wish import CounterWish
from tests.wanted.demo_work import text_of

CASE = Case(parse_car(text_of("brisk-14"), "car"))
TEXT = '[job]\nname = "x"\ncar = "in the book"\n[wanted.front]\nlower = "30 mm"\n[wanted.rear]\nlower = "30 mm"\n'
FAILS = Worked(wishes=("LDN-01: on its rubbers.",), numbers={"rear_free": 0.0})


def tried(number, kind, *, fits=True, score=0.0, price=100.0, fineness=0.5):
    worked = Worked(numbers={"rear_free": 0.02}) if fits else FAILS
    return Tried(number, TEXT, worked, CASE, score, fineness, price, frozenset(kind.split()))


def told(*packages):
    return [(one.one.number, one.names) for one in three_of(packages)]


def test_what_fits_is_told_before_what_fails_however_near_or_cheap():
    fits, cheap, near = tried(0, "bars", score=2.0), tried(1, "coils", fits=False, price=1.0), tried(2, "x", fits=False)
    numbers = told(cheap, near, fits)
    assert numbers[0] == (0, ("nearest to the wish", "cheapest that fits"))
    assert all("does not fit" in names[0] for _, names in numbers[1:])


def test_three_that_fit_are_three_kinds_of_work_where_there_are_so_many():
    near = [tried(k, "bars dampers", fineness=0.1 * k, price=100 + k) for k in range(4)]
    other, third = tried(8, "bars", score=1.0, price=400.0), tried(9, "coils", score=2.0, price=500.0)
    numbers = [number for number, _ in told(*near, other, third)]
    assert len(numbers) == 3
    assert set(numbers) == {0, 8, 9}


def test_one_kind_alone_still_gives_three_answers():
    assert len(told(*(tried(k, "bars", fineness=0.1 * k, price=100 + k) for k in range(5)))) == 3


def test_what_could_not_be_worked_out_is_never_told():
    assert told(replace(tried(0, "bars"), case=None)) == []


@pytest.mark.parametrize("edge", [8, 13, 22, 28])
def test_the_height_at_which_parts_fit_is_found_near_the_wish(monkeypatch, edge):
    """Parts that fit down to an edge, not far above it, are told within 1.5 mm of it, never below."""

    def work_out(_, job):
        lower = job.wanted.front.lower.value / MM
        return (Worked(numbers={"rear_free": 0.02}) if edge - 8 < lower <= edge else FAILS), CASE

    monkeypatch.setattr(eased_module, "work_out", work_out)
    run = Run(InPlace(), lambda _: None, lambda: False)
    found = eased(tried(0, "bars", fits=False), CounterWish(30 * MM), CASE, (), run)
    assert found is not None
    package, wish = found
    assert package.fits
    assert edge - 1.5 <= wish.lower / MM <= edge
    job = parse_job(package.text, "job")
    assert job.wanted.front.lower.value == job.wanted.rear.lower.value == pytest.approx(wish.lower)
    assert f"{wish.lower / MM:.0f} mm lower" in job.job.name


def test_parts_that_fit_nowhere_are_given_no_height(monkeypatch):
    monkeypatch.setattr(eased_module, "work_out", lambda *_: (FAILS, CASE))
    run = Run(InPlace(), lambda _: None, lambda: False)
    assert eased(tried(0, "bars", fits=False), CounterWish(30 * MM), CASE, (), run) is None


def test_how_far_people_and_luggage_bring_it_down_is_that_of_the_whole_car_without_rubbers():
    """Second method: the car at rest under its loads; the estimate knows levers and rates alone, so some percent stay."""
    car = parse_car(text_of("brisk-14"), "car")
    bare = {
        end: getattr(car, end).model_copy(
            update={
                side: getattr(getattr(car, end), side).model_copy(update={"bump_stop": None})
                for side in ("left", "right")
            }
        )
        for end in ("front", "rear")
    }
    case = nothing_done(car.model_copy(update=bare))
    stands = case.plan.planned.sits.travel
    today = today_of(case)
    for k, axle in enumerate(("front", "rear")):
        exact = max(
            float(one.travel[k, j]) - stands[axle, side]
            for one in case.drive.laden
            if one.travel is not None
            for j, side in enumerate(("left", "right"))
        )
        assert today.sinks[axle] == pytest.approx(exact, rel=0.08), axle

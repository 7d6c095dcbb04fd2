"""The counter without a browser: a wish read and refused, answers told, one taken; its numbers are those of the job."""

from __future__ import annotations

import html
import json
import re
import time
import tomllib
from collections.abc import Iterator

import pytest

from jounce.book import Book
from jounce.checks import Verdict
from jounce.conventions.axes import End
from jounce.conventions.units import Kind, show
from jounce.job.file import parse_job
from jounce.measuring.beginning import axles_like, begun_like
from jounce.shelf.book_entries import documents_of
from jounce.shelf.shelf import Shelf
from jounce.shelf.toml import parse_toml
from jounce.wanted.counter.found import price_of_job
from jounce.wanted.counter.numbers import LEAN_AT
from jounce.web.case_cache import case_of
from tests.workbench import Workbench, asked, demo_book, demo_text, serving

CODES = ("TB-23.5", "TB-24", "DF-330", "BS-F45", "C-25-245", "C-28-240", "P-97", "DR-285-R", "BS-R38", "IB-21")
WISH = {"lower": "35", "feel": "firmer", "corner": "3", "use": "brisk", "budget": ""}


def counter_shelf() -> Shelf:
    """A few parts with which the demo car stands 35 mm lower."""
    shelf = parse_toml(demo_text("shelf.toml"), "shelf").whole("shelf")
    return Shelf(tuple(shelf.part(code) for code in CODES))


def counter_book(book: Book) -> None:
    """Put them on the book's shelf."""
    book.fill("part", documents_of(counter_shelf()))


def answered(port: int, car: str, **more: str) -> str:
    """The page with the answers to a wish."""
    address = asked(port, "/", WISH | {"car": car} | more).headers["location"].partition("#")[0]
    until = time.monotonic() + 300
    while time.monotonic() < until:
        text = asked(port, address).text
        work = re.search(r'data-work="([^"]+)"', text)
        if work is None:
            return text
        json.loads(asked(port, work[1]).text)
        time.sleep(0.2)
    raise AssertionError(address)


@pytest.fixture(scope="module")
def counter(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Workbench]:
    book, car, job = demo_book(tmp_path_factory.mktemp("book") / "shop.db")
    counter_book(book)
    with serving(book) as port:
        yield Workbench(port, car, job, book)
    book.close()


def cards(text: str) -> list[str]:
    """The answers of a page."""
    return re.findall(r'<section class="card package answer".*?</section>', text, re.DOTALL)


def plain(text: str) -> str:
    """What a person reads."""
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", text)).split())


@pytest.mark.usefixtures("in_processes")
def test_three_answers_of_different_parts_whose_numbers_are_those_of_their_jobs(counter: Workbench) -> None:
    """Second method: the job that an answer becomes, read from the book and worked out anew."""
    text = answered(counter.port, counter.car)
    told = cards(text)
    work = re.search(r'name="work" value="(\w+)"', text)
    assert work is not None
    assert len(told) == 3
    assert len({tuple(re.findall(r'class="code">([^<]+)', card)) for card in told}) == 3
    assert "Nearest to the wish" in plain(text)
    assert "cheapest that fits" in plain(text).lower()
    for number, card in enumerate(told):
        answer = asked(counter.port, "/answers", {"work": work[1], "answer": str(number)})
        job = counter.book.entry(answer.headers["location"].split("/")[2])
        assert job.belongs_to == counter.car
        case = case_of(job.content, counter.book.entry(counter.car).content)
        said = plain(card)
        for axle, where in (("front", "in front"), ("rear", "behind")):
            rows = [case.row(f"{axle}.{side}.height") for side in ("left", "right")]
            lower = sum((row.found or 0) - (row.planned or 0) for row in rows) / 2
            assert f"{show(lower, Kind.LENGTH)} {where}" in said
            swings = sum(case.row(f"{axle}.{side}.ride_frequency").planned or 0 for side in ("left", "right")) / 2
            assert f"{show(swings, Kind.FREQUENCY)} {where}" in said
            rates = [case.row(f"{axle}.{side}.wheel_rate") for side in ("left", "right")]
            firmer = sum(row.planned or 0 for row in rates) / sum(row.found or 0 for row in rates) - 1
            assert f"{show(firmer, Kind.SHARE, sign=True)} {where}" in said
        feel = case.planned.feel
        lean = LEAN_AT * ((feel.left.roll_gradient or 0) + (feel.right.roll_gradient or 0)) / 2
        assert f"lean in a bend {show(lean, Kind.ANGLE)}" in said
        fails = [check for check in case.every_check if check.verdict is Verdict.FAIL]
        assert ("Does not fit" in said) == bool(fails)
        assert ("Fits" in said) != bool(fails)
        price, currency, _ = price_of_job(parse_job(job.content, "job"), counter_shelf())
        assert f"{price:,.2f} {currency}" in said
        assert tomllib.loads(job.content)["wanted"]["front"]["lower"] == "35 mm"


def test_the_exact_form_is_the_job_of_the_wish_with_its_goals_filled_in(counter: Workbench) -> None:
    text = answered(counter.port, counter.car)
    work = re.search(r'name="work" value="(\w+)"', text)
    assert work is not None
    answer = asked(counter.port, "/answers", {"work": work[1], "answer": "exactly"})
    page = asked(counter.port, answer.headers["location"]).text
    low = re.search(r'name="front_frequency.low" value="([\d.]+) Hz"', page)
    goals = tomllib.loads(counter.book.entry(answer.headers["location"].split("/")[2]).content)["goals"]

    assert low is not None
    assert goals["front_frequency"]["window"].startswith(low[1])
    assert re.search(r'name="rear_lift.low" value=""', page)  # of what a wish does not speak nothing is asked


def test_where_nothing_fits_it_says_why_and_what_would(counter: Workbench) -> None:
    sedge = next(car for car in counter.book.entries("car") if car.name == "Sedge 13")
    said = plain(answered(counter.port, sedge.id))

    assert "Nothing on the shelf does this." in said
    assert "Behind, whatever of the shelf is known to fit:" in said
    assert "What would:" in said
    assert "a damper that closes shorter" in said


@pytest.mark.validation_long
def test_parts_of_which_nobody_knows_whether_they_fit_are_counted_and_what_to_measure_is_said(
    counter: Workbench,
) -> None:
    front, rear = axles_like(End.FRONT)["comfrey-20.toml/front"], axles_like(End.REAR)["mugwort-23.toml/rear"]
    car = counter.book.add("car", "Grey one", begun_like(front, rear))
    page = answered(counter.port, car.id)
    said = plain(page)

    assert f'href="/shelf?car={car.id}"' in page
    assert "Nothing on the shelf does this." in said
    assert "Behind, whatever of the shelf is known to fit:" in said
    assert re.search(r"Behind, \d parts of the shelf were left out: it is not known whether they fit this car\.", said)
    assert "Measure where parts fit on this car" in said


def test_too_little_money_is_said(counter: Workbench) -> None:
    assert "Nothing can be had for this money." in plain(answered(counter.port, counter.car, budget="20"))


def test_a_car_that_was_never_measured_has_another_stand_in_and_it_is_said(counter: Workbench) -> None:
    text = answered(counter.port, counter.car, other="Grey <one>")
    work = re.search(r'name="work" value="(\w+)"', text)
    assert work is not None
    assert "Grey &lt;one&gt; was never measured." in text
    assert "Brisk 14 stands in for it" in plain(text)
    answer = asked(counter.port, "/answers", {"work": work[1], "answer": "0"})
    job = counter.book.entry(answer.headers["location"].split("/")[2])
    assert "Grey <one>, which was not measured; Brisk 14 stands in" in parse_job(job.content, "job").job.note


@pytest.mark.parametrize(
    ("given", "field"),
    [
        ({"lower": "300"}, "lower"),
        ({"lower": "much"}, "lower"),
        ({"lower": "-5"}, "lower"),
        ({"budget": "nan"}, "budget"),
        ({"budget": "-1"}, "budget"),
        ({"car": "none"}, "car"),
        ({"feel": "hard"}, "feel"),
    ],
)
def test_what_cannot_be_wished_is_told_at_its_field(counter: Workbench, given: dict[str, str], field: str) -> None:
    answer = asked(counter.port, "/", WISH | {"car": counter.car} | given)

    assert answer.status == 422
    assert f'id="wrong-{field}"' in answer.text


def test_an_answer_that_there_is_not_is_refused(counter: Workbench) -> None:
    for form in ({"work": "none", "answer": "0"}, {"work": "", "answer": "0"}):
        assert asked(counter.port, "/answers", form).status == 422
    text = answered(counter.port, counter.car)
    work = re.search(r'name="work" value="(\w+)"', text)
    assert work is not None
    for number in ("7", "-1", "", "x"):
        assert asked(counter.port, "/answers", {"work": work[1], "answer": number}).status == 422
    assert asked(counter.port, "/?work=gone").status == 200


def test_how_low_is_a_page_and_a_part_of_the_counter(counter: Workbench) -> None:
    whole, part = (asked(counter.port, f"/cars/{counter.car}/how-low{q}").text for q in ("", "?part=1"))

    assert "<html" in whole
    assert "<html" not in part
    for text in (whole, part):
        assert 'class="low-scale"' in text
        assert "The lowest point comes closer to the road than was entered as allowed." in text


def test_the_book_is_one_click_away(counter: Workbench) -> None:
    assert 'href="/book"' in asked(counter.port, "/").text
    assert "Road and club days" in asked(counter.port, "/book").text

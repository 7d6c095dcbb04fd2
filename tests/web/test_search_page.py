"""The search page without a browser: wishes read and refused, work begun, watched and stopped, a package taken."""

from __future__ import annotations

import html
import json
import re
import signal
import subprocess
import sys
import threading
import time
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import replace
from pathlib import Path
from urllib.parse import parse_qs, urlencode, urlsplit

import pytest

from jounce.book import Book
from jounce.conventions.units import Kind, show
from jounce.job.file import parse_job
from jounce.quote.parts_named import parts_of_shelf
from jounce.search.goals import METRICS
from jounce.shelf.book_entries import documents_of
from jounce.shelf.shelf import Shelf
from jounce.shelf.toml import parse_toml
from jounce.web.case_cache import car_read, case_of, read_pair
from jounce.web.pages.job_places import with_places
from jounce.web.searching.asked import as_form, as_text, asked_at_first, asked_in, from_text, read_asked
from tests.web.test_shop import asked_bytes, words_of
from tests.workbench import Workbench, asked, demo_book, demo_text, serving

CODES = ("TB-23.5", "TB-24", "TB-26", "DR-285-R", "IB-21", "IB-22")
PLACES = ("front bars", "rear dampers", "inner bar")


def small_shelf(book: Book) -> None:
    """A few parts of the demo shelf, so that a search takes a moment."""
    shelf = parse_toml(demo_text("shelf.toml"), "shelf").whole("shelf")
    book.fill("part", documents_of(Shelf(tuple(shelf.part(code) for code in CODES))))


def wishes(places: tuple[str, ...] = PLACES, units: str = "metric", **more: str) -> dict[str, str]:
    """The form as a browser sends it when only its places were changed."""
    first = asked_at_first(*read_pair(demo_text("brisk-14-lower.toml"), demo_text("brisk-14.toml")), units)
    form = {f"{name}.{part}": text for name, texts in first.goals.items() for part, text in texts.items()}
    return form | {f"place.{place}": "1" for place in places} | {"budget": "", "begin": "1"} | more


def finished(port: int, job: str) -> Mapping[str, object]:
    """What is told of the work on a job's page once it is finished; empty where no bar is shown any more."""
    until = time.monotonic() + 120
    told: Mapping[str, object] = {}
    while time.monotonic() < until:
        state = re.search(r'data-work="([^"]+)"', asked(port, f"/jobs/{job}/search").text)
        if state is None:
            return told
        told = json.loads(asked(port, state[1]).text)
        time.sleep(0.1)
    raise AssertionError(told)


@pytest.fixture(scope="module")
def found(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Workbench]:
    """A workbench on which a small search is done."""
    book, car, job = demo_book(tmp_path_factory.mktemp("book") / "shop.db")
    small_shelf(book)
    with serving(book) as port:
        assert asked(port, f"/jobs/{job}/search", wishes()).headers["location"] == f"/jobs/{job}/search"
        finished(port, job)
        yield Workbench(port, car, job, book)
    book.close()


def test_what_was_found_stands_side_by_side_with_price_and_goals(found: Workbench) -> None:
    text = asked(found.port, f"/jobs/{found.job}/search").text

    assert 1 <= text.count('class="card package"') <= 3
    for word in ("Good", "Take this package", "TB-24", "DR-285-R", "inner bar", "EUR", "h of work", "Hz in front"):
        assert word in text
    rows = re.findall(r'<tr><th scope="row">(front ride frequency.*?)</tr>', text, re.DOTALL)
    assert "1.45 to 1.75 Hz" in rows[0]
    assert 'aria-label="met"' in text
    assert "firm but still a road car" in rows[0]
    assert '<svg class="chart price"' in text
    assert "What more money buys" in text
    assert re.findall(r"<script(?![^>]*src)|\son\w+=|\sstyle=|nan|None", text) == []


def test_the_same_wishes_of_another_browser_are_the_same_search(found: Workbench) -> None:
    before = re.search(r'name="work" value="(\w+)"', asked(found.port, f"/jobs/{found.job}/search").text)
    asked(found.port, f"/jobs/{found.job}/search", wishes(), {"Cookie": "jounce_by=Bo"})
    after = re.search(r'name="work" value="(\w+)"', asked(found.port, f"/jobs/{found.job}/search").text)

    assert before is not None
    assert after is not None
    assert before[1] == after[1]


def test_a_search_without_a_choice_offers_the_places_that_give_one(tmp_path: Path) -> None:
    """A job begun in the browser has no parts: with its own dampers the car would sit on its rubbers 40 mm lower."""
    book, _, job = demo_book(tmp_path / "shop.db")
    shelf = parse_toml(demo_text("shelf.toml"), "shelf").whole("shelf")
    codes = ("TB-24", "DF-330", "C-25-245", "P-97", "DR-285-R")
    book.fill("part", documents_of(Shelf(tuple(shelf.part(code) for code in codes))))
    car = parse_job(book.entry(job).content, "job").job.car
    bare = f'[job]\nname = "bare"\ncar = "{car}"\n\n[wanted.front]\nlower = 40\n\n[wanted.rear]\nlower = 40\n'
    book.save(replace(book.entry(job), content=bare), "begun anew")
    with serving(book) as port:
        asked(port, f"/jobs/{job}/search", wishes(("front bars", "rear springs", "rear perches", "rear dampers")))
        finished(port, job)
        text = asked(port, f"/jobs/{job}/search").text
        assert "No choice of front parts keeps the limits" in text
        assert "Search again with front dampers too" in text
        form = text.partition("Search again with front dampers too")[0].rpartition("<form")[2]
        fields = dict(re.findall(r'type="hidden" name="([^"]+)" value="([^"]*)"', form))
        assert {name for name in fields if name.startswith("place.")} >= {"place.front dampers", "place.rear springs"}
        asked(port, f"/jobs/{job}/search", {**fields, "begin": "1"})
        finished(port, job)
        assert "No choice of" not in asked(port, f"/jobs/{job}/search").text
    book.close()


def test_a_form_that_is_asked_again_is_the_same_form() -> None:
    first = asked_in(wishes(in_stock="1", budget="900"), "metric")
    assert asked_in(as_form(first), "inch") == first


def test_why_not_is_told_for_any_part(found: Workbench) -> None:
    address = f"/jobs/{found.job}/search"
    assert "TB-26: spline diameter at the arm: has 31 mm" in asked(found.port, f"{address}?why=TB-26").text
    assert "No part has this code" in asked(found.port, f"{address}?why=TB-99+IB-21").text
    assert "Two parts for the inner bar" in asked(found.port, f"{address}?why=IB-21,IB-22").text
    inches = asked(found.port, f"{address}?why=TB-24+DR-285-R", headers={"Cookie": "jounce_units=inch"}).text
    assert " mm" not in re.findall(r'<div class="said" role="status">.*?</div>', inches, re.DOTALL)[0]


def test_a_package_is_taken_as_a_new_version_and_a_later_one_sees_it(tmp_path: Path) -> None:
    book, _, job = demo_book(tmp_path / "shop.db")
    small_shelf(book)
    with serving(book) as port:
        asked(port, f"/jobs/{job}/search", wishes())
        finished(port, job)
        text = asked(port, f"/jobs/{job}/search").text
        work = re.search(r'name="work" value="(\w+)"', text)
        assert work is not None
        package = re.search(r'name="package" value="(\d+)"[^>]*>Take this package', text)
        assert package is not None
        form = {"number": "1", "work": work[1], "package": package[1]}
        taken = asked(port, f"/jobs/{job}/search/take", form)
        assert taken.headers["location"].startswith(f"/jobs/{job}/consequences")
        kept, versions = tomllib.loads(book.entry(job).content), book.versions(job)
        assert kept["shelf"]["front"]["torsion_bar"] in {"TB-23.5", "TB-24"}
        assert kept["shelf"]["rear"]["damper"] == "DR-285-R"
        assert f"{kept['change']['front']['torsion_bar']['diameter']}".startswith(("{'value': 23.5", "{'value': 24"))
        assert "spring" in kept["change"]["rear"]  # a place that was not looked at keeps its part
        assert versions[-1].note.startswith("package taken: TB-2")
        assert versions[-1].note.endswith("EUR")
        late = asked(port, f"/jobs/{job}/search/take", form, {"Cookie": "jounce_by=Bo"})
        assert late.status == 409
        assert "Save mine on top of it" in late.text
        assert "was changed since this search" not in asked(port, f"/jobs/{job}/search").text
        asked(port, f"/jobs/{job}/aim", {"number": "2", "wanted.front.lower": "30"})
        assert "was changed since this search" in asked(port, f"/jobs/{job}/search").text
        for wrong in ({"package": "999999"}, {"package": "-1"}, {"package": "x"}, {"work": "none"}):
            assert asked(port, f"/jobs/{job}/search/take", form | wrong).status == 422
        assert book.entry(job).number == 3
    book.close()


def test_wishes_that_cannot_be_read_come_back_with_what_is_wrong_beside_each(found: Workbench) -> None:
    before = asked(found.port, f"/jobs/{found.job}/search").text.count("data-work")
    form = wishes(places=()) | {
        "roll_gradient.low": "3 kg",
        "front_share.high": "",
        "rear_lift.low": "2 g",
        "front_bump.weight": "-1",
        "budget": "much",
        "front_free.reason": 'it "sits" <low>',
    }
    answer = asked(found.port, f"/jobs/{found.job}/search", form)

    assert answer.status == 422
    wrong = re.findall(r'id="wrong-([\w.]+)"', answer.text)
    assert set(wrong) == {
        "roll_gradient.low", "front_share.high", "rear_lift.low", "front_bump.weight", "budget", "places",
    }  # fmt: skip
    for name in wrong:
        assert name == "places" or f'aria-describedby="wrong-{name}"' in answer.text
    assert 'value="3 kg"' in answer.text
    assert "it &#34;sits&#34; &lt;low&gt;" in answer.text
    assert answer.text.count("data-work") == before


def test_nothing_to_search_is_said(tmp_path: Path) -> None:
    book, _, job = demo_book(tmp_path / "shop.db")
    with serving(book) as port:
        assert "The shelf is empty" in asked(port, f"/jobs/{job}/search").text
        assert "The shelf is empty" in asked(port, f"/jobs/{job}/search", wishes()).text
        small_shelf(book)
        dearer = next(part for part in book.entries("part") if part.name == "IB-22")
        book.fill("part", {"IB-22": dearer.content.replace("EUR", "GBP")})
        refused = asked(port, f"/jobs/{job}/search", wishes())
        assert refused.status == 422
        assert "found EUR, GBP" in refused.text
        book.fill("part", {"IB-22": dearer.content})
        asked(port, f"/jobs/{job}/search", wishes(budget="1"))
        finished(port, job)
        text = asked(port, f"/jobs/{job}/search").text
        assert "can be had for this budget" in text
        assert "Take" not in text
        asked(port, f"/jobs/{job}/aim", {"number": "1", "wanted.rear.lower": "110", "anyway": "search"})
        asked(port, f"/jobs/{job}/search", wishes())
        finished(port, job)
        text = asked(port, f"/jobs/{job}/search").text
        assert "The search for packages came to no result. No choice of rear parts keeps the limits" in text
        assert "perch out of reach (" in text
        assert "Search again" in text
    book.close()


@pytest.mark.usefixtures("in_processes", "worked_anew")
def test_a_stop_is_told_and_the_end_of_the_workbench_ends_the_search(tmp_path: Path) -> None:
    book, _, job = demo_book(tmp_path / "shop.db")
    book.fill("part", documents_of(parse_toml(demo_text("shelf.toml"), "shelf").whole("shelf")))
    with serving(book) as port:
        form = wishes((*PLACES, "second front roll bar", "rear springs"))
        asked(port, f"/jobs/{job}/search", form)
        text = asked(port, f"/jobs/{job}/search").text
        state = re.search(r'data-work="([^"]+)"', text)
        assert state is not None
        assert 'http-equiv="refresh"' in text
        other = asked(port, f"/jobs/{job}/search", wishes(), {"Cookie": "jounce_by=Bo"})
        assert other.status == 422
        assert "for another question" in other.text
        assert (
            asked(port, state[1].replace("state.json", "stop"), {"stop": "1"}).headers["location"].endswith("/search")
        )
        finished(port, job)
        text = asked(port, f"/jobs/{job}/search").text
        assert "topped before" in text
        assert "Search again" in text
        asked(port, f"/jobs/{job}/search", form)
        assert any(thread.name.startswith("search ") for thread in threading.enumerate())
    assert not any(thread.name.startswith("search ") for thread in threading.enumerate())
    book.close()


@pytest.mark.parametrize("units", ["metric", "inch"])
def test_the_form_is_read_as_it_is_shown_in_any_units(units: str) -> None:
    job = parse_job(demo_text("brisk-14-lower.toml"), "job")
    shown = asked_at_first(job, car_read(demo_text("brisk-14.toml")), units)
    sent = asked_in(wishes(units=units), "metric")  # another browser's units: each number brings its own
    goals = {goal.metric: goal for goal in read_asked(sent).goals}

    assert from_text(as_text(shown)) == shown
    assert set(goals) == set(METRICS) - {"rear_frequency"}
    assert goals["front_bump"].low == pytest.approx(0.05, rel=1e-3)
    assert goals["front_free"].weight == 0.5
    assert read_asked(sent).wrong == {}
    bare = asked_in({"front_bump.low": "2", "front_bump.high": "4,5", "place.inner bar": "1"}, units)
    one = read_asked(bare).goals[0]
    assert one.high == pytest.approx(0.0045 if units == "metric" else 4.5 * 0.0254)
    assert read_asked(asked_in({"place.inner bar": "1"}, units)).wrong.keys() == {"goals"}


@pytest.mark.validation_long
def test_a_program_that_is_ended_in_the_middle_of_a_search_ends_soon_and_quietly(tmp_path: Path) -> None:
    book, _, job = demo_book(tmp_path / "shop.db")
    book.fill("part", documents_of(parse_toml(demo_text("shelf.toml"), "shelf").whole("shelf")))
    book.close()
    command = [sys.executable, "-m", "jounce", "serve", str(tmp_path / "shop.db"), "--port", "0"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as running:  # noqa: S603
        assert running.stdout is not None
        assert running.stderr is not None
        said = re.search(r"http://127\.0\.0\.1:(\d+)/", running.stdout.readline())
        assert said is not None
        form = wishes((*PLACES, "second front roll bar", "rear springs"))
        assert asked(int(said[1]), f"/jobs/{job}/search", form).status == 303
        time.sleep(3.0)  # it is under way
        assert "data-work" in asked(int(said[1]), f"/jobs/{job}/search").text
        at = time.monotonic()
        running.send_signal(signal.SIGINT)
        assert running.wait(60) == 0
        assert time.monotonic() - at < 30
        assert [line.partition(".")[0] for line in running.stderr] == ["Making the workbench ready"]


def test_packages_found_are_quoted_side_by_side_with_one_press(found: Workbench) -> None:
    """Place by place, no code typed; a reason that lacks is asked for on the form, and the job stays as it is."""
    address, before = f"/jobs/{found.job}/search", found.book.entry(found.job)
    found.book.add("shop", "Demo Workshop", demo_text("shop.toml"))
    page = asked(found.port, address).text
    link = re.search(r'<a class="button" href="([^"#]+)#quote">Quote th', page)
    assert link is not None
    handed = parse_qs(urlsplit(html.unescape(link[1])).query)
    count = sum(key.startswith("places") for key in handed)
    assert count == page.count('class="card package"')
    found.book.fill("part", documents_of(parse_toml(demo_text("shelf.toml"), "shelf").whole("shelf")))
    handed |= {
        f"name{count + 1}": ["dearer"],
        f"places{count + 1}": ["front bars: TB-24\nrear dampers:\ninner bar: IB-22"],
    }
    form_page = asked(found.port, f"/jobs/{found.job}/sheets?{urlencode(handed, doseq=True)}").text
    form = form_page.partition('id="quote"')[2].partition("</form>")[0]
    fields = {name: html.unescape(value) for name, value in re.findall(r'name="([^"]+)"[^>]* value="([^"]*)"', form)}
    fields = {name: value for name, value in fields.items() if not name.startswith("leave")}

    assert form.count("From the search") == count + 1
    assert "<textarea" not in form.replace('<textarea id="quote-work"', "")
    fields["work"] = "alignment = 1.5"
    lacks = asked(found.port, f"/jobs/{found.job}/sheets", {**fields, "print": "1"})
    assert lacks.status == 422  # the dearer one leaves a spring loose: a reason is asked for, and all typed stays
    assert (
        'id="quote-despite" name="despite" maxlength="300" autocomplete="off" value="" aria-invalid="true"'
        in lacks.text
    )
    assert lacks.text.count("From the search") == count + 1
    assert ">alignment = 1.5</textarea>" in lacks.text
    sent = asked(
        found.port, f"/jobs/{found.job}/sheets", {**fields, "kind": "order", "despite": "to order", "print": "1"}
    )
    assert sent.status == 303
    order = words_of(asked_bytes(found.port, sent.headers["location"]))
    for number in range(1, count + 2):
        own = order.partition(f"Package: {fields[f'name{number}']}")[2].partition("Package:")[0]
        codes = [line.partition(":")[2].strip() for line in fields[f"places{number}"].splitlines()]
        assert [code for code in codes if code not in own] == []
    assert found.book.entry(found.job) == before


@pytest.mark.validation_slow
def test_what_a_package_is_charged_is_what_was_worked_out(found: Workbench) -> None:
    """Two packages as a search hands them on: sums, parts and lean of each are those of the whole job with it."""
    if not found.book.entries("shop"):
        found.book.add("shop", "Demo Workshop", demo_text("shop.toml"))
    found.book.fill("part", documents_of(parse_toml(demo_text("shelf.toml"), "shelf").whole("shelf")))
    fields = {
        "name1": "good",
        "places1": "front bars: TB-23.5\nrear dampers: DR-285-R\ninner bar: IB-21",
        "name2": "dearer",
        "places2": "front bars: TB-24\nrear dampers:\ninner bar: IB-22",
    }
    count, asked_with = 1, urlencode({**fields, "kind": "quote", "despite": "to show prices"})
    quote = " ".join(words_of(asked_bytes(found.port, f"/jobs/{found.job}/sheet.pdf?{asked_with}")).split())
    assert "Packages side by side" in quote
    job, car = (found.book.entry(one).content for one in (found.job, found.car))
    shelf = parse_toml(demo_text("shelf.toml"), "shelf").whole("shelf")
    for number in range(1, count + 2):
        name, places = fields[f"name{number}"], fields[f"places{number}"]
        chosen = {place: code.strip() for place, _, code in (line.partition(":") for line in places.splitlines())}
        assert set(chosen) == set(PLACES)
        text = with_places(job, chosen, car_read(car), shelf)
        own = read_pair(text, car)[0]
        charged = quote.partition(f"Package: {name} parts and work")[2].partition("What it does")[0]
        codes = {code for *_, code in own.shelf.named()}
        assert {code for code in codes if code in charged} == codes
        parts = sum(part.price * lots for part, lots in parts_of_shelf(own, shelf))
        assert f"{parts:.2f}" in quote.partition("Packages side by side")[2].partition("work,")[0]
    told = quote.partition(f"What it does to the car: package {name}")[2].partition("Package:")[0]
    lean = case_of(text, car).planned.feel.left.roll_gradient  # of the last one: it takes some seconds
    assert show(lean, Kind.ANGLE_PER_ACCELERATION, "metric").split(" ")[0] in told

"""Photographs under a car on a phone: from rendered photographs over names to a new version of the car."""

from __future__ import annotations

import re
import time
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from playwright.sync_api import Page, expect

from jounce.car.file.inputs import all_inputs
from jounce.car.file.reading import parse_car
from jounce.conventions.units import Kind, to_display
from jounce.photographs.survey import parse_survey
from jounce.web.photographing.kept import begun
from tests.browser.conftest import Opened
from tests.browser.test_accessible import found
from tests.browser.test_for_everyone import NAMELESS, PALE, REPEATED, SMALL
from tests.photographs.front import FLOOR, files, kept
from tests.photographs.whole_car import true_place
from tests.verification.test_bands_over_travel import by_differences
from tests.workbench import Workbench, demo_book, serving

NAMES = {
    f"front {side} {words}": 60 + 3 * k + n
    for k, side in enumerate(("left", "right"))
    for n, words in enumerate(("wheel centre", "arm front", "strut top"))
}


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Workbench]:
    """A workbench that knows how large the tiles were printed, and nothing else of them."""
    book, car, job = demo_book(tmp_path / "shop.db")
    entry = begun(book, book.entry(car))
    sizes = "\n".join(f'{key} = "{value}"' for key, value in kept().tiles.items())
    book.save(replace(entry, content=f"[tiles]\n{sizes}\n"), "larger tiles")
    with serving(book) as port:
        yield Workbench(port, car, job, book)
    book.close()


def sound(page: Page) -> None:
    """Nothing sticks out, has no name, is pale or too small for a thumb."""
    page.wait_for_load_state()  # a page without its style sheet yet has no sizes
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    for check in (NAMELESS, PALE, REPEATED, SMALL):
        assert page.evaluate(check) == []
    assert found(page) == []


def curves_carry_bands(page: Page, content: str, before: str) -> None:
    """Camber and roll centre over travel have the bands that the photographed ± makes, and not those of the tape."""
    by_photographs, by_tape = (by_differences(parse_car(one, ""), "front") for one in (content, before))
    expect(page.get_by_role("heading", name="Curves over travel")).to_be_visible(timeout=60000)
    for title, column, kind, decimals in (
        ("front: camber, left", "left_camber", Kind.ANGLE, 2),
        ("front: roll centre", "roll_centre_height", Kind.LENGTH, 1),
    ):
        chart = page.locator("figure.chart", has=page.get_by_role("slider", name=title))
        chart.scroll_into_view_if_needed()
        expect(chart.locator("polygon")).to_have_count(1)
        told = re.search(r"± ([\d.]+) at most", chart.locator("svg").first.get_attribute("aria-label") or "")
        assert told
        wide, tape = (float(np.max(to_display(one[column], kind, "metric"))) for one in (by_photographs, by_tape))
        assert float(told[1]) == pytest.approx(wide, abs=0.51 * 10**-decimals)
        assert wide != pytest.approx(tape, rel=0.02), (
            "six small photographs are about as sure as the tape, not the same"
        )
        chart.get_by_role("slider").press("End")  # far up, where a band is wider than its last digit
        expect(chart.locator(".readout")).to_contain_text(" ± ")
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")


def test_a_car_is_photographed_on_the_phone(shop: Workbench, opened: Opened) -> None:
    page = opened("phone", bypass_csp=True)
    page.goto(f"{shop.address}/cars/{shop.car}/photographs")
    page.get_by_label("Photographs JPEG").set_input_files(
        [
            {"name": f"{number}.jpg", "mimeType": "image/jpeg", "buffer": content}
            for number, content in enumerate([*files(), b"no photograph"])
        ]
    )
    expect(page.locator("#photographs .refused")).to_contain_text("no picture that can be opened")
    page.get_by_role("link", name="Look again").click()
    expect(page.locator("#photographs li")).to_have_count(6)
    expect(page.locator("#photographs .mark.met")).to_have_count(6)
    for words, tile in NAMES.items():
        row = page.get_by_role("group", name=f"Tile {tile}", exact=True)
        row.get_by_label("Sits at").select_option(words)
        row.get_by_label("Behind the paper").fill("50")
    row = page.get_by_role("group", name="Known length 1")
    row.get_by_label("From tile").fill("4")
    row.get_by_label("To tile").fill("9")
    row.get_by_label("Distance").fill(str(kept().rulers[0]["distance"]).partition(" ")[0])
    page.get_by_label("Tiles that lie on the floor").fill(" ".join(map(str, FLOOR)))
    page.get_by_label("Their paper over the ground").fill("8")
    page.get_by_role("button", name="Keep the names").click()
    expect(page.locator(".missing")).to_contain_text("6 more photographs: 12 do")
    expect(page.locator("svg.cover")).to_have_count(6)
    sound(page)
    page.get_by_role("button", name="Work out the pivots").click()
    expect(page.get_by_role("heading", name="Beside the tape")).to_be_visible()
    picture = page.get_by_alt_text("The model's lines over")
    picture.scroll_into_view_if_needed()
    expect(picture).to_have_js_property("complete", value=True)
    assert picture.evaluate("one => one.naturalWidth") in {1050, 1400}
    page.get_by_role("link", name="Over photograph 3").click()
    expect(page.get_by_alt_text("The model's lines over photograph 3")).to_be_visible()
    sound(page)
    before = shop.book.entry(shop.car).content
    page.get_by_role("button", name="Take over into the car").click(no_wait_after=True)
    until = time.monotonic() + 60
    while (car := shop.book.entry(shop.car)).number < 2:
        assert time.monotonic() < until, "nothing was taken over"
        page.wait_for_timeout(50)
    curves_carry_bands(page, car.content, before)
    after = {one.path: one for one in all_inputs(parse_car(car.content, ""))}
    for axis, true in zip("xyz", true_place("arm_front"), strict=True):
        number = after[f"front.pivots.arm_front.{axis}"]
        assert number.origin.startswith("photographs, ")
        assert abs(number.value - true) < number.plus_minus


def test_photographs_wait_for_the_network(shop: Workbench, opened: Opened) -> None:
    page = opened("phone")
    page.goto(f"{shop.address}/cars/{shop.car}/photographs")
    page.context.set_offline(True)
    page.get_by_label("Photographs JPEG").set_input_files(
        [{"name": "one.jpg", "mimeType": "image/jpeg", "buffer": files(1)[0]}]
    )
    expect(page.get_by_text("No network: 1 wait here")).to_be_visible()
    page.context.set_offline(False)
    expect(page.locator("#photographs li")).to_have_count(1)
    expect(page.locator("#photographs")).to_contain_text("Photograph 1")


def test_pointer_and_wheels_are_named_on_the_phone_and_outlive_a_lost_network(shop: Workbench, opened: Opened) -> None:
    page = opened("phone", bypass_csp=True)
    address = f"{shop.address}/cars/{shop.car}/photographs"
    page.goto(address)
    page.get_by_text("Heights of wheels").click()
    for number, (tile, over) in enumerate(((20, 290), (21, 291), (22, 288)), start=1):
        row = page.get_by_role("group", name=f"Height {number}")
        row.get_by_label("Tile").fill(str(tile))
        row.get_by_label("Middle over the ground").fill(str(over))
    page.get_by_text("The pointer, for points without a tile").click()
    for number, point in enumerate(("its punch mark", "front left ball joint"), start=1):
        row = page.get_by_role("group", name=re.compile(f"^Stand {number}: "))
        row.get_by_label("Its tip touches").select_option(point)
        row.get_by_label("Photographs").fill(f"{2 * number - 1}, {2 * number}")
    sound(page)
    page.context.set_offline(True)
    page.get_by_role("button", name="Keep the names").click()
    expect(page.locator("form.tile-names .sent")).to_be_visible()
    page.context.set_offline(False)
    page.reload()
    page.get_by_role("button", name=re.compile("^Put")).click()
    page.get_by_role("button", name="Keep the names").click()
    expect(page.get_by_text("The names are kept.")).to_be_visible()
    expect(page.get_by_role("group", name="Stand 2: touch front left ball joint")).to_be_visible()
    expect(page.get_by_role("group", name=re.compile("^Stand "))).to_have_count(4)
    expect(page.locator(".missing")).to_contain_text("Swings of the pointer in its mark: 1 are named, 4 are needed")
    expect(page.locator(".missing")).not_to_contain_text("The ground:")
    sound(page)
    text = shop.book.entry(begun(shop.book, shop.book.entry(shop.car)).id).content
    survey = parse_survey(text, "")
    assert [(one.point, one.photos) for one in survey.pointer] == [
        ("mark", ("photograph 1", "photograph 2")),
        ("front.pivots.ball_joint", ("photograph 3", "photograph 4")),
    ]
    assert [(one.tile, round(one.over, 6)) for one in survey.heights] == [(20, 0.29), (21, 0.291), (22, 0.288)]

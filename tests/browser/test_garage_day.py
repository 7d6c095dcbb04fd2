"""A day in the garage on a phone: tape, a bad reading, a hidden bar, a plan, one tooth, the ledger; every click counted.

The car that is measured has thicker torsion bars than its file says, and on the day of the work a front spring that is set
a little otherwise than was thought.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from jounce.web.case_cache import case_of
from tests.browser.conftest import Opened
from tests.browser.test_ask_first import Clicks
from tests.web.test_readings import BAD, READ
from tests.workbench import Workbench, demo_book, serving

CORNERS = [f"{axle}.{side}" for axle in ("front", "rear") for side in ("left", "right")]
OFF = {"front.left": -9.0, "front.right": -3.0, "rear.left": -1.0, "rear.right": 1.0}


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Workbench]:
    book, car, job = demo_book(tmp_path / "shop.db")
    with serving(book) as port:
        yield Workbench(port, car, job, book)
    book.close()


def read(hand: Clicks, form: dict[str, str]) -> None:
    """Type one reading."""
    page = hand.page
    page.locator("#what").select_option(form["what"])
    page.locator("#at").select_option(form["at"])
    for name in ("bump", "load", "value", "band", "note"):
        if name in form:
            page.locator(f"#{name}").fill(form[name])
    kept = page.locator(".readings li").count()
    hand.on("button", "Keep this reading")
    expect(page.locator(".readings li")).to_have_count(kept + 1)


def measured(hand: Clicks, shop: Workbench, off: dict[str, float]) -> None:
    """Type four heights."""
    case = case_of(shop.book.entry(shop.job).content, shop.book.entry(shop.car).content)
    for corner in CORNERS:
        planned = case.row(f"{corner}.height").planned or 0.0
        hand.page.locator(f'[id="{corner}.height"]').fill(f"{1e3 * planned + off.get(corner, 0.0):.1f}")
    hand.on("button", "Keep, and say what to turn")


def narrow(page: Page) -> None:
    """Nothing sticks out to the side of the phone."""
    page.wait_for_load_state("networkidle")  # its style sheet and scripts have laid it out
    assert page.evaluate("document.documentElement.scrollWidth") <= 390


def test_a_day_in_the_garage(shop: Workbench, opened: Opened) -> None:
    page = opened("phone")
    hand = Clicks(page)
    page.goto(f"{shop.address}/cars/{shop.car}")
    hand.on("link", "Take readings")
    page.get_by_label(re.compile("front torsion bar")).check()
    hand.count += 1
    hand.on("button", "Keep")
    expect(page.get_by_text("Undo")).to_be_visible()
    for form in (*READ, BAD):
        read(hand, form)
    expect(page.get_by_text("Read again:", exact=True)).to_be_visible()
    expect(page.locator(".suspect")).to_contain_text("20.0 mm up")
    narrow(page)
    page.locator(".suspect button").click()
    hand.count += 1
    expect(page.locator(".suspect")).to_have_count(0)
    expect(page.get_by_text(re.compile(r"The front torsion bar rate is .* by the file")).first).to_be_visible()
    assert page.get_by_role("link", name="Take the reading that helps most").get_attribute("href")
    hand.on("button", "Take it over into the car")
    expect(page.get_by_role("heading", name="Brisk 14", exact=True)).to_be_visible()
    assert shop.book.entry(shop.car).number == 2
    fitting = hand.count

    page.goto(f"{shop.address}/cars/{shop.car}/readings?for=when+the+inside+rear+wheel+lifts#plan")
    page.get_by_role("link", name=re.compile("^Type it")).first.click()
    expect(page.locator("#main input:not([type=hidden])").first).to_be_visible()
    narrow(page)
    page.goto(f"{shop.address}/jobs/{shop.job}/sheets")
    sheet = page.request.get(f"{shop.address}/jobs/{shop.job}/sheet.pdf?kind=alignment", timeout=120_000)
    assert sheet.ok
    assert shop.book.promises(shop.job)[0].owner_number == 2
    page.goto(f"{shop.address}/jobs/{shop.job}/rounds")
    measured(hand, shop, OFF)
    expect(page.locator(".round-steps strong").first).to_be_visible()
    expect(page.locator(".round-steps")).to_contain_text(re.compile(r"tooth|teeth"))
    narrow(page)
    hand.on("button", "It is turned like this")
    expect(page.get_by_text("Round 1: corrected")).to_be_visible()
    measured(hand, shop, {})
    expect(page.get_by_text("Round 2: inside")).to_be_visible()
    page.locator("#main").get_by_role("link", name="Ledger").click()
    hand.count += 1
    expect(page.get_by_role("heading", name="The ledger", exact=True).first).to_be_visible()
    expect(page.get_by_text(re.compile(r"\d of 4$"))).to_be_visible()
    narrow(page)
    assert fitting == 12
    assert hand.count == 16

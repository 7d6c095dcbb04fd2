"""The file that is taken away, opened from the disk of a phone without a network."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from jounce.quote.shop import parse_shop
from jounce.sheets.notice import despite_of
from jounce.sheets.paperwork import Paperwork
from jounce.web.case_cache import case_of
from jounce.web.take_away.content import NUMBERS, TakeAwayWish
from jounce.web.take_away.file import take_away
from tests.browser.test_accessible import found
from tests.workbench import demo_text

OLD = "delete window.DecompressionStream"
"""Makes a browser one that cannot unpack by itself."""


@pytest.fixture(scope="module")
def file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    case = case_of(demo_text("brisk-14-lower.toml"), demo_text("brisk-14.toml"))
    look = Paperwork(shop=parse_shop(demo_text("shop.toml"), "the shop"), despite=despite_of("made for a test", ""))
    path = tmp_path_factory.mktemp("phone") / "car.html"
    path.write_bytes(take_away(case, look, TakeAwayWish()))
    return path


@pytest.fixture(params=["", OLD], ids=["unpacks", "is helped"])
def phone(request: pytest.FixtureRequest, chromium: Browser, file: Path) -> Iterator[Page]:
    context = chromium.new_context(
        viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True, offline=True, bypass_csp=False
    )
    page = context.new_page()
    asked: list[str] = []
    said: list[str] = []
    page.on("request", lambda one: asked.append(one.url))
    page.on("console", lambda one: said.append(one.text))
    page.on("pageerror", lambda one: said.append(str(one)))
    if request.param:
        page.add_init_script(request.param)
    page.goto(file.as_uri())
    expect(page.locator(".picture canvas")).to_have_attribute("data-drawn", re.compile(r"\d"))
    yield page
    context.close()
    assert asked == [file.as_uri()]
    assert said == []


def test_it_opens_moves_and_tells_the_jobs_numbers(phone: Page) -> None:
    case = case_of(demo_text("brisk-14-lower.toml"), demo_text("brisk-14.toml"))
    expect(phone).to_have_title("Larkfield Brisk 14")
    expect(phone.locator("#letterhead")).to_contain_text("Demo Workshop")
    heights = phone.locator("tr", has_text=NUMBERS[0][1]).locator("td")
    row = case.row("front.left.height")
    assert [text.split(" ± ")[0] for text in heights.all_inner_texts()] == [
        f"{(value or 0) * 1e3:.1f}" for value in (row.found, row.planned)
    ]
    phone.locator("[data-play='Lowering']").click()
    expect(phone.locator(".picture")).to_contain_text("the body comes down 35.4 mm")
    phone.locator("[data-play='A corner']").click()
    expect(phone.locator(".picture")).to_contain_text("The inside rear wheel")
    assert phone.evaluate("() => document.documentElement.scrollWidth <= window.innerWidth")


def test_no_rule_of_accessibility_is_broken(chromium: Browser, file: Path) -> None:
    context = chromium.new_context(viewport={"width": 390, "height": 844}, offline=True, bypass_csp=True)
    page = context.new_page()
    page.goto(file.as_uri())
    expect(page.locator(".picture canvas")).to_have_attribute("data-drawn", re.compile(r"\d"))
    page.evaluate("() => document.querySelectorAll('details').forEach((one) => (one.open = true))")

    assert found(page) == []
    context.close()

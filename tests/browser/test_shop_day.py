"""The shop's day in a browser: from the counter to a printed quote, a job moved on the board, parts put in by clicks."""

from __future__ import annotations

import time
from collections.abc import Iterator

import pytest
from playwright.sync_api import Page, expect

from jounce.office.board import progress_of
from jounce.quote.kept import parse_quote
from jounce.quote.progress import JobState
from tests.browser.conftest import SIZES, Opened
from tests.browser.test_accessible import found
from tests.browser.test_ask_first import Clicks
from tests.house.places import DOCS
from tests.web.test_counter_page import counter_book
from tests.workbench import Workbench, demo_book, demo_text, serving


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Workbench]:
    """A workbench with a few parts and the shop's prices; on the second screen the search is quick."""
    book, car, job = demo_book(tmp_path_factory.mktemp("book") / "shop.db")
    counter_book(book)
    book.add("shop", "Demo Workshop", demo_text("shop.toml"))
    with serving(book) as port:
        yield Workbench(port, car, job, book)
    book.close()


def narrow_enough(page: Page, size: str) -> bool:
    return bool(page.evaluate("document.documentElement.scrollWidth") <= SIZES[size][0])


@pytest.mark.sweep(1)
@pytest.mark.parametrize("size", ["desktop", "phone"])
def test_the_owner_at_the_counter_prints_a_quote_of_three_answers_in_nine_clicks(
    shop: Workbench, opened: Opened, size: str, capsys: pytest.CaptureFixture[str]
) -> None:
    page = opened(size, bypass_csp=True)
    page.goto(shop.address)
    expect(page.locator(".low-scale")).to_be_visible()
    page.locator("#car").select_option(label="Brisk 14")
    hand, started = Clicks(page), time.monotonic()
    hand.along(0.44)
    hand.on("radio", "firmer")
    hand.on("radio", "rather corners")
    hand.on("button", "Show three answers")
    expect(page.locator(".answer")).to_have_count(3, timeout=300_000)
    hand.on("button", "Quote all three side by side")
    hand.on("button", "Give it a number and keep it")
    expect(page.locator("h1:has-text('Quote '), #quote [role=alert], #wrong-quote-despite").first).to_be_visible()
    if page.locator("#quote-despite").count():  # a check fails: why it is quoted all the same
        page.locator("#quote-despite").fill("the customer was told")
        hand.on("button", "Give it a number and keep it")
    expect(page.locator("h1")).to_contain_text("Quote ")
    seconds = time.monotonic() - started
    print_link = page.get_by_role("link", name="Print", exact=True)
    answer = page.request.get(shop.address + (print_link.get_attribute("href") or ""))
    hand.count += 1
    with capsys.disabled():
        print(f" [{size}: {hand.count} clicks, {seconds:.0f} s to a printed quote] ", end="")  # noqa: T201  # told, not asserted

    assert answer.body().startswith(b"%PDF")
    assert hand.count <= 9
    assert f"numbered and kept | {hand.count} | 9 |" in (DOCS / "walks.md").read_text("utf-8")
    quote = shop.book.entries("quote")[-1]
    assert page.url.split("?")[0].endswith(f"/quotes/{quote.id}")
    assert len(parse_quote(quote.content).package) == 3
    assert narrow_enough(page, size)
    assert found(page) == []


@pytest.mark.sweep(1)
@pytest.mark.parametrize("size", ["desktop", "phone"])
def test_a_job_goes_over_the_board_by_keys_and_clicks(shop: Workbench, opened: Opened, size: str) -> None:
    name = f"On the board, {size}"
    job = shop.book.add("job", name, demo_text("brisk-14-lower.toml"), shop.car)
    page = opened(size, bypass_csp=True)
    page.goto(f"{shop.address}/board")
    quoted = page.locator("section.column", has=page.locator("#quoted")).get_by_role("link", name=name)
    on = page.get_by_role("button", name=f"{name}: on to quoted")
    on.focus()
    page.keyboard.press("Enter")
    expect(quoted).to_have_count(1)
    assert progress_of(shop.book, job).state is JobState.QUOTED
    page.get_by_label(f"{name}: move elsewhere").click()
    page.get_by_role("button", name=f"{name}: to waiting").click()
    expect(page.get_by_role("status")).to_contain_text("waiting")
    expect(quoted).to_have_count(0)
    assert narrow_enough(page, size)
    assert found(page) == []
    page.get_by_role("button", name="Undo").click()
    expect(quoted).to_have_count(1)
    assert progress_of(shop.book, job).state is JobState.QUOTED

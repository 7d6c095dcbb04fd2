"""The package search in a real browser: its bar moves, it is stopped, reloaded, seen by two, and a package is taken."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from jounce.shelf.book_entries import documents_of
from jounce.shelf.toml import parse_toml
from tests.browser.conftest import Opened
from tests.browser.test_accessible import found
from tests.web.test_search_page import small_shelf
from tests.workbench import Workbench, demo_book, demo_text, serving

FEW = ("front bars", "rear dampers", "inner bar")
MORE = ("front bars", "rear springs", "rear dampers")


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Workbench]:
    """A workbench with a few parts on its shelf, so that a search takes a moment."""
    book, car, job = demo_book(tmp_path / "shop.db")
    small_shelf(book)
    with serving(book) as port:
        yield Workbench(port, car, job, book)
    book.close()


@pytest.fixture
def whole_shop(tmp_path: Path) -> Iterator[Workbench]:
    """A workbench with a filled shelf: a search takes its time."""
    book, car, job = demo_book(tmp_path / "shop.db")
    book.fill("part", documents_of(parse_toml(demo_text("shelf.toml"), "shelf").whole("shelf")))
    with serving(book) as port:
        yield Workbench(port, car, job, book)
    book.close()


def begin(page: Page, places: tuple[str, ...]) -> None:
    """Tick places and search."""
    page.get_by_text("Places to look for parts").click()
    for box in page.locator(".places input").all():
        box.set_checked((box.get_attribute("name") or "").removeprefix("place.") in places)
    page.get_by_role("button", name="Search the shelf").click()


def narrow(page: Page) -> bool:
    """Whether nothing sticks out of the page."""
    return bool(page.evaluate("document.documentElement.scrollWidth <= innerWidth"))


@pytest.mark.sweep(1)
@pytest.mark.parametrize("size", ["desktop", "phone"])
def test_a_package_is_searched_and_taken(shop: Workbench, opened: Opened, size: str) -> None:
    page = opened(size, bypass_csp=True)  # the checker of the rules is put into the page
    page.goto(f"{shop.address}/jobs/{shop.job}/changes")
    page.get_by_role("link", name="Search the shelf for packages").click()
    begin(page, FEW)
    expect(page.get_by_role("heading", name="Good")).to_be_visible()
    assert narrow(page)
    assert found(page) == []
    page.get_by_label("Codes from the shelf").fill("TB-26")
    page.get_by_role("button", name="Ask").click()
    expect(page.locator("div.said")).to_contain_text("spline diameter at the arm")
    assert found(page) == []
    before = tomllib.loads(shop.book.entry(shop.job).content)
    page.get_by_role("button", name="Take this package").first.click()
    expect(page.locator(".said li").first).to_contain_text("lower in front")
    assert "/consequences" in page.url
    kept = tomllib.loads(shop.book.entry(shop.job).content)
    assert kept["shelf"]["rear"]["damper"].startswith("DR-")
    page.reload()
    assert shop.book.entry(shop.job).number == 2
    page.get_by_role("button", name="Undo").click()
    assert tomllib.loads(shop.book.entry(shop.job).content)["shelf"] == before["shelf"]


@pytest.mark.validation_long
@pytest.mark.usefixtures("in_processes", "worked_anew")
def test_the_bar_moves_by_itself_and_a_stop_gives_what_was_found(whole_shop: Workbench, opened: Opened) -> None:
    page = opened()
    page.goto(f"{whole_shop.address}/jobs/{whole_shop.job}/search")
    begin(page, MORE)
    bar = page.get_by_role("progressbar")
    expect(bar).to_be_visible()
    expect(page.get_by_role("link", name="Look again")).to_be_hidden()  # with a script nobody has to
    expect(bar).to_have_attribute("value", re.compile(r"^(1[2-9]|[2-9]\d)"))
    expect(page.locator(".work-said")).to_contain_text("% done")
    page.get_by_role("button", name="Stop").click()
    expect(bar).to_have_count(0)
    expect(page.locator(".step .said, .step .notice").first).to_contain_text("topped before")
    expect(page.locator("summary", has_text="Search again")).to_be_visible()


@pytest.mark.validation_long
@pytest.mark.usefixtures("in_processes", "worked_anew")
def test_a_reload_in_the_middle_and_a_second_browser_see_the_same_work(whole_shop: Workbench, opened: Opened) -> None:
    first, second = opened(), opened("phone", bypass_csp=True)
    first.goto(f"{whole_shop.address}/jobs/{whole_shop.job}/search")
    begin(first, MORE)
    work = first.locator("[data-work]")
    expect(work).to_be_visible()
    address = work.get_attribute("data-work")
    first.reload()
    expect(work).to_have_attribute("data-work", address or "")
    second.goto(f"{whole_shop.address}/jobs/{whole_shop.job}/search")
    expect(second.locator("[data-work]")).to_have_attribute("data-work", address or "")
    expect(second.locator(".work")).to_contain_text("Begun by tester")
    assert narrow(second)
    assert found(second) == []
    second.get_by_role("button", name="Stop").click()  # what one stops is stopped for both
    expect(first.get_by_role("progressbar")).to_have_count(0)
    expect(second.get_by_role("progressbar")).to_have_count(0)


@pytest.mark.validation_long
def test_without_script_the_page_looks_again_by_itself(shop: Workbench, opened: Opened) -> None:
    page = opened()
    without = page.context.browser
    assert without is not None
    context = without.new_context(java_script_enabled=False)
    plain = context.new_page()
    plain.set_default_timeout(120_000)
    plain.goto(f"{shop.address}/jobs/{shop.job}/search")
    begin(plain, ("rear dampers", "inner bar"))
    expect(plain.locator(".package").first).to_be_visible()
    context.close()


def test_the_car_in_a_corner_comes_with_a_bar_beside_the_page(shop: Workbench, opened: Opened) -> None:
    page = opened("phone")
    page.goto(f"{shop.address}/jobs/{shop.job}/consequences")
    expect(page.locator(".later table")).to_contain_text("inside rear wheel lifts at")
    expect(page.locator(".later progress")).to_have_count(0)


def test_a_part_is_changed_and_a_bad_file_is_mended_at_the_counter(shop: Workbench, opened: Opened) -> None:
    page = opened("phone", bypass_csp=True)
    page.goto(f"{shop.address}/shelf?words=TB-24")
    page.locator(".partlist summary").first.click()
    page.get_by_role("link", name="Change price or stock").first.click()
    page.get_by_label("In stock").fill("7")
    page.get_by_role("button", name="Save").click()
    expect(page.locator(".said").first).to_contain_text("7 in stock")
    assert found(page) == []
    assert narrow(page)
    page.goto(f"{shop.address}/shelf")
    page.get_by_text("Fill the shelf from a file").click()
    bad = "kind,code,name,place,rate_n_per_mm\ncoil,X-1,one,rear,25\ncoil,X-2,two,behind,25\n"
    page.set_input_files("#file", {"name": "parts.csv", "mimeType": "text/csv", "buffer": bad.encode()})
    page.get_by_role("button", name="Read the file").click()
    expect(page.locator("ol.problems")).to_contain_text("line 3")
    assert found(page) == []
    assert narrow(page)
    page.get_by_label("The file, to be mended here").fill(bad.replace("behind", "rear"))
    page.get_by_role("button", name="Read it again").click()
    expect(page.get_by_role("status")).to_contain_text("2 new parts")

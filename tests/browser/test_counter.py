"""At the counter, on a phone: a part typed in at the shelf, a quote that lacks its reason; nothing typed is lost."""

from __future__ import annotations

from playwright.sync_api import Route, expect

from jounce.shelf.book_entries import documents_of
from jounce.shelf.shelf import Shelf
from jounce.shelf.toml import parse_toml
from tests.browser.conftest import Opened
from tests.workbench import Workbench, demo_text


def test_a_part_is_typed_in_on_a_phone_and_survives_a_reload_and_a_bad_entry(
    workbench: Workbench, opened: Opened
) -> None:
    page = opened("phone")
    page.goto(f"{workbench.address}/shelf")
    page.get_by_role("link", name="Put a new part in").click()
    page.get_by_role("link", name="coil spring").click()
    page.locator("#code").fill("C-77")
    page.locator("#name").fill("touring spring")
    page.locator("#rate").fill("28 horses")
    page.reload()
    page.get_by_role("button", name="Put it in again").click()
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    page.locator("#place").select_option("rear")
    page.get_by_role("button", name="Save on the shelf").click()
    expect(page.locator("#wrong-rate")).to_be_visible()
    expect(page.locator("#code")).to_have_value("C-77")
    expect(page.locator("#rate")).to_have_value("28 horses")
    page.locator("#rate").fill("28")
    page.get_by_role("button", name="Save on the shelf").click()
    expect(page.get_by_role("status")).to_contain_text("C-77 was put in the book.")
    page.go_back()
    assert [part.name for part in workbench.book.entries("part")] == ["C-77"]


def test_what_is_typed_before_the_page_s_script_has_come_is_kept_too(workbench: Workbench, opened: Opened) -> None:
    page, held = opened("phone"), list[Route]()

    def hold(route: Route) -> None:
        held.append(route)

    page.goto(f"{workbench.address}/shelf/new")
    address = page.get_by_role("link", name="coil spring").get_attribute("href")
    page.route("**/static/drafts.js", hold)
    page.goto(f"{workbench.address}{address}", wait_until="commit")
    page.locator("#code").fill("C-78")
    held[0].continue_()
    page.wait_for_load_state()
    page.unroute("**/static/drafts.js")
    page.reload()
    page.get_by_role("button", name="Put it in again").click()

    expect(page.locator("#code")).to_have_value("C-78")


def test_a_quote_that_lacks_its_reason_stays_on_its_form_with_all_that_was_typed(
    workbench: Workbench, opened: Opened
) -> None:
    """The bars of the job bear 500 MPa and are asked for more at full bump."""
    text = demo_text("brisk-14-lower.toml").replace("stress_limit = { value = 900", "stress_limit = { value = 500")
    job = workbench.book.add("job", "Bars too soft", text.partition("# Codes of")[0], workbench.car)
    workbench.book.add("shop", "Demo Workshop", demo_text("shop.toml"))
    shelf = parse_toml(demo_text("shelf.toml"), "shelf").whole("shelf")
    workbench.book.fill("part", documents_of(Shelf((shelf.part("P-61"), shelf.part("TB-24")))))
    page = opened("phone")
    page.goto(f"{workbench.address}/jobs/{job.id}/sheets")
    quote = page.locator("#quote")
    quote.get_by_text("Choose the parts and print").click()
    page.locator("#quote-parts1").fill("TB-24, NONE-1")
    page.locator("#quote-work").fill("alignment = 1.5")
    quote.get_by_role("button", name="Print").click()
    expect(page.locator("#wrong-quote-parts1")).to_contain_text("NONE-1")
    expect(page.locator("#quote-work")).to_have_value("alignment = 1.5")
    card = page.locator("#job-card")
    card.locator("input[name=despite]").fill("no")
    card.locator("input[name=despite]").evaluate("(field) => field.removeAttribute('minlength')")
    card.get_by_role("button", name="Print").click()
    expect(page.locator("#wrong-job-card-despite")).to_be_visible()
    expect(page.locator("#job-card-despite")).to_have_value("no")
    assert page.url.endswith("/sheets")
    page.reload()
    expect(page.locator(".draft")).to_have_count(2)  # the quote's and the job card's, each by itself

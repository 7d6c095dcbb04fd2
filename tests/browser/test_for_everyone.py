"""Names for what cannot be seen, contrast for the sun, room for gloves, a narrow screen, paper."""

from __future__ import annotations

import re
from itertools import product

import pytest
from playwright.sync_api import expect

from jounce.web.site import _PAGES
from tests.browser.conftest import Opened
from tests.workbench import Workbench, asked

PAGES = (
    "/",
    "/board",
    "/book",
    "/customers/OWNER",
    "/ask",
    "/asked",
    "/asked?q=how+low+does+it+go&of=CAR",
    "/asked?q=does+it+rub+on+195/50+R15&of=CAR",
    "/asked/kept",
    "/ask/coil",
    "/cars/new",
    "/cars/CAR",
    "/cars/CAR/ask",
    "/cars/CAR/beside",
    "/cars/CAR/ask/ride",
    "/cars/CAR/ask/bounce",
    "/cars/CAR/ask/circle",
    "/cars/CAR/ask/fit",
    "/cars/CAR/ask/next-reading",
    "/cars/CAR/ask/part-for?axle=rear&lower=20+mm&shift=0+mm",
    "/cars/CAR/how-low",
    "/cars/CAR/jobs",
    "/cars/CAR/measure",
    "/cars/CAR/readings",
    "/cars/CAR/photographs",
    "/cars/CAR/sheets",
    "/shelf",
    "/shelf/new",
    "/shelf/new/damper",
    "/desk",
    "/phone",
    "/j",
    "/shop",
    "/ledger",
    "/shop/phrases",
    "/jobs/JOB/ask",
    "/jobs/JOB/ask/brake",
    "/jobs/JOB/ask/loads",
    "/jobs/JOB/corner",
    "/jobs/JOB/bay",
    "/jobs/JOB/live",
    "/jobs/JOB/rounds",
    "/jobs/JOB/state",
    "/jobs/JOB/place?name=rear+springs",
    "/jobs/JOB/why/lower",
    "/jobs/JOB/why/lean",
    "/jobs/JOB/why/price",
    "/jobs/JOB/search",
    "/entries/JOB/words",
    "/entries/JOB/history",
    "/entries/CAR/photos",
    *(
        f"/jobs/JOB/{s}"
        for s in ("details", "found", "aim", "changes", "consequences", "fits", "settings", "sheets", "proof")
    ),
)
NAMELESS = """() => [...document.querySelectorAll(
        "a, button, input:not([type=hidden]), select, textarea, summary, canvas, svg[role=img], [role=region]")]
    .filter((one) => one.checkVisibility())
    .filter((one) => !(one.getAttribute("aria-label") || one.textContent.trim() && !one.matches("input, select, textarea")
        || [...(one.labels || [])].some((label) => label.textContent.trim())))
    .map((one) => one.outerHTML.slice(0, 120))"""
# Contrast as WCAG 2.2 defines it, of every piece of text against the nearest opaque ground.
PALE = """() => {
    const parts = (colour) => colour.match(/[\\d.]+/g).map(Number);
    const light = (colour) => parts(colour).slice(0, 3).map((v) => v / 255)
        .map((v) => v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4)
        .reduce((sum, v, k) => sum + v * [0.2126, 0.7152, 0.0722][k], 0);
    const ground = (one) => {
        for (; one; one = one.parentElement) {
            const colour = getComputedStyle(one).backgroundColor, [, , , a = 1] = parts(colour);
            if (a === 1) return colour;
        }
        return "rgb(255, 255, 255)";
    };
    const found = [];
    const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    while (walker.nextNode()) {
        const one = walker.currentNode.parentElement;
        if (!walker.currentNode.data.trim() || !one.checkVisibility()) continue;
        if (one.closest("svg, script, noscript, .readout .mark")) continue;  // pictures; a mark is one too
        const [a, b] = [light(getComputedStyle(one).color), light(ground(one))].sort((x, y) => y - x);
        if ((a + 0.05) / (b + 0.05) < 4.5) found.push(`${one.tagName} ${walker.currentNode.data.trim().slice(0, 40)}`);
    }
    return found;
}"""
SMALL = """() => [...document.querySelectorAll(
        "button, .button, input:not([type=hidden], [type=checkbox], [type=radio]), select, textarea, summary, "
        + "header a, .steps a")]
    .filter((one) => one.checkVisibility())
    .filter((one) => one.getBoundingClientRect().height < 44)
    .map((one) => one.outerHTML.slice(0, 120))"""
REPEATED = """() => [...document.querySelectorAll("[id]")].map((one) => one.id)
    .filter((id, k, all) => all.indexOf(id) !== k)"""


def address_of(workbench: Workbench, path: str) -> str:
    """The address of a page, with the entries of a workbench in it."""
    owner = workbench.book.entry(workbench.car).belongs_to or ""
    own = path.replace("CAR", workbench.car).replace("JOB", workbench.job).replace("OWNER", owner)
    return workbench.address + own


@pytest.mark.sweep(8)
@pytest.mark.parametrize(("path", "size"), list(product(PAGES, ["desktop", "phone"])))
def test_page_is_for_everyone(workbench: Workbench, opened: Opened, path: str, size: str) -> None:
    page = opened(size)
    page.goto(address_of(workbench, path))
    page.wait_for_load_state("networkidle")

    assert page.evaluate(NAMELESS) == []
    assert page.evaluate(PALE) == []
    assert page.evaluate(SMALL) == []
    assert page.evaluate(REPEATED) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= page.viewport_size["width"]  # type: ignore[index]
    assert page.locator("html").get_attribute("lang") == "en"
    assert page.locator("h1").count() == 1


def test_the_checks_do_find(opened: Opened, workbench: Workbench) -> None:
    page = opened()
    page.goto(f"{workbench.address}/book")
    page.evaluate(
        """() => document.querySelector("main").insertAdjacentHTML("beforeend",
        '<input class="q"><p><font color="#999999">pale</font></p><b id="words">x</b>')"""
    )

    assert len(page.evaluate(NAMELESS)) == 1
    assert page.evaluate(PALE) == ["FONT pale"]
    assert page.evaluate(REPEATED) == ["words"]


def test_the_keyboard_reaches_the_content_first(workbench: Workbench, opened: Opened) -> None:
    page = opened()
    page.goto(workbench.address)
    page.keyboard.press("Tab")
    expect(page.locator(":focus")).to_have_text("To the content")
    page.keyboard.press("Enter")

    assert page.url.endswith("#main")


def test_paper_has_the_settings_and_no_buttons(workbench: Workbench, opened: Opened) -> None:
    page = opened()
    page.goto(f"{workbench.address}/jobs/{workbench.job}/settings")
    page.emulate_media(media="print")

    expect(page.locator("ol.work li").first).to_be_visible()
    for gone in ("header", ".steps", ".actions button", "footer"):
        expect(page.locator(gone).first).to_be_hidden()


def test_every_page_is_looked_at(workbench: Workbench) -> None:
    looked_at = {re.sub("CAR|JOB|OWNER", "{entry}", path) for path in PAGES}
    for address in _PAGES:
        owner = workbench.book.entry(workbench.car).belongs_to or ""
        entry = {"jobs": workbench.job, "customers": owner}.get(address.split("/")[1], workbench.car)
        path = address.replace("{entry}", entry)
        answer = None if "{" in path or address == "/jobs/{entry}" else asked(workbench.port, path)
        if answer and answer.status == 200 and answer.headers["content-type"].startswith("text/html"):
            assert address in looked_at

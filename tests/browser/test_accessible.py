"""Every page, at both widths, before a checker of the web's accessibility rules: no violation of level A or AA."""

from __future__ import annotations

from itertools import product

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

from jounce.web.undo import mark
from tests.browser.conftest import Opened
from tests.browser.test_for_everyone import PAGES, address_of
from tests.workbench import Workbench

RULES = {"runOnly": {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}}


def found(page: Page) -> list[str]:
    """Violations, each with its first place."""
    told = Axe().run(page, options=RULES).response["violations"]
    return [f"{one['id']}: {one['help']} ({len(one['nodes'])}, {one['nodes'][0]['html'][:160]})" for one in told]


@pytest.mark.sweep(8)
@pytest.mark.parametrize(("path", "size"), list(product(PAGES, ["desktop", "phone"])))
def test_no_rule_is_broken(workbench: Workbench, opened: Opened, path: str, size: str) -> None:
    page = opened(size, bypass_csp=True)  # the checker is put into the page, which the page's own policy forbids
    page.goto(address_of(workbench, path))
    page.wait_for_load_state("networkidle")
    page.evaluate("() => document.querySelectorAll('details').forEach((one) => (one.open = true))")

    assert found(page) == []


@pytest.mark.sweep(1)
@pytest.mark.parametrize("size", ["desktop", "phone"])
def test_no_rule_is_broken_where_something_was_saved_and_where_something_is_wrong(
    workbench: Workbench, opened: Opened, size: str
) -> None:
    page = opened(size, bypass_csp=True)
    job = workbench.book.entry(workbench.job)
    page.goto(f"{workbench.address}/jobs/{job.id}/aim?{mark(job)}")
    expect(page.get_by_role("button", name="Undo")).to_be_visible()
    assert found(page) == []
    page.get_by_label("front lower by").fill("much")
    page.get_by_role("button", name="Save", exact=True).click()
    expect(page.get_by_role("alert")).to_be_visible()
    assert found(page) == []
    page.goto(f"{workbench.address}/cars/nowhere")
    assert found(page) == []


def test_the_checker_does_find(workbench: Workbench, opened: Opened) -> None:
    page = opened("desktop", bypass_csp=True)
    page.goto(workbench.address)
    page.evaluate(
        "() => document.querySelector('main').insertAdjacentHTML('beforeend', '<input class=q><img src=/static/mark.svg>')"
    )

    assert {told.split(":")[0] for told in found(page)} == {"image-alt", "label"}

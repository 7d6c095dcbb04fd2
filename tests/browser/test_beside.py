"""Jobs side by side in a browser: ticked on the page, at both widths, before the checks of every page."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import Opened
from tests.browser.test_accessible import found
from tests.browser.test_for_everyone import NAMELESS, PALE, REPEATED, SMALL
from tests.case.jobs_beside import SOFTER, TOO_LOW
from tests.workbench import Workbench


@pytest.mark.sweep(1)
@pytest.mark.parametrize("size", ["desktop", "phone"])
def test_jobs_are_ticked_and_stand_beside_each_other_for_everyone(
    workbench: Workbench, opened: Opened, size: str
) -> None:
    """Two jobs and one that cannot be; then the other one is chosen for the picture."""
    if len(workbench.book.entries("job", workbench.car)) < 3:
        workbench.book.add("job", "Softer behind", SOFTER, workbench.car)
        workbench.book.add("job", "Lower than it goes", TOO_LOW, workbench.car)
    page = opened(size, bypass_csp=True)
    page.goto(f"{workbench.address}/cars/{workbench.car}")
    page.get_by_role("link", name="Set jobs side by side").click()
    for tick in page.get_by_role("checkbox").all():
        tick.check()
    page.get_by_role("button", name="Set beside each other").click()
    expect(page.get_by_role("heading", name="The table")).to_be_visible()
    page.wait_for_load_state("networkidle")
    page.evaluate("() => document.querySelectorAll('details').forEach((one) => (one.open = true))")

    for check in (NAMELESS, PALE, SMALL, REPEATED):
        assert page.evaluate(check) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= page.viewport_size["width"]  # type: ignore[index]
    assert found(page) == []
    expect(page.locator("canvas")).to_be_visible()

    page.get_by_role("link", name="C: Softer behind").click()
    expect(page.get_by_role("heading", name="As found, and C: Softer behind")).to_be_visible()
    expect(page.locator("canvas")).to_have_attribute("data-drawn", re.compile("[1-9]"))

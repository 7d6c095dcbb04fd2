"""While a point is measured its mark stands out in the drawings: beside the field at a desk, above it on a phone."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import SIZES, Opened
from tests.workbench import Workbench


@pytest.mark.parametrize("size", SIZES)
def test_the_mark_of_the_field_stands_out_beside_it(opened: Opened, workbench: Workbench, size: str) -> None:
    page = opened(size)
    page.goto(f"{workbench.address}/cars/{workbench.car}/measure/front-pivots")
    assert page.locator(".mark.asked").count() == 0
    for line in (page.locator("ol.tape > li").nth(1), page.locator("ol.tape > li").last):
        number = line.locator(".letter").inner_text()
        field = line.get_by_role("textbox").first
        field.focus()
        expect(page.locator(".mark.asked")).to_have_count(3)  # once in each view
        assert {one.get_attribute("data-mark") for one in page.locator(".mark.asked").all()} == {number}
        expect(page.locator(".mark.asked").first).to_be_in_viewport()
        drawn, typed = page.locator(".drawings").bounding_box(), field.bounding_box()
        assert drawn is not None
        assert typed is not None
        if size == "phone":
            assert drawn["y"] + drawn["height"] <= typed["y"] + 1
            assert drawn["y"] >= 0
        else:
            assert drawn["x"] >= typed["x"] + typed["width"]
    assert page.evaluate("document.documentElement.scrollWidth") <= page.evaluate("window.innerWidth")
    page.goto(f"{workbench.address}/cars/{workbench.car}/measure/round")
    page.get_by_role("textbox", name="wheelbase reading").focus()
    assert {one.get_attribute("data-mark") for one in page.locator(".mark.asked").all()} == {"A"}

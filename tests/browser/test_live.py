"""A hand on the levers in a real Chromium: numbers and picture follow, the exact case comes when it rests."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from jounce.live.levers import levers_of
from jounce.web.pages import live
from tests.browser.conftest import Opened
from tests.browser.test_accessible import found
from tests.workbench import Workbench

# As a hand does that never rests: each movement is followed before the next, and drawn.
MOVED = """async () => {
    const slider = document.querySelector("[data-lever='front.height']"), place = document.querySelector("[data-live]");
    const before = Number(place.dataset.updates);
    for (let k = 0; k < 60; k += 1) {
        slider.value = 400 + 5 * k;
        slider.dispatchEvent(new Event("input", { bubbles: true }));
        await new Promise(requestAnimationFrame);
    }
    return Number(place.dataset.updates) - before;
}"""


def test_numbers_and_picture_follow_the_hand(
    workbench: Workbench, opened: Opened, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(live, "levers_of", lambda *given: levers_of(*given)[:1])
    page = opened("phone", bypass_csp=True)
    page.goto(f"{workbench.address}/jobs/{workbench.job}/consequences")
    page.get_by_role("link", name="Move heights and parts by hand").click()
    page.get_by_role("button", name="Work out the levers").click()
    slider = page.get_by_role("slider", name="front lower by")
    expect(slider).to_be_visible()
    row = page.get_by_role("row", name="front left lower by")
    expect(page.locator(".live-state")).to_contain_text("Exact", timeout=120_000)
    planned = row.locator("td").first.inner_text()
    updates = page.evaluate(MOVED)

    assert updates == 60
    expect(slider).to_have_value("695")
    assert float(row.locator("td").nth(1).inner_text().split()[0]) == pytest.approx(
        float(planned.split()[0]) + 0.195 * 30, abs=0.11
    )
    assert page.locator(".live-body").get_attribute("transform").startswith("matrix(1 -0.00")  # type: ignore[union-attr]
    expect(page.locator(".live-state")).to_contain_text("Exact, as it can be set", timeout=120_000)
    assert found(page) == []
    page.get_by_role("button", name="front lower by: less").click()
    expect(page.locator(".live-state")).to_contain_text("By the tables")
    page.get_by_role("button", name="Keep as a new version").click()
    expect(page.get_by_role("button", name="Undo")).to_be_visible()

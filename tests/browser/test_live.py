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


AXLES = """async () => {
    const { axlesDrawn } = await import("/static/live_axles.js");
    const levers = ["height", "camber", "rubber", "damping"].map((what) => ({ key: `front.${what}`, today: 0 }));
    axlesDrawn(document, levers, [0.01, -Math.PI / 180, 0.004, 0.1]);
    const of = (part) => [...document.querySelectorAll(`svg[data-axle=front] .live-${part}`)];
    const told = (one) => `${one.getAttribute("transform") ?? ""}${one.classList.contains("moved")}`;
    const said = (part) => of(part).map(told);
    return Object.fromEntries(["frame", "tyre", "rubber", "damper"].map((part) => [part, said(part)]));
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
    assert page.locator("svg[data-axle=front] .live-frame").get_attribute("transform") == "translate(0 5.85)"
    expect(page.locator(".live-state")).to_contain_text("Exact, as it can be set", timeout=120_000)
    assert found(page) == []
    leaning = page.evaluate(AXLES)
    assert leaning["frame"] == ["translate(0 10.00)false"]
    assert leaning["rubber"] == ["translate(0 4.00)true"] * 2
    assert leaning["damper"] == ["true"] * 2
    right, left = (float(tyre.split("(")[1].split()[0]) for tyre in leaning["tyre"])
    assert right == pytest.approx(
        12, abs=0.2
    )  # planned at -1 degree, one more under the hand, drawn six times as large:
    assert left == pytest.approx(
        -12, abs=0.2
    )  # both tops lean inward, the car's left being on the right of the picture
    page.get_by_role("button", name="front lower by: less").click()
    expect(page.locator(".live-state")).to_contain_text("By the tables")
    page.get_by_role("button", name="Keep as a new version").click()
    expect(page.get_by_role("button", name="Undo")).to_be_visible()

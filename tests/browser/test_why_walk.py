"""One who asks why: from a job's consequences to what moves a number, what makes it surer, its question and a sentence."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import Opened
from tests.browser.test_ask_first import Clicks
from tests.workbench import Workbench

CLICKS = 6


def test_why_a_number_is_what_it_is(opened: Opened, workbench: Workbench, capsys: pytest.CaptureFixture[str]) -> None:
    page = opened("phone")
    page.goto(f"{workbench.address}/jobs/{workbench.job}/consequences")
    hand = Clicks(page)
    hand.on("link", "Why: swings per second")
    expect(page.get_by_role("heading", name="Why: swings per second")).to_be_visible()
    moves = page.get_by_role("region", name="What moves it").get_by_role("row")
    assert moves.count() > 1
    assert re.search(r"[+−-]\d", moves.nth(1).locator("td").last.inner_text())
    again = page.get_by_role("link", name=re.compile("^Measure again: ")).first
    field = (again.get_attribute("href") or "").partition("#")[2]
    again.click()
    hand.count += 1
    expect(page.locator(f'[id="{field}"]')).to_be_visible()
    page.go_back()
    hand.count += 1
    page.get_by_role("link", name=re.compile("^The question behind it: ")).click()
    hand.count += 1
    expect(page.get_by_role("heading", name="How it rides, and which dampers suit")).to_be_visible()
    page.get_by_label("A question in your own words").fill("what is the ride frequency in front and behind")
    hand.on("button", "Tell me")
    # Of a sentence that it is not sure of it asks back: what was meant is pressed.
    hand.on("button", "How it stands now: rates, frequencies, loads")
    expect(page.get_by_role("heading", name="Answer", exact=True)).to_be_visible()
    assert re.search(r"\d Hz", page.get_by_role("region", name="The answer").inner_text())
    with capsys.disabled():
        print(f" [phone: {hand.count} clicks from a number to its reason, question, answer] ", end="")  # noqa: T201  # told

    assert hand.count <= CLICKS

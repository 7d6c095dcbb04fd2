"""A mechanic with a phone and gloves: from the code on the job card to the teeth, everything ticked, the heights typed."""

from __future__ import annotations

import re
from dataclasses import replace
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import Opened
from tests.browser.test_ask_first import Clicks
from tests.sheets.test_lead_back import codes
from tests.web.test_lead_back import ADDRESS
from tests.workbench import Workbench, demo_text

TO_THE_TEETH, TO_THE_CORRECTION = 1, 3


def test_from_the_job_card_to_the_teeth_and_to_what_to_turn(
    opened: Opened, workbench: Workbench, capsys: pytest.CaptureFixture[str]
) -> None:
    shop = demo_text("shop.toml").replace("[house]", f'[house]\naddress = "{ADDRESS}"')
    for entry in workbench.book.entries("shop"):
        workbench.book.save(replace(entry, content=shop))
    if not workbench.book.entries("shop"):
        workbench.book.add("shop", "Demo Workshop", shop)
    page = opened("phone")
    card = page.request.get(f"{workbench.address}/jobs/{workbench.job}/sheet.pdf?kind=job-card", timeout=120_000)
    (code,) = codes(card.body())
    page.goto(workbench.address + urlsplit(code).path)  # the phone's own camera reads the code and opens it
    hand = Clicks(page)
    hand.on("link", "Teeth, turns and settings")
    teeth = page.get_by_role("table", name="front axle: what is set and what is read")
    expect(teeth).to_contain_text(re.compile("tooth|teeth"))
    assert hand.count == TO_THE_TEETH

    boxes = page.locator("tr:not(.reads) input[data-tick]")
    for number in range(boxes.count()):
        boxes.nth(number).check()
    expect(page.locator(".told")).to_have_text(f"{boxes.count()} of {boxes.count()} set")
    ticks = boxes.count()
    page.context.set_offline(True)  # below the car there is no network: what is ticked stays
    boxes.nth(0).uncheck()
    boxes.nth(0).check()
    page.context.set_offline(False)
    page.reload()
    expect(page.locator("tr:not(.reads) input[data-tick]:checked")).to_have_count(ticks)

    hand.on("link", "Measure and correct")
    for corner, height in zip(
        ("front.left", "front.right", "rear.left", "rear.right"), (318, 312, 305, 306), strict=True
    ):
        page.locator(f'[id="{corner}.height"]').fill(str(height))
    hand.on("button", "Keep, and say what to turn")
    expect(page.locator(".round-steps strong").first).to_be_visible()
    with capsys.disabled():
        print(f" [phone: 1 tap to the teeth, {ticks} ticks, {hand.count} taps to what to turn] ", end="")  # noqa: T201  # told

    assert hand.count <= TO_THE_CORRECTION

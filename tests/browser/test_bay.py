"""The bay's page: ticks stay with the version of the job on this device, targets are for gloves, nothing runs over."""

from __future__ import annotations

from dataclasses import replace

from tests.browser.conftest import Opened
from tests.workbench import Workbench


def test_ticks_stay_until_the_job_is_another(workbench: Workbench, opened: Opened) -> None:
    page = opened("phone")
    page.goto(f"{workbench.address}/jobs/{workbench.job}/bay")
    boxes = page.locator("input[data-tick]")
    settings = page.locator("tr:not(.reads) input[data-tick]").count()
    boxes.nth(2).check()
    boxes.nth(3).check()
    assert page.locator(".told").inner_text() == f"2 of {settings} set"
    page.reload()
    assert page.locator("input[data-tick]:checked").count() == 2

    job = workbench.book.entry(workbench.job)
    workbench.book.save(replace(job, content=f"{job.content}\n"))
    page.reload()
    assert page.locator("input[data-tick]:checked").count() == 0


def test_left_and_right_stand_side_by_side_and_a_tick_is_as_large_as_a_thumb(
    workbench: Workbench, opened: Opened
) -> None:
    page = opened("phone")
    page.goto(f"{workbench.address}/jobs/{workbench.job}/bay")
    left, right = (page.locator("td label").nth(k).bounding_box() for k in (0, 1))

    assert left is not None
    assert right is not None
    assert left["y"] == right["y"]
    assert left["x"] + left["width"] <= right["x"]
    assert min(left["height"], right["height"]) >= 60
    assert page.evaluate("document.documentElement.scrollWidth") <= 390


def test_the_sketch_turns_as_the_words_say(workbench: Workbench, opened: Opened) -> None:
    page = opened()
    page.goto(f"{workbench.address}/jobs/{workbench.job}/bay")
    for cell in page.locator("td label:has(svg.turn)").all():
        words = cell.locator("span").inner_text()
        turn = cell.locator("svg.turn").get_attribute("aria-label") or ""
        mirrored = cell.locator("svg.turn g").get_attribute("transform") is not None
        assert f" {turn} seen" in words
        assert mirrored == (turn == "anticlockwise")

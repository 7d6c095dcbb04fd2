"""The job from the book to the printed sheet, as a person goes through it, on a desk and on a phone."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect
from pypdf import PdfReader

from jounce.job.wording import settings_of
from jounce.web.case_cache import case_of
from jounce.words.signs import true_minus
from tests.browser.conftest import Opened
from tests.workbench import Workbench, demo_book, demo_text, serving

JOB = "Road and club days, 35 mm lower"


def step(page: Page, title: str) -> None:
    page.get_by_role("navigation", name="Steps of the job").get_by_role("link", name=title).click()
    expect(page.locator("[aria-current=step]")).to_have_text(title)


@pytest.mark.sweep(1)
@pytest.mark.parametrize("size", ["desktop", "phone"])
def test_from_opening_the_book_to_a_printed_setting_sheet(workbench: Workbench, opened: Opened, size: str) -> None:
    page = opened(size)
    page.goto(workbench.address)
    page.get_by_role("navigation", name="Workbench").get_by_role("link", name="Book").click()
    page.get_by_label("Find a car").fill("club days")
    page.get_by_role("button", name="Find").click()
    expect(page.locator(".card")).to_have_count(1)
    page.get_by_role("link", name=JOB, exact=True).click()
    expect(page.locator(".said li")).to_have_count(3)
    expect(page.locator(".later table")).to_contain_text("inside rear wheel lifts at")
    expect(page.locator(".later .said")).to_contain_text("It leans")
    for title in ("As found", "Aim", "Changes", "Consequences", "Fits and lasts", "Settings"):
        step(page, title)
        expect(page.locator(".step h2").first).to_have_text(title)
    case = case_of(demo_text("brisk-14-lower.toml"), demo_text("brisk-14.toml"))
    steps = settings_of(case.plan, "metric", case.planned.bands)
    expect(page.locator("ol.work li")).to_have_text([true_minus(one) for one in steps])
    step(page, "Sheets")
    page.get_by_role("button", name="Keep in the book: Job sheet").click()
    link = page.locator(".plainlist a").last
    expect(link).to_contain_text("Road and club days")
    answer = page.request.get(workbench.address + (link.get_attribute("href") or ""))
    text = " ".join(" ".join(sheet.extract_text() for sheet in PdfReader(io.BytesIO(answer.body())).pages).split())
    assert answer.headers["content-type"] == "application/pdf"
    assert JOB in text
    teeth = case.plan.settings["front"].bars["left"].index.anchor_teeth
    assert abs(teeth) > 1
    assert f"{abs(teeth)} teeth further round in its anchor" in text


def test_a_reload_in_the_middle_loses_nothing_and_saves_nothing_twice(tmp_path: Path, opened: Opened) -> None:
    book, _, job = demo_book(tmp_path / "shop.db")
    with serving(book) as port:
        page = opened()
        page.goto(f"http://127.0.0.1:{port}/jobs/{job}/aim")
        page.get_by_label("front lower by").fill("28")
        page.get_by_role("button", name="Save and see the consequences").click()
        expect(page.locator(".said li").first).to_contain_text("lower in front")
        said = page.locator(".said li").first.inner_text()
        page.reload()
        expect(page.locator(".said li").first).to_have_text(said)
        step(page, "Aim")
        expect(page.get_by_label("front lower by")).to_have_value("28 mm")
        assert book.entry(job).number == 2
    book.close()


def test_two_browsers_at_once_and_the_later_one_sees_the_earlier_change(tmp_path: Path, opened: Opened) -> None:
    book, _, job = demo_book(tmp_path / "shop.db")
    with serving(book) as port:
        first, second = opened(), opened("phone")
        for page, name in ((first, "Ann"), (second, "Bo")):
            page.goto(f"http://127.0.0.1:{port}/desk")
            page.get_by_label("Your name, as it stands beside what you change").fill(name)
            with page.expect_navigation():
                page.get_by_role("button", name="Save").click()
            page.goto(f"http://127.0.0.1:{port}/jobs/{job}/aim")
        first.get_by_label("front lower by").fill("30")
        first.get_by_role("button", name="Save", exact=True).click()
        expect(first.get_by_label("front lower by")).to_have_value("30 mm")
        second.get_by_label("rear lower by").fill("25")
        second.get_by_role("button", name="Save", exact=True).click()
        expect(second.get_by_role("status").first).to_contain_text("put together with version 2 by Ann")
        expect(second.get_by_label("rear lower by")).to_have_value("25 mm")
        expect(second.get_by_label("front lower by")).to_have_value("30 mm")
        first.get_by_label("rear lower by").fill("20")
        first.get_by_role("button", name="Save", exact=True).click()
        expect(first.get_by_role("alert")).to_contain_text("1 field needs another look")
        expect(first.locator(".wrong")).to_contain_text("Bo saved “25 mm” here")
        expect(first.get_by_label("rear lower by")).to_have_value("20")
        first.get_by_role("button", name="Save", exact=True).click()
        expect(first.get_by_label("rear lower by")).to_have_value("20 mm")
        assert [version.by for version in book.versions(job)] == ["tester", "Ann", "Bo", "Ann"]
        second.get_by_role("link", name="Earlier versions").click()
        second.get_by_role("button", name="Make it as in version 1 again").click()
        expect(second.locator(".versions > li")).to_have_count(5)
        assert book.entry(job).content == demo_text("brisk-14-lower.toml")
    book.close()


def test_pages_that_are_open_outlive_a_restart_of_the_server(tmp_path: Path, opened: Opened) -> None:
    book, _, job = demo_book(tmp_path / "shop.db")
    page = opened()
    with serving(book) as port:
        page.goto(f"http://127.0.0.1:{port}/jobs/{job}/aim")
        page.get_by_label("front lower by").fill("31")
    with serving(book, port=port):
        page.get_by_role("button", name="Save", exact=True).click()
        expect(page.get_by_label("front lower by")).to_have_value("31 mm")
    assert book.entry(job).number == 2
    book.close()

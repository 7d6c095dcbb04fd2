"""Asked in words: from the box of any page to the answer by the keyboard alone; a reload keeps nothing twice."""

from __future__ import annotations

from playwright.sync_api import expect

from tests.browser.conftest import Opened
from tests.workbench import Workbench


def test_the_box_leads_to_the_answer_and_a_reload_keeps_it_once(opened: Opened, workbench: Workbench) -> None:
    workbench.book.clear_questions()
    page = opened()
    page.goto(f"http://127.0.0.1:{workbench.port}/cars/{workbench.car}/ask")
    page.get_by_label("A question in your own words").fill("do the tyres rub 20 mm lower")
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="Answer")).to_be_visible()
    expect(page.get_by_role("img", name="The car from the left")).to_be_visible()
    assert "/asked?q=" in page.url

    page.reload()
    expect(page.get_by_role("heading", name="Answer")).to_be_visible()
    page.get_by_label("The question, in English or German").focus()
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="Answer")).to_be_visible()
    assert [one.text for one in workbench.book.kept_questions()] == ["do the tyres rub 20 mm lower"]

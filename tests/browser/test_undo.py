"""Undoing in a browser: by the button, by the keyboard, on a phone, and without scripts."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Opened
from tests.workbench import demo_book, demo_text, serving


def saved(page: Page, port: int, job: str) -> None:
    page.goto(f"http://127.0.0.1:{port}/jobs/{job}/aim")
    page.get_by_label("front lower by").fill("30")
    page.get_by_role("button", name="Save", exact=True).click()
    expect(page.get_by_role("status")).to_contain_text("Saved as version")
    expect(page.get_by_label("front lower by")).to_have_value("30 mm")
    page.wait_for_load_state()  # sizes are those of the style sheet


@pytest.mark.sweep(1)
@pytest.mark.parametrize(("size", "scripts"), [("desktop", True), ("phone", True), ("desktop", False)])
def test_a_save_is_undone_and_redone(tmp_path: Path, opened: Opened, size: str, *, scripts: bool) -> None:
    book, _, job = demo_book(tmp_path / "shop.db")
    with serving(book) as port:
        page = opened(size, java_script_enabled=scripts)
        saved(page, port, job)
        button = page.get_by_role("button", name="Undo")
        box = button.bounding_box()
        assert box is not None
        assert min(box["width"], box["height"]) >= 48
        (button.tap if size == "phone" else button.click)()
        expect(page.get_by_role("status")).to_contain_text("undone: as in version 1")
        expect(page.get_by_label("front lower by")).to_have_value("35 mm")
        assert book.entry(job).content == demo_text("brisk-14-lower.toml")
        page.get_by_role("button", name="Undo").click()
        expect(page.get_by_label("front lower by")).to_have_value("30 mm")
    book.close()


def test_the_keyboard_undoes_outside_of_fields_and_never_what_is_being_written(tmp_path: Path, opened: Opened) -> None:
    book, _, job = demo_book(tmp_path / "shop.db")
    with serving(book) as port:
        page = opened()
        saved(page, port, job)
        page.get_by_label("rear lower by").fill("1")
        page.keyboard.press("Control+z")  # the field's own
        page.wait_for_timeout(300)
        assert book.entry(job).number == 2
        page.get_by_label("rear lower by").fill("12")
        page.get_by_role("button", name="Save", exact=True).focus()
        page.keyboard.press("Control+z")  # something is written that would be lost
        page.wait_for_timeout(300)
        assert book.entry(job).number == 2
        page.reload()
        page.keyboard.press("Control+z")
        expect(page.get_by_label("front lower by")).to_have_value("35 mm")
        page.wait_for_load_state()  # the page that follows listens to keys when it is there
        page.keyboard.press("Control+z")
        expect(page.get_by_label("front lower by")).to_have_value("30 mm")
        assert book.entry(job).number == 4
    book.close()


def test_what_somebody_else_changed_meanwhile_stays(tmp_path: Path, opened: Opened) -> None:
    book, _, job = demo_book(tmp_path / "shop.db")
    with serving(book) as port:
        first, second = opened(), opened("phone")
        saved(first, port, job)
        second.goto(f"http://127.0.0.1:{port}/jobs/{job}/aim")
        second.get_by_label("rear lower by").fill("25")
        second.get_by_role("button", name="Save", exact=True).click()
        expect(second.get_by_label("rear lower by")).to_have_value("25 mm")
        first.get_by_role("button", name="Undo").click()
        expect(first.get_by_role("alert")).to_contain_text("Nothing was undone")
        assert book.entry(job).number == 3
        first.get_by_role("link", name="Back").click()
        expect(first.locator(".versions > li")).to_have_count(3)
    book.close()

"""A car of one's own in a real browser: from the tape list to the printed set-up sheet, at a desk and on a phone."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from pathlib import Path

import pypdf
import pytest
from playwright.sync_api import Page, expect

from jounce.car.file.reading import parse_car
from tests.browser.conftest import SIZES, Opened
from tests.web.test_shop import png
from tests.workbench import Workbench, demo_book, demo_text, serving

ROUND = {
    "wheelbase": "2405",
    "front.track": "1384",
    "rear.track": "1372",
    "front.wheel.loaded_radius": "267",
    "rear.wheel.loaded_radius": "266",
    "heights.front_left": "351",
    "heights.front_right": "352",
    "heights.rear_left": "343",
    "heights.rear_right": "344",
}
SCALES = {"mass.front_left": "286", "mass.front_right": "281", "mass.rear_left": "188", "mass.rear_right": "184"}
SPRINGS = {
    "front.torsion_bar.diameter": "20.8",
    "front.torsion_bar.active_length": "905",
    "front.torsion_bar.splines_arm": "40",
    "front.torsion_bar.splines_anchor": "44",
    "front.lever": "348",
    "rear.spring.rate": "17.6",
    "rear.spring.free_length": "328",
}


def fill(page: Page, readings: dict[str, str]) -> None:
    for key, text in readings.items():
        page.locator(f'[id="{key}~value"]').fill(text)


def pdf_words(page: Page, address: str) -> str:
    """All words of a sheet, fetched with the browser's own desk."""
    answer = page.request.get(address)
    assert answer.headers["content-type"] == "application/pdf"
    return " ".join(" ".join(one.extract_text() for one in pypdf.PdfReader(io.BytesIO(answer.body())).pages).split())


def no_wider_than_the_window(page: Page) -> None:
    page.wait_for_load_state()
    assert page.evaluate("document.documentElement.scrollWidth") <= page.evaluate("window.innerWidth")


def begin(page: Page, address: str, name: str) -> None:
    """A copy of the demo car, and the first two stops of the walk; one reading is refused first."""
    page.goto(f"{address}/cars/new")
    no_wider_than_the_window(page)
    page.get_by_label("Name under which the workshop knows it").fill(name)
    for end in ("front", "rear"):
        page.locator(f'[name="{end}"][value="brisk-14.toml/{end}"]').check()
    page.get_by_role("button", name="Begin to measure").click()
    expect(page.get_by_text("0 of 69 in all")).to_be_visible()
    fill(page, ROUND)
    no_wider_than_the_window(page)
    page.get_by_role("button", name="Save and go on: On the scales").click()
    expect(page.get_by_text("9 of 69 in all")).to_be_visible()
    fill(page, SCALES | {"mass.rear_left": "18800"})
    page.get_by_role("button", name="Save and to the list").click()
    expect(page.get_by_text("60 to 700 kg")).to_be_visible()
    wrong = page.get_by_role("textbox", name="scale, rear left reading")
    expect(wrong).to_have_value("18800")
    expect(wrong).to_have_attribute("aria-invalid", "true")
    expect(page.get_by_role("textbox", name="scale, front left reading")).to_have_value("286")
    wrong.fill("188")
    page.get_by_role("button", name="Save and to the list").click()
    expect(page.get_by_text("13 of 69 measured.")).to_be_visible()


def go_on(page: Page, address: str, name: str) -> None:
    """Springs and a pivot, from where it was left."""
    page.goto(f"{address}/book")
    page.get_by_role("link", name=name).click()
    expect(page.get_by_text("13 of 69 numbers of the list were measured on this car")).to_be_visible()
    page.get_by_role("link", name="Measure", exact=True).click()
    page.get_by_role("link", name=re.compile("Springs and bars")).click()
    fill(page, SPRINGS)
    page.get_by_role("button", name="Save and to the list").click()
    expect(page.get_by_text("20 of 69 measured.")).to_be_visible()
    page.get_by_role("link", name=re.compile("Pivots, front axle")).click()
    for part, text in zip(("forward", "sideways", "up"), ("6", "650", "191"), strict=True):
        page.get_by_role("textbox", name=f"ball joint {part}").fill(text)
    no_wider_than_the_window(page)
    page.get_by_role("button", name="Save and to the list").click()
    expect(page.get_by_text("21 of 69 measured.")).to_be_visible()


@pytest.fixture
def empty(tmp_path: Path) -> Iterator[Workbench]:
    """A workbench of its own: at both sizes the same car comes of it, which is worked out once."""
    book, car, job = demo_book(tmp_path / "shop.db")
    with serving(book) as port:
        yield Workbench(port, car, job, book)
    book.close()


@pytest.mark.sweep(1)
@pytest.mark.parametrize("size", SIZES)
def test_from_the_tape_list_to_the_printed_set_up_sheet(opened: Opened, empty: Workbench, size: str) -> None:
    name, workbench = "Blue one", empty
    begin(opened(size), workbench.address, name)
    page = opened(size)  # another day, another browser
    go_on(page, workbench.address, name)
    (entry,) = [one for one in workbench.book.entries("car") if one.name == name]
    document = parse_car(entry.content, name)
    assert document.mass.total == 286 + 281 + 188 + 184
    assert document.front.left.pivots.ball_joint.origin == "tape"
    assert document.front.left.pivots.strut_top.origin == "assumed, as Brisk 14"

    workbench.book.add("shop", "Demo Workshop", demo_text("shop.toml"))
    page.get_by_role("link", name="To the car").click()
    page.get_by_label("What is to be done").fill("A little lower")
    page.get_by_role("button", name="Begin the job").click()
    page.get_by_label("front lower by").fill("20")
    page.get_by_label("rear lower by").fill("15")
    page.get_by_role("button", name="Save and see the consequences").click()
    expect(page.get_by_role("heading", name="Consequences")).to_be_visible()
    page.get_by_role("link", name="Sheets").click()
    link = page.get_by_role("link", name="Print: Set-up sheet")
    told = pdf_words(page, f"{workbench.address}{link.get_attribute('href')}")
    no_wider_than_the_window(page)
    for words in ("Demo Workshop", f"{name}: A little lower", f"version 2 of the job, {entry.number} of the car"):
        assert words in told
    page.get_by_role("button", name="Keep in the book: Set-up sheet").click()
    expect(page.get_by_role("link", name=re.compile("^Set-up sheet, A little lower, version 2"))).to_be_visible()


@pytest.mark.sweep(1)
@pytest.mark.parametrize("size", SIZES)
def test_a_photo_from_the_phone(opened: Opened, workbench: Workbench, size: str) -> None:
    page = opened(size)
    page.goto(f"{workbench.address}/cars/{workbench.car}")
    page.get_by_role("link", name=re.compile("^Add (a photo|or take out photos)$")).click()
    photo = {"name": "IMG_1.HTML", "mimeType": "text/html", "buffer": png(120 if size == "phone" else 200)}
    page.get_by_label("A photo").set_input_files([photo])  # type: ignore[list-item]
    page.get_by_label("What it shows").fill(f"left anchor, {size}")
    page.get_by_role("button", name="Save the photo").click()
    picture = page.get_by_alt_text(f"left anchor, {size}")
    expect(picture).to_be_visible()
    assert picture.evaluate("one => one.decode().then(() => one.naturalWidth)") == 1
    no_wider_than_the_window(page)
    page.get_by_role("button", name=f"Take out: left anchor, {size}").click()
    page.get_by_text("Taken out:").click()
    page.get_by_role("button", name=f"Bring back: left anchor, {size}").click()
    expect(page.get_by_role("button", name=f"Take out: left anchor, {size}")).to_be_visible()


@pytest.mark.sweep(1)
@pytest.mark.parametrize("size", SIZES)
def test_the_shop_is_filled_in_and_refuses_beside_the_field(opened: Opened, workbench: Workbench, size: str) -> None:
    page = opened(size)
    page.goto(f"{workbench.address}/desk")
    page.get_by_role("link", name="Settings of the shop").click()
    no_wider_than_the_window(page)
    page.get_by_label("Name of the shop").fill("Demo Workshop")
    page.get_by_label("Currency").fill("EUR")
    page.get_by_label("An hour of work").fill("dear")
    page.get_by_label("The tax in percent").fill("20")
    page.get_by_role("button", name="Save", exact=True).click()
    expect(page.get_by_text("This is not an amount")).to_be_visible()
    expect(page.get_by_label("An hour of work")).to_have_value("dear")
    page.get_by_label("An hour of work").fill("72,00")
    page.get_by_role("button", name="Save", exact=True).click()
    expect(page.get_by_role("status").first).to_be_visible()
    expect(page.get_by_label("An hour of work")).to_have_value("72.00")

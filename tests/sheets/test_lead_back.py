"""The code in a sheet's corner is read back from the printed page, by a reader that is not ours."""

from __future__ import annotations

import io
from functools import cache

import pypdf
import pypdfium2
import pytest
import zxingcpp

from jounce.quote.shop import parse_shop
from jounce.sheets.catalogue import SHEETS, sheet
from jounce.sheets.job_sheet import job_sheet
from jounce.sheets.lead_back import LeadBack
from jounce.sheets.paperwork import Paperwork, Printout
from tests.sheets.cases import demo_case
from tests.workbench import demo_text

CODE = LeadBack("https://workshop.local:8000", "7KXW4TM")
DPI = 150


@cache
def shop():
    return parse_shop(demo_text("shop.toml"), "shop.toml")


def first_page(pdf: bytes):
    """The first page as a picture in grey, at the resolution of a poor print."""
    document = pypdfium2.PdfDocument(pdf)
    try:
        return document[0].render(scale=DPI / 72, grayscale=True).to_pil()
    finally:
        document.close()


def codes(pdf: bytes) -> list[str]:
    return [found.text for found in zxingcpp.read_barcodes(first_page(pdf))]


def out(paper: str = "a4", code: LeadBack | None = CODE) -> Printout:
    return Printout(demo_case(), Paperwork(paper=paper, shop=shop(), lead_back=code))


@pytest.mark.sweep(6)
@pytest.mark.parametrize("paper", ["a4", "us-letter"])
@pytest.mark.parametrize("word", [word for word, kind in SHEETS.items() if not kind.priced])
def test_every_sheet_is_read_back_from_its_print(word, paper):
    pdf = sheet(word, out(paper))

    assert codes(pdf) == ["HTTPS://WORKSHOP.LOCAL:8000/J/7KXW4TM"]
    assert "7KXW4TM" in pypdf.PdfReader(io.BytesIO(pdf)).pages[0].extract_text()


def test_the_two_page_sheet_is_read_back_and_stays_two_pages():
    pdf = job_sheet(out())

    assert codes(pdf) == [CODE.link]
    assert len(pypdf.PdfReader(io.BytesIO(pdf)).pages) == 2


def test_a_code_takes_no_page_more():
    for word in ("job-card", "alignment", "weights"):
        counts = [len(pypdf.PdfReader(io.BytesIO(sheet(word, out(code=code)))).pages) for code in (None, CODE)]
        assert counts[0] == counts[1], word


def test_without_an_address_nothing_is_drawn():
    assert codes(sheet("job-card", out(code=None))) == []


def test_a_soiled_code_is_still_read():
    """A thumb's spot in the middle, a quarter of it wide and high."""
    picture = first_page(sheet("job-card", out()))
    (found,) = zxingcpp.read_barcodes(picture)
    at = found.position
    wide, high = at.top_right.x - at.top_left.x, at.bottom_left.y - at.top_left.y
    left, top = at.top_left.x + int(0.4 * wide), at.top_left.y + int(0.4 * high)
    picture.paste(0, (left, top, left + wide // 4, top + high // 4))

    assert [one.text for one in zxingcpp.read_barcodes(picture)] == [CODE.link]


def test_paper_without_code_looks_as_before():
    assert Paperwork().lead_back is None

"""A sheet that runs a few lines over is set a little smaller, and a long frame goes over the page's edge as it comes."""

from __future__ import annotations

import io

import pypdf
import pytest

from jounce.quote.shop import parse_shop
from jounce.sheets.catalogue import sheet
from jounce.sheets.notice import despite_of
from jounce.sheets.paperwork import Paperwork, Printout
from jounce.words.phrases import language_phrases
from tests.sheets.cases import demo_case
from tests.workbench import demo_text


@pytest.mark.every_case
@pytest.mark.parametrize(("word", "pages"), [("baseline", 1), ("hand-over", 2)])
def test_german_sheets_leave_no_page_to_a_few_lines(word: str, pages: int) -> None:
    look = Paperwork(
        shop=parse_shop(demo_text("shop.toml"), "shop.toml"),
        speaks=language_phrases("de"),
        despite=despite_of("because of the road", "tester"),
    )
    pdf = sheet(word, Printout(demo_case(), look))

    assert len(pypdf.PdfReader(io.BytesIO(pdf)).pages) == pages

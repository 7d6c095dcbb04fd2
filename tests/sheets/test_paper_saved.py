"""A sheet that runs a few lines over is set a little smaller, and a long frame goes over the page's edge as it comes."""

from __future__ import annotations

import io

import pypdf
import pytest

from jounce.car.file.reading import parse_car
from jounce.case.case import Case
from jounce.job.file import parse_job
from jounce.quote.shop import parse_shop
from jounce.sheets.catalogue import sheet
from jounce.sheets.job_sheet import job_sheet
from jounce.sheets.notice import despite_of
from jounce.sheets.paperwork import Paperwork, Printout
from jounce.words.phrases import language_phrases
from tests.sheets.cases import demo_case
from tests.workbench import demo_text


@pytest.mark.validation_slow
@pytest.mark.parametrize(("word", "pages"), [("baseline", 1), ("hand-over", 2)])
def test_german_sheets_leave_no_page_to_a_few_lines(word: str, pages: int) -> None:
    look = Paperwork(
        shop=parse_shop(demo_text("shop.toml"), "shop.toml"),
        speaks=language_phrases("de"),
        despite=despite_of("because of the road", "tester"),
    )
    pdf = sheet(word, Printout(demo_case(), look))

    assert len(pypdf.PdfReader(io.BytesIO(pdf)).pages) == pages


def test_the_two_pages_of_a_job_are_two_in_german_too() -> None:
    """As roomy as other jobs' it would take a third page, for a few lines of its cautions."""
    case = Case(
        parse_car(demo_text("yarrow-12.toml"), "yarrow-12.toml"),
        parse_job(demo_text("yarrow-12-lower.toml"), "yarrow-12-lower.toml"),
    )
    pdf = job_sheet(Printout(case, Paperwork(speaks=language_phrases("de"))))

    assert len(pypdf.PdfReader(io.BytesIO(pdf)).pages) == 2

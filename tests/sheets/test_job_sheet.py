"""The printed sheet: pages, words, and that a customer's text stays text."""

from __future__ import annotations

import io
import math

import pypdf

from jounce.conventions.constants import GRAVITY
from jounce.sheets.job_sheet import job_sheet
from jounce.sheets.paperwork import Paperwork, Printout
from tests.sheets.cases import demo_case, of_customer


def pages(paper="a4", customer=None, units="metric"):
    out = Printout(demo_case(), Paperwork(units, paper))
    return pypdf.PdfReader(io.BytesIO(job_sheet(out if customer is None else of_customer(out, customer)))).pages


def test_two_pages_with_settings_targets_checks_and_cautions():
    found = pages()
    first, second = (page.extract_text() for page in found)

    assert len(found) == 2
    for words in ("What changes", "±", "Settings, in the order of work", "Alignment targets", "Checks"):
        assert words in first
    for words in ("Index card of the torsion bars", "hanging free", "309.6 ± 2.3", "Smallest step"):
        assert words in first
    for words in ("BAR-01", "Linkage to scale", "Cautions", "stands rated for it"):
        assert words in second
    for words in (
        "roll gradient [deg/g]",
        "inside rear wheel lifts at [g]",
        "understeer gradient [deg/g]",
        "front share of load",
    ):
        assert words in second
    feel = demo_case().planned.feel
    assert f"{math.degrees(feel.left.roll_gradient) * GRAVITY:.2f}" in second


def test_letter_paper_also_holds_it_on_two_pages():
    found = pages(paper="us-letter", units="inch")

    assert len(found) == 2
    assert round(float(found[0].mediabox.width)) == 612


def test_a_name_that_looks_like_markup_is_printed_as_it_is():
    assert '#eval("1") *B*' in pages(customer='#eval("1") *B*')[0].extract_text()

"""Sheets of cars of other layouts: every one is made, and nothing stands on it that the car does not have."""

from __future__ import annotations

import io
from functools import cache
from importlib.resources import files
from pathlib import Path

import pypdf
import pytest

from jounce.case.case import Case, case_of_file
from jounce.sheets.catalogue import SHEETS, sheet, sheets_of
from jounce.sheets.job_sheet import job_sheet
from jounce.sheets.paperwork import Paperwork, Printout

DEMO = Path(str(files("jounce.demo")))
HAS_NOT = {
    "comfrey-20": ("orsion bar", "orsion-bar", "anhard", "op plate", "nside the tube", "leaf spring"),
    "bracken-16": ("orsion bar", "orsion-bar", "anhard", "op plate", "op mount", "nside the tube"),
    "tansy-11": ("anhard", "pper joint", "nside the tube", "leaf spring"),
}
"""Words, their first letters left out, that belong on no sheet of a car."""
UNPRICED = [word for word, kind in SHEETS.items() if not kind.priced]


@cache
def case(car: str) -> Case:
    return case_of_file(DEMO / f"{car}-lower.toml")


def text_of(pdf: bytes) -> str:
    return " ".join(" ".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pdf)).pages).split())


@pytest.mark.parametrize(
    ("car", "word"), [(car, word) for car in HAS_NOT for word in UNPRICED if word != "index" or car == "tansy-11"]
)
def test_nothing_stands_on_a_sheet_that_the_car_has_not(car, word):
    text = text_of(sheet(word, Printout(case(car), Paperwork())))

    assert len(text) > 400
    assert [thing for thing in HAS_NOT[car] if thing in text] == []


@pytest.mark.parametrize("car", HAS_NOT)
def test_the_index_card_is_offered_and_printed_for_torsion_bars_alone(car):
    bars = car == "tansy-11"
    pages = pypdf.PdfReader(io.BytesIO(job_sheet(Printout(case(car), Paperwork())))).pages

    assert ("index" in sheets_of(case(car).car)) is bars
    assert ("Index card" in pages[0].extract_text()) is bars
    assert len(pages) == 2

"""Sheets of cars of other layouts: every one is made, and nothing stands on it that the car does not have."""

from __future__ import annotations

import io
import re
from functools import cache
from importlib.resources import files
from pathlib import Path

import pypdf
import pytest

from jounce.car.file.reading import read_car
from jounce.case.case import Case, case_of_file
from jounce.job.file import parse_job
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


@pytest.mark.sweep(6)
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


@cache
def shimmed() -> Case:
    """A rear axle set apart by shims."""
    text = (DEMO / "mallow-18-lower.toml").read_text("utf-8")
    apart = "left_camber = -1.4\nright_camber = -1.2\nleft_toe = 0.15\nright_toe = 0.05"
    text = text.replace("[wanted.rear]\n", f"[wanted.rear]\n{apart}\n", 1) + "\n[change.rear.shims]\nflange = 100\n"
    return Case(read_car(DEMO / "mallow-18.toml"), parse_job(text, "job.toml"))


def test_the_alignment_sheet_shows_each_side_s_own_and_where_the_axle_points():
    """Toe-in of 0.15 degrees left and 0.05 degrees right: the axle points right by half of the difference, 3 minutes."""
    told = text_of(sheet("alignment", Printout(shimmed(), Paperwork())))

    for words in ("camber, left", "−1°24′", "camber, right", "−1°12′", "toe, left", "0°09′", "toe, right", "0°03′"):
        assert words in told
    assert re.search(r"thrust line, \+ to the left \S+ −0°03′", told)
    assert "rear hub shim, camber +0.10 deg" in told


def test_the_set_up_sheet_tells_shims_by_thickness_and_edge():
    told = text_of(sheet("set-up", Printout(shimmed(), Paperwork())))

    assert re.search(r"left 0\.\d\d mm (upper|lower)", told)

"""The sheet of jobs beside each other: one page, each job's own numbers, what fails at its head, bars without colour."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from decimal import Decimal

import pypdf
import pytest

from jounce.conventions.errors import InputError
from jounce.conventions.units import Kind, show
from jounce.questions.side_by_side import VariantPrice, beside_values
from jounce.sheets.beside_figure import beside_figure, series_of
from jounce.sheets.catalogue import sheet_of_variants
from jounce.sheets.offers import offer_as_planned, variant_prices
from jounce.sheets.paperwork import Paperwork, Printout
from jounce.sheets.side_by_side import side_by_side
from jounce.shelf.toml import parse_toml
from tests.case.jobs_beside import JOB, SOFTER, TOO_LOW, WITHOUT_BAR, job_on, set_beside
from tests.sheets.cases import REASON, demo_text, shop

WEAK = JOB.replace("stress_limit = { value = 900", "stress_limit = { value = 500")
"""Torsion bars that bear less than full bump asks of them."""


def four():
    return set_beside(JOB, SOFTER, WITHOUT_BAR, JOB)


def pages_of(found, **look):
    prices = variant_prices(found, parse_toml(demo_text("shelf.toml"), "shelf.toml").whole("shelf.toml"), shop().quote)
    paperwork = Paperwork(shop=shop(), **look)
    return pypdf.PdfReader(io.BytesIO(sheet_of_variants(found, paperwork, prices))).pages


def words_of(pages):
    return " ".join(" ".join(page.extract_text() for page in pages).split())


@pytest.mark.sweep(1)
@pytest.mark.parametrize(("units", "paper"), [("metric", "a4"), ("inch", "us-letter")])
def test_four_jobs_stand_on_one_page_with_their_names_and_numbers(units, paper):
    found = four()
    pages = pages_of(found, units=units, paper=paper)
    told = words_of(pages)

    assert len(pages) == 1
    for words in ("Side by side", "Demo Workshop", "Softer behind", "No bar in the tube", "D revision 1", "Cautions"):
        assert words in told
    for job in (JOB, SOFTER, WITHOUT_BAR):
        left, right = (job_on(job).row(f"rear.{side}.wheel_rate") for side in ("left", "right"))
        pair = " / ".join(show(row.planned, row.kind, units).partition(" ")[0] for row in (left, right))
        assert pair in told
        share = job_on(job).row("front_share")
        assert show(share.planned, share.kind).partition(" ")[0] in told
    assert "STOP: 1 check fails" in told
    assert "Job B. Do the rear bump rubbers stay free" in told


def test_prices_are_those_of_each_job_s_own_quote():
    found = set_beside(JOB, WITHOUT_BAR, TOO_LOW)
    shelf, terms = parse_toml(demo_text("shelf.toml"), "shelf.toml").whole("shelf.toml"), shop().quote
    prices = variant_prices(found, shelf, terms)

    for k, job in enumerate((JOB, WITHOUT_BAR)):
        package = offer_as_planned(shelf, (), terms, job_on(job)).package
        assert prices.texts[k] == f"from {package.gross:.2f}"
        assert package.unpriced
        told = beside_values(found, prices)["jobs"][k]["price"]
        assert told == {"gross": f"{package.gross:.2f}", "currency": "EUR", "at_least": True}
    assert prices.texts[2] == "–"
    assert beside_values(found, prices)["jobs"][2]["price"] is None
    assert prices.texts[0] in words_of(pages_of(found))


def test_a_price_of_which_all_is_known_is_no_from():
    assert VariantPrice(Decimal("12.5")).text == "12.50"


def test_why_a_price_is_not_known_is_told():
    wrong = set_beside(JOB.partition("# Codes")[0], JOB.replace("diameter = 19", "diameter = 18"))
    prices = variant_prices(wrong, parse_toml(demo_text("shelf.toml"), "shelf.toml").whole("shelf.toml"), shop().quote)

    assert prices.texts == ("–", "–")
    assert prices.remarks[0] == "To pay for A: not known, the job names no codes of the shelf."
    assert "IB-19 is another part than the one in the change list" in prices.remarks[1]


def test_a_job_that_cannot_be_stands_in_its_column_in_words():
    pages = pages_of(set_beside(JOB, TOO_LOW))
    told = words_of(pages)

    assert len(pages) == 1
    assert "B cannot be. wanted.front: The front cannot be lowered by 149.0 mm" in told
    assert re.search(r"checks that fail / not known / pass – 0 / \d+ / \d+ cannot be", told)


def test_the_bars_are_the_numbers_of_the_jobs():
    found = set_beside(JOB, TOO_LOW, SOFTER)
    ride, (share,), (roll,) = series_of(found)

    for series, axle in zip(ride, ("front", "rear"), strict=True):
        own = [job_on(job).row(f"{axle}.left.ride_frequency") for job in (JOB, SOFTER)]
        assert series.values == (own[0].found, own[0].planned, None, own[1].planned)
    assert share.values[3] == job_on(SOFTER).row("front_share").planned
    assert roll.values[0] == job_on(JOB).found.feel.left.roll_gradient
    assert roll.values[3] == job_on(SOFTER).planned.feel.left.roll_gradient
    assert roll.values[2] is None
    assert roll.kind is Kind.ANGLE_PER_ACCELERATION


def test_the_figure_needs_no_colour():
    drawn = beside_figure(four(), "metric")
    colours = {tuple(re.findall("..", colour)) for colour in re.findall(r"#([0-9a-f]{6})\b", drawn)}

    assert len(colours) > 2
    assert [colour for colour in colours if len(set(colour)) > 1] == []
    assert "hatch" in drawn or "<pattern" in drawn


def test_what_lives_depend_on_needs_a_reason():
    found = set_beside(JOB, WEAK)
    with pytest.raises(InputError, match="lives depend"):
        sheet_of_variants(found, Paperwork())
    told = words_of(pypdf.PdfReader(io.BytesIO(sheet_of_variants(found, Paperwork(despite=REASON)))).pages)

    assert "Job B. DANGER." in told
    assert REASON.reason in told


def test_an_edition_that_a_book_tells_stands_on_it():
    look = replace(Paperwork(), edition="version 4 of the car; jobs: A version 2, B version 7")

    told = sheet_of_variants(set_beside(JOB, WITHOUT_BAR), look)
    assert look.edition in words_of(pypdf.PdfReader(io.BytesIO(told)).pages)


def test_without_prices_there_is_no_line_of_money():
    found = set_beside(JOB, WITHOUT_BAR)

    assert "to pay" not in str(side_by_side(found, Printout(found.car, Paperwork()), None))

"""Every kind of sheet: its pages, its key numbers, both papers, units, the name of the job on each page, and no markup."""

from __future__ import annotations

import datetime
import math
import re
from dataclasses import replace

import pytest

from jounce.checks.stored_energy import stored_energies
from jounce.conventions.constants import GRAVITY
from jounce.conventions.errors import InputError
from jounce.conventions.units import Kind, show
from jounce.job.plan import height
from jounce.ledger.outcome import Outcome, PromisedNumber
from jounce.sheets.blocks import TableBlock
from jounce.sheets.catalogue import SHEETS, sheet
from jounce.sheets.corner_weights import corner_weights
from jounce.sheets.paperwork import FoundAfterwards, Paperwork, Printout
from jounce.sheets.proof import proof
from jounce.sheets.shown import degrees_minutes
from jounce.words.phrases import Phrases
from tests.sheets.cases import (
    car_case,
    case_for,
    demo_case,
    job_case,
    looking,
    of_customer,
    pages,
    priced_case,
    shop,
    text_of,
)

# The hand-over tells where each turn ends, so that in inches on Letter a few lines of it stand on a third page.
MOST_PAGES = {"answer": 1, "weights": 1, "quote": 4, "job-card": 3}
LOOKS = [("metric", "a4", 595), ("inch", "us-letter", 612)]


@pytest.mark.sweep(6)
@pytest.mark.parametrize(("units", "paper", "width"), LOOKS, ids=["A4", "Letter"])
@pytest.mark.parametrize("word", SHEETS)
def test_each_sheet_is_short_and_names_car_job_and_revision_on_every_page(word, units, paper, width):
    found = pages(word, looking(case_for(word), units, paper))

    most = 3 if (word, paper) == ("hand-over", "us-letter") else MOST_PAGES.get(word, 2)
    assert 1 <= len(found) <= most
    assert round(float(found[0].mediabox.width)) == width
    for number, page in enumerate(found, 1):
        text = page.extract_text()
        assert "Brisk 14: Road and club days, 35 mm lower · revision 1 · 2026-03-20" in text
        assert f"page {number} of {len(found)}" in text
    assert SHEETS[word].name in found[0].extract_text()
    assert "Demo Workshop" in found[0].extract_text()


@pytest.mark.sweep
@pytest.mark.parametrize("units", ["metric", "inch"])
@pytest.mark.parametrize("word", ["answer", "set-up", "alignment", "weights", "hand-over", "re-check"])
def test_planned_heights_stand_on_the_sheet_in_its_units(word, units):
    case = looking(job_case(), units, "a4")
    planned = case.case.plan.planned
    told = text_of(word, case)

    for corner in (("front", "left"), ("rear", "right")):
        assert show(height(case.case.car, planned, corner), Kind.LENGTH, units).split()[0] in told


@pytest.mark.parametrize("word", ["set-up", "weights", "re-check"])
def test_planned_weights_stand_on_the_sheet(word):
    case = job_case()
    told = text_of(word, case)

    for load in case.case.plan.planned.sits.load.values():
        assert show(load / GRAVITY, Kind.MASS).split()[0] in told


def test_the_quote_adds_up_in_print():
    """145.00 and 4 h at 72.00 are 433.00, tax 86.60; the better one has two lots of perches at 189.00 and 2 h more."""
    told = text_of("quote", priced_case())

    for words in ("433.00", "86.60", "519.60", "378.00", "955.00", "191.00", "1146.00", "holds until 2026-04-19"):
        assert words in told
    for words in ("roll gradient", "In a left turn the body rolls", "Over a bump", "sales tax 20 %"):
        assert words in told


def test_money_is_refused_without_a_shop_or_without_parts():
    with pytest.raises(InputError, match="shop's file"):
        sheet("quote", looking(car_case(), "metric", "a4"))
    bare = Printout(demo_case(), Paperwork(shop=shop()))
    with pytest.raises(InputError, match="Nothing is offered"):
        sheet("order", bare)


def test_the_order_list_groups_by_supplier_and_says_what_is_missing():
    told = text_of("order", priced_case())

    for words in (
        "From Hartmere Spring Trade",
        "From Quillbeck Motor Factors",
        "All is in stock.",
        "All is there 5 days after ordering.",
    ):
        assert words in told


def test_the_job_card_tells_the_energy_of_every_spring_old_and_new():
    case = job_case()
    told = text_of("job-card", case)

    for state in (case.case.found.standing, case.case.plan.planned):
        for spring in stored_energies(state):
            assert show(spring.rest, Kind.ENERGY).split()[0] in told
    for words in ("Stand clear of the bar's axis", "rated stands", "load left at droop", "Strip down"):
        assert words in told


def test_the_indexing_card_tells_teeth_heights_and_stress():
    told = text_of("index", job_case())

    for words in (
        "309.6 ± 2.3",
        "−78.1 ± 2.6",
        "full bump: bump rubber solid",
        "Permissible stress: 900 MPa",
        "if it stands wrong",
    ):
        assert words in told


def test_alignment_tells_targets_and_what_an_adjuster_does():
    told = text_of("alignment", job_case())

    assert degrees_minutes(math.radians(-1.0)) == "−1°00′"
    for words in ("−0°11′", "−1°00′", "tie rod 1.0 mm longer", "top plate 1.0 mm inward", "6.0 mm"):
        assert words in told


def test_both_plus_minus_on_a_proof_hold_nine_of_ten():
    """What was found was typed with two deviations, and the sheet says that its ± hold nine of ten."""
    told = PromisedNumber("front.left.height", Kind.LENGTH, 0.310, 0.002)
    found = FoundAfterwards((Outcome("lower", told, 0.3121, 0.002, datetime.date(2026, 5, 2)),))
    blocks = proof(replace(job_case(), afterwards=found))
    (row,) = next(one for one in blocks if isinstance(one, TableBlock)).rows

    assert row[1:] == ["310.0 ± 2.0", "312.1 ± 1.6", "+2.1", "inside"]


def test_the_travel_proof_tells_what_stops_each_wheel():
    told = text_of("travel", job_case())

    for words in ("bump rubber solid", "damper open", "front left, bump", "rear right, droop", "beyond full droop"):
        assert words in told


def test_the_hand_over_tells_limits():
    told = text_of("hand-over", job_case())

    for words in ("Limits", "at the very most", "Ground clearance never below 100.0 mm", "500 km", "received by"):
        assert words in told


def test_steps_at_the_corners_move_weight_crosswise():
    """A corner that is lifted takes weight on itself and its opposite, and gives cross weight by its place."""
    steps = next(
        block for block in corner_weights(job_case()) if isinstance(block, TableBlock) and "cross [%]" in block.head
    )
    moved = [[float(cell) for cell in row[1:]] for row in steps.rows]

    assert "finest step of teeth, 0.82 deg" in steps.rows[0][0]
    assert "one turn of the seat, 2.0 mm" in steps.rows[3][0]
    for own, opposite, row in ((0, 3, moved[0]), (1, 2, moved[1]), (2, 1, moved[2]), (3, 0, moved[3])):
        others = [row[k] for k in range(4) if k not in (own, opposite)]
        assert min(row[own], row[opposite]) > 0 > max(others)
        assert abs(sum(row[:4])) <= 0.2  # four roundings to 0.1 kg
        assert (row[4] > 0) == (own in (1, 2))
        assert row[5] > 0


@pytest.mark.parametrize("name", ["brisk-14.toml", "sedge-13.toml", "yarrow-12.toml", "mallow-18.toml"])
@pytest.mark.parametrize("word", ["answer", "baseline"])
def test_a_car_alone_has_its_card_and_its_baseline_whatever_its_layout(word, name):
    case = car_case(name)
    told = text_of(word, case)

    assert f"{case.case.name} · car as found" in told
    assert "nan" not in told.lower().split()
    assert show(case.case.car.mass.total, Kind.MASS) in told


@pytest.mark.parametrize("word", [word for word, kind in SHEETS.items() if kind.of_job and not kind.priced])
def test_a_sheet_of_a_job_is_refused_for_a_car_alone(word):
    with pytest.raises(InputError, match="of a job"):
        sheet(word, car_case())


def test_an_unknown_sheet_is_refused_with_the_list():
    with pytest.raises(InputError, match="hand-over"):
        sheet("poster", car_case())


@pytest.mark.parametrize("word", ["baseline", "job-card", "re-check"])
def test_the_same_case_prints_the_same_bytes(word):
    assert sheet(word, job_case()) == sheet(word, job_case())


@pytest.mark.parametrize("word", ["answer", "order", "weights"])
def test_a_customers_markup_is_printed_as_it_is(word):
    name = '#eval("1") *B* $x$ _y_ `z` [a] @b <c> \\ //'

    assert name.replace(" ", "") in text_of(word, of_customer(case_for(word), name)).replace(" ", "").replace("\n", "")


def test_a_sheet_speaks_the_words_of_the_house_but_names_car_and_shop_as_they_are():
    words = {"Set-up sheet": "Einstellblatt", "Cautions": "Warnungen", "page": "Seite", "of": "von"}
    house = Phrases(language="de", decimal=",", phrases=words)
    case = replace(job_case(), look=replace(job_case().look, speaks=house))
    told = text_of("set-up", case)

    assert "Einstellblatt" in told
    assert "Seite 1 von" in told
    assert "Brisk 14: Road and club days, 35 mm lower" in told
    assert "Demo Workshop" in told
    assert re.search(r"\d,\d mm", told)
    assert not re.search(r"\d\.\d mm", told)

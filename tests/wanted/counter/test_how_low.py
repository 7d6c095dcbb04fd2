"""How low a car goes: against subtraction by hand, against whole jobs a little above and below, and tighter rules."""

from __future__ import annotations

import pytest

from jounce.car.file.reading import parse_car
from jounce.case.case import Case
from jounce.checks.rules import NO_RULES, parse_rules
from jounce.conventions.units import MM
from jounce.job.file import parse_job
from jounce.wanted.counter.how_low import how_low
from tests.wanted.demo_work import CARS, text_of

QUICK = ("brisk-14", "sedge-13")
RULE = (
    '[rules]\nname = "house"\n\n[[rule]]\nname = "Height"\nwhat = "height_change"\nat_most = {most}\nsource = "own"\n'
)


def car(name):
    return parse_car(text_of(name), name)


def first(low, words):
    return next(mark.at for mark in low.marks if words in mark.words)


def test_clearance_ends_where_subtraction_says():
    """155 mm under the exhaust as found, 100 mm allowed: 55 mm, less what the body pitches as it comes down."""
    assert first(how_low(car("brisk-14"), NO_RULES), "lowest point") == pytest.approx(55 * MM, abs=0.3 * MM)


@pytest.mark.parametrize("axle", ["front", "rear"])
@pytest.mark.parametrize("name", QUICK)
def test_arches_end_where_subtraction_says(name, axle):
    """Way to the arch as measured less the 45 mm of bump that a lowered car keeps."""
    document = car(name)
    section = document.front if axle == "front" else document.rear
    ways = [side.clearance.tyre_to_arch.value for side in (section.left, section.right)]
    low = first(how_low(document, NO_RULES), f"The {axle} tyres meet")
    assert low == pytest.approx(min(ways) - 45 * MM, abs=1.0 * MM)


def test_a_rule_forbids_from_where_it_says_and_a_tighter_one_earlier():
    at = [first(how_low(car("brisk-14"), parse_rules(RULE.format(most=most), "r")), "Height") for most in (30, 50)]

    assert at == pytest.approx([30 * MM, 50 * MM], abs=0.2 * MM)


def test_a_whole_job_passes_above_the_mark_and_fails_below_it():
    """Second method: the demo job with its springs, set on whole teeth and turns, held to the same rule."""
    rules = parse_rules(RULE.format(most=30), "r")
    mark = first(how_low(car("brisk-14"), rules), "Height")
    text = text_of("brisk-14-lower")
    for off, good in ((-2 * MM, True), (2 * MM, False)):
        asked = text.replace("lower = 35", f"lower = {(mark + off) / MM:.2f}")
        case = Case(car("brisk-14"), parse_job(asked, "job"), rules)
        assert [check.verdict.name == "PASS" for check in case.rule_checks] == [good]


@pytest.mark.parametrize(
    "name", [pytest.param(n, marks=[] if n in QUICK else [pytest.mark.validation_slow], id=n) for n in CARS]
)
def test_every_car_is_looked_at_and_its_marks_lie_on_the_slider_in_order(name):
    low = how_low(car(name), NO_RULES)
    at = [mark.at for mark in low.marks]

    assert at == sorted(at)
    assert all(0 <= one <= 80 * MM for one in at)
    assert all(mark.words.endswith((".", "?")) for mark in low.marks)

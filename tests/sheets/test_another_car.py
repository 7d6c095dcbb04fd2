"""The sheets of a job that is not the demo's: what its parts lack is said or left away, and nothing of the file shows."""

from __future__ import annotations

import re
from functools import cache

import pytest

from jounce.car.file.reading import parse_car
from jounce.case.case import Case
from jounce.job.file import parse_job
from jounce.sheets.catalogue import SHEETS
from jounce.sheets.paperwork import Paperwork, Printout
from tests.other_job import CAR, JOB, car_text
from tests.sheets.cases import REASON, pages, shop, text_of

UNPRICED = [word for word, kind in SHEETS.items() if not kind.priced]
# A word of a file's path: two words with a dot between them, or words joined by a line under them.
KEY = re.compile(r"\b[a-z]+_[a-z]+\w*|\b(?:front|rear|change|wanted|job|shelf)\.[a-z]")


@cache
def case(*, bands: bool) -> Printout:
    worked = Case(parse_car(car_text(bands=bands), CAR), parse_job(JOB, "van.toml"))
    return Printout(worked, Paperwork(shop=shop(), despite=REASON))


@pytest.mark.sweep(6)
@pytest.mark.parametrize("bands", [True, False], ids=["with its bands", "without any band"])
@pytest.mark.parametrize("word", UNPRICED)
def test_each_sheet_names_this_job_on_every_page_and_shows_no_key_and_no_hole(word: str, *, bands: bool) -> None:
    found = pages(word, case(bands=bands))

    assert 1 <= len(found) <= 3
    for page in found:
        text = " ".join(page.extract_text().split())
        assert "Fescue 10: Van, 25 lower · revision 3 · 2026-05-04" in text
        assert "Brisk" not in text
        assert not re.search(r"\bnan\b|\binf\b|\bNone\b", text)
        assert KEY.findall(text) == []


def test_bars_without_a_bolt_are_unloaded_by_the_makers_manual_only() -> None:
    told = text_of("job-card", case(bands=True))

    assert "have no adjusting bolt by which they could be let down" in told
    assert "without it do not undo ball joint, strut, arm or anchor" in told
    assert "anticlockwise seen from the front of the car" in told


def test_a_rear_that_no_part_sets_is_not_given_a_setting() -> None:
    told = text_of("set-up", case(bands=True))

    assert "there is no perch" in told
    assert not re.search(r"rear[^.]*\d turns?\b", told)


def test_the_stop_of_this_job_names_what_fails() -> None:
    told = text_of("answer", case(bands=True))

    assert re.search(r"STOP: \d+ checks fail", told)
    assert "DANGER. Is the right rear coil still seated at full droop?" in told
    assert "The other side fails too." in told

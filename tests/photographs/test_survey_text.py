"""What was stuck where, written and read again."""

from __future__ import annotations

import pytest

from jounce.photographs.survey import parse_survey
from jounce.photographs.survey_text import KeptSurvey, apart, kept_survey
from tests.photographs.front import BEHIND, FLOOR, OVER, PIVOT, RULE, kept


def test_what_is_written_is_what_is_read() -> None:
    survey = parse_survey(kept().text, "")

    assert survey.rulers[0].tiles == RULE
    assert survey.rulers[0].deviation == pytest.approx(0.15e-3)
    assert [one.behind for one in survey.pivots] == pytest.approx([BEHIND] * 6)
    assert [one.deviation for one in survey.pivots] == pytest.approx([0.3e-3] * 6)
    assert survey.floor == FLOOR
    assert survey.over == pytest.approx(OVER)
    assert survey.side(60) == pytest.approx(PIVOT)
    assert kept_survey(kept().text, "") == kept()
    assert kept_survey("", "") == KeptSurvey()


def test_pointer_and_heights_are_kept() -> None:
    odd = KeptSurvey(
        pointer=(
            {"photos": ["a.jpg", 'b".jpg'], "point": "mark"},
            {"photos": ["c", "d"], "point": "ground", "within": "1 mm"},
        ),
        heights=({"tile": 20, "over": "290 mm ± 1 mm"},),
    )

    assert kept_survey(odd.text, "") == odd
    survey = parse_survey(odd.text, "")
    assert [one.point for one in survey.pointer] == ["mark", "ground"]
    assert survey.heights[0].over == pytest.approx(0.29)


def test_odd_words_stay_words() -> None:
    odd = KeptSurvey(pivots=({"point": 'a "quoted"\nline = [1]', "tile": 60, "side=": "ä"},), tiles={"a b": "1 mm"})

    assert kept_survey(odd.text, "") == odd


def test_a_length_and_its_band_are_told_apart() -> None:
    assert apart(None) == ("", "")
    assert apart("1.1 in ± 0.02 in") == ("1.1 in", "0.02 in")

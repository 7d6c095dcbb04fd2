"""A day as the language of the house writes it."""

from __future__ import annotations

import pytest

from jounce.words.days import days_shown
from jounce.words.phrases import Phrases, language_phrases
from jounce.words.signs import PROGRAM, held_together


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("2026-05-04", "04.05.2026"),
        ("2026-05-04 07:30 UTC by Bo", "04.05.2026 07:30 UTC von Bo"),
        ("since 2026-05-04", "seit 04.05.2026"),
        ("Quote of 2026-05-04; holds until 2026-06-03.", "Angebot vom 04.05.2026; gilt bis 03.06.2026."),
        ("no. 31-044 · revision 2 · 2026-05-04", "Nr. 31-044 · Stand 2 · 04.05.2026"),
        ("Bo Lane, 2026-05-04", "Bo Lane, 04.05.2026"),
        ('found "2026-05-04"', 'gefunden "04.05.2026"'),
    ],
)
def test_a_german_day_has_day_month_year(text: str, said: str) -> None:
    assert language_phrases("de").said(text) == said
    assert Phrases(language="de-AT", decimal=",").said(text) == said


@pytest.mark.parametrize(
    "text",
    ["2026-13-04", "2026-02-40", "brisk-2026-05-04.toml", "TB-2026-05-04", "2026-05-04T10:30:12.250", "1-2026-05-04"],
)
def test_what_only_looks_like_a_day_stays(text: str) -> None:
    assert days_shown(text, "de") == text


def test_a_day_that_tells_how_one_is_typed_stays() -> None:
    told = language_phrases("de").said(
        'This is no day; found "soon"; allowed: year, month and day, as 2031-05-17. Correct it.'
    )

    assert "Jahr, Monat und Tag, wie 2031-05-17." in told


def test_other_languages_keep_year_month_day() -> None:
    assert PROGRAM.said("since 2026-05-04") == "since 2026-05-04"
    assert Phrases(language="fr", decimal=",").said("since 2026-05-04") == "since 2026-05-04"


def test_degrees_per_length_stay_by_their_number() -> None:
    assert held_together("0,0061 °/mm, 3,5 °/g") == "0,0061\u00a0°/mm, 3,5\u00a0°/g"

"""The house's own words."""

from __future__ import annotations

import pytest

from jounce.conventions.errors import InputError, InputProblems
from jounce.words.phrases import MOST_LINES, Phrases, language_phrases, parse_phrases, phrase_of

FILE = """
language = "fr"
decimal = ","

[phrases]
"It will stand {0} mm lower in front and {1} mm lower behind" = "Hinten {1} mm und vorn {0} mm tiefer"
"Settings" = "Einstellungen"
"""


def test_a_line_serves_every_number_in_any_order():
    house = parse_phrases(FILE, "phrases.toml")

    assert (
        house.said("It will stand 35.0 mm lower in front and 20.5 mm lower behind")
        == "Hinten 20,5 mm und vorn 35,0 mm tiefer"
    )
    assert house.said("Settings") == "Einstellungen"


def test_what_has_no_line_stays_with_the_decimal_sign_of_the_house():
    house = parse_phrases(FILE, "phrases.toml")

    assert house.said("Ride frequency 1.26 Hz") == "Ride frequency 1,26 Hz"
    assert house.said("brisk-14.toml") == "brisk-14.toml"
    assert house.said("2026-11-26") == "2026-11-26"


@pytest.mark.parametrize(
    ("text", "phrase"),
    [
        ("−0.5 deg", "{0} deg"),
        ("front left\n  wheel", "front left wheel"),
        ("TB-23.5 and 3 teeth", "TB-23.5 and {0} teeth"),
        ("ISO 8855", "ISO {0}"),
        ("5.3.1", "5.3.1"),
    ],
)
def test_numbers_are_places_and_codes_are_not(text, phrase):
    assert phrase_of(text)[0] == phrase


def test_a_text_that_loses_a_number_is_refused_with_its_line():
    with pytest.raises(InputProblems) as refused:
        parse_phrases('language = "fr"\n[phrases]\n"{0} of {1} checks" = "{0} Prüfungen"\n', "phrases.toml")

    assert "{0} {1}" in str(refused.value)
    assert "phrases" in str(refused.value)


def test_an_empty_line_is_one_still_to_be_said():
    house = Phrases(language="fr", phrases={"Settings": ""})

    assert house.said("Settings") == "Settings"
    assert not house.knows("Settings")


FAMILIES = """
language = "fr"
decimal = ","

[phrases]
"{a} arch: up" = "{a} aile : haut"
"front" = "avant"
"{a} springs, {0} N/mm, {1} mm" = "{1} mm, {0} N/mm : ressorts {a}"
"{a}: every version" = "{a} : toutes les versions"
"{a}: {b}, all" = "tout, {b} : {a}"
"rear arch: up" = "en haut derrière"
"""


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("front arch: up", "avant aile : haut"),
        ("rear arch: up", "en haut derrière"),
        ("far arch: up", "far aile : haut"),
        ("front springs, 25.5 N/mm, 310 mm", "310 mm, 25,5 N/mm : ressorts avant"),
        ("Brisk 14: every version", "Brisk 14 : toutes les versions"),
        ("Sedge 13.5: front, all", "tout, avant : Sedge 13,5"),
        ("a front  arch: up and more", "a front arch: up and more"),
    ],
)
def test_a_line_with_places_for_words_serves_a_family(text: str, said: str) -> None:
    assert parse_phrases(FAMILIES, "phrases.toml").said(text) == said


def test_what_has_no_line_in_a_family_is_told_by_itself() -> None:
    house = parse_phrases(FAMILIES, "phrases.toml")

    assert house.missing("front arch: up") == set()
    assert house.missing("far 3 arch: up") == {"far {0}"}
    assert house.missing("rear springs, {0} N/mm, {1} mm") == {"rear"}
    assert house.missing("no such line, 12 mm") == {"no such line, {0} mm"}
    assert house.missing("12 mm") == {"{0} mm"}


@pytest.mark.parametrize(
    "line", ['"{a}" = "{a}"', '"{a}, {b}" = "{a}; {b}"', '"{a} arch" = "aile"', '"{a} arch" = "{a} {b}"']
)
def test_a_line_that_says_nothing_or_loses_words_is_refused(line: str) -> None:
    with pytest.raises(InputProblems):
        parse_phrases(f'language = "fr"\n[phrases]\n{line}\n', "phrases.toml")


def test_thousands_are_parted_by_the_other_sign_in_a_house_of_decimal_commas() -> None:
    german = language_phrases("de")

    assert german.said("1,176.36 EUR") == "1.176,36 EUR"
    assert german.said("12,345,678") == "12.345.678"
    assert german.said("10,20") == "10,20"  # two numbers, and no thousands


def test_a_phrase_file_has_a_bound_of_its_own() -> None:
    lines = "".join(f'"a{k}x" = "b{k}x"\n' for k in range(MOST_LINES))
    with pytest.raises(InputError, match="too many keys"):
        parse_phrases(f"[phrases]\n{lines}", "words.toml")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("since 2026-11-30", "seit 30.11.2026"),
        ("2026-05-04 10:12", "04.05.2026 10:12"),
        ("photo-2026-05-04.jpg", "photo-2026-05-04.jpg"),
        ("31-044-2026-05", "31-044-2026-05"),
        ("year, month and day: 2031-05-17", "Jahr, Monat und Tag: 2031-05-17"),
    ],
)
def test_german_days_are_written_by_day_month_year_but_not_where_a_file_asks_for_one(text: str, said: str) -> None:
    german = language_phrases("de")

    assert german.said(text) == said
    assert Phrases(language="fr", decimal=",").said("2026-05-04") == "2026-05-04"

"""Fields show numbers as the house writes them, and what is typed so is read; every page has one minus sign."""

from __future__ import annotations

import re
from collections.abc import Iterator
from html import unescape

import pytest

from jounce.web.field_signs import field_shown, fields_read, form_shown
from tests.workbench import Workbench, asked, demo_book, serving

CAMBER = "front.alignment.camber"


@pytest.fixture(scope="module")
def german(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Workbench]:
    book, car, job = demo_book(tmp_path_factory.mktemp("book") / "shop.db")
    book.add("phrases", "phrases", 'language = "de"\ndecimal = ","\n')
    with serving(book) as port:
        yield Workbench(port, car, job, book)
    book.close()


def fields_of(page: str) -> dict[str, str]:
    """What the fields of a page's form of readings hold, hidden ones too, by their names."""
    tags = re.findall(r"<input\b[^>]*>", page.partition('class="measures')[2].partition("</form>")[0])
    named = {name[1]: tag for tag in tags if (name := re.search(r'\bname="([^"]*)"', tag)) and "checkbox" not in tag}
    values = {name: re.search(r'\bvalue="([^"]*)"', tag) for name, tag in named.items()}
    return {unescape(name): unescape(found[1]) for name, found in values.items() if found}


def test_a_german_form_shows_and_takes_decimal_commas(german: Workbench) -> None:
    address = f"/cars/{german.car}/measure/wheels"
    fields = fields_of(asked(german.port, address).text)
    shown = [value for name, value in fields.items() if "~" in name or "." in name]

    assert [value for value in shown if re.search(r"\d\.\d|-\d|deg", value)] == []
    assert [value for value in shown if re.search(r"\d,\d", value)]
    assert asked(german.port, address, fields | {CAMBER: "−1,125"}).status in (200, 303)
    assert "-1.125" in german.book.entry(german.car).content


@pytest.mark.parametrize(
    ("typed", "read"),
    [
        ("1,5", "1.5"),
        ("1.5", "1,5"),
        ("−1,125 mm", "-1.125 mm"),
        ("1.234,5", "1,234.5"),
        ("0,2° ± 0,1°", "0.2 deg ± 0.1 deg"),
        ("2,5 mm über 365 mm", "2.5 mm over 365 mm"),
        ("-0°30'", "-0°30'"),
        ("12,5; 13", "12.5; 13"),
        ("etwas tiefer, 1,5", None),
    ],
)
def test_what_is_typed_becomes_the_programs_own_writing(typed: str, read: str | None) -> None:
    sent = {"one": typed, "hidden": "1.5", "with-comma": "one"}

    assert fields_read(sent) == {"one": typed if read is None else read, "hidden": "1.5"}
    assert fields_read({"one": field_shown("-1.5 deg", ","), "with-comma": "one"}) == {"one": "-1.5 deg"}


def test_only_fields_for_texts_are_shown_so() -> None:
    ranged = '<form><input type="range" name="a" value="1.5">'
    form = f'{ranged}<input name="b" value="1.5"><input name="c" data-list value="2.5"></form>'

    assert form_shown(form, ",") == (
        f'{ranged}<input name="b" value="1,5"><input name="c" data-list value="2.5">'
        '<input type="hidden" name="with-comma" value="b"></form>'
    )
    assert form_shown(form.replace("1.5", "-1.5"), ".").count("−1.5") == 1


def test_thousands_by_a_point_are_asked_for_not_guessed(german: Workbench) -> None:
    page = asked(german.port, "/", {"lower": "1.250", "car": german.car, "with-comma": "lower"})

    assert page.status == 422
    assert 'value="1.250"' in page.text
    assert "1250" in page.text


HYPHEN = re.compile(r"(?<![\w.)\]])-\d+(?:[.,]\d+)?(?![\w-])")


@pytest.mark.parametrize("page", ["settings", "bay", "consequences", "changes", "ask/effects", "live", "aim"])
def test_every_page_has_one_minus_sign(workbench: Workbench, german: Workbench, page: str) -> None:
    for bench in (workbench, german):
        text = asked(bench.port, f"/jobs/{bench.job}/{page}").text
        read = re.sub(r"<(script|style|textarea|pre|code|template)\b.*?</\1>|<[^>]*>", " ", text, flags=re.DOTALL)

        assert HYPHEN.findall(read) == []


def test_names_that_look_like_numbers_stay_as_they_are() -> None:
    form = '<form><input name="job_number" value="31.044"><input name="front.spring.rate" value="25.5"></form>'

    shown = form_shown(form, ",")

    assert 'value="31.044"' in shown
    assert 'value="25,5"' in shown
    assert 'value="front.spring.rate"' in shown  # the only one that was shown so

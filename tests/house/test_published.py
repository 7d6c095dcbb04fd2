"""The class that carries published numbers, and the numbers it carries."""

from __future__ import annotations

from typing import Any

import pytest

from generate.validation_table import Entry, entries
from tests.house.places import DOCS, ROOT
from tests.published import STATUS_MEANING, Published, published_in

ENTRIES = entries(ROOT)
by_place = pytest.mark.parametrize("entry", ENTRIES, ids=lambda entry: f"{entry.module}-{entry.number.quantity}")


def published(**changes: Any) -> Published:
    """A sound entry with some of it changed."""
    return Published(**{"quantity": "stress", "source": "gere", "where": "p. 196", "printed": "4527", **changes})


@pytest.mark.parametrize(
    ("printed", "value", "half"),
    [
        ("4527", 4527.0, 0.5),
        ("1.620", 1.62, 0.0005),
        ("119 695", 119695.0, 0.5),
        ("\u22120.0513", -0.0513, 0.00005),
        ("1.751 268e+02", 175.1268, 0.00005),
    ],
)
def test_half_of_the_last_printed_digit_decides(printed: str, value: float, half: float) -> None:
    number = published(printed=printed, unit=1000.0)

    assert number.value == pytest.approx(value * 1000, rel=1e-15)
    assert (value + 0.99 * half) * 1000 == number.match()
    assert (value - 0.99 * half) * 1000 == number.match()
    assert (value + 1.01 * half) * 1000 != number.match()
    assert (value - 1.01 * half) * 1000 != number.match()


def test_looser_tolerance_widens_but_never_narrows() -> None:
    wide = published(rel=0.01, tolerance_note="the book rounds on its way")
    narrow = published(rel=1e-9, tolerance_note="exact arithmetic")

    assert wide.match() == 4527 * 1.0099
    assert wide.match() != 4527 * 1.0101
    assert narrow.tolerance == narrow.half_digit


@pytest.mark.parametrize(
    "changes",
    [
        {"printed": "about 4500"},
        {"printed": "nan"},
        {"where": " "},
        {"source": ""},
        {"quantity": ""},
        {"status": "X"},
        {"unit": 0.0},
        {"rel": 0.01},
        {"tolerance_note": "because"},
        {"rel": 0.5, "tolerance_note": "anything goes"},
    ],
)
def test_an_entry_that_could_not_be_believed_is_refused(changes: dict[str, Any]) -> None:
    with pytest.raises(ValueError, match=r"stress|published number"):
        published(**changes)


def test_numbers_are_found_inside_collections() -> None:
    module = type(pytest)("made_up")
    one, two, three = (published(printed=digits) for digits in ("1", "2", "3"))
    vars(module).update({"ONE": one, "MORE": {"two": [two], "three": (three, 4.0)}, "TEXT": "5"})

    assert published_in(module) == {"ONE": [one], "MORE": [two, three]}


def test_there_are_published_numbers() -> None:
    assert len(ENTRIES) > 20


@by_place
def test_every_published_number_is_compared_in_a_test(entry: Entry) -> None:
    assert entry.tests, f"{entry.module}: no test uses {entry.held_by} ({entry.number.quantity})"


@by_place
def test_every_source_is_listed(entry: Entry) -> None:
    assert f"### {entry.number.source}\n" in (DOCS / "sources.md").read_text("utf-8")


@by_place
def test_what_is_only_derived_is_not_called_validation(entry: Entry) -> None:
    assert entry.number.status != "D"


def test_every_status_is_explained_on_the_page() -> None:
    page = (DOCS / "validation.md").read_text("utf-8")

    assert [status for status in STATUS_MEANING if f"- **{status}** - " not in page] == []

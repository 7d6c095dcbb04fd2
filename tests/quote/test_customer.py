"""A customer's document: fields, and the plain text of those who were noted before there were any."""

from __future__ import annotations

import pytest

from jounce.quote.customer import Customer, customer_text, parse_customer


def test_plain_text_is_a_note() -> None:
    assert parse_customer("") == Customer()
    assert parse_customer("12 Lane, rings late = often") == Customer(note="12 Lane, rings late = often")
    assert parse_customer("[customer]\nshoe_size = 12").note == "[customer]\nshoe_size = 12"


def test_fields_come_back_as_they_were_typed_and_comments_stay() -> None:
    typed = Customer(telephone="+49 (30) 12-34", email="a@b.example", address='1 "Lane"\nTown', note="a\\b\n\tc")
    text = customer_text(typed, "rings late")

    assert parse_customer(text) == typed
    changed = customer_text(Customer(telephone="1"), "# since 2011\n" + text)
    assert changed.startswith("# since 2011\n")
    assert parse_customer(changed) == Customer(telephone="1")


@pytest.mark.parametrize(
    ("typed", "dialled"),
    [("+49 (30) 12-34", "+49301234"), ("030 / 12 34", "0301234"), ("", ""), ("ask the demo", ""), ("+", "")],
)
def test_a_telephone_dials_digits(typed: str, dialled: str) -> None:
    assert Customer(telephone=typed).dialled == dialled

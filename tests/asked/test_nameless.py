"""What is kept of a sentence tells nobody who asked it."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jounce.asked.nameless import GONE, nameless

NAMES = ("Ann Field", "Bert  Spring", "Li")


@pytest.mark.parametrize(
    ("text", "kept"),
    [
        ("Ann Field asks: lower it 40 mm", "… asks: lower it 40 mm"),
        ("for ann: how low does it go", "for …: how low does it go"),
        ("Mr Spring wants a softer spring", "Mr … wants a softer spring"),
        ("Field's car leans", "…'s car leans"),
        ("call 0664 / 123 45 67, will it rub", "call …, will it rub"),
        ("+43 (664) 1234567", "…"),
        ("mail ann.field@mail.example please", "mail … please"),
        ("see https://ann.example/car", "see …"),
    ],
)
def test_who_asked_is_taken_out(text, kept):
    assert nameless(text, NAMES) == kept


@pytest.mark.parametrize(
    "text",
    [
        "195/45 R15 on 7J ET20, 40/30 mm lower",
        "165/70 13 and 50 down",
        "front 340 rear 352, it was 350",
        "1.5 Hz, 20.8 mm, 1000 km, 1979",
        "the annual test of the springs",
    ],
)
def test_sizes_and_words_of_the_trade_stay(text):
    assert nameless(text, NAMES) == text


@given(
    before=st.sampled_from(["lower it", "ring me", "für"]),
    digits=st.lists(st.integers(0, 9), min_size=7, max_size=15),
    gap=st.sampled_from(["", " ", "-", ".", "/"]),
)
def test_no_telephone_number_is_kept(before, digits, gap):
    number = "0" + gap.join(map(str, digits))
    assert nameless(f"{before} {number}") == f"{before} {GONE}"

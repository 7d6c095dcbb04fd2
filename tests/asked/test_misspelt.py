"""Words with one slip are put right; ordinary words are left alone."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jounce.asked.concepts import concepts_in
from jounce.asked.misspelt import _FIELD, _ORDINARY, put_right

LONG = sorted(word for word in _FIELD if len(word) > 8)


@given(word=st.sampled_from(LONG), at=st.integers(1, 6), letter=st.sampled_from("abdfgnrt"))
def test_one_slip_in_a_long_word_is_put_right(word, at, letter):
    slips = (
        word[:at] + word[at + 1 :],
        word[:at] + letter + word[at:],
        word[:at] + word[at + 1] + word[at] + word[at + 2 :],
    )
    for slip in slips:
        found = put_right(slip)
        assert found in _FIELD or found in _ORDINARY or any(concepts_in(found))


@pytest.mark.parametrize("word", [*sorted(_ORDINARY), "which", "camper", "ratio", "nicht", "haben", "speed", "degree"])
def test_ordinary_words_stay(word):
    assert put_right(word) == word

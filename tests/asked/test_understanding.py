"""What kind of question a sentence is, asked in wordings that were written before the examples and apart from them."""

import pytest

from generate.asked_weights import digest, examples
from jounce.asked.kinds import KINDS, UNKNOWN
from jounce.asked.understanding import learned, understood
from jounce.asked.wording import plain
from jounce.questions.titles import TITLES
from tests.asked.wordings import LANGUAGES, asked, foreign

SAME = {"circle": "roll", "corner": "roll", "damper": "damping", "effects": "adjusters", "index": "teeth"}
"""Questions of the tool that are asked under a kind of another word."""


@pytest.mark.parametrize("language", LANGUAGES)
def test_wordings_of_the_counter_are_understood(language):
    found = [(understood(text), kinds) for text, kinds in asked(language)]
    at_once = [one.kind in kinds for one, kinds in found if one.clear]
    first = sum(one.kind in kinds for one, kinds in found) / len(found)
    three = sum(bool(kinds & set(one.near)) for one, kinds in found) / len(found)
    assert first >= 0.80
    assert three >= 0.93
    assert sum(at_once) / len(at_once) >= 0.95
    assert len(at_once) >= 0.5 * len(found)  # always asking back would be right each time


@pytest.mark.parametrize("language", LANGUAGES)
def test_what_is_not_the_suspensions_business_is_told_so(language):
    found = [understood(text) for text in foreign(language)]
    assert sum(one.kind == UNKNOWN for one in found) / len(found) >= 0.70
    assert not any(one.clear for one in found if one.kind == UNKNOWN)


def test_no_sentence_kept_apart_stands_among_the_examples():
    seen = {plain(text) for _, text in examples()}
    apart = [text for language in LANGUAGES for text, _ in asked(language)]
    apart += [text for language in LANGUAGES for text in foreign(language)]
    assert [text for text in apart if plain(text) in seen] == []


def test_every_kind_has_examples_enough():
    counts = dict.fromkeys(KINDS, 0)
    for kind, _ in examples():
        counts[kind] += 1
    assert min(counts.values()) >= 50, min(counts, key=counts.get)


def test_every_question_of_the_tool_is_a_kind():
    assert {SAME.get(word, word) for word in TITLES} <= set(KINDS)


def test_the_weights_are_those_of_these_examples():
    assert learned().digest == digest(examples()), "Run: python -m generate.asked_weights"


def test_the_same_sentence_is_always_understood_the_same_way():
    text = "which first, bars or springs"
    assert {understood(text) for _ in range(3)} == {understood("  Which FIRST, bars or springs? ")}


@pytest.mark.parametrize("text", ["", "?", "12345", "\x00", "ééé", "x" * 100_000])
def test_what_says_nothing_is_not_answered_at_once(text):
    assert not understood(text).clear

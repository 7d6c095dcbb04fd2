"""Questions in words, in the book: the latest first, once a day, and no more than so many."""

from __future__ import annotations

import pytest

from jounce.book import kept_questions as module
from jounce.conventions.errors import InputError


def test_a_sentence_is_kept_once_a_day_for_each_way_it_was_understood(book):
    for how in ("asked back", "asked back", "chosen"):
        book.keep_question("how low", "how-low", how)
    assert sorted(one.how for one in book.kept_questions()) == ["asked back", "chosen"]
    assert book.clear_questions() == 2
    assert book.kept_questions() == []


def test_the_oldest_go(book, monkeypatch):
    monkeypatch.setattr(module, "MOST_QUESTIONS", 3)
    for k in range(5):
        book.keep_question(f"question {k}", "unknown", "not understood")
    assert [one.text for one in book.kept_questions()] == ["question 4", "question 3", "question 2"]


def test_a_book_that_may_only_be_read_keeps_nothing(book):
    book.read_only = True
    with pytest.raises(InputError, match="may only be read"):
        book.keep_question("how low", "how-low", "at once")

"""Changing single values of a document's text."""

from __future__ import annotations

import tomllib

import pytest

from jounce.car.file.rewriting import rewritten
from jounce.conventions.errors import InputError

TEXT = """# head
[wanted]
cross_weight = "50 %" # even

[wanted.front]
lower = 35
"""


def test_comments_and_other_values_stay() -> None:
    text = rewritten(TEXT, {"wanted.front.lower": "30 mm", "wanted.rear.lower": 10, "job.name": "x"})

    assert text.startswith('# head\n[wanted]\ncross_weight = "50 %" # even')
    assert tomllib.loads(text) == {
        "wanted": {"cross_weight": "50 %", "front": {"lower": "30 mm"}, "rear": {"lower": 10}},
        "job": {"name": "x"},
    }


def test_nothing_is_taken_out_that_is_not_there_and_no_table_is_made_for_it() -> None:
    assert rewritten(TEXT, {"wanted.rear.height": None, "wanted.front.height": None}) == TEXT
    assert "lower" not in rewritten(TEXT, {"wanted.front.lower": None})


def test_texts_cannot_break_out_of_their_quotes() -> None:
    evil = 'x"\n[job]\nname = "y'

    assert tomllib.loads(rewritten("", {"a.b": evil})) == {"a": {"b": evil}}


@pytest.mark.parametrize(("text", "key"), [("no toml", "a.b"), ("a = 1", "a.b")])
def test_what_cannot_be_changed_is_said(text: str, key: str) -> None:
    with pytest.raises(InputError):
        rewritten(text, {key: 1})

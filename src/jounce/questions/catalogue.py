"""Every question by its word, read from its file when it is asked for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache
from importlib import import_module
from typing import cast

from jounce.questions.question import Question
from jounce.questions.titles import TITLES

__all__ = ["QUESTIONS"]


class _Catalogue(Mapping[str, Question]):
    """Questions by their word, read when they are asked for: one question needs no other's mechanics."""

    def __getitem__(self, word: str) -> Question:
        if word not in TITLES:
            raise KeyError(word)
        return _read(word)

    def __iter__(self) -> Iterator[str]:
        return iter(TITLES)

    def __len__(self) -> int:
        return len(TITLES)


@cache
def _read(word: str) -> Question:
    return cast("Question", import_module(f"jounce.questions.{word.replace('-', '_')}").QUESTION)


QUESTIONS: Mapping[str, Question] = _Catalogue()

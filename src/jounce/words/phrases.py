"""The house's own words: a text of the program on the left, what the shop says instead on the right.

Numbers within a text are places: ``"It will stand {0} mm lower"``; so one line serves every car. Words may be places
too: ``"{a} arch: up"`` serves the front arch and the rear one; what stands there is said by other lines, or stays.
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Callable, Mapping
from functools import cached_property
from pathlib import Path
from typing import Literal

from pydantic import Field, field_validator

from jounce.car.file.fields import refuse
from jounce.car.file.reading import parse_document, read_text
from jounce.car.file.section import Section
from jounce.conventions.errors import InputError
from jounce.words.days import days_shown
from jounce.words.family import NUMBER, PLACE, Family, families_of, filled
from jounce.words.shipped import LANGUAGES, shipped_lines
from jounce.words.signs import MINUS

__all__ = ["MOST_LINES", "Phrases", "language_phrases", "parse_phrases", "phrase_of", "read_phrases"]

_NUMBER = re.compile(NUMBER)
_SWAPPED = str.maketrans(",.", ".,")
_DECIMAL: dict[str, Literal[".", ","]] = {"de": ","}
_JOINS = (";", ":")
_STOPS = (".", "?")
_COMMA = ", "
_ENDS = tuple(re.compile(rf"(?<=[{marks}])(?<!\b[A-Z]\.)\s(?=\S)") for marks in (".?!", ";", ":"))
"""Where a text is taken apart that has no line of its own: at its sentences first, then at smaller marks.

A capital letter with a point is somebody's first name, no sentence's end.
"""
MOST_LINES = 10_000
"""Lines of a phrase file: German has about nine tenths of that."""
_MOST = 20_000
"""Texts that are remembered with what is said instead: results with ever other names must not fill the memory."""


class Phrases(Section):
    """Texts in the language of the house."""

    language: str = Field(pattern=r"^[a-z]{2,3}(-[A-Z]{2})?$", description="code of the language (ISO 639): de, pt-BR")
    decimal: Literal[".", ","] = Field(default=".", description="decimal sign of numbers that are shown")
    phrases: dict[str, str] = Field(default_factory=dict, description="the program's text = the house's text")

    @field_validator("phrases")
    @classmethod
    def _places_agree(cls, phrases: dict[str, str]) -> dict[str, str]:
        """A text that loses a number, or asks for one that is not there, would tell something else."""
        for text, said in phrases.items():
            wanted, given = (sorted(PLACE.findall(one)) for one in (text, said))
            if said.strip() and wanted != given:
                refuse(
                    InputError(
                        f'The places of "{text}" do not come back once each',
                        found=said,
                        allowed=" ".join(f"{{{n}}}" for n in wanted) or "no number",
                        todo="Write each place of a number or a word, {0} or {a} for the first, exactly once.",
                    )
                )
            if wanted and not re.search(r"[^\s.,:;()]", PLACE.sub("", text)):
                refuse(
                    InputError(
                        f'The line "{text}" says nothing itself',
                        allowed="a text with words of its own between the places",
                        todo="Take the line out, or write a longer text.",
                    )
                )
        return phrases

    def said(self, text: str) -> str:
        """A text in the house's words; one that has no line stays, with the house's decimal sign and its way of days.

        Args:
            text: as the program says it
        """
        known = self._remembered.get(text)
        if known is None:
            known = self._put(" ".join(text.split()))
            if len(self._remembered) < _MOST:
                self._remembered[text] = known
        return known

    def missing(self, text: str) -> set[str]:
        """The texts, their numbers taken out, for which there is no line: the text itself, or words at its places.

        Args:
            text: as the program says it, or from `phrase_of`
        """
        lacking = self._lacking.get(text)
        if lacking is None:
            lacking = self._missing(text)
            if len(self._lacking) < _MOST:
                self._lacking[text] = lacking
        return lacking

    def _missing(self, text: str) -> set[str]:
        text = " ".join(text.split())
        phrase = text if "{0}" in text else phrase_of(text)[0]
        if phrase in self._known:
            return set()
        sentences = _sentences(text)
        unsaid = {lacking for sentence in sentences for lacking in self.missing(sentence)}
        if sentences and not unsaid:
            return set()
        if self._listed(text, self._known.__contains__):
            return set()
        if text.endswith(_JOINS) and self.knows(text[:-1]):
            return set()
        found = self._of_family(text)
        lacking = set() if found is None else self._lacking_in(*found)
        if found is not None and not lacking:
            return set()
        if text.endswith(_STOPS) and self.knows(text[:-1]):
            return set()
        if self._listed(text, self.knows):
            return set()
        if not lacking and text.endswith(_JOINS):
            return self.missing(text[:-1])
        return lacking or unsaid or ({phrase} if re.search(r"[^\W\d_]{2}", PLACE.sub("", phrase)) else set())

    def number(self, told: str) -> str:
        """A number with a true minus and the house's decimal sign; thousands are parted by the other one.

        Args:
            told: as the program tells it

        >>> language_phrases("de").number("-1,176.36")
        '−1.176,36'
        """
        told = told.replace("-", MINUS)
        return told.translate(_SWAPPED) if self.decimal == "," else told

    def knows(self, phrase: str) -> bool:
        """Whether all of a text is said in other words.

        Args:
            phrase: from `phrase_of`
        """
        return not self.missing(phrase)

    def _put(self, text: str) -> str:
        phrase, numbers = (text, []) if "{0}" in text else phrase_of(text)
        places = {str(n): self.number(number) for n, number in enumerate(numbers)}
        if phrase in self._known:
            return filled(self._known[phrase], places)
        sentences = _sentences(text)
        if sentences and not any(map(self.missing, sentences)):
            return " ".join(map(self.said, sentences))
        if listed := self._listed(text, self._known.__contains__):
            return self._joined(listed, text)
        if text.endswith(_JOINS) and self.knows(text[:-1]):
            return self.said(text[:-1]) + text[-1]
        found = self._of_family(text)
        if found is None or self._lacking_in(*found):
            if text.endswith(_STOPS) and self.knows(text[:-1]):
                return self.said(text[:-1]) + text[-1]
            if listed := self._listed(text, self.knows):
                return self._joined(listed, text)
        if found is None and not sentences and text.endswith((*_STOPS, *_JOINS)):
            return self.said(text[:-1]) + text[-1]
        if found is None:
            return " ".join(map(self.said, sentences)) or days_shown(filled(phrase, places), self.language)
        family, words = found
        return filled(family.said, {place: self._put_at(family, place, word) for place, word in words.items()})

    def _put_at(self, family: Family, place: str, word: str) -> str:
        if place.isdigit():
            return self.number(word)
        return word if family.spelt(place, word) else self.said(word)

    def _lacking_in(self, family: Family, words: Mapping[str, str]) -> set[str]:
        """What has no line of what stands at the places of a family."""
        return {
            lacking
            for place, word in words.items()
            if not place.isdigit() and not family.spelt(place, word)
            for lacking in self.missing(word)
        }

    def _listed(self, text: str, known: Callable[[str], bool]) -> list[str]:
        """The parts of a text between its commas, where each is known by itself; none where one is not.

        What is listed in the order of its numbers comes in any order: no line could tell them all.
        """
        parts = text.removesuffix(".").split(_COMMA)
        shapes = (_counted_anew(part) if "{0}" in text else phrase_of(part)[0] for part in parts)
        return parts if len(parts) > 1 and all(map(known, shapes)) else []

    def _joined(self, parts: list[str], text: str) -> str:
        return _COMMA.join(map(self.said, parts)) + ("." if text.endswith(".") else "")

    def _of_family(self, text: str) -> tuple[Family, Mapping[str, str]] | None:
        """The family that a text belongs to, and what stands at its places: rather one of which all words are known.

        Else one at whose places there are words, not sentences: what is not known of these is said by itself.
        """
        first = None
        for family in self._families:
            places = family.places_in(text)
            if places is None:
                continue
            if not self._lacking_in(family, places):
                return family, places
            if first is None and not any(map(_sentences, places.values())):
                first = (family, places)
        return first

    @property
    def lines(self) -> Mapping[str, str]:
        """All lines, white space told once."""
        return self._lines

    @cached_property
    def _lines(self) -> dict[str, str]:
        """All lines; the house's own go before those of the language that the program comes with."""
        own = {" ".join(text.split()): said for text, said in self.phrases.items() if said.strip()}
        return {**shipped_lines(self.language), **own}

    @cached_property
    def _known(self) -> dict[str, str]:
        """The lines, each also as it begins a sentence, or does not."""
        known = dict(self._lines)
        for text, said in self._lines.items():
            if text[:1].isalpha() and text[1:2].islower():
                other = text[0].swapcase() + text[1:]
                known.setdefault(other, said[:1].upper() + said[1:] if other[0].isupper() else said)
        return known

    @cached_property
    def _families(self) -> tuple[Family, ...]:
        return families_of(self._lines)

    @cached_property
    def _remembered(self) -> dict[str, str]:
        return {}

    @cached_property
    def _lacking(self) -> dict[str, set[str]]:
        return {}


def phrase_of(text: str) -> tuple[str, list[str]]:
    """A text with places for its numbers, white space told once, and the numbers.

    Args:
        text: as the program says it

    >>> phrase_of("It will stand 35.0 mm lower in front and −2 mm behind.")
    ('It will stand {0} mm lower in front and {1} mm behind.', ['35.0', '−2'])
    """
    numbers: list[str] = []

    def place(found: re.Match[str]) -> str:
        numbers.append(found[0])
        return f"{{{len(numbers) - 1}}}"

    return _NUMBER.sub(place, " ".join(text.split())), numbers


def _sentences(text: str) -> list[str]:
    """The parts of a text that has more than one, at its largest marks; the places for numbers of each counted anew.

    Args:
        text: as the program says it, white space told once, or from `phrase_of`
    """
    for end in _ENDS:
        parts = end.split(text)
        if len(parts) > 1:
            return [_counted_anew(part) for part in parts]
    return []


def _counted_anew(sentence: str) -> str:
    count = itertools.count()
    return PLACE.sub(lambda found: f"{{{next(count)}}}" if found[1].isdigit() else found[0], sentence)


def parse_phrases(text: str, name: str) -> Phrases:
    """Read the text of a phrase file.

    Args:
        text: TOML
        name: name of the file, for messages

    Raises:
        InputError: the text is no TOML
        InputProblems: all that is wrong with its content
    """
    return parse_document(text, name, Phrases, MOST_LINES)


def language_phrases(code: str) -> Phrases:
    """A language that the program comes with.

    Args:
        code: one of `LANGUAGES`
    """
    return Phrases(language=code, decimal=_DECIMAL[code])


def read_phrases(named: str) -> Phrases:
    """Read a phrase file, or take a language that the program comes with.

    Args:
        named: path of the file, or the code of the language

    Raises:
        InputError: the file cannot be read or is no TOML
        InputProblems: all that is wrong with its content
    """
    return language_phrases(named) if named in LANGUAGES else parse_phrases(read_text(Path(named)), named)

"""The house's own words: a text of the program on the left, what the shop says instead on the right.

Numbers within a text are places: ``"It will stand {0} mm lower"``; so one line serves every car.
"""

from __future__ import annotations

import re
from functools import cached_property
from typing import Literal

from pydantic import Field, field_validator

from jounce.car.file.fields import refuse
from jounce.car.file.reading import parse_document
from jounce.car.file.section import Section
from jounce.conventions.errors import InputError

__all__ = ["Phrases", "parse_phrases", "phrase_of"]

_NUMBER = re.compile(r"(?<![\w.])(?<!\w-)[+−-]?\d++(?:\.\d++)?(?![\w.]*\.\w)(?!-\d)")
_PLACE = re.compile(r"\{(\d+)\}")


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
            wanted, given = (sorted(_PLACE.findall(one)) for one in (text, said))
            if said.strip() and wanted != given:
                refuse(
                    InputError(
                        f'The numbers of "{text}" do not come back once each',
                        found=said,
                        allowed=" ".join(f"{{{n}}}" for n in wanted) or "no number",
                        todo="Write each place of a number, {0} for the first, exactly once.",
                    )
                )
        return phrases

    def said(self, text: str) -> str:
        """A text in the house's words; one that has no line stays, with the house's decimal sign.

        Args:
            text: as the program says it
        """
        phrase, numbers = phrase_of(text)
        found = self._spoken.get(phrase, "")
        shown = [number.replace(".", self.decimal) for number in numbers]
        return _filled(found or phrase, shown)

    def knows(self, phrase: str) -> bool:
        """Whether the house says this in its own words.

        Args:
            phrase: from `phrase_of`
        """
        return phrase in self._spoken

    @cached_property
    def _spoken(self) -> dict[str, str]:
        return {" ".join(text.split()): said for text, said in self.phrases.items() if said.strip()}


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


def parse_phrases(text: str, name: str) -> Phrases:
    """Read the text of a phrase file.

    Args:
        text: TOML
        name: name of the file, for messages

    Raises:
        InputError: the text is no TOML
        InputProblems: all that is wrong with its content
    """
    return parse_document(text, name, Phrases)


def _filled(phrase: str, numbers: list[str]) -> str:
    def number(found: re.Match[str]) -> str:
        place = int(found[1])
        return numbers[place] if place < len(numbers) else found[0]

    return _PLACE.sub(number, phrase)

"""A remark on a car: what is unusual or contradicts something else, and the keys of the file that it speaks of."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from jounce.car.file.toml_lines import line_of

__all__ = ["Remark", "in_words"]

_UNSAID = {"pivots", "alignment", "wheel"}
"""Sections that a person does not name when speaking of what is in them."""
_SAID = {"mass": "weight", "heights": "arch height"}


@dataclass(frozen=True, slots=True)
class Remark:
    """Something that stops no calculation but wants another look.

    Attributes:
        places: keys of the car file that it speaks of, the one to look at first in front
        text: what is remarked, as sentences that say in words what they speak of
        contradicts: whether two numbers cannot both be true, so that nothing that follows from them is

    """

    places: tuple[str, ...]
    text: str
    contradicts: bool = False

    def __str__(self) -> str:
        """Place and text in one line."""
        return f"{self.places[0]}: {self.text}"

    def line(self, lines: Mapping[tuple[str, ...], int]) -> int | None:
        """Line on which the first of its places stands; None where none is written.

        Args:
            lines: of the file, from :func:`jounce.car.file.toml_lines.lines_of_keys`

        """
        return line_of(self.places[0].split("."), lines)

    def located(self, lines: Mapping[tuple[str, ...], int]) -> str:
        """All its places with their lines, and the text.

        Args:
            lines: of the file, from :func:`jounce.car.file.toml_lines.lines_of_keys`

        """
        numbers = [(place, line_of(place.split("."), lines)) for place in self.places]
        return f"{', '.join(f'{place} (line {n})' if n else place for place, n in numbers)}: {self.text}"


def in_words(place: str) -> str:
    """A key of the car file as a person says it.

    >>> in_words("front.right.pivots.ball_joint")
    'front right ball joint'
    >>> in_words("mass.rear_left")
    'weight rear left'
    """
    said = (_SAID.get(part, part) for part in place.split(".") if part not in _UNSAID)
    return " ".join(said).replace("_", " ")

"""A file that tells one damper, without a car: the keys of the car file's section, at the top of the file."""

from __future__ import annotations

from jounce.car.file.reading import parse_document
from jounce.car.parts import Damper

__all__ = ["parse_damper"]


def parse_damper(text: str, place: str) -> Damper:
    """A damper from the text of its file.

    Args:
        text: TOML
        place: what the file is called in messages

    Raises:
        InputError: it is no TOML
        InputProblems: all that is wrong with the damper
    """
    return parse_document(text, place, Damper)

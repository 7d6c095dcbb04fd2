"""A file that tells one damper, without a car: the keys of the car file's section, at the top of the file."""

from __future__ import annotations

from pathlib import Path

from jounce.car.file.reading import parse_document, read_text
from jounce.car.parts import Damper

__all__ = ["read_damper"]


def read_damper(path: Path | str) -> Damper:
    """Read a damper.

    Args:
        path: TOML in UTF-8

    Raises:
        InputError: the file cannot be read or is no TOML
        InputProblems: all that is wrong with the damper
    """
    return parse_document(read_text(Path(path)), str(path), Damper)

"""A file that tells one damper, without a car: the keys of the car file's section, at the top of the file."""

from __future__ import annotations

from pathlib import Path

from pydantic import ValidationError

from jounce.car.file import read_text, read_toml
from jounce.car.lines import lines_of_keys
from jounce.car.parts import Damper
from jounce.car.problems import problems_of
from jounce.conventions.errors import InputProblems

__all__ = ["read_damper"]


def read_damper(path: Path | str) -> Damper:
    """Read a damper.

    Args:
        path: TOML in UTF-8

    Raises:
        InputError: the file cannot be read or is no TOML
        InputProblems: all that is wrong with the damper
    """
    text = read_text(Path(path))
    written = read_toml(text, str(path))
    try:
        return Damper.model_validate(written)
    except ValidationError as error:
        problems = problems_of(error, written, lines_of_keys(text), Damper)
        raise InputProblems(problems, place=str(path)) from None

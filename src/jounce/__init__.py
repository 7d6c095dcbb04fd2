"""Suspension mechanics for a workshop: a car as measured, what a change does to it, and how to set it.

What the package shows is a library for a notebook: cars and jobs, and their results as frozen arrays with units.

>>> import jounce
>>> jounce.read_car("no-such-car.toml")
Traceback (most recent call last):
jounce.conventions.errors.InputError: no-such-car.toml: There is no such file. Check the name and the folder.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from jounce.conventions.errors import Impossible, InputError, JounceError
    from jounce.library import Answers, Car, Job, Plan, Results, Standing, Travel, ask, read_car, read_job

_ERRORS = {"Impossible", "InputError", "JounceError"}

__all__ = [
    "Answers",
    "Car",
    "Impossible",
    "InputError",
    "Job",
    "JounceError",
    "Plan",
    "Results",
    "Standing",
    "Travel",
    "ask",
    "read_car",
    "read_job",
]


def __getattr__(name: str) -> object:
    """A name of the library, fetched when it is asked for first, so that the import itself takes no time."""
    if name not in __all__:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module("jounce.conventions.errors" if name in _ERRORS else "jounce.library"), name)


def __dir__() -> list[str]:
    return __all__

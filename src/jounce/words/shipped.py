"""The languages that the program comes with."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from types import MappingProxyType

__all__ = ["LANGUAGES", "shipped_lines", "shipped_text"]

LANGUAGES: Mapping[str, str] = MappingProxyType({"de": "Deutsch"})
"""Languages by their codes (ISO 639), each by its own name; English is the program's own."""

_FILES = {"de": "german.toml"}


@cache
def shipped_lines(language: str) -> Mapping[str, str]:
    """The lines of a language: the program's text = what is said instead; none of a language that does not come with it.

    Args:
        language: its code, with or without a country
    """
    code = language.partition("-")[0]
    return MappingProxyType(tomllib.loads(shipped_text(code))["phrases"] if code in _FILES else {})


def shipped_text(language: str) -> str:
    """The phrase file of a language that the program comes with.

    Args:
        language: its code
    """
    return files("jounce.words").joinpath(_FILES[language]).read_text("utf-8")

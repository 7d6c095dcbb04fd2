"""The shelf as a book keeps it: one document for each part, under the part's code."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

from jounce.conventions.errors import InputError
from jounce.shelf.part import Part
from jounce.shelf.shelf import Shelf
from jounce.shelf.toml import parse_toml, toml_text

__all__ = ["documents_of", "part_of", "shelf_of"]


def documents_of(shelf: Shelf) -> dict[str, str]:
    """TOML of each part, by its code.

    Args:
        shelf: the parts
    """
    return {part.code: toml_text(Shelf((part,))) for part in shelf.parts}


@lru_cache(maxsize=4096)
def part_of(document: str) -> Part:
    """The part of a document.

    Args:
        document: TOML of one part

    Raises:
        InputProblems: what is wrong with it
        InputError: it holds none, or several
    """
    parts = parse_toml(document, "the part").whole("the part").parts
    if len(parts) != 1:
        raise InputError(
            "The document of a part holds one part",
            found="none" if not parts else f"{len(parts)} parts",
            allowed="one section like [coil.CODE]",
            todo="Fill the shelf from a file to put several in.",
            place="the part",
        )
    return parts[0]


def shelf_of(documents: Iterable[str]) -> Shelf:
    """The parts of many documents.

    Args:
        documents: TOML of one part each

    Raises:
        InputProblems: what is wrong with one
    """
    return Shelf(tuple(map(part_of, documents)))

"""Entries of a file become parts: all problems are told at once, and no part is taken in half."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from pydantic import ValidationError

from jounce.car.file.problems import problems_of
from jounce.car.file.quantity import suggestion
from jounce.conventions.errors import InputError, InputProblems
from jounce.shelf.kinds import KINDS
from jounce.shelf.part import Part
from jounce.shelf.shelf import Shelf

__all__ = ["MOST_WRONG", "PartEntry", "Reading", "read_entries", "unknown_kind"]

MOST_WRONG = 500
"""Problems of a file; with more it is some other file, and is refused as such."""


@dataclass(frozen=True, slots=True)
class PartEntry:
    """A part as a file writes it.

    Attributes:
        kind: word of its kind
        code: its code
        written: its other keys, as written
        place: where it stands, for a message
        places: where single keys stand; a key that is not listed stands at ``place``
        broken: what is wrong with the form of the entry, before it is read as a part; one without a known kind or
            without a code has something here, and is not read

    """

    kind: str
    code: str
    written: Mapping[str, Any]
    place: str
    places: Mapping[str, str] = field(default_factory=dict)
    broken: tuple[InputError, ...] = ()


@dataclass(frozen=True, slots=True)
class Reading:
    """What was read: the parts that are sound, and all that is wrong with the others."""

    good: Shelf
    problems: tuple[InputError, ...]

    def whole(self, name: str) -> Shelf:
        """The shelf, if nothing is wrong with it.

        Args:
            name: name of the file, for the message

        Raises:
            InputProblems: all that is wrong
        """
        if self.problems:
            raise InputProblems(self.problems, place=name)
        return self.good


def read_entries(entries: Iterable[PartEntry], before: Iterable[InputError] = ()) -> Reading:
    """Read parts.

    Args:
        entries: the parts as written
        before: what is wrong with the file besides

    Raises:
        InputProblems: so much is wrong that this is some other file
    """
    parts: dict[str, Part] = {}
    first: dict[str, str] = {}
    problems = list(before)
    for entry in entries:
        found = list(entry.broken)
        if entry.code and entry.code in first:
            found.append(
                InputError(
                    "This code is given twice",
                    found=f'"{entry.code}", first at {first[entry.code]}',
                    todo="Give each part a code of its own.",
                    place=entry.places.get("code", entry.place),
                )
            )
        first.setdefault(entry.code, entry.place)
        part, wrong = _read(entry) if entry.kind in KINDS and entry.code else (None, [])
        found += wrong
        problems += found
        if len(problems) > MOST_WRONG:
            more = InputError(f"More than {MOST_WRONG} things are wrong", todo="Check that this is a file of parts.")
            raise InputProblems([*problems[:10], more])
        if part is not None and not found:
            parts[entry.code] = part
    return Reading(Shelf(tuple(parts.values())), tuple(problems))


def unknown_kind(kind: str, place: str) -> InputError:
    """The problem of a word that is no kind of part.

    Args:
        kind: the word
        place: where it stands
    """
    return InputError("This kind of part is not known", found=f'"{kind}"', todo=suggestion(kind, KINDS), place=place)


def _read(entry: PartEntry) -> tuple[Part | None, list[InputError]]:
    model = KINDS[entry.kind]
    written = {**entry.written, "code": entry.code}
    try:
        return model.model_validate(written), []
    except ValidationError as error:
        problems = problems_of(error, written, {}, model)
    already = {problem.place for problem in entry.broken}
    for problem in problems:
        key = problem.place.split(".")[0]
        problem.place = entry.places.get(key, f"{entry.place}, {key}" if key else entry.place)
    return None, [problem for problem in problems if problem.place not in already]

"""What is wrong with a document, put beside the fields of the form that it came from."""

from __future__ import annotations

from collections.abc import Iterable

from jounce.conventions.errors import InputProblems, JounceError

__all__ = ["beside"]


def beside(error: JounceError, fields: Iterable[str]) -> tuple[dict[str, str], list[str]]:
    """Problems by field, and those that belong to no field of the form.

    Args:
        error: what was refused
        fields: keys of the fields, as they stand in the document

    Returns:
        What is wrong with each field, without its place; and the other problems, with theirs

    >>> from jounce.conventions.errors import InputError
    >>> beside(InputError("Too thick", place="front.bar.diameter (line 3)"), ["front.bar.diameter"])
    ({'front.bar.diameter': 'Too thick'}, [])
    """
    found: dict[str, str] = {}
    rest: list[str] = []
    known = set(fields)
    for problem in error.problems if isinstance(error, InputProblems) else [error]:
        place = problem.place.rpartition(", ")[2].partition(" (line")[0]
        near = _field(place, known)
        if near is None:
            rest.append(str(problem))
        else:
            found[near] = f"{found[near]} {problem.message}" if near in found else problem.message
    return found, rest


def _field(place: str, known: set[str]) -> str | None:
    """The field of a place, or the one that it lies in or around."""
    steps = place.split(".")
    for count in range(len(steps), 0, -1):
        if ".".join(steps[:count]) in known:
            return ".".join(steps[:count])
    return None

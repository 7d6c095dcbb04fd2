"""The parts of a job by their codes: which they are on the shelf, and how many lots of each have to be bought."""

from __future__ import annotations

from collections.abc import Iterator

from pydantic.fields import FieldInfo

from jounce.car.file.fields import QuantityField
from jounce.car.file.quantity import Measured
from jounce.car.file.section import form_of
from jounce.car.parts.changed import SetRods
from jounce.conventions.errors import InputError, InputProblems
from jounce.conventions.units import show
from jounce.job.document import JobDocument
from jounce.job.shelf_codes import code_and_lots, lots_for, pieces_of
from jounce.shelf.part import Part
from jounce.shelf.shelf import Shelf

__all__ = ["parts_of_shelf", "without_code"]

_SAME = 1e-9  # of a number, relative: two texts of one number


def parts_of_shelf(job: JobDocument, shelf: Shelf) -> list[tuple[Part, int]]:
    """The parts that a job names under ``[shelf]``, with how many lots of each; the same code once.

    Args:
        job: the change list with its codes
        shelf: the shelf

    Raises:
        InputProblems: a code that is not on the shelf, or whose part is another than the one that was worked out
    """
    problems: list[InputError] = []
    pieces: dict[str, int] = {}
    lots: dict[str, int] = {}
    found: dict[str, Part] = {}
    for axle, key, code in job.shelf.named():
        place = f"shelf.{axle}.{key}"
        part = _looked_up(shelf, code, place, problems)
        if part is None:
            continue
        problems += _other_than(job, axle, key, part, place)
        found[code] = part
        pieces[code] = pieces.get(code, 0) + pieces_of(key)
    for number, written in enumerate(job.shelf.also):
        code, count = code_and_lots(written)
        part = _looked_up(shelf, code, f"shelf.also.{number}", problems)
        if part is not None:
            found[code] = part
            lots[code] = lots.get(code, 0) + count
    if problems:
        raise InputProblems(problems)
    needed = {code: lots_for(pieces.get(code, 0), part.pieces) + lots.get(code, 0) for code, part in found.items()}
    return [(found[code], count) for code, count in needed.items()]


def without_code(job: JobDocument) -> dict[tuple[str, str], int]:
    """Parts of the change list that have no code on the shelf: axle and key of each, and how many pieces it takes.

    Args:
        job: the change list with its codes
    """
    coded = {(axle, key) for axle, key, _ in job.shelf.named()}
    sections = (("front", job.change.front), ("rear", job.change.rear))
    return {
        (axle, key): pieces_of(key)
        for axle, section in sections
        for key, part in section
        if part is not None and (axle, key) not in coded and not (isinstance(part, SetRods) and part.is_own)
    }


def _looked_up(shelf: Shelf, code: str, place: str, problems: list[InputError]) -> Part | None:
    try:
        return shelf.part(code)
    except InputError as problem:
        problem.place = place
        problems.append(problem)
        return None


def _other_than(job: JobDocument, axle: str, key: str, part: Part, place: str) -> Iterator[InputError]:
    """What the part on the shelf has otherwise than the one that the job was worked out with: never sell another."""
    section = job.part(axle, key)
    if section is None:  # the job was not read from a file
        return
    for name, value in part.carried.items():
        own = getattr(section, name, None)
        field = type(section).model_fields.get(name)
        hangs = name == "link_end" and getattr(part, "role", "") != "on-tube"  # it hangs on links of the car
        if field is None or hangs or _alike(own, value):
            continue
        yield InputError(
            f"{part.code} is another part than the one in the change list: {name} differs",
            found=f"{_shown(value, field)} on the shelf, {_shown(own, field)} in the job",
            todo=f"Correct one of the two, or take the code out of [shelf.{axle}].",
            place=place,
        )


def _alike(one: object, other: object) -> bool:
    if isinstance(one, Measured) and isinstance(other, Measured):
        return abs(one.value - other.value) <= _SAME * max(abs(one.value), abs(other.value))
    at, there = getattr(one, "xyz", None), getattr(other, "xyz", None)
    if at is not None and there is not None:
        return all(abs(a - b) <= _SAME for a, b in zip(at, there, strict=True))
    return one == other


def _shown(value: object, field: FieldInfo) -> str:
    quantity = form_of(field, QuantityField)
    if isinstance(value, Measured) and quantity is not None:
        return show(value.value, quantity.kind)
    return "nothing" if value is None else str(value)

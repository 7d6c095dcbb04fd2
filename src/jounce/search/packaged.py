"""The job that a package of parts is: nothing in its change list but what is sold, the wishes as they were."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from jounce.car.file.document import CarDocument
from jounce.car.file.section import Section
from jounce.conventions.axes import End
from jounce.conventions.errors import InputError, InputProblems
from jounce.job.document import AxleChange, Change, JobDocument, JointSlots
from jounce.job.shelf_codes import ShelfCodes
from jounce.search.slots import SLOTS, Slot, job_of, set_on_car, slots_of
from jounce.shelf.kinds.coils import HelperPart
from jounce.shelf.part import Part

__all__ = ["beside_the_plan", "job_of_parts"]

Parts = Sequence[tuple[Part, int]]


def job_of_parts(job: JobDocument, document: CarDocument, parts: Parts) -> JobDocument:
    """The job with exactly these parts fitted: what the change list has besides is not in it.

    Args:
        job: the change list; its wishes stay, and so do where its top plates are put and what the car itself has to be set
        document: the car
        parts: parts with how many lots of each

    Raises:
        InputProblems: a part that goes nowhere or in two places, of which too little is known, or that is too few
    """
    bare = job.model_copy(
        update={"change": Change(front=_kept(job, End.FRONT), rear=_kept(job, End.REAR)), "shelf": ShelfCodes()}
    )
    placed: dict[str, Part] = {}
    pieces: dict[str, int] = {}
    problems: list[InputError] = []
    for part, count in parts:
        try:
            slots = _slots_of(part, document)
        except InputError as problem:
            problems.append(problem)
            continue
        for slot in slots:
            other = placed.get(slot.name)
            if other is not None and not _twins(part, other):
                problems.append(_twice(slot, part, other))
            placed[slot.name] = part
            pieces[slot.name] = pieces.get(slot.name, 0) + count * part.pieces // len(slots)
    few = [slot for slot in SLOTS if slot.name in pieces and pieces[slot.name] < slot.pieces]
    problems += [_too_few(slot, placed[slot.name], pieces[slot.name]) for slot in few]
    if problems:
        raise InputProblems(problems)
    return job_of(bare, placed, document)


def _kept(job: JobDocument, end: End) -> AxleChange:
    """What is no part: where top plates are put, and how far that goes which the car itself has to be set."""
    put, none = job.change.of(end).top_plate, AxleChange()
    own: dict[str, Section] = {**set_on_car(job, end)}
    if put is not None and (put.inward.value or put.rearward.value):
        own["top_plate"] = JointSlots(inward=put.inward, rearward=put.rearward)
    return none.model_copy(update=own)


def beside_the_plan(parts: Parts) -> list[Part]:
    """Parts that are sold but change nothing that is worked out.

    Args:
        parts: parts with how many lots of each
    """
    return [part for part, _ in parts if not any(slot.takes(part) for slot in SLOTS)]


def _slots_of(part: Part, document: CarDocument) -> list[Slot]:
    """Where a part goes: one place, both for wheels of either axle, none for one that the calculation does not have."""
    slots = list(_slots(part, document))
    if len(slots) > 1 and not slots[0].around:
        raise InputError(
            "This part goes in more than one place",
            found=part.code,
            allowed=", ".join(slot.name for slot in slots),
            todo="Name it under [shelf.front] or [shelf.rear] of the job, and print the quote without --part.",
        )
    if not slots and any(slot.takes(part) for slot in SLOTS):
        raise InputError("This part goes in no place of such a car", found=part.code, todo="Choose another part.")
    if slots and not isinstance(part, HelperPart) and part.mechanics is None:
        raise InputError(
            "Too little is known of this part to work out what it does",
            found=part.code,
            todo=f"Measure it first: {', '.join(name.replace('_', ' ') for name in part.unknown)}.",
        )
    return slots


def _slots(part: Part, document: CarDocument) -> Iterator[Slot]:
    for slot in slots_of(document):
        role = getattr(part, "role", "") if slot.role else ""
        if slot.takes(part) and part.place in (str(slot.end), "either") and role == slot.role:
            yield slot


def _twins(part: Part, other: Part) -> bool:
    """Whether two parts are the left and the right one of a pair."""
    return {part.side, other.side} == {"left", "right"} and part.carried == other.carried


def _twice(slot: Slot, part: Part, other: Part) -> InputError:
    return InputError(
        f"Two parts are meant for one place ({slot.name})",
        found=f"{other.code} and {part.code}",
        todo="Take one of them, or quote them as two packages.",
    )


def _too_few(slot: Slot, part: Part, pieces: int) -> InputError:
    return InputError(
        f"Too few pieces for both sides ({slot.name})",
        found=f"{part.code}: {pieces}",
        allowed=f"{slot.pieces}",
        todo="Name more lots of it: CODE=2. Of parts made for one side name the left and the right one.",
    )

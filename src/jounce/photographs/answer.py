"""From files to an answer: photographs opened, tiles found, everything placed, pivots with what is to be said of them."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from jounce.conventions.errors import InputError, InputProblems
from jounce.photographs.intake import arrived
from jounce.photographs.pivots import Checked, FoundPivot, checked, doubted_by_checks, found_pivots, remarks_on
from jounce.photographs.pointer import Pointer, pointed, remarks_on_pointer, touched_pivots
from jounce.photographs.seen import SeenPhoto, are_one, seen_in
from jounce.photographs.solving import Net, netted
from jounce.photographs.survey import Survey

__all__ = ["MOST_PHOTOS", "Photographed", "looked_at", "photographed"]

MOST_PHOTOS = 100
"""Photographs of one answer."""


@dataclass(frozen=True, slots=True)
class Photographed:
    """What photographs tell of a car.

    Attributes:
        photos: what each shows
        net: every tile where it is
        pivots: the pivots behind their tiles, and those that the pointer touched
        checks: distances that were measured and not used
        remarks: what a person has to know or do
        pointer: the pointer as its swings tell it; None where there is none

    """

    photos: tuple[SeenPhoto, ...]
    net: Net
    pivots: tuple[FoundPivot, ...]
    checks: tuple[Checked, ...]
    remarks: tuple[str, ...]
    pointer: Pointer | None = None


def looked_at(files: Iterable[tuple[str, bytes]], told: Callable[[str], None]) -> tuple[SeenPhoto, ...]:
    """What each of some files shows; only one picture is held at a time.

    Args:
        files: name and content of each
        told: is told what is being done; may raise to stop

    Raises:
        InputProblems: files that are no photographs, two of one name, the same one twice
        InputError: too many
        Impossible: the extra is not installed
    """
    seen: list[SeenPhoto] = []
    problems: list[InputError] = []
    for number, (name, data) in enumerate(files, start=1):
        if number > MOST_PHOTOS:
            raise InputError("These are too many photographs", allowed=f"up to {MOST_PHOTOS}", todo="Twenty are good.")
        told(f"looking for tiles in photograph {number}")
        try:
            one = seen_in(arrived(data, name))
            if one.name in {other.name for other in seen}:
                problems.append(InputError("Two photographs have this name", found=one.name, todo="Give each its own."))
            elif (same := next((other for other in seen if are_one(one, other)), None)) is not None:
                problems.append(
                    InputError("This is a photograph for the second time", found=same.name, place=one.name,
                               todo="Leave one of the two out.")
                )  # fmt: skip
            seen.append(one)
        except InputError as problem:
            problems.append(problem)
    if problems:
        raise InputProblems(problems)
    return tuple(seen)


def photographed(photos: tuple[SeenPhoto, ...], survey: Survey, told: Callable[[str], None]) -> Photographed:
    """What photographs tell.

    Args:
        photos: what each shows
        survey: what was stuck where
        told: is told what is being done; may raise to stop

    Raises:
        Impossible: too few photographs or tiles, or they do not hang together
        NotConverged: the adjustment did not come to rest
    """
    net = netted(photos, survey, told)
    pointer = pointed(net, survey)
    pivots = (*found_pivots(net, survey), *touched_pivots(net, pointer))
    checks = checked(net, survey, pivots)
    remarks = (*remarks_on(net, survey, pivots, checks), *remarks_on_pointer(net, survey, pointer))
    return Photographed(photos, net, doubted_by_checks(pivots, checks), checks, remarks, pointer)

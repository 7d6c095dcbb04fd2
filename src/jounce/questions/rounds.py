"""Rounds of measuring and correcting a car that is down: each with what was found, what is turned, what it will give."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import product

from jounce.car.mechanics.model import AXLES
from jounce.case.case import Case
from jounce.conventions.axes import CORNERS, Corner
from jounce.conventions.units import Kind, show
from jounce.job.answer_table import Answer, AnswerTable
from jounce.job.round_words import RoundStep, round_steps
from jounce.job.rounds import AngleKey, Correction, CorrectionTask, ReadNumber, RoundFound, corrected
from jounce.layouts.naming import SIDES
from jounce.measuring.afterwards import FoundNumber

__all__ = ["JobRound", "found_of_round", "off_words", "round_table", "rounds_of"]

_AIMS = ("camber", "toe")


@dataclass(frozen=True, slots=True)
class JobRound:
    """A round: what was found and what it says, and the steps of its correction; ``made`` is whether it was turned so."""

    correction: Correction
    steps: tuple[RoundStep, ...]
    made: bool


def rounds_of(case: Case, found: Sequence[tuple[RoundFound, bool]], units: str) -> list[JobRound]:
    """All rounds of a job, each from how the rounds before it left the car.

    Args:
        case: a car with its job
        found: what was measured in each, and whether its correction was made
        units: unit set of the steps

    Raises:
        JounceError: a round lacks a height, or cannot be explained
    """
    bands = {key: band.plus_minus for key, band in case.planned.bands.items()} if found else {}
    task = CorrectionTask(case.car, case.with_parts, case.wishes, case.plan, case.plan, bands)
    told = []
    for one, made in found:
        correction = corrected(task, one)
        steps = round_steps(task.in_place, correction.plan, units)
        told.append(JobRound(correction, tuple(steps), made))
        if made:
            task = replace(task, in_place=correction.plan)
    return told


def found_of_round(numbers: Mapping[str, FoundNumber]) -> RoundFound:
    """What a round measured, from numbers by the keys of predictions.

    Args:
        numbers: as `jounce.measuring.afterwards.found_in` reads them
    """
    heights = {
        corner: ReadNumber(one.value, one.plus_minus)
        for corner in CORNERS
        for one in [numbers.get(f"{corner[0]}.{corner[1]}.height")]
        if one is not None
    }
    angles: dict[AngleKey, ReadNumber] = {}
    for axle in AXLES:
        for side, aim in product(SIDES, _AIMS):
            read = numbers.get(f"{axle}.{side}.{aim}")
            if read is not None:
                angles[axle, side, aim] = ReadNumber(read.value, read.plus_minus)
    return RoundFound(heights, angles)


def round_table(number: int, one: JobRound, units: str) -> AnswerTable:
    """A round as a table with what is to be done.

    Args:
        number: of the round, from 1
        one: the round
        units: unit set of the sentences
    """
    correction, rows = one.correction, []
    for corner, read in correction.found.heights.items():
        then = correction.heights[corner] if one.steps else None
        said = "measure again" if corner in correction.off else "as planned"
        rows.append(
            Answer(
                f"{' '.join(corner)} height",
                Kind.LENGTH,
                (correction.promised[corner], read.value, said if then is None else then),
                bands=(correction.bands[corner] or None, read.room, None),
            )
        )
    for key, angle in correction.found.angles.items():
        rows.append(
            Answer(
                " ".join(key),
                Kind.ANGLE,
                ("as planned", angle.value, correction.angles[key]),
                bands=(None, angle.room, None),
            )
        )
    return AnswerTable(f"Round {number}", ("planned", "found", "then"), tuple(rows), tuple(_said(one, units)))


def _said(one: JobRound, units: str) -> Iterator[str]:
    correction = one.correction
    if correction.met:
        yield "All that was measured is where it was planned, as far as these readings tell: nothing is turned."
        return
    outside = off_words(correction, units, (*correction.outside, *correction.outside_angles))
    if outside:
        yield f"Outside what was promised: {outside}."
    inside = off_words(correction, units, _off_inside(correction))
    if inside:
        yield f"Inside what was promised, both ± together, yet off by more than the reading's own: {inside}."
    if correction.twisted > 0:
        by = ", ".join(
            f"{' '.join(corner)} {show(off, Kind.LENGTH, units, sign=True).replace('-', '−')}"
            for corner, off in correction.twist.items()
        )
        yield (
            f"The four heights are twisted against each other ({by}), which springs hardly do: look at the floor under the "
            "wheels and measure again. Nothing is turned for it; wheel scales tell what it does to the loads."
        )
    if not one.steps:
        yield "No tooth, turn or plate brings it nearer by more than the readings can tell: it stays as it is."
    for step in one.steps:
        yield step.said


def off_words(correction: Correction, units: str, which: Collection[Corner | AngleKey]) -> str:
    """Heights that are off, with by how much, and angles by their names; empty for none.

    Args:
        correction: of a round
        units: unit set
        which: corners and angles that are told
    """
    told = [
        f"{' '.join(corner)} "
        + show(read.value - correction.promised[corner], Kind.LENGTH, units, sign=True).replace("-", "−")
        for corner, read in correction.found.heights.items()
        if corner in which
    ]
    return ", ".join([*told, *(" ".join(key) for key in correction.off_angles if key in which)])


def _off_inside(correction: Correction) -> list[Corner | AngleKey]:
    corners = [one for one in correction.off if one not in correction.outside]
    return [*corners, *(one for one in correction.off_angles if one not in correction.outside_angles)]

"""Rounds of measuring and correcting a car that is down: each with what was found, what is turned, what it will give."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import product

from jounce.car.mechanics.model import AXLES
from jounce.case.case import Case
from jounce.conventions.axes import CORNERS
from jounce.conventions.units import Kind, show
from jounce.job.answer_table import Answer, AnswerTable
from jounce.job.round_words import RoundStep, round_steps
from jounce.job.rounds import AngleKey, Correction, CorrectionTask, ReadNumber, RoundFound, corrected
from jounce.layouts.naming import SIDES
from jounce.measuring.afterwards import FoundNumber

__all__ = ["JobRound", "found_of_round", "round_table", "rounds_of"]

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
    task = CorrectionTask(case.car, case.with_parts, case.wishes, case.plan, case.plan)
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
        said = "measure again" if corner in correction.outside else "inside"
        rows.append(
            Answer(
                f"{' '.join(corner)} height",
                Kind.LENGTH,
                (correction.promised[corner], read.value, said if then is None else then),
                bands=(None, read.room, None),
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
    if correction.inside:
        yield "All that was measured is where it was planned, as far as these readings tell: nothing is turned."
        return
    off = [
        f"{' '.join(corner)} {_off(correction, corner, units)}" for corner in CORNERS if corner in correction.outside
    ]
    off += [" ".join(key) for key in correction.outside_angles]
    yield f"Outside: {', '.join(off)}."
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


def _off(correction: Correction, corner: tuple[str, str], units: str) -> str:
    for one, read in correction.found.heights.items():
        if one == corner:
            return show(read.value - correction.promised[one], Kind.LENGTH, units, sign=True).replace("-", "−")
    return ""

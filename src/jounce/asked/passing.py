"""A job for the length of one question: what was asked put on a car or on a kept job, which stays as it is."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from jounce.asked.amounts import Wording
from jounce.car.file.quantity import Measured
from jounce.case.case import Case
from jounce.conventions.errors import InputError
from jounce.conventions.units import Kind, show
from jounce.job.document import JobDocument, WantedAxle
from jounce.wanted.counter.today import nothing_done

__all__ = ["KINDS_WITH_HEIGHT", "passing_case", "understood_as"]

_ANGLES_AND_MORE = ("lower", "height", "left_height", "right_height")
KINDS_WITH_HEIGHT = frozenset(
    {
        *(
            "lower",
            "panhard",
            "seated",
            "keep-dampers",
            "bump-steer",
            "camber",
            "ride",
            "rub",
            "bottoming",
            "scrapes",
            "roll",
        ),
        *(
            "side-effects",
            "balance",
            "wheel-lift",
            "damping",
            "alignment",
            "bar",
            "anti-roll-bar",
            "legal",
            "brake",
            "weigh",
        ),
        *(
            "settle",
            "travel",
            "loads",
            "comply",
            "influence",
            "adjusters",
            "part-for",
            "which-first",
            "left-right",
        ),
    }
)
"""Kinds whose sentence may ask for another height: in the others an amount of height tells how it is."""


def passing_case(case: Case, kind: str, told: Wording) -> Case:
    """The case that a question is asked of.

    Args:
        case: a car, or a job on it
        kind: what is asked
        told: its amounts

    Raises:
        InputError: the car has not what is to be changed
    """
    base = case if case.job is not None else replace(nothing_done(case.car, case.rules), before=case.found)
    job = base.change_list
    if told.lower and kind in KINDS_WITH_HEIGHT:
        job = _lowered(job, told.lower)
    if told.bar is not None and kind != "settle":
        job = _with_bar(base, job, told.bar)
    return base if job is base.change_list else base.with_job(job)


def understood_as(case: Case, kind: str, told: Wording, units: str) -> tuple[str, ...]:
    """What of the amounts was taken, in words.

    Args:
        case: what was asked of
        kind: what is asked
        told: its amounts
        units: unit set of the numbers
    """
    words = []
    if told.lower and kind in {*KINDS_WITH_HEIGHT, "teeth"}:
        for axle, by in told.lower.items():
            way = "lower" if by > 0 else "higher"
            words.append(f"{axle} {show(abs(by), Kind.LENGTH, units)} {way} than as found")
    if told.bar is not None and _bar_of(case) is not None:
        words.append(f"front torsion bars of {show(told.bar, Kind.LENGTH, units)}")
    return tuple(words)


def _lowered(job: JobDocument, lower: Mapping[str, float]) -> JobDocument:
    """The job with other heights; what is wanted of the angles stays."""
    axles = {}
    for axle in ("front", "rear"):
        if axle in lower:
            kept: WantedAxle = getattr(job.wanted, axle)
            axles[axle] = kept.model_copy(update=dict.fromkeys(_ANGLES_AND_MORE) | {"lower": Measured(lower[axle])})
    return job.model_copy(update={"wanted": job.wanted.model_copy(update=axles)})


def _bar_of(case: Case) -> object:
    return getattr(case.car.front, "torsion_bar", None) or getattr(case.car.front.left, "torsion_bar", None)


def _with_bar(case: Case, job: JobDocument, diameter: float) -> JobDocument:
    """The job with front torsion bars of another diameter, else as they are."""
    changed = job.change.front.torsion_bar or _bar_of(case)
    if changed is None:
        raise InputError(
            "This car has no torsion bars in front", found=case.name, todo="Ask for a spring rate on its job instead."
        )
    bar = changed.model_copy(update={"diameter": Measured(diameter)})  # type: ignore[attr-defined]  # a section of either file
    front = job.change.front.model_copy(update={"torsion_bar": bar})
    return job.model_copy(update={"change": job.change.model_copy(update={"front": front})})

"""Which wanted heights lie beyond the ends of an axle's travel, and how far it goes instead; each axle for itself."""

from __future__ import annotations

from dataclasses import dataclass

from jounce.behaviour.axle.reach import first_hard, stops_met
from jounce.car.file.document import CarDocument
from jounce.car.mechanics.assembly import axle_model
from jounce.car.mechanics.model import AxleName
from jounce.job.apply import planned_document, wishes_of
from jounce.job.document import JobDocument
from jounce.layouts.naming import SIDES

__all__ = ["Beyond", "beyond_reach"]


@dataclass(frozen=True, slots=True)
class Beyond:
    """A wanted height that the wheels do not reach.

    Attributes:
        axle: front or rear
        asked: how much lower it shall stand, negative for higher [m]
        farthest: how much lower it can stand at the very most, negative for higher [m]
        end: what ends the travel

    """

    axle: AxleName
    asked: float
    farthest: float
    end: str


def beyond_reach(document: CarDocument, job: JobDocument) -> list[Beyond]:
    """The axles whose wanted height lies beyond where their wheels can go with the job's parts.

    Args:
        document: the car as measured
        job: the change list

    Raises:
        InputProblems: parts that do not go with this car
    """
    planned, lower = planned_document(document, job), wishes_of(document, job).lower
    found = []
    for axle in ("front", "rear"):
        asked = [lower[axle, side] for side in SIDES]
        met = stops_met(axle_model(planned, axle))
        for at, way, most in (("bump", 1.0, max(asked)), ("droop", -1.0, min(asked))):
            end = first_hard(met, at)
            if end is not None and way * most >= end.travel:
                found.append(Beyond(axle, most, way * end.travel, end.name))
    return found

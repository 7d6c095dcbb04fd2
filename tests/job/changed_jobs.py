"""The demo job with some of its text changed, worked out."""

from __future__ import annotations

import tempfile
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from pathlib import Path

from jounce.car.file.document import CarDocument
from jounce.car.file.quantity import Measured, MeasuredPoint
from jounce.car.parts.named_points import BrakeHose, JointLimit, LowPoint, NearPoint
from jounce.checks import Check, run_checks
from jounce.job.apply import planned_document, wishes_of
from jounce.job.document import JobDocument
from jounce.job.file import read_job
from jounce.job.plan import JobPlan, make_plan

DEMO = files("jounce.demo")
Edits = tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Worked:
    """A job worked out."""

    job: JobDocument
    car: CarDocument
    planned: CarDocument
    plan: JobPlan

    def checks(self, code: str) -> list[Check]:
        """Its checks of one code."""
        return [check for check in _checks(id(self)) if check.code == code]


@cache
def worked(job: Edits = (), car: Edits = ()) -> Worked:
    """The demo job with pieces of its text and of its car's text exchanged; each must be there."""
    with tempfile.TemporaryDirectory() as folder:
        for name, edits in (("brisk-14.toml", car), ("brisk-14-lower.toml", job)):
            text = DEMO.joinpath(name).read_text("utf-8")
            for old, new in edits:
                assert old in text, old
                text = text.replace(old, new)
            Path(folder, name).write_text(text, "utf-8")
        document, found = read_job(Path(folder, "brisk-14-lower.toml"))
    planned = planned_document(found, document)
    done = Worked(document, found, planned, make_plan(found, planned, wishes_of(found, document)))
    _DONE[id(done)] = done
    return done


def with_named_points(document: CarDocument) -> CarDocument:
    """A document of the demo car with a point near each front tyre, a hose, a low point and a joint's limit."""
    sides = {
        side: (one := getattr(document.front, side)).model_copy(
            update={"wheel": one.wheel.model_copy(update={"tyre_width": Measured(0.17)})}
        )
        for side in ("left", "right")
    }
    named = {
        "near": {"rail": NearPoint(wheel="front", at=MeasuredPoint(-0.25, 0.43, 0.33))},
        "low": {"sump": LowPoint(at=MeasuredPoint(0.1, 0.0, 0.17))},
        "hose": {
            "front": BrakeHose(
                axle="front",
                body_end=MeasuredPoint(-0.04, 0.47, 0.43),
                wheel_end=MeasuredPoint(-0.005, 0.61, 0.3),
                length=Measured(0.36),
            )
        },
        "joint": {"lower_ball": JointLimit(axle="front", joint="ball_joint", max_angle=Measured(0.45))},
    }
    return document.model_copy(update={"front": document.front.model_copy(update=sides), **named})


_DONE: dict[int, Worked] = {}


@cache
def _checks(which: int) -> tuple[Check, ...]:
    """All checks of a job, worked out once."""
    one = _DONE[which]
    return tuple(run_checks(one.job, one.planned, one.plan))

"""Grip: which end of the planned car uses more of what its tyres give in a brisk curve."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from jounce.behaviour.on_road.corner import corner
from jounce.car.document import CarDocument
from jounce.conventions.constants import GRAVITY
from jounce.conventions.units import Kind
from jounce.job.checks.check import Check, unknown, verdict
from jounce.job.limits import Limits
from jounce.job.on_road import car_in
from jounce.job.plan import Plan
from jounce.job.sentence import say


def grip_checks(document: CarDocument, plan: Plan, limits: Limits) -> Iterator[Check]:
    """Whether the rear axle keeps more in hand than the front, in both turns.

    Args:
        document: the planned car's document
        plan: what came out
        limits: what is common practice, and what the shop holds instead
    """
    brisk = limits["brisk"]
    at = f"{brisk.value / GRAVITY:g} g"
    question = "Do the front tyres give before the rear ones?"
    told = corner(car_in(document, plan.planned), np.array([-brisk.value, brisk.value]))
    if told.used is None:
        yield unknown(
            "GRP-01",
            question,
            Kind.SHARE,
            "how the tyres grip sideways is not told: choose a law for them in the car file, front and rear wheel",
        )
        return
    if not told.states.reached.all():
        yield unknown("GRP-01", question, Kind.SHARE, f"the car does not come to rest at {at}")
        return
    ahead = told.used[:, 0] - told.used[:, 1]
    worst = int(np.argmin(ahead))
    front, rear = told.used[worst]
    yield Check(
        "GRP-01",
        question,
        verdict(float(ahead[worst]) >= 0.0),
        say(
            f"at {at} in the {'right' if worst == 0 else 'left'} turn the front uses {front * 100:.0f} % of its grip, "
            f"the rear {rear * 100:.0f} %."
        ),
        Kind.SHARE,
        float(ahead[worst]),
        0.0,
        brisk.origin,
        "at least",
        "a rear axle that gives first makes the car spin when the driver lifts off",
        "Less roll stiffness behind or more in front, one step at a time.",
    )

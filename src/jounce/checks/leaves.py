"""Leaf springs: whether their leaves stand full bump."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from jounce.behaviour.axle.static import spring_wound
from jounce.car.axles.axle import Axle
from jounce.car.mechanics.layout_input import SIDE_OF
from jounce.car.mechanics.leaf_halves import leaf_halves
from jounce.car.mechanics.model import AxleModel
from jounce.car.parts import LeafSpring
from jounce.checks.check import Check, unknown, verdict
from jounce.checks.ends_of_travel import end_of_travel
from jounce.checks.limits import CheckLimits, Limit
from jounce.conventions.units import Kind
from jounce.elements.springs.leaf_stress import leaf_bending_stress
from jounce.job.plan import JobPlan
from jounce.job.sentence import say, stress
from jounce.layouts.naming import SIDES, SideName


def leaf_checks(model: AxleModel, section: Axle, plan: JobPlan, limits: CheckLimits) -> Iterator[Check]:
    """Checks of both leaves of an axle, their seats left out.

    Args:
        model: the planned axle
        section: its document
        plan: what came out
        limits: what is common practice, and what the shop holds instead
    """
    for side in SIDES:
        leaf = section.side(SIDE_OF[side]).leaf
        yield _stress_check(leaf, (model, side), leaf_halves(section, side), plan, limits["most_leaf_stress"])


def _stress_check(
    leaf: LeafSpring, at: tuple[AxleModel, SideName], halves: tuple[float, float], plan: JobPlan, limit: Limit
) -> Check:
    """Bending stress of the leaves at the seat, at full bump and told beside that where the car stands."""
    model, side = at
    question = f"Do the {side} {model.name} spring's leaves stand full bump?"
    end = end_of_travel(plan.planned, model.name, "bump")
    if leaf.missing or end is None:
        what = "number, width and thickness of the leaves" if end else "the damper's closed length or the bump stop"
        lacks = f"leaf.{leaf.missing[0]}" if end else "damper.closed_length"
        return unknown("LEF-01", question, Kind.STRESS, f"measure {what}", asks=f"{model.name}.{lacks}")
    law, state = model.main[side].law, plan.planned.states[model.name]
    wound = np.array([spring_wound(model, side, state, travel) for travel in (0.0, -end.travel)])
    standing, bump = leaf_bending_stress(law.force(wound + law.start), halves, *leaf.section_of_leaves).tolist()
    text = say(
        "{} at full bump ({}), {} standing, limit {}.", stress(bump), end.name, stress(standing), stress(limit.value)
    )
    return Check(
        "LEF-01",
        question,
        verdict(bump <= limit.value),
        text,
        Kind.STRESS,
        bump,
        limit.value,
        limit.origin,
        "at most",
        "beyond it the leaves settle, and crack at the clamp",
        "Leaves that are more or thinner, or a higher bump stop.",
    )

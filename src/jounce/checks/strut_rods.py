"""Strut rods: bending where the rod leaves the body, under the table's load cases."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

import numpy as np

from jounce.behaviour.axle.load_cases import common_cases, forces_of
from jounce.behaviour.axle.loads import axle_loads
from jounce.car.axles.axle import Axle
from jounce.car.file.document import CarDocument
from jounce.car.mechanics.bushes import jointed_axle
from jounce.car.mechanics.layout_input import SIDE_OF
from jounce.car.mechanics.model import AxleModel
from jounce.checks.check import Check, unknown, verdict
from jounce.checks.limits import CheckLimits, Limit
from jounce.conventions.axes import Corner, End, Side
from jounce.conventions.units import Kind
from jounce.job.plan import JobPlan, value_of
from jounce.job.sentence import Amount, force, say, stress
from jounce.layouts.naming import SIDES
from jounce.numerics.arrays import Array
from jounce.numerics.vectors import length, unit

_NAMES = (
    ("the damper's closed length", "damper.closed_length"),
    ("the diameter of the damper's rod", "damper.rod_diameter"),
    ("the height of the bump rubber off the rod", "bump_stop.free_height"),
)


def strut_rod_checks(model: AxleModel, document: CarDocument, plan: JobPlan, limits: CheckLimits) -> Iterator[Check]:
    """Checks of both rods, where an axle's dampers locate its wheels.

    The rod is bent by what its top carries across it; the lever is the length of rod outside the body, which is what
    the strut is longer than closed and the height of the rubber on it.

    Args:
        model: the planned axle
        document: the planned car's document
        plan: what came out
        limits: what is common practice, and what the shop holds instead
    """
    axle, section = model.name, document.axle(End(model.name))
    if not _locates(section):
        return
    linkage = jointed_axle(document, axle, rigid=True).linkage
    found = axle_loads(model, linkage, forces_of(common_cases(), model), plan.planned.states[axle])
    for side in SIDES:
        one = section.side(SIDE_OF[side])
        along = unit(np.subtract(one.pivots.strut_top.xyz, one.pivots.strut_foot.xyz))
        force = found.sites[f"{axle}.{side}.top_mount"].force[0]
        across: Array = length(force - (force @ along)[:, None] * along)[..., 0]
        case = int(np.argmax(across))
        now = value_of(plan.planned.geometry[axle], f"{side}_damper_length")
        yield _bending_check(one, (axle, side), (float(across[case]), found.cases[case]), now, limits["most_bending"])


def _locates(section: Axle) -> bool:
    return "strut_top" in type(section.side(Side.LEFT).pivots).model_fields


def _bending_check(one: Any, corner: Corner, load: tuple[float, str], now: float | None, limit: Limit) -> Check:
    """One rod under the largest force across its top, with the name of its case; ``now`` is the strut's length [m]."""
    axle, side = corner
    question = f"Does the {side} {axle} strut's rod stand the bending?"
    text = say("{} across it at its top ({})", force(load[0]), load[1])
    damper, rubber = one.damper, one.bump_stop
    closed, diameter, height = damper.closed_length, damper.rod_diameter, None if rubber is None else rubber.free_height
    if closed is None or diameter is None or height is None or now is None:
        told = zip(_NAMES, (closed, diameter, height), strict=True)
        missing = [(words, place) for (words, place), value in told if value is None]
        what = ", ".join(words for words, _ in missing) or "the strut"
        asks = f"{axle}.{missing[0][1]}" if missing else ""
        return unknown("STR-01", question, Kind.STRESS, say("{}; measure {}", text, what), asks=asks)
    lever = now - closed.value + height.value
    bending = 32 * load[0] * lever / (math.pi * diameter.value**3)
    return Check(
        "STR-01",
        question,
        verdict(bending <= limit.value),
        say(
            "{}: {} with {} of rod outside, {} for a hardened rod.",
            text,
            stress(bending),
            Amount(lever, Kind.LENGTH),
            stress(limit.value),
        ),
        Kind.STRESS,
        bending,
        limit.value,
        f"{limit.origin}; load cases likewise",
        "at most",
        "a bent rod sticks in its guide and leaks",
        "A damper with a thicker rod.",
    )

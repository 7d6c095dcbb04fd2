"""Strut rods: bending where the rod leaves the body, under the table's load cases."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from jounce.behaviour.axle.load_cases import common_cases, forces_of
from jounce.behaviour.axle.loads import axle_loads
from jounce.car.axles.strut_torsion_bar import StrutSide, StrutTorsionBarAxle
from jounce.car.file.document import CarDocument
from jounce.car.mechanics.bushes import jointed_axle
from jounce.car.mechanics.layout_input import SIDE_OF
from jounce.checks.check import Check, unknown, verdict
from jounce.checks.limits import CheckLimits, Limit
from jounce.conventions.units import Kind
from jounce.job.plan import JobPlan, value_of
from jounce.job.sentence import Amount, force, say, stress
from jounce.layouts.naming import SIDES, SideName
from jounce.numerics.arrays import Array
from jounce.numerics.vectors import length, unit

_NAMES = (
    ("the damper's closed length", "front.damper.closed_length"),
    ("the diameter of the damper's rod", "front.damper.rod_diameter"),
    ("the height of the bump rubber off the rod", "front.bump_stop.free_height"),
)


def strut_rod_checks(
    document: CarDocument, section: StrutTorsionBarAxle, plan: JobPlan, limits: CheckLimits
) -> Iterator[Check]:
    """Checks of both rods.

    The rod is bent by what its top carries across it; the lever is the length of rod outside the body, which is what
    the strut is longer than closed and the height of the rubber on it.

    Args:
        document: the planned car's document
        section: its front axle
        plan: what came out
        limits: what is common practice, and what the shop holds instead
    """
    model = plan.planned.models[0]
    linkage = jointed_axle(document, "front", rigid=True).linkage
    found = axle_loads(model, linkage, forces_of(common_cases(), model), plan.planned.states["front"])
    for side in SIDES:
        one = section.side(SIDE_OF[side])
        along = unit(np.subtract(one.pivots.strut_top.xyz, one.pivots.strut_foot.xyz))
        force = found.sites[f"front.{side}.top_mount"].force[0]
        across: Array = length(force - (force @ along)[:, None] * along)[..., 0]
        case = int(np.argmax(across))
        now = value_of(plan.planned.geometry["front"], f"{side}_damper_length")
        yield _bending_check(one, side, (float(across[case]), found.cases[case]), now, limits["most_bending"])


def _bending_check(one: StrutSide, side: SideName, load: tuple[float, str], now: float | None, limit: Limit) -> Check:
    """One rod under the largest force across its top, with the name of its case; ``now`` is the strut's length [m]."""
    question = f"Does the {side} strut's rod stand the bending?"
    text = say("{} across it at its top ({})", force(load[0]), load[1])
    damper, rubber = one.damper, one.bump_stop
    closed, diameter, height = damper.closed_length, damper.rod_diameter, None if rubber is None else rubber.free_height
    if closed is None or diameter is None or height is None or now is None:
        told = zip(_NAMES, (closed, diameter, height), strict=True)
        missing = [(words, place) for (words, place), value in told if value is None]
        what = ", ".join(words for words, _ in missing) or "the strut"
        asks = missing[0][1] if missing else ""
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

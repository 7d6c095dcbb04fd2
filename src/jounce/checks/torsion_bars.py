"""Torsion bars: stress from droop to bump, and whether they stay wound up."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from jounce.behaviour.axle.static import spring_wound
from jounce.car.axles.axle import Axle
from jounce.car.mechanics.layout_input import SIDE_OF
from jounce.car.mechanics.model import AxleModel
from jounce.car.mechanics.torsion_bars import stress_limit, torsion_bar
from jounce.car.parts import TorsionBarSection
from jounce.checks.check import Check, Verdict, unknown, verdict
from jounce.checks.ends_of_travel import end_of_travel, loose_check
from jounce.conventions.units import Kind
from jounce.job.plan import JobPlan
from jounce.job.sentence import say, stress
from jounce.layouts.naming import SIDES, SideName

_WHY = "beyond it the steel yields and the car settles, or the bar breaks at its splines"
_TODO = "A thicker bar or a higher stop."


def bar_checks(model: AxleModel, section: Axle, plan: JobPlan) -> Iterator[Check]:
    """Checks of both bars of an axle.

    Args:
        model: the planned axle
        section: its document
        plan: what came out
    """
    axle = model.name
    for side in SIDES:
        bar = section.side(SIDE_OF[side]).torsion_bar
        question = f"Does the {side} {axle} torsion bar stand full bump?"
        end = end_of_travel(plan.planned, axle, "bump")
        if end is None:
            what = "measure the damper's closed length or the bump stop, so that full bump is known"
            yield unknown("BAR-01", question, Kind.STRESS, what, asks=f"{axle}.damper.closed_length")
        else:
            yield _bump_check(
                question, _stress(bar, side, model, plan, -end.travel), f"full bump ({end.name})", bar, axle
            )
        yield loose_check("BAR-02", f"Is the {side} {axle} torsion bar still wound up at full droop?", axle, side, plan)
        yield _rest_check(bar, side, model, plan)


def _stress(bar: TorsionBarSection, side: SideName, model: AxleModel, plan: JobPlan, droop: float) -> float:
    """Shear stress with both wheels lowered from where the car stands [Pa]."""
    wound = spring_wound(model, side, plan.planned.states[model.name], droop)
    return float(torsion_bar(bar).shear_stress(model.main[side].law.force(np.array([wound])))[0])


def _bump_check(question: str, shear: float, where: str, bar: TorsionBarSection, axle: str) -> Check:
    limit, source = stress_limit(bar)
    if limit is None:
        what = say("{} at {}; {}: ask the bar's maker for the stress that it may see", stress(shear), where, source)
        return unknown("BAR-01", question, Kind.STRESS, what, shear, f"{axle}.torsion_bar.stress_limit")
    good = shear <= limit
    text = say("{} at {}, limit {}." if good else "{} at {} exceeds {}.", stress(shear), where, stress(limit))
    return Check("BAR-01", question, verdict(good), text, Kind.STRESS, shear, limit, source, "at most", _WHY, _TODO)


def _rest_check(bar: TorsionBarSection, side: SideName, model: AxleModel, plan: JobPlan) -> Check:
    """Stress over the travel: at rest it counts against the same limit, at full droop it is told beside it."""
    axle = model.name
    question = f"How hard does the {side} {axle} torsion bar work at rest, and what is left at full droop?"
    shear = _stress(bar, side, model, plan, 0.0)
    end = end_of_travel(plan.planned, axle, "droop")
    left = (
        ""
        if end is None
        else say(", {} at full droop ({})", stress(_stress(bar, side, model, plan, end.travel)), end.name)
    )
    limit, source = stress_limit(bar)
    text = say("{} at rest{}", stress(shear), left)
    if limit is None:
        what = say("{}; {}: ask the bar's maker for the stress that it may see", text, source)
        return unknown("BAR-03", question, Kind.STRESS, what, shear, f"{axle}.torsion_bar.stress_limit")
    return Check(
        "BAR-03",
        question,
        Verdict.PASS if shear <= limit else Verdict.FAIL,
        say("{}, limit {}.", text, stress(limit)),
        Kind.STRESS,
        shear,
        limit,
        source,
        "at most",
        _WHY,
        _TODO,
    )

"""Coil springs: seated at full droop, clear of binding at full bump, helpers solid, stress of the wire."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from jounce.behaviour.axle.stack_states import stack_states
from jounce.behaviour.axle.static import spring_wound
from jounce.car.axles.axle import Axle
from jounce.car.mechanics.coil_stack import coil_stack
from jounce.car.mechanics.layout_input import SIDE_OF
from jounce.car.mechanics.model import AxleModel
from jounce.car.parts import Spring
from jounce.checks.check import Check, Verdict, unknown, verdict
from jounce.checks.ends_of_travel import end_of_travel, loose_check
from jounce.conventions.units import MM, Kind
from jounce.elements.bars.materials import hot_formed_solid_stress_limit
from jounce.elements.springs.coil_stress import bergstraesser_factor, coil_shear_stress
from jounce.job.plan import JobPlan
from jounce.job.sentence import length, say, stress
from jounce.layouts.naming import SIDES, SideName

_CHART = (10 * MM, 50 * MM)
"""Wires for which the chart of hot-formed springs holds."""


def coil_checks(model: AxleModel, section: Axle, plan: JobPlan) -> Iterator[Check]:
    """Checks of both coils of an axle, their perches left out.

    Args:
        model: the planned axle
        section: its document
        plan: what came out
    """
    for side in SIDES:
        spring = section.side(SIDE_OF[side]).spring
        yield loose_check(
            "SPR-01", f"Is the {side} {model.name} coil still seated at full droop?", model.name, side, plan
        )
        stack = coil_stack(spring)
        yield _bind_check(None if stack.solid_length is None else float(stack.solid_length[0]), side, model, plan)
        if spring.helper is not None:
            yield _helper_check(side, model, plan)
        yield _stress_check(spring, side, model, plan)


def _helper_check(side: SideName, model: AxleModel, plan: JobPlan) -> Check:
    """A helper spring that still moves where the car stands makes it far softer than its main spring."""
    states = stack_states(model, plan.planned.states[model.name])
    mine = {state.at: state for state in states if state.side == side}
    text = "; ".join(f"{place}: {state.words}" for place, state in mine.items()) + "."
    question = f"Is the {side} {model.name} helper spring solid where the car stands?"
    good = mine["rest"].solid["helper"]
    todo = "A softer helper spring."
    return Check("SPR-03", question, verdict(good), say("{}", text), Kind.FORCE, mine["rest"].force, todo=todo)


def _bind_check(solid: float | None, side: SideName, model: AxleModel, plan: JobPlan) -> Check:
    question = f"Does the {side} {model.name} coil keep clear of binding at full bump?"
    end = end_of_travel(plan.planned, model.name, "bump")
    if solid is None or end is None:
        what = "the spring's solid length" if solid is None else "the damper's closed length or the bump stop"
        lacks = "spring.solid_length" if end else "damper.closed_length"
        return unknown("SPR-02", question, Kind.LENGTH, f"measure {what}", asks=f"{model.name}.{lacks}")
    state = plan.planned.states[model.name]
    wound = spring_wound(model, side, state, -end.travel) - spring_wound(model, side, state, 0.0)
    table = {c.name: float(c.values[0]) for c in plan.planned.geometry[model.name].columns}
    long = table[f"{side}_spring_length"] - plan.settings[model.name].seats[side].seat - wound
    text = say("{} long at full bump ({}), solid at {}.", length(long), end.name, length(solid))
    return Check(
        "SPR-02",
        question,
        verdict(long > solid),
        text,
        Kind.LENGTH,
        long,
        solid,
        "length of the spring with all its turns touching",
        "at least",
        "a spring whose turns touch stops the wheel hard and is overstressed",
        "A higher bump stop, or a spring with a shorter solid length.",
    )


def _stress_check(spring: Spring, side: SideName, model: AxleModel, plan: JobPlan) -> Check:
    """Shear stress of the wire at full bump, with the factor of the standard, against the limit pressed solid."""
    question = f"Does the {side} {model.name} coil's wire stand full bump?"
    end = end_of_travel(plan.planned, model.name, "bump")
    if spring.wire is None or spring.coil is None or end is None:
        what = "the spring's wire and coil diameter" if end else "the damper's closed length or the bump stop"
        lacks = "spring.wire" if end else "damper.closed_length"
        return unknown("SPR-04", question, Kind.STRESS, f"measure {what}", asks=f"{model.name}.{lacks}")
    state = plan.planned.states[model.name]
    law = model.main[side].law
    wound = np.array([spring_wound(model, side, state, -end.travel)])
    wire, coil = spring.wire.value, spring.coil
    plain = float(np.ravel(coil_shear_stress(law.force(wound + law.start), wire, coil))[0])
    raised = plain * float(bergstraesser_factor(coil / wire))
    text = say("{} at full bump ({}), {} at the inside of the turns", stress(plain), end.name, stress(raised))
    if not _CHART[0] <= wire <= _CHART[1]:
        asked = say("{}; no published limit at hand for this wire: ask its maker", text)
        return unknown("SPR-04", question, Kind.STRESS, asked, plain)
    limit = float(hot_formed_solid_stress_limit(wire))
    return Check(
        "SPR-04",
        question,
        Verdict.PASS if plain <= limit else Verdict.FAIL,
        say("{}, limit {}.", text, stress(limit)),
        Kind.STRESS,
        plain,
        limit,
        "EN 13906-1, chart for hot-formed springs pressed solid; read in a public transcription",
        "at most",
        "beyond it the wire yields and the spring settles",
        "A spring of thicker wire, or a higher bump stop.",
    )

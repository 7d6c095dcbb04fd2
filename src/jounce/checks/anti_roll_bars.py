"""Anti-roll bars: stress at full roll, one wheel at the end of bump and the other at the end of droop."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from jounce.behaviour.axle.anti_roll_bars import anti_roll_bars_at_rest
from jounce.car.axles.axle import Axle
from jounce.car.file.document import CarDocument
from jounce.checks.check import Check, unknown, verdict
from jounce.checks.ends_of_travel import end_of_travel, length_missing
from jounce.checks.limits import CheckLimits, Limit
from jounce.conventions.errors import Impossible
from jounce.conventions.units import Kind
from jounce.job.plan import JobPlan
from jounce.job.sentence import length, say, stress

_WORDS = {"roll_bar": "anti-roll bar", "roll_bar_2": "second anti-roll bar"}


def anti_roll_bar_checks(document: CarDocument, plan: JobPlan, limits: CheckLimits) -> Iterator[Check]:
    """One check for each bent bar of both axles.

    Args:
        document: the planned car's document
        plan: what came out
        limits: what is common practice, and what the shop holds instead
    """
    for k, section in enumerate((document.front, document.rear)):
        yield from _axle(section, plan, k, limits["most_bar_stress"])


def _axle(section: Axle, plan: JobPlan, axle: int, limit: Limit) -> Iterator[Check]:
    model = plan.planned.models[axle]
    names = [name for name in _WORDS if getattr(section.left, name, None) is not None]
    bump, droop = (end_of_travel(plan.planned, model.name, at) for at in ("bump", "droop"))
    for name in names:
        question = f"Does the {model.name} {_WORDS[name]} stand full roll?"
        if bump is None or droop is None:
            what, asks = "measure the dampers' lengths, so that full roll is known", length_missing(model.name, bump)
            yield unknown("ARB-01", question, Kind.STRESS, what, asks=asks)
            continue
        standing = plan.planned.states[model.name]
        found = []
        for left, right in ((bump.travel, -droop.travel), (-droop.travel, bump.travel)):
            states = replace(standing, left=standing.left + left, right=standing.right + right)
            try:
                bars = anti_roll_bars_at_rest(section, model, states)
            except Impossible:
                continue
            found += [bar.peak_stress for bar in bars if bar.name == name]
        if not found:
            what = "the linkage does not reach one wheel at full bump and the other at full droop"
            yield unknown("ARB-01", question, Kind.STRESS, what)
            continue
        yield _stress_check(question, max(found), (bump.travel, droop.travel), limit)


def _stress_check(question: str, peak: float, ends: tuple[float, float], limit: Limit) -> Check:
    where = say("one wheel {} up, the other {} down", *map(length, ends))
    return Check(
        "ARB-01",
        question,
        verdict(peak <= limit.value),
        say("{} with {}; {} for a tempered bar.", stress(peak), where, stress(limit.value)),
        Kind.STRESS,
        peak,
        limit.value,
        limit.origin,
        "at most",
        "beyond it the bar yields and keeps a twist, or cracks at its bends",
        "A thinner bar or longer arms; ask the bar's maker what its steel stands.",
    )

"""The Panhard rod: whether it centres the axle, does not buckle, and keeps enough thread in its ends."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, cast

import numpy as np

from jounce.behaviour.axle.load_cases import common_cases, forces_of
from jounce.behaviour.axle.loads import axle_loads
from jounce.car.file.document import CarDocument
from jounce.car.mechanics.bushes import jointed_axle
from jounce.car.mechanics.model import AxleModel
from jounce.car.parts import PanhardRod
from jounce.checks.check import Check, unknown, verdict
from jounce.checks.limits import CheckLimits, Limit
from jounce.conventions.axes import End
from jounce.conventions.units import GPA, MPA, Kind
from jounce.elements.bars.rod_buckling import buckling_load
from jounce.job.document import AdjustableRod, AxleChange
from jounce.job.plan import JobPlan
from jounce.job.sentence import force, length, say
from jounce.job.settings import RodSetting
from jounce.job.shortfall import Shortfall

_YOUNG, _YIELD = 206 * GPA, 235 * MPA  # plain structural steel, the least that a rod is made of
_BUCKLING = (
    "Budynas and Nisbett, Shigley's Mechanical Engineering Design, sections 4-12 and 4-13 (quoted from memory), plain "
    "structural steel; the factor of 3 is common practice, no source"
)


def panhard_checks(
    model: AxleModel, change: AxleChange, document: CarDocument, plan: JobPlan, limits: CheckLimits
) -> Iterator[Check]:
    """Checks of the rod that holds an axle sideways; none where it has none.

    Args:
        model: the planned axle
        change: the parts exchanged on it
        document: the planned car's document
        plan: what came out
        limits: what is common practice, and what the shop holds instead
    """
    setting = plan.settings[model.name].rod
    if setting is None:
        return
    rod: PanhardRod = cast("Any", document.axle(End(model.name))).panhard
    lack = next((x for x in plan.short if (x.axle, x.side) == (model.name, "")), None)
    yield _centring_check(rod, setting, limits["most_off_centre"], lack)
    yield _buckling_check((model, rod, setting), document, plan, limits["buckling_safety"])
    if change.panhard is not None:
        yield _thread_check(change.panhard, setting, model.name, limits["least_engaged"])


def _centring_check(panhard: PanhardRod, rod: RodSetting, most: Limit, lack: Shortfall | None = None) -> Check:
    question = "Can the Panhard rod centre the axle?"
    if panhard.shortest is None or panhard.longest is None:
        text = say(
            "the rod is not adjustable; left alone the axle stands {} to the {}.",
            length(abs(rod.shift_if_left), fine=True),
            "left" if rod.shift_if_left > 0 else "right",
        )
        good = abs(rod.shift_if_left) < most.value
        todo = "An adjustable rod."
        return Check("PAN-01", question, verdict(good), text, Kind.LENGTH, rod.shift_if_left, todo=todo)
    good = panhard.shortest.value <= rod.centring_length <= panhard.longest.value
    text = say(
        "{} centres it; the rod goes from {} to {}.",
        length(rod.centring_length, fine=True),
        length(panhard.shortest.value),
        length(panhard.longest.value),
    )
    text = text if lack is None else lack.told()
    short = 2 * rod.centring_length < panhard.shortest.value + panhard.longest.value
    return Check(
        "PAN-01",
        question,
        verdict(good),
        text,
        Kind.LENGTH,
        rod.centring_length,
        panhard.shortest.value if short else panhard.longest.value,
        "the rod's own lengths",
        "at least" if short else "at most",
        "an axle beside the middle makes the car crawl sideways and its tyres meet the arch",
        "Another rod.",
    )


def _buckling_check(
    which: tuple[AxleModel, PanhardRod, RodSetting], document: CarDocument, plan: JobPlan, safety: Limit
) -> Check:
    """Largest pressure of the rod in the table of load cases against what buckles it."""
    question = "Can the Panhard rod buckle?"
    model, rod, setting = which
    linkage = jointed_axle(document, model.name, rigid=True).linkage
    found = axle_loads(model, linkage, forces_of(common_cases(), model), plan.planned.states[model.name])
    axial = found.sites[f"{model.name}.panhard"].axial
    if axial is None:
        return unknown("PAN-02", question, Kind.FORCE, "the load of the rod is not known in this layout")
    case = int(np.argmin(axial[0]))
    pressed = max(0.0, -float(axial[0, case]))
    text = say("{} of compression at most ({})", force(pressed), found.cases[case])
    if rod.diameter is None:
        what = say("{}; measure the rod's diameter and bore", text)
        return unknown("PAN-02", question, Kind.FORCE, what, pressed, f"{model.name}.panhard.diameter")
    load = float(buckling_load(setting.set_length, rod.diameter.value, rod.inner_diameter.value, _YOUNG, _YIELD))
    limit = load / safety.value
    return Check(
        "PAN-02",
        question,
        verdict(pressed <= limit),
        say("{}; a straight rod buckles at {}, {} of it may be used.", text, force(load), force(limit)),
        Kind.FORCE,
        pressed,
        limit,
        _BUCKLING,
        "at most",
        "a rod that buckles lets the axle go sideways at once; a bent rod carries far less",
        "A rod of larger diameter.",
    )


def _thread_check(rod: AdjustableRod, setting: RodSetting, axle: str, least: Limit) -> Check:
    question = "Is enough thread left in the Panhard rod's ends?"
    if rod.thread_diameter is None or rod.thread_engaged is None:
        what = "measure the thread's diameter and what of it is screwed in at the shortest length"
        lacks = "engaged" if rod.thread_diameter is not None else "diameter"
        return unknown("PAN-03", question, Kind.LENGTH, what, asks=f"change.{axle}.panhard.thread_{lacks}")
    left = rod.thread_engaged.value - (setting.set_length - rod.shortest.value)
    limit = least.value * rod.thread_diameter.value
    return Check(
        "PAN-03",
        question,
        verdict(left >= limit),
        say(
            "{} screwed in, all the way out of one end; the least is {}.",
            length(left, fine=True),
            length(limit, fine=True),
        ),
        Kind.LENGTH,
        left,
        limit,
        least.origin,
        "at least",
        "a thread that carries on few turns strips",
        "A longer rod or longer thread; never turn it out further.",
    )

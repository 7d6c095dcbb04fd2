"""The Panhard rod: whether it centres the axle, does not buckle, and keeps enough thread in its ends."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from jounce.behaviour.axle.load_cases import common_cases, forces_of
from jounce.behaviour.axle.loads import axle_loads
from jounce.car.axles.beam_panhard import BeamPanhardAxle
from jounce.car.file.document import CarDocument
from jounce.car.mechanics.bushes import jointed_axle
from jounce.checks.check import Check, unknown, verdict
from jounce.checks.limits import CheckLimits, Limit
from jounce.conventions.units import GPA, MPA, Kind
from jounce.elements.bars.rod_buckling import buckling_load
from jounce.job.document import JobDocument
from jounce.job.plan import JobPlan
from jounce.job.sentence import force, length, say

_YOUNG, _YIELD = 206 * GPA, 235 * MPA  # plain structural steel, the least that a rod is made of
_BUCKLING = (
    "Budynas and Nisbett, Shigley's Mechanical Engineering Design, sections 4-12 and 4-13 (quoted from memory), plain "
    "structural steel; the factor of 3 is common practice, no source"
)


def panhard_checks(
    job: JobDocument, document: CarDocument, section: BeamPanhardAxle, plan: JobPlan, limits: CheckLimits
) -> Iterator[Check]:
    """Checks of the rod.

    Args:
        job: the change list
        document: the planned car's document
        section: its rear axle
        plan: what came out
        limits: what is common practice, and what the shop holds instead
    """
    yield _centring_check(section, plan, limits["most_off_centre"])
    yield _buckling_check(document, section, plan, limits["buckling_safety"])
    if job.change.rear.panhard is not None:
        yield _thread_check(job, plan, limits["least_engaged"])


def _centring_check(section: BeamPanhardAxle, plan: JobPlan, most: Limit) -> Check:
    rod, panhard = plan.rod, section.panhard
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


def _buckling_check(document: CarDocument, section: BeamPanhardAxle, plan: JobPlan, safety: Limit) -> Check:
    """Largest pressure of the rod in the table of load cases against what buckles it."""
    question = "Can the Panhard rod buckle?"
    model = plan.planned.models[1]
    linkage = jointed_axle(document, "rear", rigid=True).linkage
    found = axle_loads(model, linkage, forces_of(common_cases(), model), plan.planned.states["rear"])
    axial = found.sites["rear.panhard"].axial
    if axial is None:
        return unknown("PAN-02", question, Kind.FORCE, "the load of the rod is not known in this layout")
    case = int(np.argmin(axial[0]))
    pressed = max(0.0, -float(axial[0, case]))
    text = say("{} of compression at most ({})", force(pressed), found.cases[case])
    rod = section.panhard
    if rod.diameter is None:
        what = say("{}; measure the rod's diameter and bore", text)
        return unknown("PAN-02", question, Kind.FORCE, what, pressed, "rear.panhard.diameter")
    load = float(buckling_load(plan.rod.set_length, rod.diameter.value, rod.inner_diameter.value, _YOUNG, _YIELD))
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


def _thread_check(job: JobDocument, plan: JobPlan, least: Limit) -> Check:
    question = "Is enough thread left in the Panhard rod's ends?"
    rod = job.change.rear.panhard
    if rod is None or rod.thread_diameter is None or rod.thread_engaged is None:
        what = "measure the thread's diameter and what of it is screwed in at the shortest length"
        lacks = "engaged" if rod is not None and rod.thread_diameter is not None else "diameter"
        return unknown("PAN-03", question, Kind.LENGTH, what, asks=f"change.rear.panhard.thread_{lacks}")
    left = rod.thread_engaged.value - (plan.rod.set_length - rod.shortest.value)
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

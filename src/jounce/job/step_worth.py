"""What half a step of what sets a wheel's angle is worth in it: no gauge shows less where nothing finer is turned."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from jounce.behaviour.axle.travel import column_map, states_table
from jounce.conventions.axes import Corner
from jounce.conventions.units import MM
from jounce.job.plan import JobPlan
from jounce.job.settings import QUARTER_TURN, WantedAngles, WheelSetting
from jounce.job.shim_range import ShimRange
from jounce.job.slot_range import SlotRange
from jounce.layouts.adjusters import Aim
from jounce.layouts.naming import named

__all__ = ["half_step_worth"]

_TRIED = MM / 10  # by which a link is made longer to see what it does


def half_step_worth(plan: JobPlan, corner: Corner, name: Aim, angles: WantedAngles, miss: float) -> float:
    """What half a step of all that sets an angle is worth in it [rad]; none where it is set to any place.

    Args:
        plan: what came out
        corner: of which wheel
        name: the angle
        angles: what is wanted, with how what sets it goes
        miss: by how much it misses what was wanted [rad]
    """
    axle, side = corner
    wheel = plan.settings[axle].wheels[side]
    return max(
        _of_slots(name, wheel, angles.slots, miss),
        _of_link(name, wheel, angles, miss),
        _of_links(plan, corner, name, angles),
        _of_shims(name, wheel, angles.shims),
    )


def _of_slots(name: Aim, wheel: WheelSetting, slots: SlotRange, miss: float) -> float:
    """Of an upper joint, by how far the step that is set misses the angle [rad]."""
    put, needed = {
        "camber": (wheel.plate_inward, wheel.inward_needed),
        "caster": (wheel.plate_rearward, wheel.rearward_needed),
    }.get(name, (0.0, 0.0))
    if slots.step is None or put == needed:
        return 0.0
    return miss / abs(put - needed) * slots.step / 2


def _of_link(name: Aim, wheel: WheelSetting, angles: WantedAngles, miss: float) -> float:
    """Of the angle's own link, by how far the turns that are set miss it, all else set anew for them [rad]."""
    link, goes = wheel.links.get(name), angles.links.get(name)
    if link is None or goes is None or goes.pitch is None or link.longer == link.needed:
        return 0.0
    return miss / abs(link.longer - link.needed) * goes.pitch * QUARTER_TURN / 2


def _of_links(plan: JobPlan, corner: Corner, name: Aim, angles: WantedAngles) -> float:
    """Of all threaded links of a wheel together: one that sets another angle moves this one too [rad]."""
    axle, side = corner
    pitches = {
        named(axle, side, link.name.replace(" ", "_")): angles.links[aim].pitch
        for aim, link in plan.settings[axle].wheels[side].links.items()
    }
    if name not in angles.links:
        return 0.0
    model = next(one for one in plan.planned.models if one.name == axle)
    standing = plan.planned.states[axle]
    settings = dict(standing.settings or {})
    worth = 0.0
    for joint, pitch in pitches.items():
        if pitch is None:
            continue
        at = float(np.asarray(settings.get(joint, model.stand.reference_values([joint])[0, 0])))
        both = (
            column_map(
                states_table(
                    model.stand,
                    model.linkage,
                    replace(standing, settings=settings | {joint: at + by}),
                    (1.0, 1.0),
                    groups=("wheel angles", "steering axis"),
                )
            )[f"{side}_{name}"][0]
            for by in (-_TRIED, _TRIED)
        )
        less, more = both
        worth += abs(float(more - less)) / (2 * _TRIED) * pitch * QUARTER_TURN / 2
    return worth


def _of_shims(name: Aim, wheel: WheelSetting, shims: ShimRange) -> float:
    """Of a hub's shims, each of which turns it by its thickness over the flange [rad]."""
    if name not in wheel.shims or shims.step is None or shims.flange is None:
        return 0.0
    return math.atan2(shims.step / 2, shims.flange)

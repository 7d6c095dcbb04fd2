"""What half a step of what sets a wheel's angles is worth in them: no gauge shows less where nothing finer is turned."""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np

from jounce.conventions.axes import Corner
from jounce.job.angle_slopes import angle_slopes
from jounce.job.plan import JobPlan, value_of
from jounce.job.settings import QUARTER_TURN, WantedAngles
from jounce.layouts.adjusters import Aim, is_shim
from jounce.numerics.arrays import Array

__all__ = ["half_steps_worth"]

_IN_ORDER: tuple[Aim, ...] = ("camber", "caster", "toe")
"""The angles in the order in which they go to their steps, those after each set anew for it."""


def half_steps_worth(
    plan: JobPlan, corner: Corner, joints: Mapping[Aim, str], angles: WantedAngles, enough: float
) -> dict[Aim, float]:
    """What half a step of all that sets the angles of a wheel is worth in each of them, all at their worst [rad].

    A joint goes to its nearest step while those before it stay and those after it still follow: so an angle is put off by
    its own joint's step, and by the steps that come after, as far as these do not make up for it. A joint that misses its
    own angle by more than that stands at its end and follows nothing.

    Args:
        plan: what came out
        corner: of which wheel
        joints: those of the axle that can be set, by what for
        angles: what is wanted, with how what sets it goes
        enough: what is missed of an angle at which it counts as met [rad]
    """
    axle, side = corner
    set_for = {aim: joints[aim] for aim in _IN_ORDER if aim in joints and angles.of(aim) is not None}
    steps = {aim: _step(aim, joint, angles) for aim, joint in set_for.items()}
    if not any(steps.values()):
        return dict.fromkeys(set_for, 0.0)
    model = next(one for one in plan.planned.models if one.name == axle)
    slopes = angle_slopes(model, plan.planned.states[axle], side, set_for)
    worth = np.zeros(len(set_for))
    follow: list[int] = []
    for k, (aim, step) in reversed(list(enumerate(steps.items()))):
        if step:
            worth[: k + 1] += np.abs(_others_following(slopes, k, follow)[: k + 1]) * step / 2
        wanted, value = angles.of(aim), value_of(plan.planned.geometry[axle], f"{side}_{aim}")
        if wanted is not None and value is not None and abs(value - wanted[side]) <= max(enough, worth[k]):
            follow.append(k)
    return dict(zip(set_for, map(float, worth), strict=True))


def _others_following(slopes: Array, joint: int, follow: list[int]) -> Array:
    """What a joint does to all angles where others are set so that their own angles stay [rad/m or rad/rad]."""
    if not follow:
        return slopes[:, joint]
    held = np.linalg.solve(slopes[np.ix_(follow, follow)], slopes[follow, joint])
    return slopes[:, joint] - slopes[:, follow] @ held


def _step(aim: Aim, joint: str, angles: WantedAngles) -> float:
    """The step in which a joint is set; none where it is set to any place [m], of a shim [rad]."""
    if aim in angles.links:
        pitch = angles.links[aim].pitch
        return 0.0 if pitch is None else pitch * QUARTER_TURN
    if is_shim(joint):
        shims = angles.shims
        return 0.0 if shims.step is None or shims.flange is None else math.atan2(shims.step, shims.flange)
    return 0.0 if aim == "toe" else angles.slots.step or 0.0

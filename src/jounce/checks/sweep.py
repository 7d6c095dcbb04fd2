"""An axle through all that it does: its whole travel, each lock, the other wheel together, still and the other way."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jounce.behaviour.axle.motions import AxleStates, place_axle
from jounce.car.axles.axle import Axle
from jounce.car.mechanics.model import AxleModel
from jounce.checks.check import Check, unknown
from jounce.checks.ends_of_travel import end_of_travel, length_missing
from jounce.conventions.units import Kind
from jounce.job.plan import JobPlan
from jounce.job.sentence import Sentence, length, say
from jounce.layouts.naming import SideName, named
from jounce.linkage.tree import Direction, Point, Pose
from jounce.numerics.arrays import Array

__all__ = ["Sweep", "ends_missing", "sweep"]

_STEPS = 25
_LOCKS = (-1.0, -0.5, 0.0, 0.5, 1.0)
_OTHERS = {"together": 1.0, "still": 0.0, "the other way": -1.0}
_EQUAL = 1e-7  # what two states may differ by and be told as one [m or rad]
_ONE = 1e-3  # travel below which a wheel is told to be where it stands [m]


@dataclass(frozen=True, slots=True)
class Sweep:
    """States of an axle in which its linkage stands.

    Attributes:
        model: the planned axle
        pose: where everything is, one a state
        way: travel of the wheel that is looked at, from where the car stands, up positive, shape (states,) [m]
        other: the same of the other wheel [m]
        lock: share of the way to full lock, positive steering to the left [-]
        locks_unknown: the axle steers, and nobody told how far

    """

    model: AxleModel
    pose: Pose
    way: Array
    other: Array
    lock: Array
    locks_unknown: bool

    def at(self, point: Point) -> Array:
        """A point in every state, shape (states, 3) [m]."""
        return self.model.stand.position(self.pose, point)

    def along(self, direction: Direction) -> Array:
        """A direction in every state, shape (states, 3) [-]."""
        return self.model.stand.direction(self.pose, direction)

    def not_locked(self, code: str, question: str, told: Sentence, value: float, kind: Kind) -> Check:
        """The answer where all is well straight ahead and the locks are not known: nobody may take it for a pass.

        Args:
            code: of the check
            question: that is asked
            told: what was found straight ahead
            value: the same as a number [SI]
            kind: what it measures
        """
        what = say("straight ahead {}; measure the rack's travel, or look at it at both locks", told)
        return unknown(code, question, kind, what, value, f"{self.model.name}.steering.rack_travel")

    def worst(self, values: Array) -> int:
        """The state with the largest of some values; of equal ones the plainest: both wheels together, straight ahead.

        Args:
            values: one a state [m or rad]
        """
        largest = np.flatnonzero(values >= values.max() - _EQUAL)
        return int(min(largest, key=lambda k: (abs(self.other[k] - self.way[k]), abs(self.lock[k]))))

    def where(self, state: int) -> Sentence:
        """A state in words."""
        way, other, lock = float(self.way[state]), float(self.other[state]), float(self.lock[state])
        told = [_wheel(way)]
        if lock:
            turned = "full" if abs(lock) == 1 else "half"
            told.append(say(f"{turned} lock to the {'left' if lock > 0 else 'right'}"))
        if abs(other - way) > _ONE:
            told.append(say("the other wheel {}", _wheel(other)))
        return say(", ".join(["{}"] * len(told)), *told)


def _wheel(way: float) -> Sentence:
    if abs(way) <= _ONE:
        return say("where it stands")
    return say("{} up" if way > 0 else "{} down", length(abs(way)))


def sweep(model: AxleModel, section: Axle, plan: JobPlan, side: SideName) -> Sweep | None:
    """Put a planned axle through its travel; None where it is not known how far it goes.

    Args:
        model: the planned axle
        section: its document
        plan: what came out
        side: the wheel that is looked at
    """
    droop, bump = (end_of_travel(plan.planned, model.name, at) for at in ("droop", "bump"))
    if droop is None or bump is None:
        return None
    steering = getattr(section, "steering", None)
    travel = None if steering is None else float(steering.rack_travel.value)
    grid = np.array([(w, _other(w, o, droop.travel, bump.travel), k)
                     for w in np.linspace(-droop.travel, bump.travel, _STEPS)
                     for o in _OTHERS.values()
                     for k in (_LOCKS if travel is not None else (0.0,))])  # fmt: skip
    way, other, lock = grid.T
    standing = plan.planned.states[model.name]
    left, right = (way, other) if side == "left" else (other, way)
    states = AxleStates(
        left=standing.left + left,
        right=standing.right + right,
        rack=lock * (travel or 0.0),
        settings=standing.settings,
    )
    placed = place_axle(model.stand, model.name, states)
    unknown_locks = travel is None and model.name == "front" and section.as_layout().steered
    there = np.flatnonzero(placed.reached)
    pose = placed.pose.take(there)
    return Sweep(model, pose, way[there], other[there], _to_the_left(model, pose, side, lock[there]), unknown_locks)


def _to_the_left(model: AxleModel, pose: Pose, side: SideName, lock: Array) -> Array:
    """Shares of lock by the way that the wheels steer: a rack ahead of the wheels and one behind do the opposite."""
    if not lock.any():
        return lock
    steer = model.stand.taken([named(model.name, side, "steer")]).values(pose)[:, 0]
    return np.asarray(lock * np.sign(np.dot(steer, lock)))


def _other(way: float, share: float, droop: float, bump: float) -> float:
    """Travel of the other wheel: as far along its own way up or down as this one, or against it [m]."""
    if share >= 0:
        return way * share
    return -way * (droop / bump) if way > 0 else -way * (bump / droop)


def ends_missing(plan: JobPlan, axle: str) -> str:
    """Place in the car file of the damper length that would tell how far an axle goes.

    Args:
        plan: what came out
        axle: "front" or "rear"
    """
    return length_missing(axle, end_of_travel(plan.planned, axle, "bump"))

"""Balance: where a mechanism comes to rest under its elements, and what every joint carries there.

Elements hold potential energy as a function of one measure each (springs, bars, stops, tyres, and weights, whose
energy is the height of their mass). Rest is where the energy is stationary on the joints:
``sum(F_e dm_e/dq) + sum(lambda_j dg_j/dq) = 0``; the multipliers lambda are the joints' loads.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from jounce.linkage.mechanism import Mechanism
from jounce.linkage.tree import Pose
from jounce.numerics.arrays import Array, BoolArray

FORCE_TOLERANCE = 1e-6
"""Largest unbalanced generalised force at rest [N or N m]."""
JOINT_TOLERANCE = 1e-12
"""Largest gap of a joint at rest [m or rad]."""

_ITERATIONS = 80
_SOFTEST = 1.0  # stiffness below which a motion counts as held by nothing: the largest step is taken [N/m or N m/rad]
_LARGEST_STEP = 0.02  # a longer Newton step is shortened: stops and lift-off bend the energy sharply [m or rad]


class Law(Protocol):
    """Energy of an element and its derivatives by the element's own displacement."""

    def energy(self, displacement: Array) -> Array:
        """Stored energy [J]."""
        ...

    def force(self, displacement: Array) -> Array:
        """First derivative of the energy [N or N m]."""
        ...

    def stiffness(self, displacement: Array) -> Array:
        """Second derivative of the energy [N/m or N m/rad]."""
        ...


@dataclass(frozen=True, slots=True)
class Element:
    """A law acting on a measure: its displacement is ``sense * (value - zero)``.

    ``sense`` is +1 when the element's displacement grows with the measure, -1 when it falls (a coil is compressed as
    its length shrinks). ``zero`` is the measure's value at zero displacement, one value or one per variant.
    """

    measure: str
    law: Law
    sense: float = 1.0
    zero: float | Array = 0.0

    def displacement(self, value: Array) -> Array:
        """Displacement for measured values, shape (states,) [m or rad]."""
        return np.asarray(self.sense * (value - self.zero))


@dataclass(frozen=True, slots=True)
class Balanced:
    """States at rest (where ``reached``): poses, joint loads and element forces by name, each (states,).

    A rod's load is positive in tension; an element's force is its law's (positive when compressed or wound up).
    """

    mechanism: Mechanism
    pose: Pose
    reached: BoolArray
    joint_loads: Mapping[str, Array]
    element_forces: Mapping[str, Array]
    unbalanced: Array


def balance(
    mechanism: Mechanism,
    elements: Mapping[str, Element],
    joint_values: Mapping[str, Array | float] | None = None,
    start: Pose | None = None,
    states: int = 1,
) -> Balanced:
    """Find the rest of a batch of states.

    Args:
        mechanism: bodies, joints and measures
        elements: elements by name
        joint_values: joints that keep another value than as found (an adjusted rod, a moved top plate) [m or rad]
        start: poses to start from (as found when left out)
        states: size of the batch when no start is given [-]

    Returns:
        The batch; look at ``reached`` before using a pose.

    """
    solver = _Solver(mechanism, elements, joint_values or {}, states if start is None else len(start))
    pose = mechanism.tree.reference_pose(solver.states) if start is None else start
    multipliers = solver.first_multipliers(pose)
    for _ in range(_ITERATIONS):
        gap, imbalance, change, better = solver.newton(pose, multipliers)
        done = (np.abs(gap).max(axis=1) <= JOINT_TOLERANCE) & (np.abs(imbalance).max(axis=1) <= FORCE_TOLERANCE)
        if done.all():
            break
        size = np.abs(change).max(axis=1)
        shorten = np.minimum(1, _LARGEST_STEP / np.maximum(size, 1e-300))
        change = np.where(done[:, None], 0, change * shorten[:, None])
        pose = mechanism.moved(pose, change)
        multipliers = np.where(done[:, None], multipliers, better)
    loads = {name: multipliers[:, i] for i, name in enumerate(mechanism.joints)}
    return Balanced(mechanism, pose, done, loads, solver.forces(pose), np.abs(imbalance).max(axis=1))


class _Solver:
    """Newton steps on coordinates and multipliers together."""

    def __init__(
        self,
        mechanism: Mechanism,
        elements: Mapping[str, Element],
        joint_values: Mapping[str, Array | float],
        states: int,
    ) -> None:
        self.elements = elements
        names = [e.measure for e in elements.values()]
        self.joints = slice(len(mechanism.joints))
        self.all = mechanism.taken(tuple(dict.fromkeys((*mechanism.joints, *names))))  # joints first
        self.row = self.all.row
        self.states = max(states, self.all.variants)
        self.goal = np.broadcast_to(
            mechanism.reference_values(mechanism.joints), (self.states, len(mechanism.joints))
        ).copy()
        for name, value in joint_values.items():
            self.goal[:, self.row[name]] = value

    def forces(self, pose: Pose) -> dict[str, Array]:
        """Each element's force in a batch of poses."""
        value = self.all.values(pose)
        return {
            name: np.broadcast_to(e.law.force(e.displacement(value[:, self.row[e.measure]])), (self.states,))
            for name, e in self.elements.items()
        }

    def first_multipliers(self, pose: Pose) -> Array:
        """Multipliers that cancel as much of the elements' pull as joints can, shape (states, joints)."""
        line = self.all.linearised(pose)
        pull = np.einsum("nm,nmq->nq", self._pull(line.value)[0], line.gradient)
        gradient = line.gradient[:, self.joints]
        right = -np.einsum("nmq,nq->nm", gradient, pull)
        return np.asarray(np.linalg.solve(gradient @ gradient.transpose(0, 2, 1), right[..., None])[..., 0])

    def _pull(self, value: Array) -> tuple[Array, Array]:
        """First and second derivative of the energy by each measure, (states, measures)."""
        slope, rate = np.zeros_like(value), np.zeros_like(value)
        for element in self.elements.values():
            row = self.row[element.measure]
            x = element.displacement(value[:, row])
            slope[:, row] += element.sense * element.law.force(x)
            rate[:, row] += element.law.stiffness(x)
        return slope, rate

    def newton(self, pose: Pose, multipliers: Array) -> tuple[Array, Array, Array, Array]:
        """Joint gaps, unbalanced forces, coordinate step and better multipliers."""
        line = self.all.linearised(pose)
        weight, rate = self._pull(line.value)
        weight[:, self.joints] += multipliers
        imbalance = np.einsum("nm,nmq->nq", weight, line.gradient)
        stiffness = line.hessian(weight) + line.gradient.transpose(0, 2, 1) @ (rate[..., None] * line.gradient)
        joint, gap = line.gradient[:, self.joints], self.goal - line.value[:, self.joints]
        return gap, imbalance, *_towards_rest(stiffness, joint, imbalance, gap, multipliers)


def _towards_rest(
    stiffness: Array, joint: Array, imbalance: Array, gap: Array, multipliers: Array
) -> tuple[Array, Array]:
    """Newton's step on the joints, downhill in energy on the motions that they leave free, and the multipliers after it.

    Where a free motion has no stiffness or a negative one (a coil that is loose there, a linkage beyond its dead point),
    Newton's own step would lead uphill or anywhere; its size is kept and its way turned downhill, so that rest is always
    a least energy and never the top of a hill. Source: Nocedal and Wright, Numerical Optimization, 2nd ed., 3.4 and 18.3
    (modified eigenvalues; null-space method).
    """
    rows = gap.shape[1]
    frame, triangle = np.linalg.qr(joint.transpose(0, 2, 1), mode="complete")
    across, free, triangle = frame[:, :, :rows], frame[:, :, rows:], triangle[:, :rows]
    closing = across @ np.linalg.solve(triangle.transpose(0, 2, 1), gap[..., None])
    rate, way = np.linalg.eigh(free.transpose(0, 2, 1) @ stiffness @ free)
    way = free @ way
    pull = way.transpose(0, 2, 1) @ (imbalance[..., None] + stiffness @ closing)
    step = closing - way @ (pull / np.maximum(np.abs(rate), _SOFTEST)[..., None])
    more = np.linalg.solve(triangle, across.transpose(0, 2, 1) @ (imbalance[..., None] + stiffness @ step))
    return step[..., 0], multipliers - more[..., 0]

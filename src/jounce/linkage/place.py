"""Place: where everything is when drives are given.

Every state is followed from the reference pose to its drives in steps of its own, by Newton iterations on exact
gradients. A step is taken back and halved when the iteration does not settle, settles far from where the tangent
pointed, or lands beyond a dead point (the determinant changes sign): so a result never jumps to another way of
assembling the linkage, and a state that cannot be reached says how far it got.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass

import numpy as np

from jounce.linkage.mechanism import Linearised, Mechanism
from jounce.linkage.tree import Pose
from jounce.numerics.arrays import Array, BoolArray

TOLERANCE = 1e-13
"""Largest residual of a placed state [m or rad]."""

_ITERATIONS = 8
_STEP = 0.04  # largest change of any drive in one continuation step [m or rad]
_SMALLEST_STEP = 1e-5  # share of the way at which a state is given up
_LARGEST_CORRECTION = 0.5  # how far a settled step may lie from its tangent prediction, as a share of the step
_SINGULAR_STEP = 1e3  # stands for "no step": far beyond what is accepted, but finite
_CHUNK = 1000  # states solved together: bounds memory, and larger batches gain nothing


@dataclass(frozen=True, slots=True)
class Placed:
    """Poses for a batch of drives.

    ``reached`` says which states assembled; ``share`` how far along the way from the reference each one came (1 when
    reached) - the pose of a state that was not reached is the last one on its way.
    """

    mechanism: Mechanism
    driven: tuple[str, ...]
    rows: tuple[str, ...]
    pose: Pose
    reached: BoolArray
    share: Array

    def motion(self, drive_rates: Mapping[str, Array | float]) -> Motion:
        """How all coordinates move when the drives move at the given rates (others stand still).

        Args:
            drive_rates: rate of each moving drive, per unit of a common path [m or rad per unit]

        Returns:
            Velocity and, for a path along which the drives keep these rates, acceleration of the coordinates.

        """
        line = self.mechanism.taken(self.rows).linearised(self.pose)
        wanted = np.zeros((len(self.pose), len(self.rows)))
        for name, rate in drive_rates.items():
            wanted[:, self.rows.index(name)] = rate
        velocity = _solve(line.gradient, wanted)
        acceleration = _solve(line.gradient, -line.curvature(velocity))
        return Motion(self.mechanism, self.pose, velocity, acceleration)


@dataclass(frozen=True, slots=True)
class Motion:
    """Coordinate velocity and acceleration along a path, each (states, coordinates)."""

    mechanism: Mechanism
    pose: Pose
    velocity: Array
    acceleration: Array

    def rates(self, line: Linearised) -> tuple[Array, Array]:
        """First and second derivative along the path of measures linearised at the same poses, (states, measures)."""
        first = np.einsum("nmq,nq->nm", line.gradient, self.velocity)
        second = line.curvature(self.velocity) + np.einsum("nmq,nq->nm", line.gradient, self.acceleration)
        return first, second


def place(mechanism: Mechanism, drives: Mapping[str, Array | float], freed: Collection[str] = ()) -> Placed:
    """Solve the mechanism for a batch of drives.

    Args:
        mechanism: bodies, joints and measures
        drives: value wanted of each driven measure or adjusted joint, each shape (states,) or a single value [m or rad]
        freed: joints that are let go (their value becomes a result)

    Returns:
        The placed batch; look at ``reached`` before using a pose.

    Raises:
        ValueError: drives and joints together do not fix the mechanism (a fault of the caller, not of the car)

    """
    names = tuple(drives)
    rows = (*(j for j in mechanism.joints if j not in freed and j not in drives), *names)
    chosen = mechanism.taken(rows)
    if len(rows) != mechanism.tree.size:
        raise ValueError(f"{len(rows)} rows for {mechanism.tree.size} coordinates")
    wanted = np.atleast_2d(
        np.stack(np.broadcast_arrays(*(np.asarray(v, dtype=np.float64) for v in drives.values())), -1)
    )
    states = max(len(wanted), chosen.variants)
    start_value = np.broadcast_to(mechanism.reference_values(rows), (states, len(rows)))
    goal = start_value.copy()
    goal[:, len(rows) - len(names) :] = wanted
    if chosen.variants > 1 or states <= _CHUNK:
        pose, share = _follow(mechanism, rows, start_value, goal)
    else:
        parts = [slice(i, i + _CHUNK) for i in range(0, states, _CHUNK)]
        solved = [_follow(mechanism, rows, start_value[p], goal[p]) for p in parts]
        pose = Pose(*(np.concatenate([getattr(s[0], f) for s in solved]) for f in ("rotation", "origin", "coordinate")))
        share = np.concatenate([s[1] for s in solved])
    return Placed(mechanism, names, rows, pose, share >= 1, share)


def _follow(mechanism: Mechanism, rows: tuple[str, ...], start: Array, goal: Array) -> tuple[Pose, Array]:
    """Follow every state from its start values to its goal, each with steps of its own."""
    states = len(start)
    pose = mechanism.tree.reference_pose(states)
    chosen = mechanism.taken(rows)
    share = np.zeros(states)
    way = np.abs(goal - start).max(axis=1)
    step = 1 / np.maximum(1, np.ceil(way / _STEP))
    line = chosen.linearised(pose)
    sign = np.sign(np.linalg.det(line.gradient))
    if not sign.all():
        raise ValueError("the drives do not move the mechanism in its reference pose")
    given_up = np.zeros(states, dtype=bool)
    while (active := (share < 1) & ~given_up).any():
        ahead = np.minimum(1, share + step)
        ahead[~active] = share[~active]
        target = start + ahead[:, None] * (goal - start)
        with np.errstate(all="ignore"):  # a step that runs away is refused below, not worth a warning
            trial, good = _step(mechanism, rows, pose, target, sign)
        taken = active & good
        pose = pose.put(taken, trial.take(taken))
        share[taken] = ahead[taken]
        step = np.where(active & ~good, step / 2, step)
        given_up |= active & (step < _SMALLEST_STEP)
    return pose, share


def _step(
    mechanism: Mechanism, rows: tuple[str, ...], pose: Pose, target: Array, sign: Array
) -> tuple[Pose, BoolArray]:
    """One continuation step of the whole batch: predicted by the tangent, corrected by Newton, then judged."""
    chosen = mechanism.taken(rows)
    line = chosen.linearised(pose)
    change = _solve(line.gradient, target - line.value)
    predicted = np.abs(change).max(axis=1)
    moved = mechanism.tree.moved(pose, change)
    corrected = np.zeros(len(pose))
    for _ in range(_ITERATIONS):
        line = chosen.linearised(moved)
        residual = target - line.value
        error = np.abs(residual).max(axis=1)
        if (error <= TOLERANCE).all():
            break
        change = _solve(line.gradient, residual)
        corrected += np.abs(change).max(axis=1)
        moved = mechanism.tree.moved(moved, change)
    else:
        line = chosen.linearised(moved)
        error = np.abs(target - line.value).max(axis=1)
    determinant = np.sign(np.linalg.det(line.gradient))
    good = (error <= TOLERANCE) & (corrected <= _LARGEST_CORRECTION * predicted + TOLERANCE) & (determinant == sign)
    return moved, good


def _solve(matrix: Array, right: Array) -> Array:
    """Batched linear solve in which a singular state yields a huge step (to be refused) instead of an exception."""
    try:
        return np.asarray(np.linalg.solve(matrix, right[..., None])[..., 0])
    except np.linalg.LinAlgError:
        singular = np.linalg.det(matrix) == 0
        safe = np.where(singular[:, None, None], np.eye(matrix.shape[-1]), matrix)
        step = np.linalg.solve(safe, right[..., None])[..., 0]
        return np.asarray(np.where(singular[:, None], _SINGULAR_STEP, step))

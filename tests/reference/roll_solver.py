"""Roll curves by a second method: all states of all variants in one batch, each from where the axle stands.

A Newton with a slope of its own, laws asked as they are, tyres sharing by the arrays' own way.
"""

from __future__ import annotations

import numpy as np

from jounce.behaviour.road.attitude import UP, attitude
from jounce.behaviour.road.axle_table import AXIS, CENTRE, TURN
from jounce.behaviour.solving import solved
from jounce.conventions.constants import GRAVITY
from jounce.numerics.arrays import Array, BoolArray, IntArray
from jounce.numerics.rotations import cross
from jounce.search.roll_curves import ACROSS_AT, ROLLS, Curves, Frame
from jounce.search.variants import AxleVariants

_STEPS = 25
_DONE = 1e-4  # unbalanced force at which a state counts as solved [N]
_LONGEST = 0.02  # step [m]
_OFF_ROAD = 0.06  # as in `kernels.rolling`


def roll_curves(variants: AxleVariants, frame: Frame, turn: float) -> Curves:
    """Curves of some variants for one turn, +1 for left, -1 for right."""
    return _RollSolver(variants, frame, turn).curves()


class _RollSolver:
    def __init__(self, task: AxleVariants, frame: Frame, turn: float) -> None:
        self.task = task
        self.elastic = task.space.elastic
        self.frame = frame
        roll, across = np.meshgrid(frame.roll + ROLLS * turn, ACROSS_AT * turn, indexing="ij")
        self.shape = (len(task), *roll.shape)
        count = len(task)
        self.roll, self.across = np.tile(roll.ravel(), count), np.tile(across.ravel(), count)
        start = np.array([frame.heave, *self.elastic.standing])
        self.at = np.tile(start, (len(self.roll), 1))

    def curves(self) -> Curves:
        """Solve, and read moment and loads."""
        count = len(self.at)
        moment, load = np.full(count, np.nan), np.full((count, 2), np.nan)
        left = np.arange(count)  # most states are solved in half the steps: only the others go on
        for _ in range(_STEPS):
            miss, slope, turning, signed, inside = self._forces(left)
            done = inside & (np.abs(miss).max(axis=1) < _DONE)
            moment[left[done]], load[left[done]] = turning[done], signed[done]
            left = left[~done]
            if not len(left):
                break
            step = solved(slope[~done], miss[~done][..., None])[..., 0]
            step *= np.minimum(1.0, _LONGEST / np.maximum(np.abs(step).max(axis=1), 1e-300))[:, None]
            self.at[left] += step
        return Curves(moment.reshape(self.shape), load.reshape(*self.shape, 2))

    def _forces(self, left: IntArray) -> tuple[Array, Array, Array, Array, BoolArray]:
        """What is unbalanced, the slope to take it away, roll moment, loads, and where the table holds."""
        frame, table = self.frame, self.elastic.table
        at, roll, across = self.at[left], self.roll[left], self.across[left]
        inside = table.covers(at[:, 1:])
        value, first, _ = table.at(np.clip(at[:, 1:], table.origin, table.end))
        body = attitude(at[:, 0], np.full(len(at), frame.pitch), roll)
        arm, axis = (body.turned(part.reshape(-1, 2, 3)) for part in (value[:, CENTRE], value[:, AXIS]))

        def on_road(rate: Array) -> Array:
            return np.asarray(np.einsum("nij,nsju->nsiu", body.rotation, rate.reshape(-1, 2, 3, 2)))

        moved, swung, turned = on_road(first[:, CENTRE]), on_road(first[:, AXIS]), on_road(value[:, TURN])
        upright = np.sqrt(1 - axis[..., 2] ** 2)
        height = at[:, :1] + arm[..., 2] - frame.radius * upright
        down = (UP - axis[..., 2:] * axis) / upright[..., None]
        reach = (at[:, :1] + arm[..., 2] - frame.ground) / upright
        offset = -down * reach[..., None]
        at_foot = moved + np.stack([cross(turned[..., k], offset) for k in (0, 1)], -1)
        lean = frame.radius * axis[..., 2] / upright
        rising = moved[:, :, 2] + lean[..., None] * swung[:, :, 2]
        load, rate, signed = self._tyres(height)
        side = frame.sharing.lateral(load, frame.demand * across)
        own = np.stack((np.zeros_like(across), -across, np.full_like(across, -GRAVITY)), -1)
        pull = frame.unsprung[:, None] * own[:, None]
        force, stiff = self._elastic(left, value, first)
        travel = (
            np.einsum("ns,nsu->nu", load, rising)
            + np.einsum("ns,nsu->nu", side, at_foot[:, :, 1])
            + np.einsum("nsx,nsxu->nu", pull, moved)
            - force
        )
        miss = np.concatenate(((load.sum(axis=1) - frame.weight)[:, None], travel), axis=1)
        slope = np.zeros((len(miss), 3, 3))
        slope[:, 0, 0] = np.maximum(rate.sum(axis=1), 1.0)
        slope[:, 0, 1:] = np.einsum("ns,nsu->nu", rate, rising)
        slope[:, 1:, 0] = slope[:, 0, 1:]
        slope[:, 1:, 1:] = stiff + np.einsum("ns,nsu,nsv->nuv", rate, rising, rising)
        roll_axis = body.roll_axis[:, None]
        turn_arm = cross(np.broadcast_to(roll_axis, arm.shape), arm)
        turn_foot = cross(np.broadcast_to(roll_axis, arm.shape), arm + offset)
        turn_axis = cross(np.broadcast_to(roll_axis, axis.shape), axis)
        moment = (
            np.einsum("ns,ns->n", load, turn_arm[..., 2] + lean * turn_axis[..., 2])
            + np.einsum("ns,ns->n", side, turn_foot[..., 1])
            + np.einsum("nsx,nsx->n", pull, turn_arm)
        )
        return miss, slope, moment, signed, inside

    def _tyres(self, height: Array) -> tuple[Array, Array, Array]:
        load, rate = np.zeros_like(height), np.zeros_like(height)
        for k, tyre in enumerate(self.frame.tyres):
            x = tyre.displacement(height[:, k])
            load[:, k], rate[:, k] = tyre.law.force(x), tyre.law.stiffness(x)
        gap = height - self.frame.ground - self.frame.unloaded
        return load, rate, np.where(gap > 0, -_OFF_ROAD * gap * self.frame.pressed, load)

    def _elastic(self, left: IntArray, value: Array, first: Array) -> tuple[Array, Array]:
        task, of = self.task, left // (self.shape[1] * self.shape[2])
        both = self.elastic.pulled(task.chosen[of], task.load_of_spring[of], value[:, None])
        force, rate = (part[:, 0] for part in both)
        pulled = np.flatnonzero((force != 0).any(axis=0) | (rate != 0).any(axis=0))
        slopes = first[:, pulled]
        return (
            np.einsum("nf,nfu->nu", force[:, pulled], slopes),
            np.einsum("nf,nfu,nfv->nuv", rate[:, pulled], slopes, slopes),
        )

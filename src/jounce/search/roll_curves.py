"""What an axle does against the body's roll: its roll moment and its loads over roll and lateral acceleration.

Each variant alone: its load is what it carries standing, its lateral force what the car's balance in yaw asks for. Three
unknowns, the body's height over the axle and the two travels, by a Newton whose slope leaves out how the geometry
bends: it takes a few steps more and needs no second derivatives.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jounce.behaviour.road.attitude import ACROSS, UP, attitude
from jounce.behaviour.road.axle_table import AXIS, CENTRE, TURN
from jounce.behaviour.road.road_car import RoadCar
from jounce.behaviour.road.sharing import Sharing
from jounce.behaviour.solving import solved
from jounce.conventions.constants import GRAVITY
from jounce.linkage.balance import Element
from jounce.numerics.arrays import Array, BoolArray, IntArray
from jounce.numerics.rotations import cross
from jounce.search.elastic import Elastic
from jounce.search.variants import AxleVariants

ROLLS = np.radians(np.linspace(-1.4, 7.7, 14))
"""Rolls of the body out of the corner that are worked out, beyond how it stands [rad]."""
ACROSS_AT = np.array([0.0, 4.0, 0.6 * GRAVITY, 8.0, 9.0, 10.0, 11.0, 12.0])
"""Sizes of the lateral accelerations that are worked out [m/s²]."""
_STEPS = 25
_DONE = 1e-4  # unbalanced force at which a state counts as solved [N]
_LONGEST = 0.02  # step [m]
_OFF_ROAD = 0.06  # a lifted wheel's height counts so that the curve goes on about as steeply as before it lifted
CHUNK = 48
"""Variants worked out together: some tens of megabytes."""


@dataclass(frozen=True, slots=True)
class Curves:
    """Roll moment and loads of an axle's variants.

    Attributes:
        moment: with which the axle turns the body's right side down, shape (variants, rolls, accelerations) [N m]
        load: left and right, shape (variants, rolls, accelerations, 2) [N]; below zero a wheel is off the road, further
            the lower it is

    """

    moment: Array
    load: Array

    @staticmethod
    def joined(parts: list[Curves]) -> Curves:
        """Batches one after the other."""
        return Curves(np.concatenate([p.moment for p in parts]), np.concatenate([p.load for p in parts]))


@dataclass(frozen=True, slots=True)
class Frame:
    """What the whole car gives to one axle: plain numbers, its tyres, and how they share a force.

    Attributes:
        unsprung: of both wheels [kg]
        radius: wheel centre to ground in the wheel's plane as found, of both wheels [m]
        tyres: vertical law of each tyre about as found, by its deflection from there
        unloaded: rise of each tyre from as found at which it leaves the ground [m]
        ground: height of the tyres' lowest points as found [m]
        pressed: rate of each tyre, for wheels off the road [N/m]
        sharing: how the two tyres share the axle's lateral force
        weight: load of the axle [N]
        heave: height of the body where it stands [m]
        pitch: its pitch there [rad]
        roll: its roll there [rad]
        demand: lateral force of this axle per lateral acceleration [kg]

    """

    unsprung: Array
    radius: Array
    tyres: tuple[Element, ...]
    unloaded: Array
    ground: Array
    pressed: Array
    sharing: Sharing
    weight: float
    heave: float
    pitch: float
    roll: float
    demand: float


@dataclass(frozen=True, slots=True)
class CurveTask:
    """Some variants of an axle whose curves are to be worked out: light to send to another process.

    Attributes:
        elastic: what the axle's options push
        frame: the car around the axle
        chosen: option of each group, shape (variants, groups)
        load_of_spring: load of each main spring where the axle stands, shape (variants, 2) [N or N m]

    """

    elastic: Elastic
    frame: Frame
    chosen: IntArray
    load_of_spring: Array

    def __len__(self) -> int:
        """Number of variants."""
        return len(self.chosen)


def curve_task(variants: AxleVariants, frame: Frame) -> CurveTask:
    """The task of some variants."""
    return CurveTask(variants.space.elastic, frame, variants.chosen, variants.load_of_spring)


def roll_curves(task: CurveTask, turn: float) -> Curves:
    """Curves of some variants for one turn.

    Args:
        task: the variants
        turn: +1 for left, -1 for right
    """
    return _RollSolver(task, turn).curves()


def both_turns(task: CurveTask) -> tuple[Curves, Curves]:
    """Curves of some variants, left turn and right turn."""
    return roll_curves(task, 1.0), roll_curves(task, -1.0)


class _RollSolver:
    def __init__(self, task: CurveTask, turn: float) -> None:
        self.task = task
        self.frame = frame = task.frame
        roll, across = np.meshgrid(frame.roll + ROLLS * turn, ACROSS_AT * turn, indexing="ij")
        self.shape = (len(task), *roll.shape)
        count = len(task)
        self.roll, self.across = np.tile(roll.ravel(), count), np.tile(across.ravel(), count)
        start = np.array([frame.heave, *task.elastic.standing])
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
        frame, table = self.frame, self.task.elastic.table
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
        both = task.elastic.pulled(task.chosen[of], task.load_of_spring[of], value[:, None])
        force, rate = (part[:, 0] for part in both)
        pulled = np.flatnonzero((force != 0).any(axis=0) | (rate != 0).any(axis=0))
        slopes = first[:, pulled]
        return (
            np.einsum("nf,nfu->nu", force[:, pulled], slopes),
            np.einsum("nf,nfu,nfv->nuv", rate[:, pulled], slopes, slopes),
        )


def body_moment(car: RoadCar, pitch: float, roll: Array, across: Array) -> Array:
    """With what the body and its loads turn their right side down, shape (rolls, accelerations) [N m].

    Args:
        car: the car
        pitch: of the body [rad]
        roll: shape (rolls,) [rad]
        across: shape (accelerations,) [m/s²]
    """
    mass, at = car.body_masses()
    body = attitude(np.zeros(len(roll)), np.full(len(roll), pitch), roll)
    arm = body.turned(np.broadcast_to(at, (len(roll), *at.shape)))
    turned = np.einsum("m,nmx->nx", mass, cross(np.broadcast_to(body.roll_axis[:, None], arm.shape), arm))
    return np.asarray(-GRAVITY * turned[:, None, 2] - across[None] * (turned @ ACROSS)[:, None])

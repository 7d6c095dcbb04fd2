"""What an axle does against the body's roll: its roll moment and its loads over roll and lateral acceleration.

Each variant alone: its load is what it carries standing, its lateral force what the car's balance in yaw asks for.
`kernels.rolling` solves it; here is what it works on.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import scipy  # its rooms open on use

from jounce.behaviour.road.attitude import ACROSS, attitude
from jounce.behaviour.road.equal_slip import EqualSlip
from jounce.behaviour.road.road_car import RoadCar
from jounce.behaviour.road.sharing import Sharing
from jounce.conventions.constants import GRAVITY
from jounce.linkage.balance import Element
from jounce.numerics.arrays import Array, IntArray
from jounce.numerics.rotations import cross
from jounce.numerics.surface import Surface
from jounce.search.elastic import Elastic, Pull
from jounce.search.kernels.law_pieces import LawPieces, law_pieces
from jounce.search.kernels.rolling import AroundAxle, Elements, Grip, roll_states

ROLLS = np.radians(np.linspace(-1.4, 7.7, 14))
"""Rolls of the body out of the corner that are worked out, beyond how it stands [rad]."""
ACROSS_AT = np.array([0.0, 4.0, 0.6 * GRAVITY, 8.0, 9.0, 10.0, 11.0, 12.0])
"""Sizes of the lateral accelerations that are worked out [m/s²]."""
_LOADS, _HEAVIEST, _LEAST_LOAD = 2000, 2.0, 1e-3
# loads at which a tyre is read [-], the largest in loads of the axle [-], the smallest [N]
CHUNK = 48
"""Variants of a task: a tenth of a second or so."""


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
class RollingAxle:
    """An axle with its options and the car around it as plain arrays: sent to each worker once.

    Attributes:
        table: wheel centres, axes, turns and measures over both travels
        laws: laws of all elements
        elements: elements of all options
        around: the car around the axle
        roll: of the body where it stands [rad]

    """

    table: Surface
    laws: LawPieces
    elements: Elements
    around: AroundAxle
    roll: float


def rolling_axle(elastic: Elastic, frame: Frame) -> RollingAxle:
    """An axle made ready.

    Args:
        elastic: what the axle's options push
        frame: the car around the axle
    """
    standing = elastic.table.at(elastic.standing[None])[0][0]
    springs = tuple(
        tuple(Pull(one.column, one.sense, float(standing[one.column]), one.law) for one in both)
        for both in elastic.springs
    )
    beside = (tuple(own + more for own, more in zip(springs, elastic.pulls[0], strict=True)), *elastic.pulls[1:])
    pulls = [pull for group in beside for option in group for pull in option]
    counts = [len(option) for group in beside for option in group]
    elements = Elements(
        np.cumsum([0, *(len(group) for group in beside[:-1])], dtype=np.intp),
        np.cumsum([0, *counts], dtype=np.intp),
        np.array([pull.column for pull in pulls], dtype=np.intp),
        np.array([pull.sense for pull in pulls]),
        np.array([pull.zero for pull in pulls]),
        np.arange(len(pulls), dtype=np.intp),
    )
    laws = law_pieces([pull.law for pull in pulls])
    return RollingAxle(elastic.table, laws, elements, _around(frame, elastic.standing), frame.roll)


def _around(frame: Frame, standing: Array) -> AroundAxle:
    push = np.array([[tyre.sense, float(np.ravel(tyre.zero)[0])] for tyre in frame.tyres])
    return AroundAxle(
        _own(frame.unsprung),
        _own(frame.radius),
        _own(frame.unloaded),
        _own(frame.ground),
        _own(frame.pressed),
        push,
        law_pieces([tyre.law for tyre in frame.tyres]),
        _grip(frame.sharing, _HEAVIEST * frame.weight),
        float(frame.weight),
        float(frame.heave),
        float(frame.pitch),
        float(frame.demand),
        _own(standing),
    )


def _own(array: Array) -> Array:
    return np.array(array, dtype=np.float64)


def _grip(sharing: Sharing, heaviest: float) -> Grip:
    """The tyre's magic formula over its load, read at every few newtons."""
    if not isinstance(sharing, EqualSlip):
        return Grip(0.0, np.zeros((1, 4, 5)))
    place = np.arange(_LOADS + 1.0)
    loads = np.maximum(place * heaviest / _LOADS, _LEAST_LOAD)
    curve = sharing.tyre.curve(loads)
    columns = (curve.peak, curve.shape, curve.factor, curve.curvature, curve.peak_slip())
    read = scipy.interpolate.CubicSpline(
        place, np.stack([np.broadcast_to(column, loads.shape) for column in columns], -1)
    )
    return Grip(heaviest / _LOADS, np.ascontiguousarray(np.moveaxis(read.c[::-1], 0, 1), dtype=np.float64))


def both_turns(axle: RollingAxle, chosen: IntArray, wound: Array) -> tuple[Curves, Curves]:
    """Curves of some variants, left turn and right turn.

    Args:
        axle: the axle and the car around it
        chosen: option of each group, shape (variants, groups)
        wound: displacement of each main spring where the axle stands, shape (variants, 2) [m or rad]
    """
    table = axle.table
    arrays = (table.corners, table.origin, table.step, axle.laws, axle.elements, axle.around, chosen, wound)
    left, right = (_curves(_writable(arrays), axle.roll, turn) for turn in (1.0, -1.0))
    return left, right


def _curves(known: tuple[Any, ...], standing: float, turn: float) -> Curves:
    shape = (len(known[-1]), len(ROLLS), len(ACROSS_AT))
    moment, load = np.empty(shape), np.empty((*shape, 2))
    states: tuple[Any, ...] = (*known, standing + ROLLS * turn, ACROSS_AT * turn, moment, load)
    roll_states(*states)
    return Curves(moment, load)


def _writable(value: Any) -> Any:
    """The same with arrays of the one kind that is compiled for: what came from another process is often locked."""
    if isinstance(value, tuple):
        parts = [_writable(part) for part in value]
        return type(value)(*parts) if hasattr(value, "_fields") else tuple(parts)
    return np.require(value, None, ("C", "W")) if isinstance(value, np.ndarray) else value


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

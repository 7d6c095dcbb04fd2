"""Both axles in a batch of states and as each freedom perturbs them, and how the unbalanced forces change so."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jounce.behaviour.road.axle_path import AxleOnBody, AxlePath
from jounce.behaviour.road.forces import FREEDOMS, TRAVELS, acted
from jounce.behaviour.road.loading import Loading
from jounce.behaviour.road.road_car import RoadCar
from jounce.numerics.arrays import Array, BoolArray
from jounce.numerics.complex_step import STEP


@dataclass(frozen=True, slots=True)
class Around:
    """Both axles in a batch of states, and as each freedom perturbs them.

    Attributes:
        perturbed: both axles for each perturbed freedom in turn, then unperturbed as often as was asked for
        reached: which states the linkages reach, shape (states,)

    """

    perturbed: tuple[AxlePath, AxlePath]
    reached: BoolArray


def around(car: RoadCar, at: Array, acting: Loading, more: int = 0) -> Around:
    """Place both axles in a batch of states and for each perturbed freedom.

    Args:
        car: the car
        at: freedoms, shape (states, 7) [m or rad]
        acting: what happens to it
        more: further copies of the unperturbed states, for what else is to be perturbed
    """
    (front, there), (rear, here) = (
        _perturbed(on_body, at, axle, acting, more) for axle, on_body in enumerate(car.axles)
    )
    return Around((front, rear), there & here)


def perturbed(at: Array, more: int = 0) -> Array:
    """Freedoms of a batch, each perturbed in turn, then as they are, shape ((7 + more) x states, 7) [m or rad]."""
    ways = 1j * STEP * np.eye(FREEDOMS + more, FREEDOMS)
    return np.asarray((at[None] + ways[:, None]).reshape(-1, FREEDOMS))


def tangent(car: RoadCar, at: Array, acting: Loading, split: Array | None = None) -> tuple[Array, Array, BoolArray]:
    """How the unbalanced forces change with the freedoms; at rest the negative of it is the car's stiffness.

    Args:
        car: the car
        at: freedoms, shape (states, 7) [m or rad]
        acting: what happens to it
        split: shares of the tyres in each axle's lateral force, held; found and followed when left out

    Returns:
        Unbalanced forces (states, 7), their derivative by the freedoms (states, 7, 7), and which states are reached
    """
    near = around(car, at, acting)
    force, slope, _ = slope_near(car, at, near, acting, split)
    return force, slope, near.reached


def slope_near(
    car: RoadCar, at: Array, near: Around, acting: Loading, split: Array | None, rounds: int = 0
) -> tuple[Array, Array, Array]:
    """Unbalanced forces (states, 7), their derivative by the freedoms (states, 7, 7), the tyres' shares (states, 2, 2).

    Args:
        car: the car
        at: freedoms, shape (states, 7) [m or rad]
        near: both axles there
        acting: what happens to it
        split: shares of the tyres in each axle's lateral force; found and followed when left out
        rounds: how often given shares follow the tyres; held by none
    """
    held = None if split is None else np.concatenate([split] * FREEDOMS)
    now = acted(car, perturbed(at), near.perturbed, acting.repeated(FREEDOMS), held, rounds)
    found = now.unbalanced.reshape(FREEDOMS, len(at), FREEDOMS)
    return found[0].real, np.asarray(found.imag.transpose(1, 2, 0) / STEP), now.split[: len(at)].real


def _perturbed(on_body: AxleOnBody, at: Array, axle: int, acting: Loading, more: int) -> tuple[AxlePath, BoolArray]:
    """An axle for each perturbed freedom in turn; only its own two travels move it."""
    travels = TRAVELS[axle]
    moved = np.concatenate([at[:, travels] + 1j * STEP * way for way in np.eye(2)])
    path, reached = on_body.at(moved, np.concatenate([acting.rack, acting.rack]))
    count = len(at)
    return path.among(FREEDOMS + more, travels), reached[:count] & reached[count:]

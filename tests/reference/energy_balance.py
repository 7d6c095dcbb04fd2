"""What a drive over an obstacle leaves unaccounted for: energy in, less stored, less taken by the dampers."""

from __future__ import annotations

import numpy as np

from jounce.behaviour.ride.car_arrays import moving_axles, room_for
from jounce.behaviour.ride.moving_car import kinetic_energy
from jounce.behaviour.ride.time_history import TimeHistory
from jounce.behaviour.road.forces import TRAVELS
from jounce.conventions.constants import GRAVITY
from jounce.numerics.arrays import Array


def unaccounted(history: TimeHistory) -> Array:
    """Energy that appeared from nowhere since the start, shape (states,) [J]: the errors of a drive, summed up.

    Args:
        history: the drive
    """
    energy = stored(history)
    return np.asarray(energy - energy[0] - history.road_work + history.dissipated)


def stored(history: TimeHistory) -> Array:
    """Energy of motion, height, springs and tyres, shape (states,) [J]; its zero is of no meaning.

    Springs and stops by their own laws, not by the sampled ones that the drive itself is worked out with.

    Args:
        history: the drive
    """
    acting = room_for(history.data)
    states = np.concatenate((history.freedoms, history.speeds), axis=1)
    moving = np.array([kinetic_energy(state, history.data, acting) for state in states])
    return np.asarray(moving + _of_the_body(history) + _of_the_axles(history))


def _upward(history: TimeHistory) -> Array:
    """The road's vertical in the body's axes, shape (states, 3)."""
    pitch, roll = history.freedoms[:, 1], history.freedoms[:, 2]
    return np.stack((-np.sin(pitch), np.cos(pitch) * np.sin(roll), np.cos(pitch) * np.cos(roll)), -1)


def _of_the_body(history: TimeHistory) -> Array:
    mass, at = history.car.body_masses()
    return np.asarray(GRAVITY * (mass.sum() * history.freedoms[:, 0] + _upward(history) @ (mass @ at)))


def _of_the_axles(history: TimeHistory) -> Array:
    """Springs, stops, wheels and tyres."""
    upward, heave, car = _upward(history), history.freedoms[:, 0], history.car
    total = np.zeros(len(heave))
    for slot, (axle, travels) in enumerate(zip(moving_axles(car), TRAVELS, strict=True)):
        path, _ = axle.at(history.freedoms[:, travels])
        for element in axle.axle.elements.values():
            displacement = element.displacement(path.measure[:, axle.row[element.measure]])
            total = total + element.law.energy(displacement)
        for side, tyre in enumerate(car.tyres[slot]):
            height = heave + np.einsum("nx,nx->n", upward, path.centre[:, side])
            tilt = np.einsum("nx,nx->n", upward, path.axis[:, side])
            low = height - car.radius[slot, side] * np.sqrt(1 - tilt**2) - history.ground[:, 2 * slot + side]
            total = total + car.unsprung[slot, side] * GRAVITY * height + tyre.law.energy(tyre.displacement(low))
    return total

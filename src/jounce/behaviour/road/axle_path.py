"""Where an axle's wheels and elements are on the car's body, and how they move with each wheel's travel."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields

import numpy as np

from jounce.behaviour.axle.motions import AxleStates, place_axle
from jounce.car.mechanics.model import AxleModel
from jounce.layouts.naming import SIDES, named
from jounce.numerics.arrays import Array, BoolArray
from jounce.numerics.rotations import cross


@dataclass(frozen=True, slots=True)
class AxlePath:
    """An axle in a batch of states, in the body's axes; the two travels are the last axis of every rate.

    Attributes:
        centre: wheel centres, shape (states, 2, 3) [m]
        centre_rate: their way per travel, shape (states, 2, 3, 2) [-]
        axis: wheel axes, unit, pointing left, shape (states, 2, 3) [-]
        turn_rate: turn of the carriers per travel, shape (states, 2, 3, 2) [rad/m]
        axis_rate: change of the wheel axes per travel, shape (states, 2, 3, 2) [1/m]
        measure: measures of the axle's elements, shape (states, measures) [m or rad]
        measure_rate: their change per travel, shape (states, measures, 2)

    """

    centre: Array
    centre_rate: Array
    axis: Array
    turn_rate: Array
    axis_rate: Array
    measure: Array
    measure_rate: Array

    def take(self, states: Array | slice) -> AxlePath:
        """Some of the states, as a new batch."""
        return AxlePath(*(getattr(self, field.name)[states] for field in fields(self)))

    @property
    def real(self) -> AxlePath:
        """Without the perturbation that it may carry."""
        return AxlePath(*(getattr(self, field.name).real for field in fields(self)))

    def among(self, copies: int, own: slice) -> AxlePath:
        """A batch that two perturbations move, one after the other, among copies of it that others move.

        Args:
            copies: how many there are
            own: which two of them are these; the others are without perturbation
        """
        return AxlePath(*(_among(getattr(self, field.name), copies, own) for field in fields(self)))


def _among(values: Array, copies: int, own: slice) -> Array:
    both = values.reshape(2, -1, *values.shape[1:])
    every = np.empty((copies, *both.shape[1:]), values.dtype)
    every[:] = both[0].real
    every[own] = both
    return every.reshape(-1, *values.shape[1:])


class AxleOnBody:
    """An axle whose rods and plates are set, ready to be placed at any wheel travels.

    Args:
        axle: the axle complete with its main springs
        settings: adjusted joints by name, for instance the Panhard rod's length [m]

    """

    def __init__(self, axle: AxleModel, settings: Mapping[str, float]) -> None:
        self.axle = axle
        self.settings = {name: value for name, value in settings.items() if name.startswith(f"{axle.name}.")}
        self.measures = tuple(dict.fromkeys(element.measure for element in axle.elements.values()))
        self.row = {name: i for i, name in enumerate(self.measures)}
        centres = [named(axle.name, side, f"wheel_{letter}") for side in SIDES for letter in "xyz"]
        self._taken = axle.stand.taken((*centres, *self.measures))

    def at(self, travel: Array, rack: Array | float = 0.0) -> tuple[AxlePath, BoolArray]:
        """The axle at wheel travels.

        Args:
            travel: left and right, shape (states, 2) [m]
            rack: displacement of the rack to the left, or turn of the pitman arm [m or rad]

        Returns:
            The path, and which states the linkage reaches
        """
        axle, name = self.axle, self.axle.name
        states = AxleStates(left=travel[:, 0], right=travel[:, 1], rack=rack, pitman=rack, settings=self.settings)
        placed = place_axle(axle.stand, name, states)
        motions = placed.motions([{named(name, side, "travel"): 1.0} for side in SIDES], second=False)
        value, rate = motions.first(self._taken)
        wheels = axle.linkage.wheels
        count = len(value)
        pointing = [axle.stand.direction(placed.pose, wheels[side].axis) for side in SIDES]
        axes = np.empty((count, 2, 3), np.result_type(*pointing))
        turns = np.empty((count, 2, 3, 2), np.result_type(axes, motions.velocity))
        for k, side in enumerate(SIDES):
            axes[:, k] = pointing[k]
            for way in (0, 1):
                turns[:, k, :, way] = axle.stand.turning(placed.pose, motions.velocity[:, way], wheels[side].axis.body)
        swung = np.empty_like(turns)
        for way in (0, 1):
            swung[..., way] = cross(turns[..., way], axes)
        path = AxlePath(
            value[:, :6].reshape(count, 2, 3),
            rate[:, :6].reshape(count, 2, 3, 2),
            axes,
            turns,
            swung,
            value[:, 6:],
            rate[:, 6:],
        )
        return path, placed.reached


def damper_measures(axle: AxleModel) -> tuple[str, str]:
    """Measures of an axle's two damper lengths, left and right."""
    left, right = (named(axle.name, side, "damper") for side in SIDES)
    return left, right

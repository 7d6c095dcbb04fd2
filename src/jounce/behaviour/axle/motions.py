"""How an axle on the stand is driven, and how it moves about each position."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from jounce.layouts.naming import SIDES, named
from jounce.linkage.mechanism import Linearised, Mechanism
from jounce.linkage.place import Motion, Motions, Placed, place
from jounce.numerics.arrays import Array

MotionName = Literal["heave", "roll", "left", "right", "steer"]

MODES: Mapping[str, tuple[float, float]] = {
    "heave": (1.0, 1.0),
    "roll": (-1.0, 1.0),
    "left": (1.0, 0.0),
    "right": (0.0, 1.0),
    "steer": (1.0, 1.0),
}
"""Rates of left and right wheel travel in which a motion's derivatives are taken (steer: about heave)."""


@dataclass(frozen=True, slots=True)
class AxleStates:
    """What an axle on the stand is given, each a single value or one per state.

    Either the two wheel travels [m], or (with ``roll``) the mean travel ``heave`` [m] and the body's roll against the
    road [rad, positive right side down]. ``rack`` is the rack's displacement to the left [m] on an axle that has one,
    ``pitman`` the pitman arm's turn [rad, positive as the relay rod moves to the left] on one with a steering box.
    ``settings`` gives adjusted joints (a rod's length, a top plate's displacement) their values. ``attitude`` is how the
    body stands over its road, pitch (positive nose down) and roll (positive right side down) [rad]; where ``roll`` is
    driven, that counts instead of the second.
    """

    left: Array | float = 0.0
    right: Array | float = 0.0
    heave: Array | float = 0.0
    roll: Array | float | None = None
    rack: Array | float = 0.0
    pitman: Array | float = 0.0
    settings: Mapping[str, Array | float] | None = None
    attitude: tuple[Array | float, Array | float] = (0.0, 0.0)


SteeringDrive = Literal["rack", "pitman"]


def steering_drive(stand: Mechanism, axle: str) -> SteeringDrive | None:
    """What steers an axle: its rack, the pitman arm of its steering box, or nothing.

    Args:
        stand: the axle's mechanism
        axle: its name

    """
    drives: tuple[SteeringDrive, SteeringDrive] = ("rack", "pitman")
    return next((drive for drive in drives if named(axle, drive) in stand.joints), None)


def place_axle(stand: Mechanism, axle: str, states: AxleStates, freed: tuple[str, ...] = ()) -> Placed:
    """Place an axle on its stand; the result is always described by the two wheel travels.

    Args:
        stand: the axle's mechanism (see `jounce.layouts.axle.on_the_stand`)
        axle: its name, "front" or "rear"
        states: what is driven
        freed: joints whose value is asked for instead of given

    Returns:
        Placed states; look at ``reached``.

    """
    drives: dict[str, Array | float] = dict(states.settings or {})
    gear = steering_drive(stand, axle)
    if gear is not None:
        drives[named(axle, gear)] = states.rack if gear == "rack" else states.pitman
    pitch, roll = states.attitude
    if np.any(pitch):
        drives[named(axle, "pitch")] = pitch
    if states.roll is None:
        if np.any(roll):
            drives[named(axle, "roll")] = roll
        drives |= {named(axle, "left", "travel"): states.left, named(axle, "right", "travel"): states.right}
        return place(stand, drives, freed)
    level = stand.reference_values([named(axle, "level")])[:, 0]
    drives |= {named(axle, "roll"): states.roll, named(axle, "heave"): states.heave, named(axle, "level"): level}
    return _by_travel(place(stand, drives, freed), axle)


def _by_travel(placed: Placed, axle: str) -> Placed:
    """The same poses with the two wheel travels as the drives, the road held at its tilt."""
    gone = {named(axle, "heave"), named(axle, "level")}
    rows = tuple(row for row in placed.rows if row not in gone)
    travels = tuple(named(axle, side, "travel") for side in SIDES)
    return replace(placed, rows=(*rows, *travels))


@dataclass(frozen=True, slots=True)
class WheelMotions:
    """Coordinate velocities and accelerations of an axle for each wheel's own travel, per metre of it.

    First derivatives add up linearly; second derivatives come as left-left, right-right and mixed.
    """

    placed: Placed
    motions: Motions

    @property
    def left(self) -> Motion:
        """The left wheel travelling alone."""
        return self.motions.one(0)

    @property
    def right(self) -> Motion:
        """The right wheel travelling alone."""
        return self.motions.one(1)

    def first(self, line: Linearised) -> Array:
        """Derivative of measures by left and right travel, shape (states, measures, 2)."""
        return self.motions.first(line.measured)[1]

    def second(self, line: Linearised) -> Array:
        """Second derivatives of measures by left and right travel, shape (states, measures, 2, 2)."""
        return self.motions.second(line.measured)

    def velocity(self, mode: tuple[float, float]) -> Array:
        """Coordinate velocity when the wheels travel at the given rates, shape (states, coordinates)."""
        return mode[0] * self.motions.velocity[:, 0] + mode[1] * self.motions.velocity[:, 1]


def wheel_motions(placed: Placed, axle: str) -> WheelMotions:
    """Motions of a placed axle about its states."""
    left, right = (named(axle, side, "travel") for side in SIDES)
    return WheelMotions(placed, placed.motions(({left: 1.0}, {right: 1.0})))

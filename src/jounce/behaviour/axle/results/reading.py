"""Values and first derivatives of everything measured on an axle, taken once for all results."""

from __future__ import annotations

from functools import cached_property
from typing import Literal

import numpy as np

from jounce.behaviour.axle.context import CarContext
from jounce.behaviour.axle.motions import AxleStates, steering_drive
from jounce.layouts.axle import AxleLinkage, road_body
from jounce.layouts.naming import SIDES, SideName, named
from jounce.linkage.mechanism import Mechanism
from jounce.linkage.place import Placed
from jounce.linkage.tree import Direction, Point
from jounce.numerics.arrays import Array
from jounce.numerics.vectors import X, Y, Z

Path = Literal["motion", "heave", "opposite", "roll", "steer"]
"""What moves: the motion's own wheel travels; both wheels together; against each other; the body on the road; the gear."""


class AxleKinematics:
    """An axle in placed states.

    Rates along a path are per unit of it: per metre of wheel travel (``motion``, ``heave``, ``opposite``), per radian
    of body roll (``roll``: mean travel held, wheel centres level along the road), per metre of rack or radian of
    pitman arm (``steer``: wheel travels held).
    """

    def __init__(
        self,
        stand: Mechanism,
        linkage: AxleLinkage,
        states: AxleStates,
        placed: Placed,
        mode: tuple[float, float],
        context: CarContext,
    ) -> None:
        """Take all values and rates.

        Args:
            stand: the axle on its stand
            linkage: how it was laid out
            states: what the axle is given
            placed: where it is then
            mode: rates of left and right wheel travel in the motion [-]
            context: what is known of the rest of the car

        """
        self.stand, self.linkage, self.states, self.context = stand, linkage, states, context
        self.axle, self.pose = linkage.axle, placed.pose
        self.gear = steering_drive(stand, self.axle)
        names = _measured(stand, linkage, self.gear)
        measured = stand.taken(names)
        self._row = measured.row
        self._found = stand.reference_values(names)
        rods = [] if linkage.steering_axis else [named(self.axle, side, "tie_rod") for side in SIDES]
        self._drives = [
            *(named(self.axle, side, "travel") for side in SIDES),
            named(self.axle, "roll"),
            *(() if self.gear is None else (named(self.axle, self.gear),)),
            *(rod for rod in rods if rod in placed.rows),
        ]
        motions = placed.motions([{name: 1.0} for name in self._drives], second=False)
        self._value, self._rate = motions.first(measured)
        self._velocity = motions.velocity.transpose(0, 2, 1)
        self._paths = self._combinations(mode)

    def _combinations(self, mode: tuple[float, float]) -> dict[Path, Array]:
        """How much of each drive a path takes, shape (1 or states, drives)."""
        units = np.eye(len(self._drives))
        left, right, roll = units[:3]
        level = self._rate[:, self._row[named(self.axle, "level")]]
        tilt = (level[:, 2] / (level[:, 0] - level[:, 1]))[:, None]  # right wheel's travel that keeps the axle level
        paths: dict[Path, Array] = {
            "motion": (mode[0] * left + mode[1] * right)[None],
            "heave": (left + right)[None],
            "opposite": (right - left)[None],
            "roll": roll + tilt * (right - left),
        }
        return paths if self.gear is None else {**paths, "steer": units[3:4]}

    @cached_property
    def roll(self) -> Array:
        """Roll of the body against the road, shape (states,) [rad]."""
        return self.value("roll")

    @cached_property
    def road_normal(self) -> Array:
        """Road's normal in the body, shape (states, 3) [-]."""
        return self.direction(Direction(road_body(self.axle), Z))

    @cached_property
    def road_axes(self) -> tuple[Array, Array]:
        """The road's forward axis and its axis to the left, in the body, each (states, 3) [-]."""
        road = road_body(self.axle)
        return self.direction(Direction(road, X)), self.direction(Direction(road, Y))

    @property
    def forward(self) -> float:
        """+1 for a front axle, -1 for a rear one: the sense of x that points away from the middle of the car [-]."""
        return -1.0 if self.axle == "rear" else 1.0

    def has(self, *parts: str) -> bool:
        """Whether the layout takes this measure."""
        return named(self.axle, *parts) in self._row

    def value(self, *parts: str) -> Array:
        """Values of a measure, shape (states,) [m or rad]."""
        return np.asarray(self._value[:, self._row[named(self.axle, *parts)]])

    def found(self, *parts: str) -> Array:
        """Its value as found, shape (variants or 1,) [m or rad]."""
        return np.asarray(self._found[:, self._row[named(self.axle, *parts)]])

    def change(self, *parts: str) -> Array:
        """Its change from as found, shape (states,) [m or rad]."""
        return self.value(*parts) - self.found(*parts)

    def point(self, side: SideName, thing: str) -> Array:
        """A place measured by x, y and z ("wheel", "contact"), shape (states, 3) [m]."""
        return np.stack([self.value(side, f"{thing}_{axis}") for axis in "xyz"], -1)

    def by_travel(self, *parts: str) -> Array:
        """Rates of a measure by left and right wheel travel, shape (states, 2) [per m]."""
        return np.asarray(self._rate[:, self._row[named(self.axle, *parts)], :2])

    def rate(self, path: Path, *parts: str) -> Array:
        """Rate of a measure along a path, shape (states,) [m or rad per unit of the path]."""
        return self._along(self._paths[path], *parts)

    def velocity(self, path: Path, side: SideName) -> Array:
        """Velocity of a wheel's centre along a path, shape (states, 3) [m per unit]."""
        return self._centre_velocity(self._paths[path], side)

    def turning(self, path: Path, side: SideName) -> Array:
        """Angular velocity of a wheel's carrier along a path, shape (states, 3) [rad per unit]."""
        return self._carrier_turning(self._paths[path], side)

    def position(self, point: Point) -> Array:
        """Where a point is, body axes, shape (states, 3) [m]."""
        return self.stand.position(self.pose, point)

    def direction(self, direction: Direction) -> Array:
        """Where a direction points, body axes, shape (states, 3) [-]."""
        return self.stand.direction(self.pose, direction)

    def steering_screw(self, side: SideName) -> tuple[Array, Array] | None:
        """Velocity of the wheel centre and turning of the carrier per length of the tie rod, the main spring held.

        Both (states, 3) [m/m and rad/m]; None where there is no such rod to be changed or no spring to be held.
        """
        rod, spring = named(self.axle, side, "tie_rod"), self.linkage.springs.get(side)
        if rod not in self._drives or spring is None:
            return None
        units = np.eye(len(self._drives))
        by_drive = self._rate[:, self._row[spring]]
        own, by_rod = SIDES.index(side), self._drives.index(rod)
        held = units[by_rod] - (by_drive[:, by_rod] / by_drive[:, own])[:, None] * units[own]
        return self._centre_velocity(held, side), self._carrier_turning(held, side)

    def _along(self, mixture: Array, *parts: str) -> Array:
        return _mixed(self._rate[:, self._row[named(self.axle, *parts)]], mixture)

    def _centre_velocity(self, mixture: Array, side: SideName) -> Array:
        return np.stack([self._along(mixture, side, f"wheel_{axis}") for axis in "xyz"], -1)

    def _carrier_turning(self, mixture: Array, side: SideName) -> Array:
        velocity = _mixed(self._velocity, mixture[:, None, :])
        return self.stand.turning(self.pose, velocity, self.linkage.carriers[side])


def _mixed(by_drive: Array, mixture: Array) -> Array:
    """Sum over the drives, the last axis: few, so that adding them one by one is quickest."""
    drives = by_drive.shape[-1]
    same = mixture.size == drives  # in all states: drives that are left out need not be added
    taken = [k for k in range(drives) if not same or mixture.flat[k] != 0]
    return np.asarray(sum(by_drive[..., k] * mixture[..., k] for k in taken))


def _measured(stand: Mechanism, linkage: AxleLinkage, gear: str | None) -> tuple[str, ...]:
    """All that results are made of: not the joints, which keep their values, nor what bushes give."""
    bushes = {measure for site in linkage.sites.values() for measure in site.gives.values()}
    moved = [named(linkage.axle, "roll"), *(() if gear is None else (named(linkage.axle, gear),))]
    names = [name for name in stand.measures if name not in stand.joints and name not in bushes]
    return (*names, *moved)

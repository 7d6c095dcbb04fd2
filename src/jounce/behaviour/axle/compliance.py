"""What an axle on bushes gives under forces at its wheels: linear, and exact, about any state.

The body and the steering gear are held. Small movements that the joints allow are combinations of what the bushes
release; the axle's whole energy on its joints, loads on curved paths included, gives their stiffness. The wheels keep
their height above the road (their loads change), or go up and down freely under constant loads.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np

from jounce.behaviour.axle.compliant import BushedAxle, Tangent, standing, tangent
from jounce.behaviour.axle.motions import AxleStates
from jounce.behaviour.axle.road_forces import ACTS, Act, act_name, road_forces
from jounce.behaviour.solving import solved
from jounce.conventions.compliance_quantities import FORCES
from jounce.layouts.naming import SIDES, SideName, named
from jounce.linkage.tree import Pose
from jounce.numerics.arrays import Array

Wheels = Literal["held", "free"]
ForceName = Literal["lateral", "brake", "drive", "aligning"]
On = Literal["left", "right", "both", "opposed"]

ON: Mapping[On, tuple[float, float]] = {
    "left": (1.0, 0.0),
    "right": (0.0, 1.0),
    "both": (1.0, 1.0),
    "opposed": (1.0, -1.0),
}
"""Share of a force on the left and the right wheel; opposed: the right wheel's force acts the other way."""

_ACTS: Mapping[ForceName, tuple[Act, float]] = {
    "lateral": ("y", 1.0),
    "brake": ("x", -1.0),
    "drive": ("hub", 1.0),
    "aligning": ("turn", 1.0),
}
CASES: tuple[tuple[ForceName, On], ...] = tuple((force, on) for force in FORCES for on in ON)
"""Every force with the wheels that it acts on."""

_WHEEL = ("toe", "steer", "camber", "caster", "wheel_x", "wheel_y", "wheel_z", "contact_y")


@dataclass(frozen=True, slots=True)
class Compliance:
    """Changes per unit of each force, by column, shape (states, cases) [SI per N or per N m].

    ``cases`` are the forces in the order of the second axis; a column is a wheel's (``left_toe``) or the axle's.
    ``contact_stiffness`` is dF/dz at the contact points with the bushes in it, tyres excluded, shape (states, 2, 2)
    [N/m].
    """

    cases: tuple[tuple[ForceName, On], ...]
    columns: Mapping[str, Array]
    contact_stiffness: Array

    def of(self, force: ForceName, on: On) -> dict[str, Array]:
        """All columns under one force, each (states,)."""
        case = self.cases.index((force, on))
        return {name: values[:, case] for name, values in self.columns.items()}

    @property
    def wheel_rate(self) -> Array:
        """Rate of each wheel when both rise together, at the contact point, shape (states, 2) [N/m]."""
        return np.asarray(self.contact_stiffness.sum(axis=-1))


def compliance(axle: BushedAxle, states: AxleStates | None = None, wheels: Wheels = "held") -> Compliance:
    """Every change of an axle under every force.

    Args:
        axle: the axle on its bushes
        states: wheel travels or roll; where its bushes were tightened when left out
        wheels: "held" at their height above the road, or "free" to go up and down under constant loads

    Raises:
        Impossible: a state that the linkage does not reach, or that finds no rest
    """
    pose = standing(axle, states)
    about = tangent(axle, pose)
    return Compliance(CASES, _ComplianceColumns(axle, pose, about, wheels).all(), contact_stiffness(axle, about))


def contact_stiffness(axle: BushedAxle, about: Tangent) -> Array:
    """dF/dz at the contact points, the bushes giving as they like, shape (states, 2, 2) [N/m].

    Args:
        axle: the axle
        about: its tangent

    """
    lifted, given = about.ways(axle.heights), about.ways(axle.linkage.released)
    along = lifted - given @ _solved(given, about.stiffness, lifted)
    return np.asarray(along.transpose(0, 2, 1) @ about.stiffness @ along)


def moved(axle: BushedAxle, about: Tangent, pull: Array, wheels: Wheels = "held") -> Array:
    """Movement of all coordinates under generalised forces, shape (states, coordinates, forces).

    Args:
        axle: the axle
        about: its tangent
        pull: generalised forces, shape (states, coordinates, forces) [N or N m]
        wheels: "held" at their height, or "free" under constant loads

    """
    released = axle.linkage.released if wheels == "held" else (*axle.heights, *axle.linkage.released)
    ways = about.ways(released)
    across = ways.transpose(0, 2, 1)
    return np.asarray(ways @ solved(across @ about.stiffness @ ways, across @ pull))


def _solved(ways: Array, stiffness: Array, moved_by: Array) -> Array:
    """How far the bushes give way when the axle is moved, shape (states, ways, movements)."""
    across = ways.transpose(0, 2, 1) @ stiffness
    return np.asarray(solved(across @ ways, across @ moved_by))


class _ComplianceColumns:
    """Reads all columns under all forces in a batch of states."""

    def __init__(self, axle: BushedAxle, pose: Pose, about: Tangent, wheels: Wheels) -> None:
        self.axle, self.pose, self.about, self.wheels = axle, pose, about, wheels
        self.roads = road_forces(axle.linkage, axle.stand, pose)
        self.pull = self._pulls()
        self.moved = moved(axle, about, self.pull, wheels)

    def _pulls(self) -> Array:
        """Generalised forces of one unit of each case, shape (states, coordinates, cases)."""
        names = [act_name(self.axle.name, side, act) for act in ACTS for side in SIDES]
        gradient = self.roads.taken(names).linearised(self.pose).gradient
        weights = np.zeros((len(names), len(CASES)))
        for case, (force, on) in enumerate(CASES):
            act, sense = _ACTS[force]
            for side, share in zip(SIDES, ON[on], strict=True):
                weights[names.index(act_name(self.axle.name, side, act)), case] = sense * share
        return np.asarray(gradient.transpose(0, 2, 1) @ weights)

    def all(self) -> dict[str, Array]:
        """Every column."""
        measured = {side: self._wheel(side) for side in SIDES}
        columns = {f"{side}_{name}": values for side in SIDES for name, values in measured[side].items()}
        if self.wheels == "held":
            columns |= {f"{side}_load": load for side, load in self._loads().items()}
        columns["mean_steer"] = 0.5 * (columns["left_steer"] + columns["right_steer"])
        if self.axle.linkage.beam is not None:
            names = {"axle_steer": named(self.axle.name, "axle_steer"), "axle_shift": named(self.axle.name, "shift")}
            columns |= self._changes(names)
        return columns

    def _wheel(self, side: SideName) -> dict[str, Array]:
        names = {name: named(self.axle.name, side, name) for name in _WHEEL}
        known = {name: full for name, full in names.items() if full in self.axle.stand.measures}
        wound = self.roads.taken([named(self.axle.name, side, "wind_up")]).linearised(self.pose).gradient
        return self._changes(known) | {"wind_up": (wound @ self.moved)[:, 0]}

    def _changes(self, names: Mapping[str, str]) -> dict[str, Array]:
        change = self.axle.stand.taken(tuple(names.values())).linearised(self.pose).gradient @ self.moved
        return {name: change[:, i] for i, name in enumerate(names)}

    def _loads(self) -> dict[SideName, Array]:
        """What the heights' own loads take of each force: more load on the wheel is less on its row."""
        left_over = self.pull - self.about.stiffness @ self.moved
        taken = self.about.ways(self.axle.heights).transpose(0, 2, 1) @ left_over
        return {side: -taken[:, i] for i, side in enumerate(SIDES)}

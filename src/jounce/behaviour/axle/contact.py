"""Wheel loads and rates of an axle by virtual work: no formula that only holds for one layout.

With the body held still, the energy U of the axle's elements and unsprung weights is a function of the two wheel
travels u. The road's vertical forces F under the wheels follow from ``sum_k F_k dz_k/du_i = dU/du_i`` with z the
contact points' heights, and their change from the second derivatives:
``dF/dz = A⁻¹ (U_uu - sum_k F_k z_k,uu) A⁻ᵀ`` with ``A_ik = dz_k/du_i``. Both terms of every spring's wheel rate,
rate times the square of its ratio and force times the ratio's change, are in it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from jounce.behaviour.axle.motions import WheelMotions
from jounce.behaviour.solving import inverted, solved
from jounce.car.mechanics.model import AxleModel, weight
from jounce.layouts.naming import SIDES, named
from jounce.linkage.mechanism import Linearised
from jounce.numerics.arrays import Array

CONTACT_PATH = "contact path"
"""Part of the contact stiffness that comes from the loads on the curved paths of the contact points."""


@dataclass(frozen=True, slots=True)
class ContactState:
    """Road forces and rates at the two contact points of an axle.

    ``load`` (states, 2) [N] left, right. ``stiffness`` (states, 2, 2) [N/m] is dF/dz at the contact points, tyres
    excluded; ``at_wheel_centre`` the same by wheel-centre travel under constant load. ``track`` (states,) [m]
    is the distance of the contact points across the car. ``parts`` splits ``stiffness`` by group of elements;
    what is left is the geometry's own ("contact path").
    """

    load: Array
    stiffness: Array
    at_wheel_centre: Array
    track: Array
    parts: Mapping[str, Array]

    @property
    def wheel_rate(self) -> Array:
        """Rate of each wheel when both rise together, at the contact point, shape (states, 2) [N/m]."""
        return np.asarray(self.stiffness.sum(axis=-1))

    @property
    def wheel_rate_at_wheel_centre(self) -> Array:
        """The same per travel of the wheel centre, shape (states, 2) [N/m]."""
        return np.asarray(self.at_wheel_centre.sum(axis=-1))

    @property
    def one_wheel_rate(self) -> Array:
        """Rate of a wheel that rises alone, the other one held, shape (states, 2) [N/m]."""
        return np.stack((self.stiffness[:, 0, 0], self.stiffness[:, 1, 1]), -1)

    @property
    def roll_stiffness(self) -> Array:
        """Roll moment of the elements per roll of the body against the road, tyres excluded, (states,) [N m/rad].

        The weight's own tilting moment is not in it: the contact path, on which the loads would do work under a road
        that does not tilt, is left out.
        """
        return roll_stiffness(self.stiffness - self.parts[CONTACT_PATH], self.track)


def roll_stiffness(stiffness: Array, track: Array) -> Array:
    """``t²/4 (K_LL + K_RR - 2 K_LR)`` for wheels that move against each other.

    Args:
        stiffness: contact stiffness of the axle, shape (states, 2, 2) [N/m]
        track: distance of the contact points, shape (states,) [m]

    Returns:
        Roll stiffness, shape (states,) [N m/rad]

    """
    across = stiffness[:, 0, 0] + stiffness[:, 1, 1] - stiffness[:, 0, 1] - stiffness[:, 1, 0]
    return np.asarray(0.25 * track**2 * across)


def contact_state(axle: AxleModel, motions: WheelMotions) -> ContactState:
    """Loads and rates of an axle whose elements are all known, in every placed state."""
    line, first, second = element_derivatives(axle, motions)
    row = line.measured.row
    states, kind = len(line.value), line.value.dtype
    gradient = np.zeros((states, 2), dtype=kind)
    bending = np.zeros((states, 2, 2), dtype=kind)
    by_group: dict[str, Array] = {}
    for name, element in axle.elements.items():
        i = row[element.measure]
        x = element.displacement(line.value[:, i])
        pull = element.sense * element.law.force(x)
        gradient = gradient + np.reshape(pull, (-1, 1)) * first[:, i]
        part = np.reshape(element.law.stiffness(x), (-1, 1, 1)) * first[:, i, :, None] * first[:, i, None, :]
        part = part + np.reshape(pull, (-1, 1, 1)) * second[:, i]
        bending = bending + part
        by_group[axle.groups[name]] = by_group.get(axle.groups[name], 0) + part
    weights = np.zeros_like(bending)
    for side in SIDES:
        i, hanging = row[named(axle.name, side, "centre_height")], weight(axle.unsprung[side])
        gradient = gradient + np.reshape(hanging, (-1, 1)) * first[:, i]
        weights = weights + np.reshape(hanging, (-1, 1, 1)) * second[:, i]
    contact = [row[named(axle.name, side, "road_height")] for side in SIDES]
    slope = np.stack([first[:, i] for i in contact], -1)  # [state, travel, contact]
    load: Array = np.asarray(solved(slope, gradient[..., None])[..., 0])
    path = np.einsum("nk,nkij->nij", load, second[:, contact]) - weights
    inverse: Array = np.asarray(inverted(slope))
    across = [line.value[:, row[named(axle.name, side, "contact_y")]] for side in SIDES]
    parts = {group: _at_contact(inverse, part) for group, part in by_group.items()}
    return ContactState(
        load,
        _at_contact(inverse, bending - path),
        bending,
        across[0] - across[1],
        {**parts, CONTACT_PATH: _at_contact(inverse, -path)},
    )


def _at_contact(inverse: Array, by_travel: Array) -> Array:
    return np.asarray(inverse @ by_travel @ inverse.transpose(0, 2, 1))


def element_derivatives(axle: AxleModel, motions: WheelMotions) -> tuple[Linearised, Array, Array]:
    """Measures of all elements and contacts with first and second derivatives by the two wheel travels."""
    contacts = [
        named(axle.name, side, thing) for side in SIDES for thing in ("road_height", "contact_y", "centre_height")
    ]
    springs = [spring.measure for spring in axle.main.values()]
    names = dict.fromkeys([*contacts, *springs, *(element.measure for element in axle.elements.values())])
    line = axle.stand.taken(tuple(names)).linearised(motions.placed.pose)
    return line, motions.first(line), motions.second(line)

"""Main-spring preloads from the corner weights: nobody has to know a torsion bar's free angle."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from jounce.behaviour.axle.contact import element_derivatives
from jounce.behaviour.axle.motions import WheelMotions
from jounce.behaviour.solving import solved
from jounce.car.mechanics.model import AxleModel, MainSpring, weight
from jounce.elements.law import Shifted, SpringLaw
from jounce.layouts.naming import SIDES, SideName, named
from jounce.linkage.balance import Element
from jounce.numerics.arrays import Array


@dataclass(frozen=True, slots=True)
class Preload:
    """Load of one main spring in a given position: force [N or N m] and the displacement that stores it [m or rad]."""

    force: Array
    displacement: Array


def preloads(axle: AxleModel, motions: WheelMotions, corner_load: Mapping[SideName, Array]) -> dict[SideName, Preload]:
    """Spring loads that hold the axle where it is placed.

    Virtual work along each wheel's travel: the main springs give what the road forces ask for and the other elements
    and the unsprung weights do not.

    Args:
        axle: the axle, main springs not among its elements
        motions: wheel motions about the position, one state (or one per variant)
        corner_load: weight under each wheel in that position [N]

    Returns:
        Preload of each side's spring; a negative force says that the spring would have to pull.

    """
    line, first, _ = element_derivatives(axle, motions)
    row = line.measured.row
    # Loads and masses may differ from variant to variant where the position does not, and the other way round.
    wanted = np.zeros((1, 2))
    for side in SIDES:
        hanging = first[:, row[named(axle.name, side, "centre_height")]]
        wanted = wanted + np.reshape(corner_load[side], (-1, 1)) * first[:, row[named(axle.name, side, "road_height")]]
        wanted = wanted - np.reshape(weight(axle.unsprung[side]), (-1, 1)) * hanging
    for element in axle.elements.values():
        i = row[element.measure]
        force = element.sense * element.law.force(element.displacement(line.value[:, i]))
        wanted = wanted - np.reshape(force, (-1, 1)) * first[:, i]
    springs = [axle.main[side] for side in SIDES]
    lever = np.stack([s.sense * first[:, row[s.measure]] for s in springs], -1)  # [state, travel, spring]
    pull: Array = np.asarray(solved(lever, wanted[..., None])[..., 0])
    return {side: Preload(pull[:, k], axle.main[side].law.displacement_at(pull[:, k])) for k, side in enumerate(SIDES)}


def spring_element(spring: MainSpring, preload: Preload, measured: Array) -> Element:
    """The spring as an element that carries its preload at the measure's given value.

    Args:
        spring: torsion bar, coil or leaf
        preload: its load there
        measured: the measure's value in the preload's position, one per variant [rad or m]

    """
    return Element(spring.measure, Shifted(spring.law, preload.displacement), spring.sense, measured)


def slack_displacement(spring: Element) -> Array:
    """Displacement at which a main spring carries nothing, counted from where it was loaded [m or rad].

    Args:
        spring: the main spring as an element, from `spring_element`

    """
    if not isinstance(spring.law, SpringLaw):
        raise TypeError(f"{type(spring.law).__name__} is not the law of a main spring")
    return np.asarray(spring.law.start)


def main_spring_name(axle: str, side: SideName) -> str:
    """Name of a main spring among an axle's elements."""
    return named(axle, side, "main_spring")

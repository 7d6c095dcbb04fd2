"""Energy stored in the main springs where the car stands and where its wheels hang: what a strip-down has to let out."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from jounce.behaviour.motions import place_axle
from jounce.behaviour.preload import main_spring_name, slack_displacement
from jounce.behaviour.reach import first_hard
from jounce.car.model import AxleModel
from jounce.conventions.constants import GRAVITY
from jounce.job.plan import CarState
from jounce.layouts.description import SpringKind
from jounce.layouts.naming import SIDES, SideName
from jounce.linkage.balance import Element
from jounce.numerics.arrays import Array

__all__ = ["StoredEnergy", "drop_height", "stored_energies"]

FALLING_MASS = 20.0
"""A mass whose fall tells how much an energy is [kg]."""


@dataclass(frozen=True, slots=True)
class StoredEnergy:
    """One main spring: energy at rest, at full droop and at full bump [J]; None where that end of travel is not known.

    ``droop_load`` is what it still pushes or twists with at full droop [N or N m], None likewise; negative where a bar
    is twisted backwards there.
    """

    axle: str
    side: SideName
    spring: SpringKind
    rest: float
    droop: float | None
    bump: float | None
    droop_load: float | None


def stored_energies(state: CarState) -> list[StoredEnergy]:
    """All four main springs, measured from where each carries nothing.

    Args:
        state: the car where it stands
    """
    return [_of(state, model, side) for model in state.models for side in SIDES]


def drop_height(energy: float) -> float:
    """From how high `FALLING_MASS` falls with the same energy [m].

    Args:
        energy: [J]
    """
    return energy / (FALLING_MASS * GRAVITY)


def _of(state: CarState, model: AxleModel, side: SideName) -> StoredEnergy:
    ends = {at: first_hard(state.stops[model.name], at) for at in ("droop", "bump")}
    travel = {at: None if met is None else met.travel * (1 if at == "bump" else -1) for at, met in ends.items()}
    moved = np.array([0.0, *(x for x in travel.values() if x is not None)])
    standing = state.states[model.name]
    placed = place_axle(
        model.stand, model.name, replace(standing, left=standing.left + moved, right=standing.right + moved)
    )
    spring = model.main[side]
    element = model.elements[main_spring_name(model.name, side)]
    compressed = element.displacement(model.stand.taken([spring.measure]).values(placed.pose)[:, 0])
    energy, load = _energy(element, compressed), element.law.force(compressed)
    told = iter(range(1, len(moved)))
    at = {name: None if x is None else next(told) for name, x in travel.items()}
    droop, bump = at["droop"], at["bump"]
    return StoredEnergy(
        model.name,
        side,
        spring.kind,
        float(energy[0]),
        None if droop is None else float(energy[droop]),
        None if bump is None else float(energy[bump]),
        None if droop is None else float(load[droop]),
    )


def _energy(element: Element, compressed: Array) -> Array:
    """Energy from where the spring carries nothing, which is not where the law counts from."""
    return np.asarray(element.law.energy(compressed) - element.law.energy(slack_displacement(element)))

"""Energy stored in the main springs where the car stands and where its wheels hang: what a strip-down has to let out."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from jounce.behaviour.axle.motions import place_axle
from jounce.behaviour.axle.preload import main_spring_name, slack_displacement
from jounce.behaviour.axle.reach import first_hard
from jounce.car.mechanics.model import AxleModel
from jounce.conventions.constants import GRAVITY
from jounce.job.index.hanging import hanging_point
from jounce.job.plan import CarState
from jounce.layouts.axle_input import SpringKind
from jounce.layouts.naming import SIDES, SideName
from jounce.linkage.balance import Element
from jounce.numerics.arrays import Array

__all__ = ["LoadedArm", "StoredEnergy", "drop_height", "stored_energies"]

FALLING_MASS = 20.0
"""A mass whose fall tells how much an energy is [kg]."""


@dataclass(frozen=True, slots=True)
class LoadedArm:
    """What a torsion bar still does at full droop: it presses its arm down at a point, and would let it go further down.

    ``point`` is that of the arm in the words of the trade, ``force`` what presses there [N], ``further`` how far down it
    still has to go until the bar carries nothing [m].
    """

    point: str
    force: float
    further: float


@dataclass(frozen=True, slots=True)
class StoredEnergy:
    """One main spring: energy at rest, at full droop and at full bump [J]; None where that end of travel is not known.

    ``droop_load`` is what it still pushes or twists with at full droop [N or N m], None likewise; negative where a bar
    is twisted backwards there. ``arm`` tells of a torsion bar's arm at full droop; None where nothing of it is known.
    """

    axle: str
    side: SideName
    spring: SpringKind
    rest: float
    droop: float | None
    bump: float | None
    droop_load: float | None
    arm: LoadedArm | None = None


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
    arm = None if droop is None else _loaded_arm(model, side, element, float(compressed[droop]), float(load[droop]))
    return StoredEnergy(
        model.name,
        side,
        spring.kind,
        float(energy[0]),
        None if droop is None else float(energy[droop]),
        None if bump is None else float(energy[bump]),
        None if droop is None else float(load[droop]),
        arm,
    )


def _loaded_arm(model: AxleModel, side: SideName, bar: Element, at: float, torque: float) -> LoadedArm | None:
    """The arm at full droop: its angle there, and the torque on it [rad, N m]."""
    point = hanging_point(model.linkage, side)
    if point is None or model.main[side].kind != "torsion bar" or torque <= 0:
        return None
    free = float(np.ravel(slack_displacement(bar))[0])
    further = float(point.rise(at)[0] - point.rise(free)[0])
    return LoadedArm(point.name, torque / point.lever, further)


def _energy(element: Element, compressed: Array) -> Array:
    """Energy from where the spring carries nothing, which is not where the law counts from."""
    return np.asarray(element.law.energy(compressed) - element.law.energy(slack_displacement(element)))

"""Travels at which something begins or ends, for every variant of an axle: a spring comes loose, a rubber is met.

The car as it is tells where; a variant's own place follows by one step of Newton from there, exact in its derivative.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from jounce.behaviour.axle.motions import AxleStates
from jounce.behaviour.axle.reach import past, stops_met
from jounce.behaviour.axle.static import loose_at, wound_up
from jounce.behaviour.axle.travel import column_map, states_table
from jounce.car.mechanics.model import AxleModel
from jounce.car.mechanics.stops import RUBBER
from jounce.conventions.quantities import groups_of
from jounce.layouts.naming import SIDES, SideName
from jounce.numerics.arrays import Array, numbers
from jounce.numerics.complex_step import STEP

__all__ = ["Crossing", "bump_stops", "crossed", "crossings"]

Past = Callable[[AxleModel, AxleStates, Array], Array]
"""How far past it an axle is at a travel from where it stands, zero there; of each variant."""


@dataclass(frozen=True, slots=True)
class Crossing:
    """Where an axle as it is begins to do something.

    Attributes:
        name: of the result, ``axle.side.quantity``
        travel: of both wheels from where the axle stands [m]
        slope: how fast it goes past it per travel
        past: how far past it any variant is

    """

    name: str
    travel: float
    slope: float
    past: Past


def crossings(axle: AxleModel, states: AxleStates) -> list[Crossing]:
    """The droop at which each main spring comes loose, the bump at which each rubber is met; those that are.

    Args:
        axle: the axle complete with its main springs, one variant
        states: the single state in which it stands
    """
    level, standing, settings = _standing(states)
    found: list[tuple[str, float, Past]] = []
    for side in SIDES:
        droop = loose_at(axle, side, level)
        if droop is not None:
            found.append((f"{axle.name}.{side}.loose_at", droop, _loose(side)))
    found += [
        (f"{axle.name}.{met.side}.rubber_at", met.travel, _touching(RUBBER, met.side))
        for met in stops_met(axle, standing, settings)
        if met.name == RUBBER and met.side is not None
    ]
    return _passed(axle, level, found)


def bump_stops(axle: AxleModel, states: AxleStates) -> list[Crossing]:
    """The bump at which each stop of each wheel is met, called ``axle.side.stop``; the first of each wheel's first.

    Args:
        axle: the axle complete with its main springs, one variant
        states: the single state in which it stands
    """
    level, standing, settings = _standing(states)
    met = stops_met(axle, standing, settings, ways=("bump",))
    found = [
        (f"{axle.name}.{one.side}.{one.name}", one.travel, _touching(one.name, one.side))
        for one in met
        if one.side is not None
    ]
    return _passed(axle, level, found)


def _standing(states: AxleStates) -> tuple[AxleStates, tuple[float, float], dict[str, float]]:
    """A single state on a level road, the travel of both wheels there, and what is set."""
    settings = {name: float(np.ravel(value)[0]) for name, value in (states.settings or {}).items()}
    travel = float(np.ravel(states.left)[0]), float(np.ravel(states.right)[0])
    return replace(states, attitude=(0.0, 0.0)), travel, settings


def _passed(axle: AxleModel, level: AxleStates, found: Sequence[tuple[str, float, Past]]) -> list[Crossing]:
    """What is met at a travel, of all that is gone past there."""
    every = []
    for name, travel, one in found:
        slope = float(np.imag(one(axle, level, np.array([travel + 1j * STEP]))[0]) / STEP)
        if slope and np.isfinite(slope):
            every.append(Crossing(name, travel, slope, one))
    return every


def crossed(axle: AxleModel, states: AxleStates, every: Sequence[Crossing]) -> dict[str, Array]:
    """Where variants of an axle, or of where it stands, begin to do the same, each (variants,) [m].

    Args:
        axle: the axle complete with its main springs
        states: where it stands
        every: of the axle as it is
    """
    level = replace(states, attitude=(0.0, 0.0))
    return {
        one.name: np.asarray(one.travel - one.past(axle, level, np.array([one.travel])) / one.slope) for one in every
    }


def _loose(side: SideName) -> Past:
    return lambda axle, states, droop: wound_up(axle, side, states, droop)


def _touching(name: str, side: SideName) -> Past:
    def beyond(axle: AxleModel, states: AxleStates, bump: Array) -> Array:
        stop = next(one for one in axle.stops if (one.name, one.side, one.at) == (name, side, "bump"))
        moved = replace(states, left=numbers(states.left) + bump, right=numbers(states.right) + bump)
        columns: Mapping[str, Array] = column_map(
            states_table(axle.stand, axle.linkage, moved, (1.0, 1.0), groups=groups_of([stop.quantity]))
        )
        return past(stop, columns)

    return beyond

"""Which springs of a coil stack are solid where the car stands, and at the two ends of the wheels' travel."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from jounce.behaviour.axle.motions import AxleStates
from jounce.behaviour.axle.reach import first_hard, stops_met
from jounce.behaviour.axle.static import spring_wound
from jounce.car.mechanics.model import AxleModel
from jounce.layouts.naming import SIDES, SideName

__all__ = ["StackState", "stack_states"]


@dataclass(frozen=True, slots=True)
class StackState:
    """One side's stack in one place.

    ``at`` is "full droop", "rest" or "full bump", ``travel`` how far the wheels are up from rest [m], ``force`` what all
    members carry [N]; ``solid`` says of each member whose travel is known whether its turns touch.
    """

    side: SideName
    at: str
    travel: float
    force: float
    solid: Mapping[str, bool]

    @property
    def words(self) -> str:
        """``helper solid, tender open``."""
        return ", ".join(f"{name} {'solid' if closed else 'open'}" for name, closed in self.solid.items())


def stack_states(axle: AxleModel, states: AxleStates | None = None) -> tuple[StackState, ...]:
    """States of every stack of more than one member, both wheels moving together.

    A full droop or bump for which no part's own limit is known is left out.

    Args:
        axle: the axle complete with its main springs
        states: where it stands, as found when left out

    """
    standing = AxleStates() if states is None else states
    stacked = [side for side in SIDES if (stack := axle.main[side].stack) is not None and stack.has_several]
    if not stacked:
        return ()
    settings = {name: float(np.ravel(value)[0]) for name, value in (standing.settings or {}).items()}
    at = (float(np.ravel(standing.left)[0]), float(np.ravel(standing.right)[0]))
    met = stops_met(axle, at, settings)
    places = {"rest": 0.0}
    for place, end, way in (("full droop", "droop", -1.0), ("full bump", "bump", 1.0)):
        last = first_hard(met, end)
        if last is not None and any(stop.hard and stop.at == end for stop in axle.stops):
            places[place] = way * last.travel
    by_height = sorted(places.items(), key=lambda place: place[1])
    return tuple(_state(axle, side, place, travel, standing) for side in stacked for place, travel in by_height)


def _state(axle: AxleModel, side: SideName, place: str, travel: float, standing: AxleStates) -> StackState:
    spring = axle.main[side]
    if spring.stack is None:
        raise ValueError("this spring is no stack")
    wound = np.array([spring_wound(axle, side, standing, -travel)])
    force = spring.law.force(wound + spring.law.start)
    closed = {name: bool(np.ravel(value)[0]) for name, value in spring.stack.solid(force).items()}
    return StackState(side, place, travel, float(force[0]), closed)

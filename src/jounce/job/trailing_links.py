"""Trailing links or arms of a beam: one side longer, the other shorter, until the axle points where it is wanted."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import numpy as np

from jounce.behaviour.axle.motions import AxleStates, place_axle
from jounce.car.mechanics.model import AxleModel
from jounce.conventions.errors import Impossible
from jounce.layouts.adjusters import Adjuster
from jounce.layouts.naming import SIDES, SideName, named
from jounce.numerics.arrays import Array

__all__ = ["TrailingSetting", "TrailingWish", "apart_needed", "joints_with", "thrust_line", "trailing_setting"]

QUARTER_TURN = 0.25
_WHOLE = 1e-9  # a count of turns this near to a whole one is that
_HAIR = 1e-12  # lengths this near to an end are at it [m]
_STEP = 1e-4  # difference of lengths over which the turning of the axle is looked at [m]
_ROUNDS = 7  # the axle turns so nearly in proportion that each brings it a thousandfold closer
_TURNS = 1e-3  # links that turn an axle less do not set it [rad/m]


def thrust_line(left_toe: float, right_toe: float) -> float:
    """Where an axle that is not steered points, to the left positive: half of what the right toe-in is more [rad].

    Either wheel rolls along its own toe; the axle follows their mean.

    Args:
        left_toe: of the left wheel, toe-in positive [rad]
        right_toe: of the right wheel [rad]

    >>> thrust_line(-0.001, 0.003)
    0.002
    """
    return (right_toe - left_toe) / 2


@dataclass(frozen=True, slots=True)
class TrailingWish:
    """Where an axle is to point, to the left positive [rad], and how far its links go from as found, none negative [m].

    ``longer`` and ``shorter`` are None where nobody told, negative where new ones cannot be as long as those that they
    replace; without a ``pitch`` they are set to any length. ``found`` are the lengths of those that new ones replace, by
    side, of the lower ones where a side has two [m].
    """

    thrust: float
    longer: float | None = None
    shorter: float | None = None
    pitch: float | None = None
    found: Mapping[SideName, float] = field(default_factory=dict)

    @property
    def most(self) -> float:
        """The largest difference between left and right that there is [m]."""
        return sum(math.inf if end is None else end for end in (self.longer, self.shorter))

    def split(self, apart: Array | float) -> dict[SideName, Array]:
        """How much longer each side gets: half of the difference each, until one is at its end.

        Args:
            apart: how much longer the left side is to be than the right, against as found; beyond `most` it is that [m]

        Returns:
            Each of the shape of what is given, negative for shorter [m].
        """
        wanted = _within(np.asarray(apart), -self.most, self.most)
        low, high = (-math.inf if self.shorter is None else -self.shorter), self.longer
        left = _within(wanted / 2, low, math.inf if high is None else high)
        right = _within(left - wanted, low, math.inf if high is None else high)
        return {"left": right + wanted, "right": right}

    def on_thread(self, longer: Mapping[SideName, float]) -> tuple[dict[SideName, float], dict[SideName, float] | None]:
        """The lengths in quarter turns nearest to some, with the turns; their difference counts first.

        Args:
            longer: how much longer each side is to be [m]
        """
        if self.pitch is None:
            return dict(longer), None
        step = self.pitch * QUARTER_TURN
        low = -math.inf if self.shorter is None else math.ceil(-self.shorter / step - _WHOLE)
        high = math.inf if self.longer is None else math.floor(self.longer / step + _WHOLE)
        apart, both = (longer["left"] - longer["right"]) / step, (longer["left"] + longer["right"]) / step
        whole = round(apart)
        left = min(max(round((both + whole) / 2), low), high)
        right = min(max(left - whole, low), high)
        left = min(max(right + whole, low), high)
        counts: dict[SideName, float] = {"left": left, "right": right}
        return {side: count * step for side, count in counts.items()}, {
            side: count * QUARTER_TURN for side, count in counts.items()
        }


def _within(value: Array, low: float, high: float) -> Array:
    """The same between two ends, by its real part."""
    at_least = np.where(value.real < low, low, value) if math.isfinite(low) else value
    return np.asarray(np.where(at_least.real > high, high, at_least) if math.isfinite(high) else at_least)


@dataclass(frozen=True, slots=True)
class TrailingSetting:
    """How links are set.

    Attributes:
        name: what the trade calls one
        wanted: where the axle is to point, to the left positive [rad]
        thrust_if_left: where it points with them as found [rad]
        apart_needed: how much longer the left would have to be than the right, against as found [m]
        longer: by how much each side is made longer, negative for shorter [m]
        turns: of the threads of each side, None where they have none that was told
        values: of the joints that are set [m]
        lengths: between the joints, of new links that replace those as found; empty where these stay [m]

    """

    name: str
    wanted: float
    thrust_if_left: float
    apart_needed: float
    longer: Mapping[SideName, float]
    turns: Mapping[SideName, float] | None
    values: Mapping[str, float] = field(default_factory=dict)
    lengths: Mapping[SideName, float] = field(default_factory=dict)

    @property
    def apart(self) -> float:
        """How much longer the left is set than the right [m]."""
        return self.longer["left"] - self.longer["right"]


def trailing_setting(wish: TrailingWish, links: Adjuster, planned: AxleModel, standing: AxleStates) -> TrailingSetting:
    """The lengths that make an axle point where it is wanted, where the car stands.

    Args:
        wish: where that is, and how far the links go
        links: the joints that they are
        planned: the axle
        standing: travels, attitude, all other joints set

    Raises:
        Impossible: the linkage does not reach there, or the links do not turn the axle
    """
    alone = _thrust(links, planned, standing, dict.fromkeys(SIDES, np.zeros(1)))
    needed = apart_needed(TrailingWish(wish.thrust), links, planned, standing)
    apart = needed
    if abs(needed[0]) / 2 > min(end for end in (math.inf, wish.longer, wish.shorter) if end is not None) + _HAIR:
        apart = apart_needed(wish, links, planned, standing)
    longer, turns = wish.on_thread({side: float(one[0]) for side, one in wish.split(apart).items()})
    values = joints_with(links, planned, {side: np.array([one]) for side, one in longer.items()})
    set_so = {joint: float(value[0]) for joint, value in values.items()}
    told = (links.name, wish.thrust, float(alone[0]), float(needed[0]), longer)
    if wish.found:  # nobody counts turns from links that have gone
        return TrailingSetting(*told, None, set_so, {side: found + longer[side] for side, found in wish.found.items()})
    return TrailingSetting(*told, turns, set_so)


def apart_needed(wish: TrailingWish, links: Adjuster, planned: AxleModel, standing: AxleStates) -> Array:
    """How much longer the left links have to be than the right ones, against as found, each (variants,) [m].

    By how much the axle turns for a small difference of lengths is taken for the whole way, and what is left over by it
    again: Newton's method with one slope, also for documents that stand for many.

    Args:
        wish: where the axle is to point; ends at which one side stops
        links: the joints that they are
        planned: the axle
        standing: as of `trailing_setting`

    Raises:
        Impossible: as of `trailing_setting`
    """
    apart = np.zeros(1)
    points = _thrust(links, planned, standing, wish.split(apart))
    slope = (_thrust(links, planned, standing, wish.split(apart + _STEP)) - points) / _STEP
    if np.any(np.abs(slope) < _TURNS):
        raise Impossible(
            f"The {planned.name} {links.name}s do not turn the axle: check their joints and those of the tube."
        )
    for _ in range(_ROUNDS):
        apart = apart - (points - wish.thrust) / slope
        if np.all(np.abs(apart.real) > wish.most):
            return apart
        points = _thrust(links, planned, standing, wish.split(apart))
    return apart


def joints_with(links: Adjuster, planned: AxleModel, longer: Mapping[SideName, Array]) -> dict[str, Array]:
    """Values of the joints of links that are longer than found, each (variants,) [m].

    Args:
        links: the joints that they are
        planned: the axle
        longer: by how much on each side [m]
    """
    return {
        joint: planned.stand.reference_values([joint])[:, 0] + links.sense * longer[side]
        for side in SIDES
        for joint in links.of_side(planned.name, side)
    }


def _thrust(links: Adjuster, planned: AxleModel, standing: AxleStates, longer: Mapping[SideName, Array]) -> Array:
    """Where the axle points, to the left positive, (variants,) [rad]."""
    settings = {**(standing.settings or {}), **joints_with(links, planned, longer)}
    placed = place_axle(planned.stand, planned.name, replace(standing, settings=settings))
    if not placed.reached.all():
        raise Impossible(
            f"No length of the {planned.name} {links.name}s makes the axle point where it is wanted at this height: ask "
            "for less."
        )
    toes = planned.stand.taken([named(planned.name, side, "toe") for side in SIDES]).values(placed.pose)
    return np.asarray((toes[:, 1] - toes[:, 0]) / 2)

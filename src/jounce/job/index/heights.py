"""The height at which a car stands for every index of its torsion bars, on the real linkage.

Where a wheel shall stand under its load, virtual work says what its spring must carry there; so the turn of the bar
that puts it there is known outright, without a search. Heights for given turns follow from that as roots, all at once.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from jounce.behaviour.axle.motions import AxleStates, place_axle, wheel_motions
from jounce.behaviour.axle.preload import main_spring_name, preloads
from jounce.behaviour.axle.static import spring_wound
from jounce.car.mechanics.model import AxleModel
from jounce.conventions.errors import Impossible
from jounce.elements.root import where_it_crosses
from jounce.layouts.naming import SIDES, SideName
from jounce.numerics.arrays import Array, BoolArray

_FAR = 0.15  # searched each way from where the axle stands [m]
_GRID = 0.01  # [m]
_RESOLUTION = 1e-9  # [m]


@dataclass(frozen=True, slots=True)
class BarTurns:
    """Turn of each side's bar from its free angle as found [rad] that holds the wheels, shape (states,)."""

    turn: Mapping[SideName, Array]
    reached: BoolArray


@dataclass(frozen=True, slots=True)
class StandingTurns:
    """What turn of the bars puts the wheels at a height.

    ``planned`` is the axle without its main springs, ``wound_found`` what each bar was wound up as found [rad], one
    value or one per variant; ``standing`` is where the axle stands, ``loads`` what its wheels carry there [N].
    Both wheels move together from there, so that an anti-roll bar stays as it is.
    """

    planned: AxleModel
    wound_found: Mapping[SideName, Array | float]
    standing: AxleStates
    loads: Mapping[SideName, Array]

    def at(self, lower: Array | float) -> BarTurns:
        """Turns that put both sides lower than where they stand.

        Args:
            lower: how much lower, positive downwards, shape (states,) [m]
        """
        states = replace(self.standing, left=self.standing.left + lower, right=self.standing.right + lower)
        placed = place_axle(self.planned.stand, self.planned.name, states)
        needed = preloads(self.planned, wheel_motions(placed, self.planned.name), self.loads)
        angles = self.planned.stand.taken([self.planned.main[side].measure for side in SIDES]).values(placed.pose)
        turn = {
            side: np.asarray(needed[side].displacement - self.wound_found[side] - angles[:, k])
            for k, side in enumerate(SIDES)
        }
        return BarTurns(turn, placed.reached)

    def arm_angle(self, side: SideName, lower: float) -> float:
        """Twist of a bar from as found by the linkage alone, the body lower than where it stands [rad].

        Args:
            side: which bar
            lower: how much lower, positive downwards [m]
        """
        states = replace(self.standing, left=self.standing.left + lower, right=self.standing.right + lower)
        placed = place_axle(self.planned.stand, self.planned.name, states)
        if not placed.reached.all():
            raise Impossible(
                f"The {self.planned.name} linkage does not reach {lower * 1e3:+.0f} mm from where it stands."
            )
        return float(self.planned.stand.taken([self.planned.main[side].measure]).values(placed.pose)[0, 0])

    def reach(self) -> HeightRange:
        """The heights around where the axle stands over which every turn means one height.

        Raises:
            Impossible: the linkage does not reach the height wanted
        """
        grid = np.arange(-_FAR, _FAR + _GRID / 2, _GRID)
        found = self.at(grid)
        middle = len(grid) // 2
        if not found.reached[middle]:
            raise Impossible(
                f"The {self.planned.name} linkage does not reach the height wanted: ask for a smaller change."
            )
        return HeightRange(self, grid, found)


@dataclass(frozen=True, slots=True)
class HeightRange:
    """Heights searched [m, lower positive] and the turns that give them."""

    turns: StandingTurns
    grid: Array
    found: BarTurns

    def lower_of(self, side: SideName, turns: Array) -> Array:
        """How much lower than in the middle a side stands for turns of its bar; NaN where nothing within reach does [m].

        Args:
            side: which side; the other wheel moves with it
            turns: turn from the free angle as found, positive winds up, shape (turns,) [rad]
        """
        low, high, turn = self._one_to_one(side)
        lower = np.full(len(turns), np.nan)
        inside = np.flatnonzero((turns < turn[0]) & (turns > turn[-1]))
        if not len(inside):
            return lower
        # Turn falls as the wheel stands lower: each turn lies between two neighbours of the grid.
        cell = np.searchsorted(-turn, -turns[inside]) - 1 + low

        def beyond(at: Array) -> Array:
            return self.turns.at(at).turn[side] - turns[inside]

        ends = self.grid[cell], self.grid[np.minimum(cell + 1, high)]
        lower[inside] = where_it_crosses(beyond, *ends, _RESOLUTION)
        return lower

    def _one_to_one(self, side: SideName) -> tuple[int, int, Array]:
        """First and last place of the grid around the middle between which the turn only falls, and the turns there."""
        turn, reached = self.found.turn[side], self.found.reached
        low = high = len(self.grid) // 2
        while low > 0 and reached[low - 1] and turn[low - 1] > turn[low]:
            low -= 1
        while high < len(self.grid) - 1 and reached[high + 1] and turn[high + 1] < turn[high]:
            high += 1
        return low, high, turn[low : high + 1]


def without_main_springs(axle: AxleModel) -> AxleModel:
    """The axle with its main springs taken out of its elements."""
    gone = {main_spring_name(axle.name, side) for side in SIDES}
    return replace(axle, elements={name: element for name, element in axle.elements.items() if name not in gone})


def wound_as_found(found: AxleModel) -> dict[SideName, float]:
    """What each bar of a loaded axle is wound up as found [rad]."""
    return {side: spring_wound(found, side, AxleStates(), 0.0) for side in SIDES}

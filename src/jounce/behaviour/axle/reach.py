"""How far the wheels of an axle can go up and down, together or one alone, and what stops them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from jounce.behaviour.axle.motions import AxleStates
from jounce.behaviour.axle.travel import column_map, states_table
from jounce.car.mechanics.model import AxleModel, Stop
from jounce.car.mechanics.stops import RUBBER
from jounce.conventions.quantities import groups_of
from jounce.elements.root import where_it_crosses
from jounce.layouts.naming import SIDES, SideName
from jounce.numerics.arrays import Array, BoolArray

Way = Literal["bump", "droop"]
_WAYS: Mapping[Way, float] = {"bump": 1.0, "droop": -1.0}
_FAR = 0.20  # travel searched each way from the standing position [m]
_GRID = 0.005
_RESOLUTION = 1e-10  # [m]


@dataclass(frozen=True, slots=True)
class StopContact:
    """A stop and the travel from the standing position at which it is met [m, positive in both directions]."""

    name: str
    side: SideName | None
    at: Way
    travel: float
    hard: bool


def stops_met(
    axle: AxleModel,
    standing: tuple[float, float] = (0.0, 0.0),
    settings: Mapping[str, float] | None = None,
    *,
    moving: tuple[SideName, ...] = SIDES,
    steered: float = 0.0,
    ways: tuple[Way, ...] = ("bump", "droop"),
) -> tuple[StopContact, ...]:
    """Every stop within 200 mm of the standing position, in the order in which it is met.

    Args:
        axle: the axle with its stops
        standing: travel of the left and right wheel where the car stands, from as found [m]
        settings: adjusted joints
        moving: wheels that move: both together, or one while the other stays where it stands; its own stops alone count
        steered: displacement of the rack [m] or turn of the pitman arm [rad], whichever the axle has
        ways: whether to look upwards, downwards or both

    Returns:
        Stops by travel, the end of the linkage among them.
    """
    search = _Search(axle, standing, dict(settings or {}), moving, steered)
    return tuple(sorted(search.along(ways), key=lambda stop: (stop.at, stop.travel)))


@dataclass(frozen=True, slots=True)
class _Bracket:
    """A stop and the last step of travel before it, both ways counted positive [m]."""

    stop: Stop
    at: Way
    start: float


@dataclass(frozen=True, slots=True)
class _Search:
    axle: AxleModel
    standing: tuple[float, float]
    settings: Mapping[str, float]
    moving: tuple[SideName, ...]
    steered: float

    @property
    def _stops(self) -> tuple[Stop, ...]:
        return tuple(stop for stop in self.axle.stops if stop.side in self.moving)

    def along(self, ways: tuple[Way, ...]) -> list[StopContact]:
        """Stops met upwards and downwards; all steps of all ways are placed in one batch."""
        grid = np.arange(0, _FAR + _GRID / 2, _GRID)
        columns, reached = self._columns(np.concatenate([_WAYS[at] * grid for at in ways]))
        met: list[StopContact] = []
        brackets: list[_Bracket] = []
        for k, at in enumerate(ways):
            part = slice(k * len(grid), (k + 1) * len(grid))
            there = reached[part]
            last = int(np.argmin(there)) if not there.all() else len(grid)
            if last < len(grid):
                met.append(StopContact("linkage at its end", None, at, float(grid[last - 1]), hard=True))
            for stop, crossed in self._crossed(columns, at, part, last):
                if crossed == 0:
                    met.append(StopContact(stop.name, stop.side, at, 0.0, stop.hard))
                else:
                    brackets.append(_Bracket(stop, at, float(grid[crossed - 1])))
        return met + self._refined(brackets)

    def _crossed(self, columns: Mapping[str, Array], at: Way, part: slice, last: int) -> Iterator[tuple[Stop, int]]:
        """Stops that are met one way, and the first step at which the wheel is past each."""
        for stop in self._stops:
            if stop.at == at:
                beyond = np.flatnonzero(past(stop, columns)[part][:last] > 0)
                if len(beyond):
                    yield stop, int(beyond[0])

    def _refined(self, brackets: list[_Bracket]) -> list[StopContact]:
        if not brackets:
            return []
        # A little wider than the step: a stop met at the grid's own point, but for rounding, lies between its ends too.
        low, high = (np.array([one.start + end for one in brackets]) for end in (-_RESOLUTION, _GRID + _RESOLUTION))
        way = np.array([_WAYS[one.at] for one in brackets])

        def beyond(travel: Array) -> Array:
            columns, _ = self._columns(way * travel)
            return np.array([past(one.stop, columns)[i] for i, one in enumerate(brackets)])

        found = where_it_crosses(beyond, low, high, _RESOLUTION)
        return [
            StopContact(one.stop.name, one.stop.side, one.at, float(travel), one.stop.hard)
            for one, travel in zip(brackets, found, strict=True)
        ]

    def _columns(self, travel: Array) -> tuple[Mapping[str, Array], BoolArray]:
        left, right = (at + travel * (side in self.moving) for side, at in zip(SIDES, self.standing, strict=True))
        states = AxleStates(left=left, right=right, rack=self.steered, pitman=self.steered, settings=self.settings)
        groups = groups_of(stop.quantity for stop in self._stops)
        table = states_table(self.axle.stand, self.axle.linkage, states, (1.0, 1.0), groups=groups)
        return column_map(table), table.reached


def rubber_gaps(axle: AxleModel, states: AxleStates) -> dict[SideName, Array]:
    """Gap at each wheel's bump rubber, at the rod, where a rule reads it; negative where it is pressed, (states,) [m].

    A wheel whose rubber is not known is left out.

    Args:
        axle: the axle with its stops
        states: positions
    """
    stops = [stop for stop in axle.stops if stop.name == RUBBER]
    groups = groups_of(stop.quantity for stop in stops)
    columns = column_map(states_table(axle.stand, axle.linkage, states, (1.0, 1.0), groups=groups)) if stops else {}
    return {stop.side: -past(stop, columns) for stop in stops}


def rubbers_pressed(axle: AxleModel, states: AxleStates) -> dict[SideName, float]:
    """How far each wheel's bump rubber is pressed together in one position, at the rod; 0 where it is free [m].

    Args:
        axle: the axle with its stops
        states: one position
    """
    pressed = {side: max(0.0, -float(gap[0])) for side, gap in rubber_gaps(axle, states).items()}
    return dict.fromkeys(SIDES, 0.0) | pressed


def past(stop: Stop, columns: Mapping[str, Array]) -> Array:
    """How far a wheel is past a stop, negative before it [m or rad].

    Args:
        stop: the stop
        columns: a travel table's columns by name
    """
    return np.asarray(stop.sense * (columns[f"{stop.side}_{stop.quantity}"] - stop.limit))


def first_hard(met: Sequence[StopContact], at: str) -> StopContact | None:
    """The stop that ends the travel in bump or droop; None when none is known within the search."""
    return next((stop for stop in met if stop.at == at and stop.hard), None)

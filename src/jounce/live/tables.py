"""Tables that follow the hand: polynomials through whole cars at rest, held to other whole cars between them.

Heights, springs, bars and cambers are moved on whole cars, any two together; a camber with nothing but its own axle's
height, since it changes only where that axle's wheels and pivots are. Bump rubbers that a car stands clear of move it
nowhere: what is left of its travel changes by as much as it does on the axle alone, and is added. Forces of dampers change
nothing but damping, in proportion: that is multiplied.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import combinations

import numpy as np
from numpy.polynomial.chebyshev import chebvander

from jounce.behaviour.solving import solved
from jounce.conventions.errors import Impossible
from jounce.live.figure import LiveFigure
from jounce.live.figures import lean_figure, lift_figures, read_lean, read_lift, read_standing, standing_figures
from jounce.live.lever import Lever
from jounce.live.levers import narrowed, normal
from jounce.live.moved import MovableCar
from jounce.live.room import read_travel
from jounce.numerics.arrays import Array, IntArray
from jounce.numerics.sparse_grid import grid_points, grid_terms, terms_at
from jounce.wanted.stood import Stood

__all__ = ["LiveTable", "LiveTables", "lever_values", "live_tables"]

_SHARES = (1.0, 0.6)
"""Of the levers' ways, tried in turn until the tables are as good as they have to be."""
_BETWEEN = 6
"""Whole cars between those that the tables go through, to which they are held."""
_HIGHEST = 4
"""Power of a lever in a table of its own [-]."""
_STAYS = 1e-9
"""A stop whose travel changes by less than this stays where it is [m]."""
_SAFE = 0.6
"""Of what is allowed: as much as a table may miss those few, since others may lie where it misses by more [-]."""


@dataclass(frozen=True, slots=True)
class LiveTable:
    """One number over all levers.

    Attributes:
        figure: what it is
        terms: what multiplies each term, shape (terms,) [SI]
        missed: largest miss at the whole cars it was held to, in parts of what is allowed [-]
        added: of each bump rubber that changes it, by the lever's key, what multiplies its polynomials, shape (5,) [SI]

    """

    figure: LiveFigure
    terms: Array
    missed: float
    added: Mapping[str, Array] = field(default_factory=dict)

    @property
    def good(self) -> bool:
        """Whether it may follow the hand."""
        return self.missed <= _SAFE


@dataclass(frozen=True, slots=True)
class LiveTables:
    """All that follows the hand.

    Attributes:
        levers: what is moved, with the ways for which the tables hold
        degrees: of each lever's Chebyshev polynomial in each term, shape (terms, levers)
        tables: the numbers, in the order in which they are told; good ones and others
        share: of the levers' whole ways for which they hold [-]
        cars: whole cars that they go through
        between: whole cars to which they were held

    """

    levers: tuple[Lever, ...]
    degrees: IntArray
    tables: tuple[LiveTable, ...]
    share: float
    cars: int
    between: int

    def told(self, values: Mapping[str, float]) -> dict[str, float]:
        """Every number with the levers somewhere, as the page works it out; without those that wait for rest [SI].

        Args:
            values: where the levers are, by key; those that are not named are as planned [SI]
        """
        at = np.array([[values.get(one.key, one.today) for one in self.levers]])
        places = normal(self.levers, at)
        terms = terms_at(self.degrees, places)[0]
        own = {one.key: _own_terms(one, values.get(one.key, one.today)) for one in self.levers}
        moved = [
            one.key for one in self.levers if one.moves == "rubber" and values.get(one.key, one.today) != one.today
        ]
        found = {}
        for one in self.tables:
            if moved and one.figure.rubbers:
                continue
            value = float(terms @ one.terms) + sum(float(own[key] @ added) for key, added in one.added.items())
            found[one.figure.key] = value * values.get(one.figure.times, 1.0)
        return found


def lever_values(levers: Sequence[Lever], points: Array) -> list[dict[str, float]]:
    """Where levers are at points of a grid, by key [SI].

    Args:
        levers: the levers
        points: from -1 at their least to 1 at their most, shape (points, levers) [-]
    """
    power = np.array([one.power for one in levers])
    low, high = np.array([one.low for one in levers]) ** power, np.array([one.high for one in levers]) ** power
    values = (low + (points + 1) / 2 * (high - low)) ** (1 / power)
    return [dict(zip((one.key for one in levers), map(float, row), strict=True)) for row in values]


def live_tables(car: MovableCar, levers: Sequence[Lever], tell: Callable[[float, str], None]) -> LiveTables:
    """Work out the tables, over the whole ways of the levers or, where that is too coarse, over a part of them.

    Args:
        car: the planned car
        levers: what is moved on it
        tell: is told the share that is done and what is being done; may raise to end it

    Raises:
        Impossible: no part of the ways is good for tables
    """
    why = ""
    moved = [one for one in levers if one.whole]
    rubbers = [one for one in levers if one.moves == "rubber"]
    degrees = grid_terms(len(moved), _apart(moved))
    inner = np.random.default_rng(7).uniform(-1, 1, (_BETWEEN, len(moved)))
    points = np.concatenate((grid_points(degrees), inner))
    basis = terms_at(degrees, points)
    added = _added(car, rubbers)
    for number, share in enumerate(_SHARES):
        own = [narrowed(one, share) for one in moved]
        try:
            stood = _stand(car, lever_values(own, points), tell)
            between = _between(car, lever_values(own, inner), rubbers, tell)
        except Impossible as problem:
            why = str(problem)
            continue
        standing = _standing_tables(car, basis, stood, (between, added, rubbers))
        lean = [_table(lean_figure(), basis, [read_lean(rest) for _, rest in stood])]
        if all(one.good for one in (*standing, *lean)) or number == len(_SHARES) - 1:
            lifts = _lifts([rest for _, rest in stood], basis, tell)
            by_key = {one.key: one for one in own}
            every = tuple(by_key.get(one.key, one) for one in levers)
            wide = np.zeros((len(degrees), len(every)), dtype=np.intp)
            wide[:, [every.index(one) for one in own]] = degrees
            return LiveTables(every, wide, (*standing, *lean, *lifts), share, len(degrees), len(inner))
    raise Impossible(f"No part of the levers' ways can be told beforehand. {why}".strip())


def _apart(levers: Sequence[Lever]) -> list[tuple[int, int]]:
    """Pairs of levers that are not moved together: a camber and anything but its own axle's height."""
    return [
        (k, other)
        for (k, one), (other, second) in combinations(enumerate(levers), 2)
        if "camber" in {one.moves, second.moves}
        and not (one.axle == second.axle and {one.moves, second.moves} == {"camber", "height"})
    ]


def _added(car: MovableCar, levers: Sequence[Lever]) -> dict[str, dict[str, Array]]:
    """What each bump rubber's lever adds to each stop's travel: by that stop's key, by the lever's [m]."""
    places = grid_points(grid_terms(1))
    basis = terms_at(grid_terms(1), places)
    found: dict[str, dict[str, Array]] = {}
    for one in levers:
        today = read_travel(car.today, one.axle)
        reads = [read_travel(car.with_rubbers(values), one.axle) for values in lever_values([one], places)]
        for key, before in today.items():
            if all(key in read for read in reads):
                changes = np.array([read[key] - before for read in reads])
                if np.abs(changes).max() > _STAYS:
                    found.setdefault(key, {})[one.key] = solved(basis, changes)
    return found


def _stand(
    car: MovableCar, places: Sequence[Mapping[str, float]], tell: Callable[[float, str], None]
) -> list[tuple[Mapping[str, float], Stood]]:
    """The whole car at rest at every place, with its standing figures."""
    found = []
    for number, values in enumerate(places):
        tell(0.5 * number / len(places), f"whole car {number + 1} of {len(places)} put to rest")
        stood = car.stands(values)
        found.append((read_standing(car, stood), stood))
    return found


def _between(
    car: MovableCar,
    places: Sequence[Mapping[str, float]],
    rubbers: Sequence[Lever],
    tell: Callable[[float, str], None],
) -> list[tuple[Mapping[str, float], Mapping[str, float]]]:
    """Whole cars with their bump rubbers moved too: where these are, and the standing figures there."""
    if not rubbers:
        return []
    spread = np.random.default_rng(8).uniform(-1, 1, (len(places), len(rubbers)))
    found: list[tuple[Mapping[str, float], Mapping[str, float]]] = []
    for values, moved in zip(places, lever_values(rubbers, spread), strict=True):
        tell(0.5, "whole cars with their bump rubbers moved")
        found.append((moved, read_standing(car, car.stands({**values, **moved}))))
    return found


def _lifts(stood: Sequence[Stood], basis: Array, tell: Callable[[float, str], None]) -> list[LiveTable]:
    """Where wheels lift, of those that lift in every whole car."""
    reads = []
    for number, one in enumerate(stood):
        tell(0.5 + 0.5 * number / len(stood), f"whole car {number + 1} of {len(stood)} in both turns")
        reads.append(read_lift(one))
    return [_table(one, basis, reads) for one in lift_figures() if all(one.key in read for read in reads)]


def _standing_tables(
    car: MovableCar,
    basis: Array,
    stood: Sequence[tuple[Mapping[str, float], Stood]],
    with_rubbers: tuple[
        Sequence[tuple[Mapping[str, float], Mapping[str, float]]], Mapping[str, Mapping[str, Array]], Sequence[Lever]
    ],
) -> list[LiveTable]:
    """Tables of the standing figures, those of travel held to cars with their bump rubbers moved as well."""
    between, added, levers = with_rubbers
    reads = [read for read, _ in stood]
    found = []
    for figure in standing_figures(car):
        if not all(figure.key in read for read in reads):
            continue
        table = _table(figure, basis, reads)
        own = added.get(figure.key, {})
        rows = basis[basis.shape[1] :]
        for row, (moved, read) in zip(rows[: len(between)], between, strict=True):
            more = sum(
                float(_own_terms(lever, moved[lever.key]) @ own[lever.key]) for lever in levers if lever.key in own
            )
            missed = figure.missed(float(row @ table.terms) + more, read[figure.key]) if figure.key in read else np.inf
            table = replace(table, missed=max(table.missed, missed))
        found.append(replace(table, added=own))
    return found


def _own_terms(lever: Lever, value: float) -> Array:
    """Polynomials of one lever's own place, shape (5,) [-]."""
    return np.asarray(chebvander(normal([lever], np.array([value])), _HIGHEST)[0])


def _table(figure: LiveFigure, basis: Array, reads: Sequence[Mapping[str, float]]) -> LiveTable:
    """A number's table through the first whole cars, as many as there are terms, and held to the rest."""
    values = np.array([read[figure.key] for read in reads])
    count = basis.shape[1]
    terms = solved(basis[:count], values[:count])
    missed = [figure.missed(told, exact) for told, exact in zip(basis[count:] @ terms, values[count:], strict=True)]
    return LiveTable(figure, terms, max(missed))

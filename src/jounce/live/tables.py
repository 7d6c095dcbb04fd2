"""Tables that follow the hand: polynomials through whole cars at rest, held to other whole cars between them."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from jounce.behaviour.solving import solved
from jounce.conventions.errors import Impossible
from jounce.live.figures import LiveFigure, lift_figures, read_lift, read_standing, standing_figures
from jounce.live.levers import Lever, narrowed, normal
from jounce.live.moved import MovableCar
from jounce.numerics.arrays import Array, IntArray
from jounce.numerics.sparse_grid import grid_points, grid_terms, terms_at
from jounce.wanted.stood import Stood

__all__ = ["LiveTable", "LiveTables", "lever_values", "live_tables"]

_SHARES = (1.0, 0.6)
"""Of the levers' ways, tried in turn until the tables are as good as they have to be."""
_BETWEEN = 6
"""Whole cars between those that the tables go through, to which they are held."""
_SAFE = 0.6
"""Of what is allowed: as much as a table may miss those few, since others may lie where it misses by more [-]."""


@dataclass(frozen=True, slots=True)
class LiveTable:
    """One number over all levers.

    Attributes:
        figure: what it is
        terms: what multiplies each term, shape (terms,) [SI]
        missed: largest miss at the whole cars it was held to, in parts of what is allowed [-]

    """

    figure: LiveFigure
    terms: Array
    missed: float

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
        """Every number with the levers somewhere, as the page works it out [SI].

        Args:
            values: where the levers are, by key; those that are not named are as planned [SI]
        """
        at = np.array([[values.get(one.key, one.today) for one in self.levers]])
        terms = terms_at(self.degrees, normal(self.levers, at))[0]
        return {one.figure.key: float(terms @ one.terms) for one in self.tables}


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
    degrees = grid_terms(len(levers))
    inner = np.random.default_rng(7).uniform(-1, 1, (_BETWEEN, len(levers)))
    points = np.concatenate((grid_points(degrees), inner))
    basis = terms_at(degrees, points)
    for number, share in enumerate(_SHARES):
        own = tuple(narrowed(one, share) for one in levers)
        try:
            stood = _stand(car, own, points, tell)
        except Impossible as problem:
            why = str(problem)
            continue
        standing = [_table(one, basis, [read for read, _ in stood]) for one in standing_figures(car)]
        if all(one.good for one in standing) or number == len(_SHARES) - 1:
            lifts = _lifts([rest for _, rest in stood], basis, tell)
            return LiveTables(own, degrees, (*standing, *lifts), share, len(degrees), len(inner))
    raise Impossible(f"No part of the levers' ways can be told beforehand. {why}".strip())


def _stand(
    car: MovableCar, levers: tuple[Lever, ...], points: Array, tell: Callable[[float, str], None]
) -> list[tuple[Mapping[str, float], Stood]]:
    """The whole car at rest at every point, with its standing figures."""
    found = []
    for number, values in enumerate(lever_values(levers, points)):
        tell(0.5 * number / len(points), f"whole car {number + 1} of {len(points)} put to rest")
        stood = car.stands(values)
        found.append((read_standing(car, stood), stood))
    return found


def _lifts(stood: Sequence[Stood], basis: Array, tell: Callable[[float, str], None]) -> list[LiveTable]:
    """Where wheels lift, of those that lift in every whole car."""
    reads = []
    for number, one in enumerate(stood):
        tell(0.5 + 0.5 * number / len(stood), f"whole car {number + 1} of {len(stood)} in both turns")
        reads.append(read_lift(one))
    return [_table(one, basis, reads) for one in lift_figures() if all(one.key in read for read in reads)]


def _table(figure: LiveFigure, basis: Array, reads: Sequence[Mapping[str, float]]) -> LiveTable:
    """A number's table through the first whole cars, as many as there are terms, and held to the rest."""
    values = np.array([read[figure.key] for read in reads])
    count = basis.shape[1]
    terms = solved(basis[:count], values[:count])
    missed = [figure.missed(told, exact) for told, exact in zip(basis[count:] @ terms, values[count:], strict=True)]
    return LiveTable(figure, terms, max(missed))

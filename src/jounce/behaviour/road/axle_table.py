"""An axle's paths tabulated over its two wheel travels: one batch of positions, then no linkage is solved any more.

The table holds geometry alone: where wheels and elements' measures are and how they move. What springs, bars, stops and
dampers push is worked out from it afterwards, so one table serves every set of parts that leaves the pivots where they
are. Beyond its edges nothing is guessed.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from jounce.behaviour.road.axle_path import AxleOnBody, AxlePath, damper_measures
from jounce.car.mechanics.model import AxleModel
from jounce.conventions.errors import Impossible
from jounce.elements.law import Linear
from jounce.linkage.balance import Element
from jounce.numerics.arrays import Array, BoolArray
from jounce.numerics.surface import Surface, surface

REACH = 0.15
"""Travel from as found that is tabulated each way where the linkage goes so far [m]."""
STEP = 0.0075
"""Distance of the tabulated travels [m]; see the page on time histories for what it costs in accuracy."""
LEAST = 0.03
"""A table that reaches less far than this from as found is refused [m]."""

CENTRE, AXIS, TURN, MEASURE = slice(0, 6), slice(6, 12), slice(12, 24), 24
"""Where wheel centres, wheel axes and turns per travel are among the tabulated functions; measures follow."""


class TabulatedAxle(AxleOnBody):
    """An axle that is looked up instead of placed: it serves wherever an `AxleOnBody` does, with the rack at rest.

    Args:
        axle: the axle complete with its main springs
        settings: adjusted joints by name [m or rad]
        table: its functions of both travels, see `tabulated`
        measured: the table's measures, in its order

    """

    def __init__(self, axle: AxleModel, settings: Mapping[str, float], table: Surface, measured: Sequence[str]) -> None:
        super().__init__(axle, settings)
        self.table, self.measured = table, tuple(measured)
        rows = [MEASURE + self.measured.index(name) for name in self.measures]
        self._rows = np.array([*range(MEASURE), *rows], dtype=np.intp)

    def at(self, travel: Array, rack: Array | float = 0.0) -> tuple[AxlePath, BoolArray]:
        """The axle at wheel travels, as `AxleOnBody.at`; a state beyond the table's edge counts as not reached.

        Args:
            travel: left and right, shape (states, 2) [m]
            rack: zero; an axle that is steered has to be placed [m or rad]
        """
        if np.any(rack):
            raise ValueError("a tabulated axle has its steering at rest")
        inside = self.table.covers(travel.real)
        held = np.clip(travel.real, self.table.origin, self.table.end)
        value, first, second = (part[:, self._rows] for part in self.table.at(held))
        if np.iscomplexobj(travel):
            value = value + 1j * np.einsum("nfk,nk->nf", first, travel.imag)
            first = first + 1j * np.einsum("nfkl,nl->nfk", second, travel.imag)
        return _path(value, first), inside

    def carrying(self, axle: AxleModel) -> TabulatedAxle:
        """The same geometry with other parts on it; their measures must be among the tabulated ones.

        Args:
            axle: the axle with other elements
        """
        return TabulatedAxle(axle, self.settings, self.table, self.measured)


def tabulated(on_body: AxleOnBody, reach: float = REACH, step: float = STEP) -> TabulatedAxle:
    """Tabulate an axle as far as its linkage goes.

    Args:
        on_body: the axle
        reach: travel from as found to tabulate each way [m]
        step: distance of the travels [m]

    Raises:
        Impossible: the linkage goes less far than 30 mm around as found
    """
    extra = {name: Element(name, Linear(0.0)) for name in damper_measures(on_body.axle)}
    whole = AxleOnBody(on_body.axle.with_elements(extra), on_body.settings)
    count = int(np.ceil(reach / step))
    lines: Array = step * np.arange(-count, count + 1, dtype=np.float64)
    left, right = np.meshgrid(lines, lines, indexing="ij")
    path, reached = whole.at(np.stack((left.ravel(), right.ravel()), -1))
    low, high = _square(reached.reshape(left.shape))
    if lines[low] > -LEAST or lines[high] < LEAST:
        raise Impossible(
            f"The {on_body.axle.name} linkage goes only from {lines[low] * 1e3:.0f} to {lines[high] * 1e3:.0f} mm around "
            "as found: check its pivots."
        )
    values = np.concatenate(
        (path.centre.reshape(-1, 6), path.axis.reshape(-1, 6), path.turn_rate.reshape(-1, 12), path.measure), axis=1
    ).reshape(*left.shape, -1)
    kept = slice(low, high + 1)
    table = surface(lines[kept], lines[kept], values[kept, kept])
    return TabulatedAxle(on_body.axle, on_body.settings, table, whole.measures)


def _square(reached: BoolArray) -> tuple[int, int]:
    """First and last line of the largest square around the middle in which all states are reached."""
    middle = len(reached) // 2
    low = high = middle
    while True:
        wider = [
            (a, b)
            for a, b in ((low - 1, high + 1), (low - 1, high), (low, high + 1))
            if a >= 0 and b < len(reached) and reached[a : b + 1, a : b + 1].all()
        ]
        if not wider:
            return low, high
        low, high = wider[0]


def _path(value: Array, first: Array) -> AxlePath:
    count = len(value)
    return AxlePath(
        centre=value[:, CENTRE].reshape(count, 2, 3),
        centre_rate=first[:, CENTRE].reshape(count, 2, 3, 2),
        axis=value[:, AXIS].reshape(count, 2, 3),
        turn_rate=value[:, TURN].reshape(count, 2, 3, 2),
        axis_rate=first[:, AXIS].reshape(count, 2, 3, 2),
        measure=value[:, MEASURE:],
        measure_rate=first[:, MEASURE:],
    )

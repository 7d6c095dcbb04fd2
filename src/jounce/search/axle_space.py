"""One axle with every part that could be fitted: one table of geometry, and what each part pushes over it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from jounce.behaviour.road.axle_path import AxleOnBody
from jounce.behaviour.road.axle_table import MEASURE, tabulated
from jounce.car.mechanics.model import AxleModel, MainSpring
from jounce.elements.law import Linear
from jounce.layouts.naming import SIDES, SideName
from jounce.linkage.balance import Element
from jounce.numerics.arrays import Array
from jounce.numerics.surface import Surface, surface
from jounce.search.elastic import Elastic, Pull, SpringPull
from jounce.shelf.part import Part

BESIDE_THE_SPRING = frozenset({"bump stop", "droop stop", "gas force", "damper end"})
"""Groups of elements that come with damper and stop."""


@dataclass(frozen=True, slots=True)
class SpringBounds:
    """What an option's main springs may do.

    Attributes:
        most: torque that a bar may see; infinite where its limit is not known [N m]
        solid: compression at which a coil with its helpers is solid; infinite where not known [m]
        least: load below which a helper spring is not solid yet; 0 where there is none [N]
        free_lengths: of left and right coil with its helpers, else None [m]
        seats: lowest and highest position of that seat from where it is [m]
        seat_slack: how far beyond a seat may be wanted and still be near enough; None where it has no thread [m]
        off_by_teeth: of a bar, what whole teeth wind it up more than a turn from where it hung as found asks for [rad]
        wound: how far left and right bar were wound up as found, their arms at zero [rad]

    """

    most: float = np.inf
    solid: float = np.inf
    least: float = 0.0
    free_lengths: tuple[float, float] | None = None
    seats: tuple[float, float] = (0.0, 0.0)
    seat_slack: float | None = None
    off_by_teeth: Callable[[float], float] | None = None
    wound: tuple[float, float] = (0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Option:
    """A choice of one group.

    Attributes:
        parts: the parts by slot; empty for what the job or the car has
        pulls: what its elements push, main springs left out
        model: the axle with this option alone changed: its main springs and limits
        bounds: what its main springs may do

    """

    parts: Mapping[str, Part]
    pulls: tuple[Pull, ...]
    model: AxleModel
    bounds: SpringBounds = SpringBounds()

    @property
    def main(self) -> Mapping[SideName, MainSpring]:
        """Main springs of both sides."""
        return self.model.main


@dataclass(frozen=True, slots=True)
class Candidate:
    """An option before it is put over the table: its parts, the axle with it, names of the elements that it brings.

    ``settings`` are joints that are set otherwise with it, as drop links of another bar, by name [m or rad].
    """

    parts: Mapping[str, Part]
    model: AxleModel
    elements: tuple[str, ...]
    bounds: SpringBounds = SpringBounds()
    settings: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class AxleSpace:
    """An axle and its choices.

    Attributes:
        base: the axle as the base job has it
        table: wheel centres, axes, turns and measures over both travels
        column: column of each measure of the base
        choices: groups of options; a variant takes one of each; the first group is that of the main springs, the second
            that of dampers and stops
        standing: travels at which the axle shall stand, left and right [m]
        load: loads there, left and right [N]
        elastic: what the choices push, as laws alone

    """

    base: AxleModel
    table: Surface
    column: Mapping[str, int]
    choices: tuple[tuple[Option, ...], ...]
    standing: Array
    load: Array
    elastic: Elastic


def axle_space(
    base: AxleModel,
    settings: Mapping[str, float],
    groups: Sequence[Sequence[Candidate]],
    standing: Array,
    load: Array,
) -> AxleSpace:
    """Put an axle's choices over one table.

    Args:
        base: the axle as the base job has it, main springs not among its elements
        settings: adjusted joints by name [m or rad]
        groups: main springs, dampers with stops, then bars
        standing: travels at which it shall stand [m]
        load: loads there [N]
    """
    columns = _OptionColumns(base, settings)
    choices = tuple(
        tuple(
            Option(one.parts, tuple(columns.pull(one, name) for name in one.elements), one.model, one.bounds)
            for one in candidates
        )
        for candidates in groups
    )
    table = columns.table()
    springs = tuple(
        tuple(
            SpringPull(columns.column[spring.measure], spring.sense, spring.law)
            for spring in (option.main[side] for side in SIDES)
        )
        for option in choices[0]
    )
    pulls = tuple(tuple(option.pulls for option in group) for group in choices)
    elastic = Elastic(table, standing, pulls, springs)
    return AxleSpace(base, table, columns.column, choices, standing, load, elastic)


_NOTHING: Mapping[str, float] = {}


class _OptionColumns:
    """The table's columns, gathered while options are put over it."""

    def __init__(self, base: AxleModel, settings: Mapping[str, float]) -> None:
        self.base, self.settings = base, settings
        grid = tabulated(AxleOnBody(base, settings)).table
        self.lines = [np.linspace(grid.origin[k], grid.end[k], grid.corners.shape[k], dtype=np.float64) for k in (0, 1)]
        left, right = np.meshgrid(*self.lines, indexing="ij")
        self.shape, self.travel = left.shape, np.stack((left.ravel(), right.ravel()), -1)
        self.values: list[Array] = []
        self.column: dict[str, int] = {}
        for side in SIDES:
            self._add(base, base.main[side].measure, base.main[side].measure)
            self._add(base, f"{base.name}.{side}.damper", f"{base.name}.{side}.damper")

    def pull(self, candidate: Candidate, name: str) -> Pull:
        """An element of a candidate; a bar of another shape has a column of its own."""
        element = candidate.model.elements[name]
        own = "roll_bar" in element.measure and candidate.parts
        code = ",".join(part.code for part in candidate.parts.values()) if own else ""
        column = self._add(candidate.model, element.measure, f"{element.measure}{code}", candidate.settings)
        return Pull(column, element.sense, float(np.ravel(element.zero)[0]), element.law)

    def table(self) -> Surface:
        """All columns as one table."""
        path, _ = AxleOnBody(self.base, self.settings).at(self.travel)
        parts = (path.centre.reshape(-1, 6), path.axis.reshape(-1, 6), path.turn_rate.reshape(-1, 12))
        values = np.concatenate((*parts, np.stack(self.values, -1)), axis=1)
        return surface(self.lines[0], self.lines[1], values.reshape(*self.shape, -1))

    def _add(self, model: AxleModel, measure: str, key: str, own: Mapping[str, float] = _NOTHING) -> int:
        if key not in self.column:
            alone = model.with_elements({measure: Element(measure, Linear(0.0))})
            on_body = AxleOnBody(alone, {**self.settings, **own})
            path, _ = on_body.at(self.travel)
            self.column[key] = MEASURE + len(self.values)
            self.values.append(path.measure[:, on_body.row[measure]])
        return self.column[key]

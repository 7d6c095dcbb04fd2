"""What is drawn of an axle: named shapes bound to points of its bodies, which are followed frame by frame.

A shape is told by its kind ("tube", "coil", "wheel" …), the places it is bound to and its sizes; the script that draws
knows no layout. Points of the car's body are sent once, all others with every frame.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from jounce.car.axles.axle import Axle
from jounce.car.file.document import CarDocument
from jounce.conventions.axes import End, Side
from jounce.layouts.naming import SideName
from jounce.linkage.tree import GROUND, Point
from jounce.numerics.arrays import Array
from jounce.web.charts.travel_curves import StandingAxle

__all__ = ["TENTHS", "WHEEL_ROWS", "Ends", "Scene", "bare", "tenths"]

TENTHS = 1e4
"""Whole tenths of a millimetre in a metre: finer than a screen, and half of what is sent otherwise."""
WHEEL_ROWS = 4
"""Triples of a frame between the pivots and the other points: centre and axis of each wheel."""
Ends = tuple[Point, ...]


def bare(at: Array) -> Array:
    """A place as one triple, of the first variant, shape (3,) [m].

    Args:
        at: shape (3,) or (variants, 3) [m]
    """
    return np.asarray(np.real(np.atleast_2d(at)[0]), dtype=np.float64)


def tenths(lengths: Sequence[float] | Array) -> list[int]:
    """Lengths as they are sent.

    Args:
        lengths: any [m]
    """
    return [round(float(one) * TENTHS) for one in lengths]


@dataclass
class Scene:
    """The shapes of one axle, as they are told one after the other.

    Attributes:
        standing: the axle
        document: its car
        first: number of the first point that is not a pivot
        changed: sections of the car file that a job exchanges on this axle
        moved: points that are sent with every frame
        still: points of the body, sent once, each (3,) [m]
        shapes: what is drawn

    """

    standing: StandingAxle
    document: CarDocument
    first: int
    changed: frozenset[str] = frozenset()
    moved: list[Point] = field(default_factory=list)
    still: list[Array] = field(default_factory=list)
    shapes: list[dict[str, Any]] = field(default_factory=list)
    _known: dict[tuple[str, tuple[float, ...]], int] = field(default_factory=dict)

    @property
    def section(self) -> Axle:
        """The axle's part of the car file."""
        return self.document.axle(End(self.standing.model.name))

    def part(self, side: SideName | None, name: str) -> Any:
        """A section of one side, or of the axle as a whole; None where the layout or the car has none.

        Args:
            side: the side; None for the axle
            name: the section
        """
        return getattr(self.section if side is None else self.section.side(Side(side)), name, None)

    def lines(self) -> list[tuple[str, Ends]]:
        """Parts as the layout tells them for pictures, by their names with their side."""
        return list(self.standing.model.linkage.drawing)

    def number(self, point: Point) -> int:
        """By which number a shape speaks of a point: negative for one of the body.

        Args:
            point: any of the axle's bodies or the car's
        """
        at = bare(point.at)
        key = (point.body, tuple(np.round(at, 6).tolist()))
        if key not in self._known:
            if point.body == GROUND:
                self.still.append(at)
                self._known[key] = -len(self.still)
            else:
                self.moved.append(point)
                self._known[key] = self.first + WHEEL_ROWS + len(self.moved) - 1
        return self._known[key]

    def draw(
        self, kind: str, name: str, points: Sequence[Point], look: str, section: str = "", **sizes: float | list[float]
    ) -> None:
        """Put a shape in.

        Args:
            kind: a kind that the script knows
            name: what it is called, without its axle
            points: what it is bound to
            look: of what it seems to be made
            section: section of the car file that tells of it; what a job exchanges is drawn in one colour
            sizes: lengths [m], or bare numbers whose names end in "_of_one" or "_count"
        """
        self.shapes.append(
            {
                "kind": kind,
                "name": f"{self.standing.model.name} {name}",
                "look": look,
                "changed": section in self.changed,
                "points": [self.number(point) for point in points],
            }
            | {name: _sent(name, size) for name, size in sizes.items()}
        )

    def told(self) -> dict[str, Any]:
        """As it is sent, but for the frames."""
        return {"shapes": self.shapes, "still": [tenths(at) for at in self.still]}


def _sent(name: str, size: float | list[float]) -> float | list[float]:
    if name.endswith(("_count", "_of_one")):
        return size
    return [float(one) for one in tenths(size)] if isinstance(size, list) else round(size * TENTHS)

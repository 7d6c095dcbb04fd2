"""What can be measured on a mechanism.

Every measure but a plain coordinate is a smooth function of a few dot products of vectors that bodies carry. So a
measure only states which vectors it multiplies; its function and derivatives by the products are in `functions`, and
the chain rule to the coordinates, to first and second order, is written once in `rows` and `hessian`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar, Protocol

from jounce.linkage import kinds
from jounce.linkage.tree import Direction, Point, Segment, Vector
from jounce.numerics.arrays import Array


class Measure(Protocol):
    """A scalar function of dot products of carried vectors.

    ``kind`` names the function (see `kinds`), ``pairs`` lists the vectors multiplied, ``constants`` the numbers that
    the function needs besides, each single or one per variant.
    """

    kind: ClassVar[int]

    @property
    def pairs(self) -> tuple[tuple[Vector, Vector], ...]:
        """Vectors whose dot products the measure is made of."""
        ...

    @property
    def constants(self) -> tuple[float | Array, ...]:
        """Numbers that the function needs besides."""
        ...


@dataclass(frozen=True, slots=True)
class Distance:
    """Distance between two points [m]; as a joint a rod with a ball at each end."""

    start: Point
    end: Point
    kind: ClassVar[int] = kinds.DISTANCE
    constants: ClassVar[tuple[float | Array, ...]] = ()

    @property
    def pairs(self) -> tuple[tuple[Vector, Vector], ...]:
        """The segment with itself."""
        segment = Segment(self.start, self.end)
        return ((segment, segment),)


@dataclass(frozen=True, slots=True)
class Component:
    """Component of a vector along a direction.

    Between two points a gap along an axis [m] (a wheel's travel, one row of a ball joint); of two directions the
    cosine between them [-].
    """

    vector: Vector
    along: Direction
    kind: ClassVar[int] = kinds.COMPONENT
    constants: ClassVar[tuple[float | Array, ...]] = ()

    @property
    def pairs(self) -> tuple[tuple[Vector, Vector], ...]:
        """The vector with the direction."""
        return ((self.vector, self.along),)


@dataclass(frozen=True, slots=True)
class MeanComponent:
    """Mean of the components of two vectors along a direction (an axle's heave from its two wheels) [m]."""

    first: Vector
    second: Vector
    along: Direction
    kind: ClassVar[int] = kinds.MEAN_COMPONENT
    constants: ClassVar[tuple[float | Array, ...]] = ()

    @property
    def pairs(self) -> tuple[tuple[Vector, Vector], ...]:
        """Each vector with the direction."""
        return ((self.first, self.along), (self.second, self.along))


@dataclass(frozen=True, slots=True)
class Bearing:
    """Angle of a vector's projection onto the plane of two directions: ``atan2(v . rise, v . run)`` [rad].

    The true angle, in (-pi, pi]. Vector and directions may be on different bodies.
    """

    vector: Vector
    rise: Direction
    run: Direction
    kind: ClassVar[int] = kinds.BEARING
    constants: ClassVar[tuple[float | Array, ...]] = ()

    @property
    def pairs(self) -> tuple[tuple[Vector, Vector], ...]:
        """The vector with both directions."""
        return ((self.vector, self.rise), (self.vector, self.run))


@dataclass(frozen=True, slots=True)
class TyrePoint:
    """Component along ``direction`` of the tyre circle's lowest point towards a road, from a reference point [m].

    The circle of the given radius lies in the wheel's plane about ``centre``; its lowest point is
    ``centre - radius (n - (n.e) e) / |n - (n.e) e|`` for the wheel axis e and the road normal n. It moves round the
    tyre as the wheel turns about its steering or pitch axis, as a rolling tyre's contact does.
    """

    centre: Point
    reference: Point
    axis: Direction
    normal: Direction
    direction: Direction
    radius: float | Array
    kind: ClassVar[int] = kinds.TYRE_POINT

    @property
    def pairs(self) -> tuple[tuple[Vector, Vector], ...]:
        """Offset along the direction, and the three cosines between axis, normal and direction."""
        offset = Segment(self.reference, self.centre)
        return (
            (offset, self.direction),
            (self.normal, self.axis),
            (self.direction, self.axis),
            (self.direction, self.normal),
        )

    @property
    def constants(self) -> tuple[float | Array, ...]:
        """The radius."""
        return (self.radius,)


@dataclass(frozen=True, slots=True)
class CoordinateSum:
    """Weighted sum of the coordinates of hinged or sliding bodies, each zero as found [rad or m]."""

    weights: Mapping[str, float]


AnyMeasure = Measure | CoordinateSum

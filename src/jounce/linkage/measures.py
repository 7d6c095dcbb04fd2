"""What can be measured on a mechanism.

Every measure but a plain coordinate is a smooth function of a few dot products of vectors that bodies carry. So a
measure only states which vectors it multiplies and its derivatives by those products; the chain rule to the
coordinates, to first and second order, is written once in `mechanism`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar, Protocol

import numpy as np

from jounce.linkage.tree import Direction, Point, Segment, Vector
from jounce.numerics.arrays import Array


class Measure(Protocol):
    """A scalar function of dot products of carried vectors.

    ``pairs`` lists the vectors multiplied; the class methods take the products, shape (states, rows, pairs), of all
    measures of one kind at once with their constants, shape (variants or 1, rows, constants).
    """

    @property
    def pairs(self) -> tuple[tuple[Vector, Vector], ...]:
        """Vectors whose dot products the measure is made of."""
        ...

    @property
    def constants(self) -> tuple[float | Array, ...]:
        """Numbers that the function needs besides."""
        ...

    @staticmethod
    def value(products: Array, constants: Array) -> Array:
        """Value of each row, shape (states, rows)."""
        ...

    @staticmethod
    def gradient(products: Array, constants: Array) -> Array:
        """First derivatives by the products, shape (states, rows, pairs)."""
        ...

    @staticmethod
    def hessian(products: Array, constants: Array) -> Array:
        """Second derivatives by the products, shape (states, rows, pairs, pairs)."""
        ...


@dataclass(frozen=True, slots=True)
class Distance:
    """Distance between two points [m]; as a joint a rod with a ball at each end."""

    start: Point
    end: Point
    constants: ClassVar[tuple[float | Array, ...]] = ()

    @property
    def pairs(self) -> tuple[tuple[Vector, Vector], ...]:
        """The segment with itself."""
        segment = Segment(self.start, self.end)
        return ((segment, segment),)

    @staticmethod
    def value(products: Array, constants: Array) -> Array:
        """Square root of the segment's square."""
        return np.sqrt(products[..., 0])

    @staticmethod
    def gradient(products: Array, constants: Array) -> Array:
        """``1 / (2 L)``."""
        return 0.5 / np.sqrt(products)

    @staticmethod
    def hessian(products: Array, constants: Array) -> Array:
        """``-1 / (4 L³)``."""
        return np.asarray(-0.25 * products[..., None] ** -1.5)


@dataclass(frozen=True, slots=True)
class Component:
    """Component of a vector along a direction.

    Between two points a gap along an axis [m] (a wheel's travel, one row of a ball joint); of two directions the
    cosine between them [-].
    """

    vector: Vector
    along: Direction
    constants: ClassVar[tuple[float | Array, ...]] = ()

    @property
    def pairs(self) -> tuple[tuple[Vector, Vector], ...]:
        """The vector with the direction."""
        return ((self.vector, self.along),)

    @staticmethod
    def value(products: Array, constants: Array) -> Array:
        """The product itself."""
        return products[..., 0]

    @staticmethod
    def gradient(products: Array, constants: Array) -> Array:
        """One."""
        return np.ones_like(products)

    @staticmethod
    def hessian(products: Array, constants: Array) -> Array:
        """Zero."""
        return np.zeros((*products.shape, 1))


@dataclass(frozen=True, slots=True)
class MeanComponent:
    """Mean of the components of two vectors along a direction (an axle's heave from its two wheels) [m]."""

    first: Vector
    second: Vector
    along: Direction
    constants: ClassVar[tuple[float | Array, ...]] = ()

    @property
    def pairs(self) -> tuple[tuple[Vector, Vector], ...]:
        """Each vector with the direction."""
        return ((self.first, self.along), (self.second, self.along))

    @staticmethod
    def value(products: Array, constants: Array) -> Array:
        """Half the sum."""
        return np.asarray(0.5 * (products[..., 0] + products[..., 1]))

    @staticmethod
    def gradient(products: Array, constants: Array) -> Array:
        """One half each."""
        return np.full_like(products, 0.5)

    @staticmethod
    def hessian(products: Array, constants: Array) -> Array:
        """Zero."""
        return np.zeros((*products.shape, 2))


@dataclass(frozen=True, slots=True)
class Bearing:
    """Angle of a vector's projection onto the plane of two directions: ``atan2(v . rise, v . run)`` [rad]."""

    vector: Vector
    rise: Direction
    run: Direction
    constants: ClassVar[tuple[float | Array, ...]] = ()

    @property
    def pairs(self) -> tuple[tuple[Vector, Vector], ...]:
        """The vector with both directions."""
        return ((self.vector, self.rise), (self.vector, self.run))

    @staticmethod
    def value(products: Array, constants: Array) -> Array:
        """The true angle, in (-pi, pi]."""
        return np.arctan2(products[..., 0], products[..., 1])

    @staticmethod
    def gradient(products: Array, constants: Array) -> Array:
        """``(c, -s) / (s² + c²)``."""
        s, c = products[..., 0], products[..., 1]
        return np.stack((c, -s), axis=-1) / (s * s + c * c)[..., None]

    @staticmethod
    def hessian(products: Array, constants: Array) -> Array:
        """Second derivatives of the angle."""
        s, c = products[..., 0], products[..., 1]
        size = (s * s + c * c) ** 2
        own, mixed = -2 * s * c / size, (s * s - c * c) / size
        return np.stack((np.stack((own, mixed), -1), np.stack((mixed, -own), -1)), -2)


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

    @staticmethod
    def value(products: Array, constants: Array) -> Array:
        """``offset - r (m - g h) / sqrt(1 - g²)``."""
        offset, g, h, m = (products[..., i] for i in range(4))
        return np.asarray(offset - constants[..., 0] * (m - g * h) / np.sqrt(1 - g * g))

    @staticmethod
    def gradient(products: Array, constants: Array) -> Array:
        """First derivatives by offset and the three cosines."""
        _, g, h, m = (products[..., i] for i in range(4))
        r = constants[..., 0]
        s = 1 / np.sqrt(1 - g * g)
        return np.stack((np.ones_like(g), -r * (-h * s + (m - g * h) * g * s**3), r * g * s, -r * s), -1)

    @staticmethod
    def hessian(products: Array, constants: Array) -> Array:
        """Second derivatives by offset and the three cosines."""
        _, g, h, m = (products[..., i] for i in range(4))
        s = 1 / np.sqrt(1 - g * g)
        matrix = np.zeros((*g.shape, 4, 4))
        matrix[..., 1, 1] = -2 * h * g * s**3 + (m - g * h) * (s**3 + 3 * g * g * s**5)
        matrix[..., 1, 2] = matrix[..., 2, 1] = -(s**3)
        matrix[..., 1, 3] = matrix[..., 3, 1] = g * s**3
        return np.asarray(-constants[..., 0, None, None] * matrix)


@dataclass(frozen=True, slots=True)
class CoordinateSum:
    """Weighted sum of the coordinates of hinged or sliding bodies, each zero as found [rad or m]."""

    weights: Mapping[str, float]


AnyMeasure = Measure | CoordinateSum

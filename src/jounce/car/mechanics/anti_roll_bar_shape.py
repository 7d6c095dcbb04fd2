"""The steel of an anti-roll bar as a car file tells it: its points, its centre line, its section, its blade."""

from __future__ import annotations

from typing import Any

import numpy as np

from jounce.car.file.quantity import Measured
from jounce.car.parts.anti_roll_bar import POINT_KEYS, POINT_LIST_KEYS, AntiRollBarShape
from jounce.elements.bars.anti_roll_bar import StraightArmBar
from jounce.elements.bars.bent_bar import BentBar
from jounce.elements.bars.blade import Blade
from jounce.elements.bars.centre_line import rounded
from jounce.elements.bars.round_section import RoundSection
from jounce.numerics.arrays import Array
from jounce.numerics.complex_step import size
from jounce.numerics.vectors import length, unit

_MIRROR = np.array([1.0, -1.0, 1.0])
_SAME_POINT = 1e-4
"""Points closer than this are one point entered twice [m]."""


def bent_bar(left: AntiRollBarShape, right: AntiRollBarShape) -> BentBar:
    """The bar's steel by its whole centre line.

    Args:
        left: the left half as told
        right: the right half

    Raises:
        InputError: bends that do not fit between their points
    """
    halves, radii = [half_points(left), half_points(right)], [_radii(left), _radii(right)]
    if np.all(length(halves[0][-1] - halves[1][-1]).real < _SAME_POINT):  # both halves end in the middle of the car
        halves[1], radii[1] = halves[1][:-1], radii[1][:-1]
    return BentBar(
        rounded([*halves[0], *reversed(halves[1])], [*radii[0], *reversed(radii[1])]),
        section_of(left),
        left.bush.xyz,
        right.bush.xyz,
        bush_rate=np.inf if left.bush_rate is None else number(left.bush_rate),
        bush_axial_rate=np.inf if left.bush_axial_rate is None else number(left.bush_axial_rate),
    )


def straight_arm_bar(half: AntiRollBarShape) -> StraightArmBar:
    """The bar by the straight-arm formula: arms straight to the first point that lies beside the shaft.

    Args:
        half: one half as told; the other mirrors it

    """
    points, bush = half_points(half), half.bush.xyz
    offset = [np.sqrt(np.sum((point - bush)[..., [0, 2]] ** 2, axis=-1)) for point in points]
    near = np.min(np.real([np.max(np.real(o)) for o in offset])) + np.max(number(half.diameter).real)
    end, bend = points[0], next(p for p, o in zip(points, offset, strict=True) if np.max(np.real(o)) <= near)
    return StraightArmBar(
        diameter=number(half.diameter),
        lever=np.sqrt((end[..., 0] - bend[..., 0]) ** 2 + (end[..., 2] - bend[..., 2]) ** 2),
        arm_across=(end[..., 1] - bend[..., 1]) * np.sign(np.real(bush[..., 1])),  # negative where it leans inward
        bend_to_bush=size(bend[..., 1] - bush[..., 1]),
        bush_to_middle=size(bush[..., 1]),
        inner_diameter=number(half.inner_diameter),
        youngs_modulus=number(half.youngs_modulus),
        poisson=number(half.poisson_ratio),
    )


def half_points(bar: AntiRollBarShape) -> list[Array]:
    """Points of a half's centre line from where the link takes hold towards the middle of the car, each [m].

    Args:
        bar: the half as told

    """
    if bar.centre_line is not None:
        points = [point.xyz for point in bar.centre_line]
    elif bar.arm_end is not None and bar.bend is not None:
        points = [bar.arm_end.xyz, bar.bend.xyz]
    else:
        raise ValueError("the document accepts no bar without a shape")
    if bar.hole is not None:
        points[0] = _hole(bar, points, bar.hole - 1)
    return points


def _hole(bar: AntiRollBarShape, points: list[Array], number: int) -> Array:
    if bar.hole_points is not None:
        return bar.hole_points[number].xyz
    if bar.holes is None:
        raise ValueError("the document accepts no hole without a list")
    return np.asarray(points[0] + bar.holes[number] * unit(points[1] - points[0]))


def blade_of(bar: AntiRollBarShape) -> Blade | None:
    """The blade at the end of a half's arm, where it has one.

    Args:
        bar: the half as told

    """
    if bar.blade_length is None or bar.blade_width is None or bar.blade_thickness is None or bar.blade_angle is None:
        return None
    return Blade(
        number(bar.blade_length),
        number(bar.blade_width),
        number(bar.blade_thickness),
        number(bar.blade_angle),
        number(bar.youngs_modulus),
    )


def mirrored_points(bar: AntiRollBarShape) -> dict[str, Any]:
    """The points of a bar's left half as those of its right half, by key.

    Args:
        bar: the left half as told

    """
    single = {name: point.mirrored() for name in POINT_KEYS if (point := getattr(bar, name, None)) is not None}
    lists = {name: points for name in POINT_LIST_KEYS if (points := getattr(bar, name)) is not None}
    return single | {name: tuple(point.mirrored() for point in points) for name, points in lists.items()}


def is_plain(left: AntiRollBarShape, right: AntiRollBarShape) -> bool:
    """Whether the straight-arm formula says all: sharp straight arms, rigid bushes, halves alike.

    Args:
        left: the left half as told
        right: the right half

    """
    told = (left.bush_rate, left.bush_axial_rate, left.centre_line)
    if any(value is not None for value in told) or any(left.bend_radius) or any(right.bend_radius):
        return False
    pairs = zip([*half_points(left), left.bush.xyz], [*half_points(right), right.bush.xyz], strict=True)
    return all(np.array_equal(one, _MIRROR * other) for one, other in pairs)


def _radii(bar: AntiRollBarShape) -> list[float]:
    """Bend radius at each point of a half but the first [m]."""
    count = len(half_points(bar)) - 1
    return list(bar.bend_radius) * count if len(bar.bend_radius) == 1 else list(bar.bend_radius)


def section_of(bar: AntiRollBarShape) -> RoundSection:
    """The bar's section.

    Args:
        bar: one half as told

    """
    sizes = (bar.diameter, bar.inner_diameter, bar.youngs_modulus, bar.poisson_ratio)
    return RoundSection(*map(number, sizes))


def number(quantity: Measured) -> Array:
    """A measured number as an array of its variants [SI]."""
    return np.atleast_1d(quantity.value)

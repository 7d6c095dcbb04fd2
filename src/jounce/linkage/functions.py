"""The function of every kind of measure: value, first and second derivatives by its dot products.

Each is written for one measure in one state. `products` has as many numbers as the kind has pairs. All of it holds for
complex numbers with a tiny imaginary part too (see `jounce.numerics.arrays`).
"""

from __future__ import annotations

import numpy as np

from jounce.linkage.kinds import BEARING, COMPONENT, DISTANCE, MEAN_COMPONENT, TYRE_POINT
from jounce.numerics.arrays import Array
from jounce.numerics.compiled import compiled_inline


@compiled_inline
def angle(rise: float, run: float) -> float:
    """``atan2(rise, run)``, to first order in an imaginary part [rad]."""
    s, c = rise.real, run.real
    return np.arctan2(s, c) + (c * (rise - s) - s * (run - c)) / (s * s + c * c)  # type: ignore[no-any-return]


@compiled_inline
def value_of(kind: int, products: Array, constants: Array, variant: int, row: int) -> float:
    """Value of a measure.

    Distance: ``sqrt(p0)``; component: ``p0``; mean component: ``(p0 + p1) / 2``; bearing: ``atan2(p0, p1)``;
    tyre point with offset, g, h, m as products: ``offset - r (m - g h) / sqrt(1 - g²)``.

    Args:
        kind: see `jounce.linkage.kinds`
        products: dot products of the measure's pairs [m², m or -]
        constants: numbers of all measures, shape (variants, measures, 4)
        variant: which of them
        row: the measure's

    Returns:
        The value [m or rad]

    """
    if kind == DISTANCE:
        return np.sqrt(products[0])  # type: ignore[no-any-return]
    if kind == COMPONENT:
        return products[0]  # type: ignore[no-any-return]
    if kind == MEAN_COMPONENT:
        return 0.5 * (products[0] + products[1])  # type: ignore[no-any-return]
    if kind == BEARING:
        return angle(products[0], products[1])
    g, h, m = products[1], products[2], products[3]
    return products[0] - constants[variant, row, 0] * (m - g * h) / np.sqrt(1 - g * g)  # type: ignore[no-any-return]


@compiled_inline
def set_slope(kind: int, products: Array, constants: Array, variant: int, row: int, slope: Array) -> None:
    """First derivatives of a measure by its products, written into ``slope`` (pairs,).

    Args:
        kind: see `jounce.linkage.kinds`
        products: dot products of the measure's pairs
        constants: numbers of all measures, shape (variants, measures, 4)
        variant: which of them
        row: the measure's
        slope: where the derivatives go

    """
    if kind == DISTANCE:
        slope[0] = 0.5 / np.sqrt(products[0])
    elif kind == COMPONENT:
        slope[0] = 1.0
    elif kind == MEAN_COMPONENT:
        slope[0] = 0.5
        slope[1] = 0.5
    elif kind == BEARING:
        size = products[0] * products[0] + products[1] * products[1]
        slope[0] = products[1] / size
        slope[1] = -products[0] / size
    elif kind == TYRE_POINT:
        g, h, m = products[1], products[2], products[3]
        s = 1 / np.sqrt(1 - g * g)
        slope[0] = 1.0
        slope[1] = -constants[variant, row, 0] * (-h * s + (m - g * h) * g * s * s * s)
        slope[2] = constants[variant, row, 0] * g * s
        slope[3] = -constants[variant, row, 0] * s


@compiled_inline
def set_bend(kind: int, products: Array, constants: Array, variant: int, row: int, bend: Array) -> bool:
    """Second derivatives of a measure by its products, written into ``bend`` (pairs, pairs).

    Args:
        kind: see `jounce.linkage.kinds`
        products: dot products of the measure's pairs
        constants: numbers of all measures, shape (variants, measures, 4)
        variant: which of them
        row: the measure's
        bend: where the derivatives go

    Returns:
        Whether there are any: False says that all are zero and ``bend`` was left alone

    """
    if kind == DISTANCE:
        bend[0, 0] = -0.25 / (products[0] * np.sqrt(products[0]))
        return True
    if kind == BEARING:
        s, c = products[0], products[1]
        size = (s * s + c * c) * (s * s + c * c)
        bend[0, 0] = -2 * s * c / size
        bend[1, 1] = 2 * s * c / size
        bend[0, 1] = bend[1, 0] = (s * s - c * c) / size
        return True
    if kind == TYRE_POINT:
        g, h, m, r = products[1], products[2], products[3], constants[variant, row, 0]
        s = 1 / np.sqrt(1 - g * g)
        cubed = s * s * s
        for i in range(4):
            for k in range(4):
                bend[i, k] = 0.0
        bend[1, 1] = -r * (-2 * h * g * cubed + (m - g * h) * (cubed + 3 * g * g * cubed * s * s))
        bend[1, 2] = bend[2, 1] = r * cubed
        bend[1, 3] = bend[3, 1] = -r * g * cubed
        return True
    return False

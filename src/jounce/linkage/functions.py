"""The function of every kind of measure: value, first and second derivatives by its dot products.

Here a measure's formulas stand, one kind after the other, each for one measure in one state. A component is its one
product and a mean component the mean of its two, so that only three kinds have formulas. All hold for complex numbers
with a tiny imaginary part too (see `jounce.numerics.arrays`), and none branches where states go on together, side
by side (see `states`).
"""

from __future__ import annotations

import numpy as np

from jounce.linkage.triples import Place, Triple
from jounce.numerics.compiled import compiled_inline


@compiled_inline
def distance(square: float) -> float:
    """``sqrt(p)`` of a vector's product with itself [m]."""
    return np.sqrt(square)  # type: ignore[no-any-return]


@compiled_inline
def distance_slope(square: float) -> float:
    """First derivative of a distance."""
    return 0.5 / np.sqrt(square)  # type: ignore[no-any-return]


@compiled_inline
def distance_curvature(square: float) -> float:
    """Second derivative of a distance."""
    return -0.25 / (square * np.sqrt(square))  # type: ignore[no-any-return]


@compiled_inline
def bearing(rise: float, run: float, together: Place) -> float:
    """``atan2(rise, run)``, to first order in an imaginary part [rad].

    The library's function has branches. Where several states go on together, three times the half angle, whose tangent
    is ``rise / (run + sqrt(rise² + run²))``, and the series do the same without; what runs backwards is mirrored first.

    Args:
        rise: component that the sine belongs to
        run: component that the cosine belongs to
        together: how many states go on together [-]

    """
    s, c = rise.real, run.real
    square = s * s + c * c
    if together == 1:
        angle = np.arctan2(s, c)
    else:
        t = s / (abs(c) + np.sqrt(square) + 1e-300)
        t = t / (1 + np.sqrt(1 + t * t))
        t = t / (1 + np.sqrt(1 + t * t))
        z = t * t
        a = 1 / 15 - z * (1 / 17 - z * (1 / 19 - z * (1 / 21 - z * (1 / 23))))
        a = 1 / 7 - z * (1 / 9 - z * (1 / 11 - z * (1 / 13 - z * a)))
        ahead = 8 * (t - t * z * (1 / 3 - z * (1 / 5 - z * a)))
        half_turn = np.pi if s >= 0 else -np.pi
        angle = ahead if c > 0 else half_turn - ahead
    passed_on = rise - s
    if rise.imag != 0.0 or run.imag != 0.0:
        passed_on = (c * passed_on - s * (run - c)) / square
    return angle + passed_on  # type: ignore[no-any-return]


@compiled_inline
def bearing_slope(rise: float, run: float) -> tuple[float, float]:
    """First derivatives of a bearing by both."""
    square = rise * rise + run * run
    return run / square, -rise / square


@compiled_inline
def bearing_curvature(rise: float, run: float) -> Triple:
    """Second derivatives of a bearing: by the rise twice, by both, by the run twice."""
    square = rise * rise + run * run
    size = square * square
    own = 2 * rise * run / size
    return -own, (rise * rise - run * run) / size, own


@compiled_inline
def tyre_point(offset: float, cosines: Triple, radius: float) -> float:
    """``offset - r (m - g h) / sqrt(1 - g²)`` with the three cosines g, h, m of `measures.TyrePoint` [m]."""
    g, h, m = cosines
    return offset - radius * (m - g * h) / np.sqrt(1 - g * g)  # type: ignore[no-any-return]


@compiled_inline
def tyre_point_slope(cosines: Triple, radius: float) -> Triple:
    """First derivatives of a tyre's point by the cosines; by the offset it is one."""
    g, h, m = cosines
    s = 1 / np.sqrt(1 - g * g)
    return -radius * (-h * s + (m - g * h) * g * s * s * s), radius * g * s, -radius * s


@compiled_inline
def tyre_point_curvature(cosines: Triple, radius: float) -> Triple:
    """Second derivatives of a tyre's point: by g twice, by g and h, by g and m; all others are zero."""
    g, h, m = cosines
    s = 1 / np.sqrt(1 - g * g)
    cubed = s * s * s
    by_g = -radius * (-2 * h * g * cubed + (m - g * h) * (cubed + 3 * g * g * cubed * s * s))
    return by_g, radius * cubed, -radius * g * cubed

"""Many smooth functions of two variables by their values on a grid: a tensor cubic spline, twice smooth.

Between the grid lines each function is a bicubic that has the spline's values and slopes at its four corners, so that
one cell is found once and serves all functions. Interpolation follows C. de Boor, *A Practical Guide to Splines*, 1978,
chapter XVII: not-a-knot splines along one direction, then along the other.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import scipy  # its rooms open on use

from jounce.conventions.errors import InputError
from jounce.numerics.arrays import Array, BoolArray, IntArray
from jounce.numerics.compiled import compiled, compiled_inner, in_runs

_FEWEST = 4  # grid lines: fewer define no cubic
_ROUNDING = 1e-9  # of a cell: outside by rounding alone [-]


@dataclass(frozen=True, slots=True)
class Surface:
    """Functions on a regular grid.

    Attributes:
        origin: first grid line of both variables, shape (2,) [as the variables]
        step: distance of the grid lines of both, shape (2,) [as the variables]
        corners: value, slopes by both variables and mixed slope, each by one cell, at every crossing,
            shape (lines, lines, 4, functions) [as the functions]

    """

    origin: Array
    step: Array
    corners: Array

    @property
    def end(self) -> Array:
        """Last grid line of both variables, shape (2,) [as the variables]."""
        return np.asarray(self.origin + self.step * (np.array(self.corners.shape[:2]) - 1))

    def covers(self, point: Array) -> BoolArray:
        """Which points lie on the grid.

        Args:
            point: values of both variables, shape (points, 2) [as the variables]

        """
        slack = _ROUNDING * self.step
        return np.asarray(((point >= self.origin - slack) & (point <= self.end + slack)).all(axis=-1))

    def at(self, point: Array) -> tuple[Array, Array, Array]:
        """Values and derivatives of all functions.

        Args:
            point: values of both variables, shape (points, 2) [as the variables]

        Returns:
            Values (points, functions), first derivatives (points, functions, 2) and second derivatives
            (points, functions, 2, 2) [as the functions, per the variables]

        Raises:
            InputError: a point off the grid: a cubic is no guess of what lies beyond

        """
        at = np.ascontiguousarray(point, dtype=np.float64)
        out = np.flatnonzero(~self.covers(at))
        if len(out):
            low, high = self.origin, self.end
            raise InputError(
                "A point lies outside what was tabulated",
                found=f"{at[out[0], 0]:.6g}, {at[out[0], 1]:.6g}",
                allowed=f"{low[0]:.6g} to {high[0]:.6g} and {low[1]:.6g} to {high[1]:.6g}",
                todo="Tabulate a wider range.",
            )
        count, functions = len(at), self.corners.shape[3]
        value, first = np.zeros((count, functions)), np.zeros((count, functions, 2))
        second = np.zeros((count, functions, 2, 2))
        in_runs(
            count,
            lambda start, end: _evaluate(self.corners, self.origin, self.step, at, value, first, second, start, end),
        )
        return value, first, second


def surface(first_lines: Array, second_lines: Array, values: Array) -> Surface:
    """The spline through values on a regular grid.

    Args:
        first_lines: evenly spaced values of the first variable, four or more [any]
        second_lines: of the second, likewise [any]
        values: all functions, shape (first lines, second lines, functions) [any]

    Raises:
        InputError: too few lines or uneven ones

    """
    lines = (np.asarray(first_lines, float), np.asarray(second_lines, float))
    for each in lines:
        gaps = np.diff(each)
        if len(each) < _FEWEST or gaps.min() <= 0 or np.ptp(gaps) > 1e-6 * gaps.max():
            raise InputError(
                "A grid for a surface has evenly rising lines",
                found=f"{len(each)} lines from {each[0]:.6g}",
                allowed=f"{_FEWEST} or more, evenly spaced",
                todo="Lay out an even grid.",
            )
    step = np.array([(each[-1] - each[0]) / (len(each) - 1) for each in lines])
    by_first = scipy.interpolate.CubicSpline(lines[0], values, axis=0)(lines[0], 1) * step[0]
    by_second = scipy.interpolate.CubicSpline(lines[1], values, axis=1)(lines[1], 1) * step[1]
    mixed = scipy.interpolate.CubicSpline(lines[1], by_first, axis=1)(lines[1], 1) * step[1]
    corners = np.stack((values, by_first, by_second, mixed), axis=2)
    return Surface(np.array([each[0] for each in lines]), step, np.ascontiguousarray(corners, dtype=np.float64))


@compiled_inner
def weights(share: float, step: float, out: Array) -> None:
    """Weights of value and slope at both ends of a cell, and their first and second derivatives.

    Args:
        share: place in the cell, 0 to 1 [-]
        step: width of the cell [any]
        out: receives rows value, first, second by columns value and slope here, value and slope there [-]

    """
    s, once, twice = share, 1 / step, 1 / (step * step)
    out[0, 0], out[0, 1] = (1 + 2 * s) * (1 - s) * (1 - s), s * (1 - s) * (1 - s)
    out[0, 2], out[0, 3] = s * s * (3 - 2 * s), s * s * (s - 1)
    out[1, 0], out[1, 1] = 6 * s * (s - 1) * once, (1 - s) * (1 - 3 * s) * once
    out[1, 2], out[1, 3] = 6 * s * (1 - s) * once, s * (3 * s - 2) * once
    out[2, 0], out[2, 1] = (12 * s - 6) * twice, (6 * s - 4) * twice
    out[2, 2], out[2, 3] = (6 - 12 * s) * twice, (6 * s - 2) * twice


@compiled_inner
def look_up(  # noqa: PLR0913, PLR0917  # compiled code takes plain arrays
    corners: Array,
    origin: Array,
    step: Array,
    x: float,
    y: float,
    work: Array,
    value: Array,
    first: Array,
    second: Array,
) -> None:
    """All functions at one point, the nearest cell's cubic going on beyond the grid.

    Args:
        corners: see `Surface` [any]
        origin: see `Surface` [any]
        step: see `Surface` [any]
        x: first variable [any]
        y: second variable [any]
        work: room for the weights, shape (2, 3, 4) [-]
        value: receives the values, shape (functions,) [any]
        first: receives the first derivatives, shape (functions, 2) [any]
        second: receives the second derivatives, shape (functions, 2, 2) [any]

    """
    i = min(max(int(np.floor((x - origin[0]) / step[0])), 0), corners.shape[0] - 2)
    j = min(max(int(np.floor((y - origin[1]) / step[1])), 0), corners.shape[1] - 2)
    weights((x - origin[0]) / step[0] - i, step[0], work[0])
    weights((y - origin[1]) / step[1] - j, step[1], work[1])
    value[:], first[:, :], second[:, :, :] = 0.0, 0.0, 0.0
    for a in range(2):
        for b in range(2):
            for k in range(4):
                along, across = 2 * a + k % 2, 2 * b + k // 2
                p, px, pxx = work[0, 0, along], work[0, 1, along], work[0, 2, along]
                q, qy, qyy = work[1, 0, across], work[1, 1, across], work[1, 2, across]
                for f in range(corners.shape[3]):
                    c = corners[i + a, j + b, k, f]
                    value[f] += p * q * c
                    first[f, 0] += px * q * c
                    first[f, 1] += p * qy * c
                    second[f, 0, 0] += pxx * q * c
                    second[f, 0, 1] += px * qy * c
                    second[f, 1, 1] += p * qyy * c
    for f in range(corners.shape[3]):
        second[f, 1, 0] = second[f, 0, 1]


@compiled_inner
def look_up_first(  # noqa: PLR0913, PLR0917  # compiled code takes plain arrays
    corners: Array,
    origin: Array,
    step: Array,
    x: float,
    y: float,
    column: IntArray,
    work: Array,
    value: Array,
    first: Array,
) -> None:
    """Some functions at one point and their first derivatives alone, otherwise as `look_up`.

    Args:
        corners: see `Surface` [any]
        origin: see `Surface` [any]
        step: see `Surface` [any]
        x: first variable [any]
        y: second variable [any]
        column: which functions, shape (some,)
        work: room for the weights, shape (2, 3, 4) [-]
        value: receives the values, shape (some,) or longer [any]
        first: receives the first derivatives, shape (2, some) or longer [any]

    """
    i = min(max(int(np.floor((x - origin[0]) / step[0])), 0), corners.shape[0] - 2)
    j = min(max(int(np.floor((y - origin[1]) / step[1])), 0), corners.shape[1] - 2)
    weights((x - origin[0]) / step[0] - i, step[0], work[0])
    weights((y - origin[1]) / step[1] - j, step[1], work[1])
    value[:], first[:, :] = 0.0, 0.0
    for a in range(2):
        for b in range(2):
            for k in range(4):
                along, across = 2 * a + k % 2, 2 * b + k // 2
                own = work[0, 0, along] * work[1, 0, across]
                by_x, by_y = work[0, 1, along] * work[1, 0, across], work[0, 0, along] * work[1, 1, across]
                for f in range(len(column)):
                    c = corners[i + a, j + b, k, column[f]]
                    value[f] += own * c
                    first[0, f] += by_x * c
                    first[1, f] += by_y * c


@compiled
def _evaluate(  # noqa: PLR0913, PLR0917  # compiled code takes plain arrays
    corners: Array,
    origin: Array,
    step: Array,
    at: Array,
    value: Array,
    first: Array,
    second: Array,
    start: int,
    end: int,
) -> None:
    work = np.empty((2, 3, 4))
    for n in range(start, end):
        look_up(corners, origin, step, at[n, 0], at[n, 1], work, value[n], first[n], second[n])

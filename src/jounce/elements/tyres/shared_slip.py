"""Two tyres of one axle at one slip angle: which slip gives a wanted force, and whether the axle can give it at all."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf, pi, tan
from typing import NamedTuple

import numpy as np

from jounce.elements.tyres.magic_formula import FARTHEST, MagicShape, bent, bent_slope, magic, magic_slope
from jounce.elements.tyres.tyre_lateral import PeakedLaw
from jounce.numerics.arrays import Array
from jounce.numerics.compiled import compiled, compiled_inline, compiled_inner

_STEPS = 100
_ROUNDING = 1e-15  # of a slip or a force
_SETTLED = 1e-9  # of the best slip, where the force is level
_NOTHING = 1e-9  # force below which an axle gives none [N]
_SMALL_STEP = 1e-3  # [rad]
_STRAIGHT = 1.0 + 1e-9  # a shape factor that is not above one has no peak

_bent, _bent_slope = compiled_inline(bent), compiled_inline(bent_slope)
_magic, _magic_slope = compiled_inline(magic), compiled_inline(magic_slope)


@dataclass(frozen=True, slots=True)
class SharedSlip:
    """How an axle gives a lateral force.

    Attributes:
        slip: of both tyres, in the sense of the force, shape (states,) [rad]
        force: of each tyre, shape (states, 2) [N]; their sum is the demand where it is ``reached``
        most: what the axle gives at its best slip, shape (states,) [N]
        reached: whether the demand is within it, shape (states,); else slip and force are those of the best slip

    """

    slip: Array
    force: Array
    most: Array
    reached: Array


def shared_slip(tyre: PeakedLaw, load: Array, demand: Array) -> SharedSlip:
    """The slip at which both tyres together give a force, on the rising side of their curve, to rounding.

    Args:
        tyre: lateral law of each tyre
        load: vertical loads, left and right, zero off the road, shape (states, 2) [N]
        demand: lateral force of the axle, either sense, shape (states,) [N]

    Returns:
        Slip and forces; at the axle's peak where the demand exceeds its grip

    Source: one steer angle and one body slip for both wheels of an axle; each tyre at its own load.

    >>> from jounce.elements.tyres.tyre_lateral import EXAMPLE_1987
    >>> found = shared_slip(EXAMPLE_1987, np.array([[2000.0, 6000.0]]), np.array([4000.0]))
    >>> found.force.sum(axis=1).round(6).tolist(), found.reached.tolist()
    ([4000.0], [True])

    """
    curve = tyre.curve(load)
    found = _same_slip(curve, demand)
    wanted, sense = np.abs(np.real(np.asarray(demand))), _sense(demand)
    reached = wanted <= found.most
    # One more step in the numbers as they are carries what perturbs load and demand.
    steep = curve.slope(_both(found.slip)).sum(axis=1)
    miss = sense * demand - curve.value(_both(found.slip)).sum(axis=1)
    rising = reached & (np.real(steep) > 0)
    slip = found.slip + np.where(rising, miss / np.where(rising, steep, 1.0), 0.0)
    force = sense[:, None] * curve.value(_both(slip))
    return SharedSlip(np.asarray(sense * slip), np.asarray(force), found.most, np.asarray(reached))


def shared_force(tyre: PeakedLaw, load: Array, demand: Array) -> Array:
    """Force of each tyre at one slip; beyond what the tyres can give they share the demand as they do at their best slip.

    Args:
        tyre: lateral law of each tyre
        load: vertical loads, left and right, zero off the road, shape (states, 2) [N]
        demand: lateral force of the axle, either sense, shape (states,) [N]

    Returns:
        Shape (states, 2) [N]; the two add up to the demand

    >>> from jounce.elements.tyres.tyre_lateral import EXAMPLE_1987
    >>> shared_force(EXAMPLE_1987, np.array([[2000.0, 6000.0]]), np.array([4000.0])).round(1).tolist()
    [[1389.0, 2611.0]]

    """
    curve = tyre.curve(load)
    slip = _both(_same_slip(curve, demand).slip)
    given, steep = curve.value(slip), curve.slope(slip)
    total = given.sum(axis=1)
    rising = steep.real.sum(axis=1) > 0
    change = np.where(rising, (_sense(demand) * demand - total) / np.where(rising, steep.sum(axis=1), 1.0), 0.0)
    change = np.where(np.abs(change.real) < _SMALL_STEP, change, 0.0)
    given = given + steep * change[:, None]
    total = given.sum(axis=1)
    nothing = np.abs(total.real) < _NOTHING
    share = np.where(nothing[:, None], 0.5, given / np.where(nothing, 1.0, total)[:, None])
    return np.asarray(share * demand[:, None])


@dataclass(frozen=True, slots=True)
class _Found:
    slip: Array
    most: Array


class BothShapes(NamedTuple):
    """Both tyres' `MagicShape` of each axle, arrays of shape (states, 2)."""

    peak: Array
    shape: Array
    factor: Array
    curvature: Array


def _same_slip(curve: MagicShape, demand: Array) -> _Found:
    """By the curves' real parts: these are the curves of the real loads."""
    found = _Found(np.empty(len(curve.peak)), np.empty(len(curve.peak)))
    peak, factor, curvature = (np.array(np.real(part)) for part in (curve.peak, curve.factor, curve.curvature))
    shape = np.array(np.broadcast_to(np.real(curve.shape), peak.shape))
    curves = BothShapes(peak, shape, factor, curvature)
    _find(curves, np.array(np.abs(np.real(demand))), found.slip, found.most)
    return found


def _sense(demand: Array) -> Array:
    return np.where(np.real(np.asarray(demand)) < 0, -1.0, 1.0)


def _both(slip: Array) -> Array:
    return np.asarray(slip[:, None] * np.ones(2))


@compiled
def _find(curves: BothShapes, wanted: Array, slip: Array, most: Array) -> None:
    """Slip of each axle for what is wanted, the best where that is too much [rad], and the most that it gives [N]."""
    for n in range(len(wanted)):
        low, high = inf, 0.0
        for s in range(2):
            if curves.peak[n, s] > 0:
                own = _peak_slip(curves.shape[n, s], curves.factor[n, s], curves.curvature[n, s])
                low, high = min(low, own), max(high, own)
        best = best_slip(curves, n, low, high) if high > 0 else 0.0
        most[n], _ = both_at(curves, n, best)
        if wanted[n] < most[n]:
            slip[n] = slip_reaching(curves, n, wanted[n], best)
        else:
            slip[n] = best


@compiled_inner
def both_at(curves: BothShapes, n: int, slip: float) -> tuple[float, float]:
    """Force of both tyres and its slope, as `MagicShape.value` and `slope` [N, N/rad]."""
    force = slope = 0.0
    for s in range(2):
        shape, factor, curvature = curves.shape[n, s], curves.factor[n, s], curves.curvature[n, s]
        reduced = factor * slip
        bent_slip, growing = _bent(reduced, curvature), factor * _bent_slope(reduced, curvature)
        force += _magic(curves.peak[n, s], shape, bent_slip)
        slope += _magic_slope(curves.peak[n, s], shape, bent_slip) * growing
    return force, slope


@compiled_inner
def _peak_slip(shape: float, factor: float, curvature: float) -> float:
    """As `MagicShape.peak_slip`: Newton steps inside a bracket, of a function that rises wherever E is up to one."""
    wanted = tan(pi / (2 * max(shape, _STRAIGHT)))
    low, high = 0.0, FARTHEST
    x = min(wanted, FARTHEST)
    for _ in range(_STEPS):
        miss = wanted - _bent(x, curvature)
        if miss > 0:
            low = x
        else:
            high = x
        better = x + miss / _bent_slope(x, curvature)
        if not low <= better <= high:
            better = 0.5 * (low + high)
        if abs(better - x) <= _ROUNDING * x:
            break
        x = better
    return x / factor


@compiled_inner
def best_slip(curves: BothShapes, n: int, low: float, high: float) -> float:
    """Slip at which both together give most: between the two tyres' own, by secants that keep it between them."""
    _, rising = both_at(curves, n, low)
    _, falling = both_at(curves, n, high)
    middle = low
    for _ in range(_STEPS):
        last, span = middle, rising - falling
        middle = low + (high - low) * rising / span if span > 0 else 0.5 * (low + high)
        middle = min(max(middle, low), high)
        _, steep = both_at(curves, n, middle)
        if steep > 0:
            low, rising, falling = middle, steep, 0.5 * falling
        else:
            high, falling, rising = middle, steep, 0.5 * rising
        if abs(middle - last) <= _SETTLED * high:
            break
    return middle


@compiled_inner
def slip_reaching(curves: BothShapes, n: int, wanted: float, best: float) -> float:
    """Slip below the best one at which both together give what is wanted: Newton steps inside a bracket."""
    low, high = 0.0, best
    x = last = 0.0
    for _ in range(_STEPS):
        force, steep = both_at(curves, n, x)
        miss = wanted - force
        if miss > 0:
            low = x
        else:
            high = x
        better = x + miss / steep if steep > 0 else inf
        if not low <= better <= high:
            better = 0.5 * (low + high)
        last, x = x, better
        if abs(x - last) <= _ROUNDING * x:
            break
    return x

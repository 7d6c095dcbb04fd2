"""A body over one wheel that swings freely: spring, viscous damper and dry friction over an axle on its tyre; compiled.

All per mass of the body. The friction is a force that changes its sign with the motion, made smooth within a few
millimetres a second so that a rest is no corner. The tyre is a spring: where friction holds the strut, the body goes on
swinging on the tyres alone, which one mass on one spring would tell as another frequency.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from jounce.numerics.arrays import Array
from jounce.numerics.compiled import compiled, compiled_inline

__all__ = ["SMOOTH", "Underneath", "swing"]

SMOOTH = 0.004
"""Speed within which the friction changes its sign [m/s]."""
_LONGEST_STEP = 1e-3  # the axle swings fast and friction turns within SMOOTH: longer steps would overshoot it [s]


class Underneath(NamedTuple):
    """What is under the body: the tyre's rate per mass of the body [1/s²], and the axle's mass over the body's [-]."""

    tyre: float
    unsprung: float


@compiled_inline
def _strut(rise: float, rising: float, stiffness: float, damping: float, friction: float) -> float:
    """What the strut pulls the body down with, per mass of the body [m/s²]."""
    return stiffness * rise + damping * rising + friction * math.tanh(rising / SMOOTH)


@compiled
def swing(time: Array, wheel: Underneath, strut: tuple[float, float, float], place: float, speed: float) -> Array:
    """Acceleration of the body at given moments, by steps of the classical Runge-Kutta method.

    The axle begins where the body's place would leave it at rest.

    Args:
        time: the moments, rising from 0 [s]
        wheel: what is under the body
        strut: stiffness [1/s²], viscous damping [1/s] and dry friction [m/s²] at the wheel, per mass of the body
        place: displacement of the body at the first moment, up positive [m]
        speed: its speed then [m/s]

    Returns:
        Upwards, shape (moments,) [m/s²]
    """
    k, c, f = strut
    tyre, small = wheel.tyre, wheel.unsprung
    told = np.empty(len(time))
    share = k / (k + tyre)
    x, u, v, w = place, share * place, speed, share * speed
    now = time[0]
    for number in range(len(time)):
        left = time[number] - now
        steps = int(np.ceil(left / _LONGEST_STEP))
        for _ in range(steps):
            h = left / steps
            f1 = _strut(x - u, v - w, k, c, f)
            a1, b1 = -f1, (f1 - tyre * u) / small
            v2, w2 = v + 0.5 * h * a1, w + 0.5 * h * b1
            x2, u2 = x + 0.5 * h * v, u + 0.5 * h * w
            f2 = _strut(x2 - u2, v2 - w2, k, c, f)
            a2, b2 = -f2, (f2 - tyre * u2) / small
            v3, w3 = v + 0.5 * h * a2, w + 0.5 * h * b2
            x3, u3 = x + 0.5 * h * v2, u + 0.5 * h * w2
            f3 = _strut(x3 - u3, v3 - w3, k, c, f)
            a3, b3 = -f3, (f3 - tyre * u3) / small
            v4, w4 = v + h * a3, w + h * b3
            x4, u4 = x + h * v3, u + h * w3
            f4 = _strut(x4 - u4, v4 - w4, k, c, f)
            a4, b4 = -f4, (f4 - tyre * u4) / small
            x += h * (v + 2 * v2 + 2 * v3 + v4) / 6
            u += h * (w + 2 * w2 + 2 * w3 + w4) / 6
            v += h * (a1 + 2 * a2 + 2 * a3 + a4) / 6
            w += h * (b1 + 2 * b2 + 2 * b3 + b4) / 6
        now = time[number]
        told[number] = -_strut(x - u, v - w, k, c, f)
    return told

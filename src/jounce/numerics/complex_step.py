"""Functions through which an imaginary perturbation passes, where plain NumPy's complex versions do something else.

A number ``x + i h`` with a tiny ``h`` (1e-30) stands for ``x`` and a direction in which it may change; an analytic function
turns it into ``f(x) + i h f'(x)`` to rounding. Exact derivatives of whole calculations follow.
Source: W. Squire and G. Trapp, Using complex variables to estimate derivatives of real functions, SIAM Review 40 (1998).
"""

from __future__ import annotations

import numpy as np

from jounce.numerics.arrays import Array

STEP = 1e-30
"""Imaginary perturbation; its square vanishes beside any number of this program [as perturbed]."""


def size(value: Array) -> Array:
    """Absolute value of the real part, with its perturbation [as given].

    Args:
        value: numbers, any shape [any]

    """
    return np.asarray(np.where(np.real(value) < 0, -value, value))


def through(argument: Array, value: Array, slope: Array) -> Array:
    """A function's value that carries on its argument's perturbation [as the function].

    Args:
        argument: argument of the function, any shape [any]
        value: the function at the argument's real part, same shape [any]
        slope: its derivative there, same shape [any]

    """
    if not np.iscomplexobj(argument):
        return value
    return np.asarray(value + 1j * np.imag(argument) * slope)


def bearing(rise: Array, run: Array) -> Array:
    """``atan2(rise, run)`` [rad].

    Args:
        rise: component that the sine belongs to, any shape [any]
        run: component that the cosine belongs to, same shape and unit [any]

    """
    angle = np.arctan2(np.real(rise), np.real(run))
    if not (np.iscomplexobj(rise) or np.iscomplexobj(run)):
        return np.asarray(angle)
    square = np.real(rise) ** 2 + np.real(run) ** 2
    return np.asarray(angle + 1j * (np.real(run) * np.imag(rise) - np.real(rise) * np.imag(run)) / square)

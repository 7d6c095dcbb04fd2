"""The textbook's formulas for roll, load transfer and understeer: to see the whole car's numbers beside them."""

from __future__ import annotations

import numpy as np

from jounce.conventions.constants import GRAVITY
from jounce.numerics.arrays import Array

_TEXTBOOK_GRAVITY = 9.81


def roll_gradient(
    mass: float | Array, arm: float | Array, stiffness: float | Array, gravity: float = _TEXTBOOK_GRAVITY
) -> Array:
    """Roll per lateral acceleration of a body on a roll axis.

    ``m d / (k - m g d)``

    Args:
        mass: sprung mass m [kg]
        arm: height d of its centre above the roll axis [m]
        stiffness: roll stiffness k of both axles [N m/rad]
        gravity: g [m/s²]

    Returns:
        Roll gradient [rad/(m/s²)]

    Source: Barton and Fieldhouse, Automotive Chassis Engineering, 2018, chapter 3, page 174.

    """
    moment = np.asarray(mass) * arm
    return np.asarray(moment / (stiffness - moment * gravity))


def geometric_transfer(
    mass: float | Array, across: float | Array, roll_centre: float | Array, track: float | Array
) -> Array:
    """Load moved across an axle through its links, ``m_a a h_rc / t``.

    Args:
        mass: sprung mass that the axle carries [kg]
        across: lateral acceleration [m/s²]
        roll_centre: height of the roll centre [m]
        track: track t [m]

    Returns:
        Load transfer [N]

    Source: Barton and Fieldhouse, Automotive Chassis Engineering, 2018, chapter 3, page 174.

    """
    return np.asarray(np.asarray(mass) * across * roll_centre / track)


def unsprung_transfer(mass: float | Array, across: float | Array, height: float | Array, track: float | Array) -> Array:
    """Load moved across an axle by its own mass, ``m_u a h_u / t``.

    Args:
        mass: unsprung mass of the whole axle [kg]
        across: lateral acceleration [m/s²]
        height: of its centre above the ground [m]
        track: track t [m]

    Returns:
        Load transfer [N]

    Source: Barton and Fieldhouse, Automotive Chassis Engineering, 2018, chapter 3, page 174.

    """
    return np.asarray(np.asarray(mass) * across * height / track)


def understeer(
    front_load: float | Array, rear_load: float | Array, front_stiffness: float | Array, rear_stiffness: float | Array
) -> Array:
    """Understeer coefficient of the two-wheel car, ``W_f / (2 C_f) - W_r / (2 C_r)``.

    Args:
        front_load: W_f, on the front axle [N]
        rear_load: W_r, on the rear axle [N]
        front_stiffness: C_f, cornering stiffness of one front tyre [N/rad]
        rear_stiffness: C_r, of one rear tyre [N/rad]

    Returns:
        Steer angle per lateral acceleration in g [rad]

    Source: Wong, Theory of Ground Vehicles, chapter 5.

    """
    return np.asarray(front_load / (2 * np.asarray(front_stiffness)) - rear_load / (2 * np.asarray(rear_stiffness)))


def characteristic_speed(coefficient: float | Array, wheelbase: float | Array, gravity: float = GRAVITY) -> Array:
    """Speed at which the car asks for twice the steer of its radius; of an oversteering car the critical speed.

    ``sqrt(g l / |K|)``

    Args:
        coefficient: understeer coefficient K, see `understeer` [rad]
        wheelbase: l [m]
        gravity: g [m/s²]

    Returns:
        Speed [m/s]

    Source: Wong, Theory of Ground Vehicles, chapter 5.

    """
    return np.asarray(np.sqrt(gravity * np.asarray(wheelbase) / np.abs(coefficient)))

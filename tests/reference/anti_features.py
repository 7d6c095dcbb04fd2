"""Anti-dive, anti-lift and anti-squat: how much of a load transfer the linkage carries past the springs.

The support angles come from a motion's table (``brake_support_angle``, ``drive_support_angle``); the rest is what the
car as a whole adds: the share of the force at this axle, the centre of gravity's height and the wheelbase.
"""

from __future__ import annotations

import numpy as np

from jounce.numerics.arrays import Array


def anti_percent(angle: float | Array, share: float | Array, height: float | Array, wheelbase: float | Array) -> Array:
    """Share of an axle's longitudinal load transfer that the linkage carries, 1 for 100 %.

    ``share tan(angle) l / h``

    Under braking with brakes at the wheels, of ``brake_support_angle``: anti-dive of a front axle, anti-lift of a rear
    one. In driving through drive shafts, or braking inboard of them, of ``drive_support_angle``: anti-lift of a driven
    front axle, anti-squat of a driven rear one.

    Args:
        angle: support angle of the axle (mean of its wheels), positive when it resists [rad]
        share: share of the car's whole braking or driving force at this axle [-]
        height: of the centre of gravity above the ground [m]
        wheelbase: distance l of the axles [m]

    Returns:
        Share carried by the linkage; negative where it adds to dive, lift or squat [-]

    Source: Gillespie, Fundamentals of Vehicle Dynamics, chapter 7 (for brakes at the wheels).

    >>> round(float(anti_percent(np.radians(5.6), 0.6, 0.600, 2.550)), 2)
    0.25

    """
    return np.asarray(share * np.tan(angle) * wheelbase / height)


def deflecting_force(
    force: float | Array, height: float | Array, wheelbase: float | Array, carried: float | Array
) -> Array:
    """What is left of an axle's longitudinal load transfer for its two springs together.

    ``F h / l (1 - carried)``

    Args:
        force: the car's whole braking or driving force [N]
        height: of the centre of gravity above the ground [m]
        wheelbase: distance l of the axles [m]
        carried: share carried by the linkage, see `anti_percent` [-]

    Returns:
        Force that compresses (front in braking, rear in driving) or else unloads the springs [N]

    Source: Barton and Fieldhouse, Automotive Chassis Engineering, chapter 3, equations 3.63 to 3.69.

    """
    return np.asarray(force * height / wheelbase * (1 - np.asarray(carried)))

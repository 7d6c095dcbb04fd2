"""Tyres of an axle as vertical springs, from its document: rate, rise with the load or measured rows, and pressure."""

from __future__ import annotations

import numpy as np

from jounce.car.axles.axle import Axle
from jounce.car.mechanics.layout_input import SIDE_OF, number
from jounce.car.parts import Wheel
from jounce.elements.tyres.tyre import MeasuredTyre, Tyre, VerticalTyre
from jounce.layouts.naming import SIDES, SideName
from jounce.numerics.arrays import Array


def tyre_rate(wheel: Wheel) -> Array:
    """Vertical rate of a tyre at the load as found, at the pressure at which the car runs [N/m].

    Args:
        wheel: the wheel's section
    """
    return np.asarray(number(wheel.tyre_rate) * wheel.pressure_factor)


def bent_tyres(section: Axle, loads: dict[SideName, Array]) -> dict[SideName, VerticalTyre]:
    """Tyres whose rate changes with the load, by side; a tyre of one rate is not among them.

    Args:
        section: the axle's part of the document
        loads: vertical load of each wheel as found [N]
    """
    found: dict[SideName, VerticalTyre] = {}
    for side in SIDES:
        wheel: Wheel = section.side(SIDE_OF[side]).wheel
        if (curve := wheel.measured_curve) is not None:
            found[side] = MeasuredTyre(curve, wheel.pressure_factor)
        elif np.any(wheel.tyre_rate_per_load.value):
            per_load = number(wheel.tyre_rate_per_load) * wheel.pressure_factor
            found[side] = Tyre(tyre_rate(wheel), per_load, loads[side])
    return found

"""The car's dampers: their curves as the document has them, and what a curve is worth as one straight line."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from jounce.behaviour.road.axle_path import AxleOnBody, damper_measures
from jounce.car.file.document import CarDocument
from jounce.car.mechanics.layout_input import SIDE_OF
from jounce.car.mechanics.model import AXLES
from jounce.conventions.axes import Corner, End
from jounce.elements.dampers.force_velocity import ForceVelocity
from jounce.elements.law import Linear
from jounce.layouts.naming import SIDES
from jounce.linkage.balance import Element

Curves = Mapping[Corner, ForceVelocity]
"""Force over speed of the dampers that are known, by axle and side."""

_ANGLES = (np.arange(256) + 0.5) * (2 * np.pi / 256)
_NORMAL, _SHARE = np.polynomial.hermite_e.hermegauss(80)


@dataclass(frozen=True, slots=True)
class Dampers:
    """What is known of a car's dampers, and which corners it is not known of."""

    curves: Curves

    @property
    def unknown(self) -> tuple[Corner, ...]:
        """Corners without a curve."""
        return tuple((axle, side) for axle in AXLES for side in SIDES if (axle, side) not in self.curves)


def dampers_of(document: CarDocument) -> Dampers:
    """Damper curves of a car document.

    Args:
        document: the car
    """
    curves: dict[Corner, ForceVelocity] = {}
    for axle in AXLES:
        for side in SIDES:
            section = document.axle(End.FRONT if axle == "front" else End.REAR).side(SIDE_OF[side])
            force = section.damper.force
            if force is not None:
                curves[axle, side] = force
    return Dampers(curves)


def at_swinging(curve: ForceVelocity, largest_speed: float) -> float:
    """Straight-line damping that takes as much energy from a swing as the curve does [N s/m].

    ``c = 1/(π v) ∫ F(v sin a) sin a da`` over one turn: below the first knee the mean of bump and rebound.

    Args:
        curve: force over rod speed
        largest_speed: v, largest rod speed of the swing [m/s]
    """
    sine = np.sin(_ANGLES)
    return float(2 * np.mean(curve.force(largest_speed * sine) * sine) / largest_speed)


def at_random(curve: ForceVelocity, rms_speed: float) -> float:
    """Straight-line damping with the least error on a random road, ``E[F v] / E[v²]``, rod speed normal [N s/m].

    Args:
        curve: force over rod speed
        rms_speed: root mean square of the rod speed [m/s]

    Source: T. K. Caughey, Equivalent linearization techniques, J. Acoust. Soc. Am. 35 (1963).
    """
    moment = np.sum(_SHARE * curve.force(rms_speed * _NORMAL) * _NORMAL) / np.sum(_SHARE)
    return float(moment / rms_speed)


def measuring_dampers(on_body: AxleOnBody) -> AxleOnBody:
    """The axle with both dampers' lengths among its measures, and no force from that."""
    axle = on_body.axle
    silent = {f"{name} length": Element(name, Linear(0.0)) for name in damper_measures(axle)}
    return AxleOnBody(axle.with_elements(silent), on_body.settings)

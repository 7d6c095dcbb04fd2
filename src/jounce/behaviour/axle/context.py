"""What the results of one axle need to know of the rest of the car."""

from __future__ import annotations

from dataclasses import dataclass
from math import tau
from typing import Any

import numpy as np

from jounce.car.file.document import CarDocument
from jounce.car.mechanics.assembly import axle_linkage
from jounce.car.mechanics.layout_input import number
from jounce.car.mechanics.model import AxleName
from jounce.conventions.axes import End
from jounce.layouts.axle import Setting
from jounce.numerics.arrays import Array


@dataclass(frozen=True, slots=True)
class CarContext:
    """Facts about the car, each None where it is not known.

    Attributes:
        wheelbase: mean distance of front and rear wheel centres along the car, as found [m]
        rack_per_turn: travel of the rack in one turn of the steering wheel [m]
        box_ratio: turn of the steering wheel per turn of the pitman arm [-]

    """

    wheelbase: Array | None = None
    rack_per_turn: Array | None = None
    box_ratio: Array | None = None

    @property
    def drive_per_handwheel(self) -> Array | None:
        """Displacement of the rack [m/rad], or turn of the pitman arm [-], per turn of the steering wheel."""
        if self.rack_per_turn is not None:
            return np.asarray(self.rack_per_turn / tau)
        return None if self.box_ratio is None else np.asarray(1 / self.box_ratio)


NOTHING_KNOWN = CarContext()
"""The axle alone."""


def car_context(document: CarDocument, axle: AxleName) -> CarContext:
    """What a car document says that the results of one axle need.

    Args:
        document: the car
        axle: "front" or "rear"

    """
    section: Any = document.axle(End(axle))
    rack, box = getattr(section, "steering", None), getattr(section, "steering_box", None)
    per_turn = None if rack is None else rack.travel_per_turn
    ratio = None if box is None else box.ratio
    return CarContext(
        wheelbase=_wheel_x(document, "front") - _wheel_x(document, "rear"),
        rack_per_turn=None if per_turn is None else number(per_turn),
        box_ratio=None if ratio is None else number(ratio),
    )


def _wheel_x(document: CarDocument, axle: AxleName) -> Array:
    """Mean place of an axle's two wheel centres along the car, as found [m]."""
    linkage = axle_linkage(document.axle(End(axle)), Setting(axle))
    centres = [np.atleast_2d(wheel.centre.at) for wheel in linkage.wheels.values()]
    return np.asarray(0.5 * (centres[0][:, 0] + centres[1][:, 0]))

"""Which axle drives, and how the brakes share their force."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from jounce.car.file import ranges
from jounce.car.file.quantity import Measured
from jounce.car.file.section import Section

BRAKE_FRONT_SHARE = Measured(0.70, 0.0, "default: common practice for light front-drive cars, no source")
FRICTION = Measured(0.90, 0.0, "default: dry road, common practice, no source")


class Driveline(Section):
    """Drive and brakes of the car as a whole."""

    driven: Literal["front", "rear"] = Field(default="front", description="which axle the engine drives")
    brake_front_share: ranges.BrakeShare = Field(
        default=BRAKE_FRONT_SHARE, description="front axle's share of the braking force"
    )
    friction: ranges.Friction = Field(
        default=FRICTION, description="most force along the road that a tyre gives, of its load"
    )


class Place(Section):
    """Where a person, fuel or luggage rides; true coordinates, not mirrored."""

    at: ranges.Point = Field(description="centre of gravity of what rides there; y negative on the right")
    mass: ranges.MassAboard = Field(description="what usually rides there")

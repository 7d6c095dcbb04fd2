"""Rack and pinion, or steering box with a relay rod."""

from __future__ import annotations

from typing import Self

from pydantic import Field, model_validator

from jounce.car.file import ranges
from jounce.car.file.section import Section
from jounce.car.parts.shared import check_apart


class Steering(Section):
    """Rack and pinion."""

    rack_travel: ranges.RackTravel = Field(description="travel of the rack from straight ahead to each lock")
    travel_per_turn: ranges.RackRatio | None = Field(
        default=None, description="travel of the rack in one turn of the steering wheel"
    )


class SteeringBox(Section):
    """Steering box with a relay rod between pitman and idler arm; true coordinates, not mirrored."""

    pitman_pivot: ranges.Point = Field(description="the pitman arm's centre on the steering box's shaft")
    pitman_end: ranges.Point = Field(description="joint of the pitman arm with the relay rod")
    idler_pivot: ranges.Point = Field(description="the idler arm's centre on its pivot")
    idler_end: ranges.Point = Field(description="joint of the idler arm with the relay rod")
    travel: ranges.PitmanTravel = Field(description="angle of the pitman arm from straight ahead to each lock")
    ratio: ranges.BoxRatio | None = Field(
        default=None, description="turn of the steering wheel per turn of the pitman arm"
    )

    @model_validator(mode="after")
    def _check(self) -> Self:
        check_apart(self, ("pitman_pivot", "pitman_end"), ("idler_pivot", "idler_end"), ("pitman_end", "idler_end"))
        return self

"""Wheel alignment as found."""

from __future__ import annotations

from typing import Any

from pydantic import Field, model_validator

from jounce.car.file import ranges
from jounce.car.file.section import Section
from jounce.car.file.toe import toe_as_angle


class Alignment(Section):
    """Wheel alignment as found."""

    camber: ranges.Camber = Field(description="camber as found; negative when the top leans inward")
    toe: ranges.Toe = Field(description="toe of this wheel as found; positive for toe-in; a length needs toe_diameter")
    toe_diameter: ranges.ToeDiameter | None = Field(default=None, description="diameter across which toe was measured")

    @model_validator(mode="before")
    @classmethod
    def _toe_as_length(cls, written: Any) -> Any:
        return toe_as_angle(written)

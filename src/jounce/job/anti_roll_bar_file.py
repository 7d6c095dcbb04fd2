"""A file that tells one anti-roll bar, without a car: the keys of the car file's section, at the top of the file."""

from __future__ import annotations

from typing import Any

from pydantic import Field, model_validator

from jounce.car.file import ranges
from jounce.car.file.fields import refuse
from jounce.car.file.quantity import Measured, MeasuredPoint, PointEntry
from jounce.car.file.reading import parse_document
from jounce.car.parts.anti_roll_bar import AntiRollBarShape
from jounce.conventions.axes import Side
from jounce.conventions.errors import InputError
from jounce.conventions.units import MM

__all__ = ["LoneAntiRollBar", "parse_anti_roll_bar", "straight_arms"]


def _of_one_side(entry: object) -> bool:
    return isinstance(entry, dict) and bool({"left", "right"} & set(entry))


class LoneAntiRollBar(AntiRollBarShape):
    """The left half of a bar; the right mirrors it. Only the direction of the link matters, not where it ends."""

    link_end: ranges.Point | None = Field(default=None, description="the drop link's other end, for its direction")

    @model_validator(mode="before")
    @classmethod
    def _points_of_the_left(cls, written: Any) -> Any:
        if not isinstance(written, dict):
            return written
        points = cls.point_keys()
        unlike = next((key for key, entry in written.items() if key in points and _of_one_side(entry)), None)
        if "left" in written or "right" in written or unlike:
            refuse(
                InputError(
                    "The bar is told with unlike halves",
                    found=unlike or "left or right",
                    allowed="the left half alone: the right mirrors it",
                    todo="Put such a bar into a car file, in a section for each side, and ask settle or travel of the car.",
                )
            )
        return {
            key: PointEntry(entry, Side.LEFT, from_left=True) if key in points else entry
            for key, entry in written.items()
        }


def parse_anti_roll_bar(text: str, place: str) -> LoneAntiRollBar:
    """A bar from the text of its file.

    Args:
        text: TOML
        place: what the file is called in messages

    Raises:
        InputError: it is no TOML
        InputProblems: all that is wrong with the bar
    """
    return parse_document(text, place, LoneAntiRollBar)


def straight_arms(lever: float, across: float, bend_to_bush: float, bush_to_middle: float) -> LoneAntiRollBar:
    """A bar with straight arms by its dimensions; its diameter is to be replaced.

    Args:
        lever: extent of an arm along the car [m]
        across: extent of an arm across the car, negative where it leans inward [m]
        bend_to_bush: from the bend to the bush [m]
        bush_to_middle: from the bush to the middle of the bar [m]

    Raises:
        InputError: a dimension that no bar has
    """
    bend = bush_to_middle + bend_to_bush
    for name, value in (("lever", lever), ("bush to middle", bush_to_middle), ("width", bend + across)):
        if value <= 0:
            raise InputError(f"The bar's {name} is not above zero", found=f"{value / MM:g} mm", todo="Measure it.")
    return LoneAntiRollBar.model_construct(
        diameter=Measured(0.02),
        arm_end=MeasuredPoint(lever, bend + across, 0.0),
        bend=MeasuredPoint(0.0, bend, 0.0),
        bush=MeasuredPoint(0.0, bush_to_middle, 0.0),
    )

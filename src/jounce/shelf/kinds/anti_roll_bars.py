"""Bent anti-roll bars: in front, a second one on the same links, one carried by a beam axle's tube."""

from __future__ import annotations

from typing import Any, ClassVar, Literal

from pydantic import Field, model_validator

from jounce.car.file import ranges
from jounce.car.file.quantity import MeasuredPoint, PointEntry
from jounce.car.file.section import Section
from jounce.car.parts.anti_roll_bar import AntiRollBarShape
from jounce.car.parts.changed import NewAntiRollBar, SecondAntiRollBar
from jounce.conventions.axes import Side
from jounce.shelf.part import Needed, Part, Words, known_as

__all__ = ["AntiRollBarPart"]

_POINTS = ("arm_end", "bend", "bush", "link_end")


class AntiRollBarPart(Part):
    """A bent anti-roll bar.

    Its shape is told by the length of its arms and the distance between its links; one that is made for a car also by
    the points of its left-hand half where it lies in that car.
    """

    KIND: ClassVar[str] = "roll_bar"
    TITLE: ClassVar[str] = "anti-roll bar"
    CARRIED: ClassVar[tuple[str, ...]] = (
        "diameter",
        "inner_diameter",
        "arm_end",
        "bend",
        "bush",
        "link_end",
        "bush_rate",
        "link_rate",
    )
    NEEDED: ClassVar[Needed] = (("diameter",), ("arm_end",), ("bend",), ("bush",))

    role: Literal["first", "second", "on-tube"] = Field(
        default="first", description="the axle's own bar, a second one on its links, or one carried by the tube"
    )
    diameter: ranges.AntiRollBarDiameter | None = known_as(AntiRollBarShape, "diameter")
    inner_diameter: ranges.InnerDiameter | None = known_as(AntiRollBarShape, "inner_diameter")
    shape: Words = Field(default="", description="form of the bar, as text")
    arm_length: ranges.LinkLength | None = Field(
        default=None, description="lever of its arm: from the shaft's axis square to the link"
    )
    span: ranges.LinkSpan | None = Field(default=None, description="distance between its two links, across the car")
    link_bolt: ranges.BoltSize | None = Field(default=None, description="bolt of the drop links in its arms")
    bush_bore: ranges.BushSize | None = Field(default=None, description="diameter of the bar where its bushes sit")
    tube_clamp: ranges.TubeDiameter | None = Field(
        default=None, description="diameter of the axle's tube that its clamps hold; of a bar carried by the tube"
    )
    arm_end: ranges.Point | None = known_as(AntiRollBarShape, "arm_end")
    bend: ranges.Point | None = known_as(AntiRollBarShape, "bend")
    bush: ranges.Point | None = known_as(AntiRollBarShape, "bush")
    link_end: ranges.Point | None = Field(
        default=None, description="the drop link's other end; of a bar carried by the tube"
    )
    bush_rate: ranges.BushRate | None = known_as(AntiRollBarShape, "bush_rate")
    link_rate: ranges.LinkRate | None = known_as(AntiRollBarShape, "link_rate")

    @model_validator(mode="before")
    @classmethod
    def _points_of_the_left(cls, written: Any) -> Any:
        if not isinstance(written, dict):
            return written
        return {
            key: PointEntry(entry, Side.LEFT) if key in _POINTS and not isinstance(entry, MeasuredPoint) else entry
            for key, entry in written.items()
        }

    @property
    def needed(self) -> Needed:
        """Section and points; of a bar carried by the tube the links' other ends too."""
        return (*self.NEEDED, *((("link_end",),) if self.role == "on-tube" else ()))

    @property
    def fitting(self) -> Needed:
        """Span, bolts, and what it turns in."""
        carrier = "tube_clamp" if self.role == "on-tube" else "bush_bore"
        return (("span",), ("link_bolt",), (carrier,))

    @property
    def mechanics(self) -> Section | None:
        """The bar in its place; a bar in front takes the links' other ends of the car."""
        if not all(self._tells(keys) for keys in self.needed):
            return None
        model: type[Section] = NewAntiRollBar if self.role == "on-tube" else SecondAntiRollBar
        carried = {key: value for key, value in self.carried.items() if key != "link_end" or self.role == "on-tube"}
        points = {key: _as_written(point) for key, point in carried.items() if isinstance(point, MeasuredPoint)}
        return model.model_validate(carried | points)


def _as_written(point: MeasuredPoint) -> dict[str, Any]:
    """The point in the form in which a file writes it."""
    at = [f"{coordinate!r} m" for coordinate in (point.x, point.y, point.z)]
    return {"at": at, "plus_minus": f"{point.plus_minus!r} m", "from": point.origin}

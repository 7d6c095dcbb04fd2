"""What all axles of a car file have in common: two sides, and how they are read from one."""

from __future__ import annotations

from typing import Annotated, Any, ClassVar, Self

from pydantic import Field, ModelWrapValidatorHandler, PrivateAttr, model_validator

from jounce.car.fields import Quantity
from jounce.car.mirror import BothSides, Place, both_sides, points_wrapped
from jounce.car.quantity import Measured
from jounce.car.section import Section, section_in
from jounce.conventions.axes import SIDES, End, Side
from jounce.conventions.units import Kind

__all__ = ["Axle"]

Band = Annotated[Measured, Quantity(Kind.LENGTH, (0, 50), (0, 20))]


class Axle(Section):
    """An axle: sections that belong to one side, and sections that belong to the axle as a whole.

    A layout is a subclass. It names the model of one side, the end of the car where it may stand, and its own sections;
    the rest (mirroring, replaced keys, completed points) is done here.
    """

    SIDE_MODEL: ClassVar[type[Section]]
    END: ClassVar[End]

    pivots_plus_minus: Band = Field(
        default=Measured(0.0), description="band of the coordinates of points that state none of their own"
    )
    pivots_from: str = Field(default="", description="origin of points that state none of their own")

    _places: dict[Place, Place] = PrivateAttr(default_factory=dict)

    @classmethod
    def prepare(cls, written: dict[str, Any]) -> BothSides:
        """Both sides as meant; a layout adds to this what follows from other keys.

        Args:
            written: the axle's part of the file

        """
        return both_sides(written, cls.SIDE_MODEL)

    @model_validator(mode="wrap")
    @classmethod
    def _read_sides(cls, written: Any, handler: ModelWrapValidatorHandler[Self]) -> Self:
        if not isinstance(written, dict):
            return handler(written)
        prepared = cls.prepare(written)
        sections = {key: entry for key, entry in written.items() if key not in _side_sections(cls.SIDE_MODEL)}
        for name, field in cls.model_fields.items():
            model = section_in(field)
            if model is not None and name in sections and name not in SIDES:
                sections[name] = points_wrapped(sections[name], model, written)
        for side in SIDES:
            if isinstance(written.get(side, {}), dict):
                sections[side] = prepared.sides[side]
        axle = handler(sections)
        axle._places = prepared.places  # noqa: SLF001  # its own, while it is being made
        return axle

    def place_of(self, side: Side, section: str, key: str) -> Place:
        """Where in the file, below the axle, a key of a side was written.

        Args:
            side: the side
            section: section of the key
            key: the key

        Returns:
            ``("pivots", "ball_joint")`` for a key that both sides share, ``("right", "pivots", "ball_joint")`` for one
            that was replaced; a key that was left to its default counts as shared

        """
        return self._places.get((side, section, key), (section, key))


def _side_sections(model: type[Section]) -> set[str]:
    """Names of the sections that are written at axle level and belong to the sides."""
    return {name for name, field in model.model_fields.items() if section_in(field) is not None}

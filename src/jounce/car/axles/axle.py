"""What all axles of a car file have in common: two sides, and how they are read from one."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Annotated, Any, ClassVar, Self

from pydantic import Field, ModelWrapValidatorHandler, PrivateAttr, model_validator

from jounce.car.file.fields import QuantityField
from jounce.car.file.mirror import BothSides, Place, both_sides, points_wrapped
from jounce.car.file.quantity import Measured
from jounce.car.file.section import Section, section_in
from jounce.conventions.axes import SIDES, Side
from jounce.conventions.units import Kind
from jounce.layouts.catalogue import LAYOUTS
from jounce.layouts.description import Layout

__all__ = ["Axle"]

Band = Annotated[Measured, QuantityField(Kind.LENGTH, (0, 50), (0, 20))]


class Axle(Section):
    """An axle: sections that belong to one side, and sections that belong to the axle as a whole.

    A layout is a subclass. It names the model of one side and its own sections; the rest (mirroring, replaced keys,
    completed points) is done here.
    """

    SIDE_MODEL: ClassVar[type[Section]]

    layout: str
    left: Section
    right: Section

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

    def side(self, side: Side) -> Any:
        """One side, complete, in true coordinates.

        Args:
            side: which

        """
        return self.left if side is Side.LEFT else self.right

    def as_layout(self) -> Layout:
        """What the axle is laid out by."""
        return LAYOUTS[self.layout]

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

    def exchanged(self, parts: Mapping[str, Section], new: Iterable[Place], shared: Mapping[Place, Place]) -> Self:
        """A copy with other parts, which is not checked again.

        Args:
            parts: sections that replace those of the same name, ``left`` and ``right`` among them
            new: sections, or section and key, that are new on both sides: they count as shared by both
            shared: for single keys (side, section, key), the key whose place they share

        """
        fresh = set(new)
        places = {place: source for place, source in self._places.items() if not {place[1:2], place[1:3]} & fresh}
        for place, source in shared.items():
            places[place] = places.get(source, source[1:])
        copy = self.model_copy(update=dict(parts))
        copy._places = places  # noqa: SLF001  # its own, while it is being made
        return copy


def _side_sections(model: type[Section]) -> set[str]:
    """Names of the sections that are written at axle level and belong to the sides."""
    return {name for name, field in model.model_fields.items() if section_in(field) is not None}

"""Whether the points, hoses and joints that a shop names are of this car."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property

from jounce.car.file.contents import CarContents
from jounce.car.file.quantity import suggestion
from jounce.car.mechanics.layout_input import axle_given
from jounce.conventions.axes import ENDS, Side
from jounce.conventions.errors import InputError
from jounce.layouts.axle import AxleLinkage, Setting
from jounce.layouts.builder import laid_out
from jounce.layouts.naming import SIDES

__all__ = ["named_point_problems"]


def named_point_problems(document: CarContents) -> list[InputError]:
    """What is said of a body or joint that the car has not, or of a place on the wrong side; each with its place.

    Args:
        document: the car, its axles sound

    """
    if not (document.near or document.low or document.hose or document.joint):
        return []
    check = _Check(document)
    return [*check.near(), *check.low(), *check.hoses(), *check.joints()]


class _Check:
    def __init__(self, document: CarContents) -> None:
        self.document = document

    @cached_property
    def linkages(self) -> dict[str, AxleLinkage]:
        """Both axles as their layouts tell them."""
        found = {}
        for end in ENDS:
            section = self.document.axle(end)
            found[end.value] = laid_out(section.as_layout().build, Setting(end.value), axle_given(section, end.value))
        return found

    def near(self) -> Iterator[InputError]:
        """Points near a tyre."""
        for name, one in self.document.near.items():
            axle, _, side = one.wheel.partition(" ")
            yield from self._carried(one.on, axle, f"near.{name}")
            left = side != Side.RIGHT.value
            if (one.at.y > 0) is not left:
                word = "left" if left else "right"
                yield InputError(
                    f"This point lies on the other side of the car than the {word} wheel",
                    todo="y is positive on the left; for both wheels of an axle give the point of the left one.",
                    place=f"near.{name}.at",
                )
            if one.on == "wheel":
                yield InputError(
                    "A point that turns with the wheel's own carrier",
                    found='"wheel"',
                    allowed="what the tyre moves against: the body or an arm",
                    todo="A tyre keeps its distance to its own upright; leave it out.",
                    place=f"near.{name}.on",
                )

    def low(self) -> Iterator[InputError]:
        """Low points."""
        for name, one in self.document.low.items():
            yield from self._carried(one.on, one.axle, f"low.{name}")

    def hoses(self) -> Iterator[InputError]:
        """Hoses that are shorter than their ends are apart as found."""
        for name, one in self.document.hose.items():
            apart = one.body_end.distance(one.wheel_end)
            if apart > one.length.value:
                yield InputError(
                    "This hose is shorter than its two ends are apart with the car as found",
                    found=f"{one.length.value * 1e3:.0f} mm",
                    allowed=f"more than {apart * 1e3:.0f} mm",
                    todo="Measure both ends and the hose again.",
                    place=f"hose.{name}.length",
                )

    def joints(self) -> Iterator[InputError]:
        """Joints that the axle has not."""
        for name, one in self.document.joint.items():
            linkage = self.linkages[one.axle]
            if linkage.site_called(one.joint, "left") is None:
                known = sorted({site.name for site in linkage.sites.values() if site.kind != "line"})
                yield InputError(
                    f"This car's {one.axle} axle has no such joint",
                    found=f'"{one.joint}"',
                    allowed=", ".join(known),
                    todo=suggestion(one.joint, known) or "Name one of them.",
                    place=f"joint.{name}.joint",
                )

    def _carried(self, word: str, axle: str, place: str) -> Iterator[InputError]:
        linkage = self.linkages[axle]
        if all(linkage.body_called(word, side) is not None for side in SIDES):
            return
        known = linkage.body_words()
        yield InputError(
            f"This car's {axle} axle has no such body",
            found=f'"{word}"',
            allowed=", ".join(known),
            todo=suggestion(word, known) or "Name one of them.",
            place=f"{place}.on",
        )

"""The car file's part for an axle of any layout, made from what the layout says about itself.

The pivots become the keys of ``pivots``, the choices those of one section, every joint may have a bush; the parts
that hang on any axle are the same for all. So a new layout needs no code here.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Any, ClassVar, Literal, Self, TypeVar

from pydantic import Field, create_model, model_validator

from jounce.car.axles.axle import Axle
from jounce.car.file.consistency import check_damper_length, check_equal_bar, check_stop
from jounce.car.file.fields import refuse
from jounce.car.file.mirror import BothSides
from jounce.car.file.ranges import Axis3, Point, TubeRate
from jounce.car.file.section import Section
from jounce.car.parts import (
    Alignment,
    AntiRollBar,
    BumpStopSection,
    Bush,
    Clearance,
    CrossMember,
    Damper,
    DriveShaft,
    InnerBar,
    LeafSpring,
    PanhardRod,
    Perch,
    Spring,
    Steering,
    SteeringBox,
    TorsionBarSection,
    Wheel,
)
from jounce.conventions.axes import SIDES
from jounce.conventions.errors import InputError
from jounce.layouts.bush_names import bush_names
from jounce.layouts.catalogue import LAYOUTS
from jounce.layouts.description import Layout, Pivot

__all__ = ["Bushes", "LayoutAxle", "LayoutSide", "axle_of_layout", "bushes_of_layout"]

_Model = TypeVar("_Model", bound=Section)
SPRING_SECTION = {"coil": "spring", "torsion bar": "torsion_bar", "leaf": "leaf"}
"""Section that describes each kind of main spring."""


class Bushes(Section):
    """Bushes in place of an axle's ideal joints, by joint."""


class LayoutSide(Section):
    """One side of an axle of any layout, complete, in true coordinates."""

    LAYOUT: ClassVar[Layout]

    pivots: Section = Field(description="the pivot points")
    alignment: Alignment = Field(description="camber and toe as found")
    wheel: Wheel = Field(description="tyre and rim")
    damper: Damper = Field(default=Damper(), description="the damper")
    bump_stop: BumpStopSection | None = Field(default=None, description="the rubber on the damper's rod")
    roll_bar: AntiRollBar | None = Field(default=None, description="the anti-roll bar")
    roll_bar_2: AntiRollBar | None = Field(
        default=None, description="a second anti-roll bar; its link_end and link_on are those of the first if not given"
    )
    drive_shaft: DriveShaft = Field(default=DriveShaft(), description="limits of the drive shaft")
    clearance: Clearance = Field(default=Clearance(), description="room for the wheel")

    @property
    def spring_sections(self) -> tuple[str, ...]:
        """Sections of main springs that are given."""
        sections = (SPRING_SECTION[kind] for kind in self.LAYOUT.springs)
        return tuple(name for name in sections if getattr(self, name) is not None)

    @model_validator(mode="after")
    def _check(self) -> Self:
        problems = self._spring_problems()
        ends = ("strut_top", "strut_foot") if "strut_top" in type(self.pivots).model_fields else _DAMPER_ENDS
        length = getattr(self.pivots, ends[0]).distance(getattr(self.pivots, ends[1]))
        problems += check_damper_length(self.damper, length, f"from {ends[0]} to {ends[1]}")
        problems += check_stop(self.bump_stop, self.damper)
        if problems:
            refuse(*problems)
        return self

    def _spring_problems(self) -> list[InputError]:
        """Exactly one kind of main spring, and seats for a coil."""
        allowed = " or ".join(f"[{SPRING_SECTION[kind]}]" for kind in self.LAYOUT.springs)
        given = self.spring_sections
        if len(given) != 1:
            found = " and ".join(f"[{name}]" for name in given) or "none"
            todo = "Give one of them, at axle level."
            return [InputError("An axle has one kind of main spring", found=found, allowed=allowed, todo=todo)]
        if given != ("spring",):
            return []
        return [
            InputError(f'A coil needs its seats: "{key}" is missing', todo="Measure it.", place=f"pivots.{key}")
            for key in ("spring_upper", "spring_lower")
            if getattr(self.pivots, key, None) is None
        ]


_DAMPER_ENDS = ("damper_upper", "damper_lower")


class LayoutAxle(Axle):
    """An axle of any layout."""

    LAYOUT: ClassVar[Layout]

    left: LayoutSide
    right: LayoutSide

    @classmethod
    def prepare(cls, written: dict[str, Any]) -> BothSides:
        """Both sides, with what stands for a pivot or a link that is not given.

        Args:
            written: the axle's part of the file

        """
        sides = super().prepare(written)
        for side in SIDES:
            sides.share(side, "roll_bar_2", "link_end", ("roll_bar", "link_end"))
            sides.share(side, "roll_bar_2", "link_on", ("roll_bar", "link_on"))
            for pivot in cls.LAYOUT.pivots:
                if pivot.stands_for is not None and _wanted(pivot, sides.sides[side].get("pivots")):
                    sides.share(side, "pivots", pivot.name, ("pivots", pivot.stands_for))
        return sides

    @model_validator(mode="after")
    def _check(self) -> Self:
        first, carriers = self.left.roll_bar, set(self.LAYOUT.link_on)
        problems = check_equal_bar("roll_bar", first, self.right.roll_bar, carriers)
        # What the second bar may have taken over from the first is told of the first alone.
        shared = {first.link_on} if first else set()
        problems += check_equal_bar("roll_bar_2", self.left.roll_bar_2, self.right.roll_bar_2, carriers | shared)
        left, right = self.left.spring_sections, self.right.spring_sections
        if left != right:
            problems.append(
                InputError(
                    "Both sides need the same kind of main spring",
                    found=f"[{left[0]}] and [{right[0]}]",
                    todo="Give one of the two, at axle level.",
                    place=f"right.{right[0]}",
                )
            )
        if getattr(self, "steering", None) is not None and getattr(self, "steering_box", None) is not None:
            problems.append(
                InputError(
                    "An axle has a rack or a steering box, not both",
                    found="[steering] and [steering_box]",
                    todo="Leave out the one that it has not.",
                    place="steering_box",
                )
            )
        if problems:
            refuse(*problems)
        return self


def _wanted(pivot: Pivot, written: object) -> bool:
    """Whether a pivot that another stands for is wanted: the outer shaft joint only where there is a shaft."""
    return pivot.name != "drive_shaft_outer" or (isinstance(written, dict) and "drive_shaft_inner" in written)


@cache
def axle_of_layout(name: str) -> type[LayoutAxle]:
    """The model of an axle of a layout.

    Args:
        name: its word in a car file

    """
    layout = LAYOUTS[name]
    title = _title(name)
    side = _side_model(layout, title)
    fields: dict[str, Any] = {
        "layout": (Literal[name], Field(description="kind of axle")),
        "left": (side, Field(description="left side; in a file, keys that differ from the sections above")),
        "right": (side, Field(description="right side; in a file, keys that differ from the mirrored sections above")),
        "bushes": (bushes_of_layout(name), Field(default=bushes_of_layout(name)(), description="bushes of its joints")),
        **_axle_parts(layout, title),
    }
    model = _made(f"{title}Axle", LayoutAxle, f"{layout.title}.", fields)
    model.SIDE_MODEL = side
    model.LAYOUT = layout
    return model


def _made(name: str, base: type[_Model], told: str, fields: dict[str, Any]) -> type[_Model]:
    """A section that is found by its name in this module: so a car document can be sent to another process."""
    model = create_model(name, __base__=base, __doc__=told, __module__=__name__, **fields)
    globals()[name] = model
    return model


def _title(name: str) -> str:
    """A layout's word as the beginning of a class name."""
    return "".join(word.capitalize() for word in name.split("-"))


def _side_model(layout: Layout, title: str) -> type[LayoutSide]:
    fields: dict[str, Any] = {
        "pivots": (_points(layout.pivots, f"{title}Pivots"), Field(description="the pivot points")),
    }
    springs: Mapping[str, Any] = {
        "coil": {
            "spring": (Spring | None, Field(default=None, description="the coil spring")),
            "perch": (Perch | None, Field(default=None, description="the spring's threaded seat, where there is one")),
        },
        "torsion bar": {
            "torsion_bar": (TorsionBarSection | None, Field(default=None, description="the bar that springs the wheel"))
        },
        "leaf": {"leaf": (LeafSpring | None, Field(default=None, description="the leaf spring"))},
    }
    for kind in layout.springs:
        fields |= springs[kind]
    model = _made(f"{title}Side", LayoutSide, "One side, complete.", fields)
    model.LAYOUT = layout
    return model


def _points(pivots: tuple[Pivot, ...], title: str) -> type[Section]:
    """A section whose keys are points."""
    fields: dict[str, Any] = {
        pivot.name: (
            (Point | None, Field(default=None, description=pivot.meaning))
            if pivot.optional
            else (Point, Field(description=pivot.meaning))
        )
        for pivot in pivots
    }
    return _made(title, Section, "Pivots of one side, or points of the axle.", fields)


def _axle_parts(layout: Layout, title: str) -> dict[str, Any]:
    """Sections of the axle as a whole."""
    parts: dict[str, Any] = {}
    for section, pivots in layout.axle_pivots.items():
        model = PanhardRod if section == "panhard" else _points(pivots, f"{title}{section.capitalize()}")
        parts[section] = (model, Field(description="what holds the axle sideways; true coordinates, not mirrored"))
    if layout.choices or layout.bush_axes:
        chosen: dict[str, Any] = {
            choice.name: (Literal[choice.words], Field(default=choice.words[0], description=choice.meaning))
            for choice in layout.choices
        }
        if "turning_side" in chosen:
            meaning = "torsional rate of the tube between its arms, where neither arm turns on it"
            chosen["tube_rate"] = (TubeRate | None, Field(default=None, description=meaning))
        if layout.bush_axes:
            meaning = "direction along which the left arm's bush is soft; mirrored for the right"
            chosen["bush_axis"] = (Axis3, Field(default=(0.0, 1.0, 0.0), description=meaning))
        model = _made(f"{title}Arrangement", Section, "How it is arranged.", chosen)
        parts[layout.choices_in] = (model, Field(default=model(), description="how the axle is arranged"))
    if layout.twist == "inner bar":
        parts["inner_bar"] = (InnerBar | None, Field(default=None, description="the bar inside the tube, or the tube"))
    if layout.twist == "cross-member":
        parts["cross_member"] = (CrossMember, Field(description="the open section that joins the two arms"))
    if layout.steered:
        parts["steering"] = (Steering | None, Field(default=None, description="rack and pinion"))
        parts["steering_box"] = (SteeringBox | None, Field(default=None, description="steering box with a relay rod"))
    return parts


@cache
def bushes_of_layout(name: str) -> type[Bushes]:
    """The section with a bush for every joint of a layout.

    Args:
        name: its word in a car file

    """
    fields: dict[str, Any] = {
        joint: (Bush | None, Field(default=None, description=f"bush in place of the joint {joint.replace('_', ' ')}"))
        for joint in bush_names(name)
    }
    return _made(f"{_title(name)}Bushes", Bushes, "Bushes in place of ideal joints.", fields)

"""The car file's part for an axle told as plain lists: its points, its bodies, its joints, what hangs on them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any, ClassVar, Literal, Self

from pydantic import Field, model_validator

from jounce.car.axles.layout_sections import Bushes, LayoutAxle, LayoutSide
from jounce.car.axles.linkage_checks import (
    check_freedoms,
    check_hanging,
    check_names,
    check_places,
    check_structure,
    known_bushes,
)
from jounce.car.axles.linkage_joints import LinkageJoint
from jounce.car.axles.linkage_words import Form, form_problems, on_bodies, pair_problems, phrase_problems
from jounce.car.file.consistency import check_damper_length, check_equal_bar, check_stop
from jounce.car.file.fields import refuse
from jounce.car.file.open_section import FreeSection
from jounce.car.file.quantity import MeasuredPoint, suggestion
from jounce.car.file.ranges import Axis3, Point
from jounce.car.file.section import AnyKey, Section
from jounce.car.mechanics.layout_input import axle_given
from jounce.car.parts import Bush, Perch, Spring, Steering, SteeringBox, TorsionBarSection
from jounce.conventions.axes import SIDES, Side
from jounce.conventions.errors import InputError
from jounce.layouts.axle import AxleLinkage, Setting
from jounce.layouts.builder import BODY, laid_out
from jounce.layouts.custom_axle import Along, AxleSpec, BodySpec, Hanging, OnBody, Sliding, Through, Turning
from jounce.layouts.description import Layout
from jounce.layouts.linkage import SPINE, linkage_layout
from jounce.layouts.naming import SIDES as SIDE_NAMES
from jounce.layouts.naming import SideName

__all__ = ["LinkageArrangement", "LinkageAxle", "LinkageBody", "LinkageSide"]

_CARRIES: dict[str | None, tuple[SideName, ...]] = {
    None: (),
    "wheel": SIDE_NAMES,
    "both wheels": SIDE_NAMES,
    "left wheel": ("left",),
    "right wheel": ("right",),
}
_FORMS = {
    "turns_on": Form(needs=(("about",),), may=("tip",)),
    "slides_on": Form(needs=(("line", "along"),)),
}
_NOTHING = AxleSpec((), (), Hanging((OnBody("damper_upper", BODY), OnBody("damper_lower", BODY))), ())


class LinkagePoints(FreeSection):
    """Points of the axle as a whole, in true coordinates."""

    ENTRY = Point
    MEANING = "a point of the axle as a whole; true coordinates, not mirrored"

    @classmethod
    def point_keys(cls) -> AnyKey:
        """Every key is a point."""
        return AnyKey()


class LinkagePivots(LinkagePoints):
    """Points of one side, named as you like."""

    MEANING = "a point of the linkage"

    wheel_centre: Point = Field(description="centre of the wheel: on its axis, in its middle plane")
    drive_shaft_inner: Point | None = Field(default=None, description="centre of the drive shaft's inner joint")
    drive_shaft_outer: Point | None = Field(
        default=None, description="centre of the drive shaft's outer joint; the wheel centre where it is not given"
    )


class LinkageBody(Section):
    """A body: free to move in every way, unless it turns or slides on another."""

    shared: bool = Field(default=False, description="true: there is one for the whole axle; else one on each side")
    turns_on: str | None = Field(default=None, description="body on which this one turns")
    about: tuple[str, ...] | None = Field(
        default=None, description="the two points (front, rear) of the line about which it turns"
    )
    tip: str | None = Field(
        default=None,
        description="point whose rise makes the angle of turning positive; the wheel centre if not given",
    )
    slides_on: str | None = Field(default=None, description="body on which this one slides")
    line: tuple[str, ...] | None = Field(default=None, description="two points that give the line of sliding")
    along: Axis3 | None = Field(
        default=None, description="direction of sliding of the left-hand body; mirrored for the right"
    )
    carries: Literal["wheel", "both wheels", "left wheel", "right wheel"] | None = Field(
        default=None, description="wheels that it carries; a shared body carries both or says which"
    )

    @model_validator(mode="after")
    def _check(self) -> Self:
        problems = form_problems(self, _FORMS) + pair_problems(self, "about", "line")
        if self.carries is not None and (self.carries == "wheel") == self.shared:
            allowed = '"both wheels", "left wheel" or "right wheel"' if self.shared else '"wheel"'
            whose = "A shared body" if self.shared else "A body of a side"
            found = f'"{self.carries}"'
            problems.append(InputError(f"{whose} cannot carry that", found=found, allowed=allowed, place="carries"))
        if problems:
            refuse(*problems)
        return self

    def told(self, name: str) -> BodySpec:
        """The body as its layout takes it.

        Args:
            name: its name in the file

        """
        moves: Turning | Sliding | None = None
        if self.turns_on is not None and self.about is not None:
            tip = self.tip or (self.about[0] if self.shared else "wheel_centre")
            moves = Turning(self.turns_on, Through(self.about[0], self.about[1]), tip)
        elif self.slides_on is not None and self.line is not None:
            moves = Sliding(self.slides_on, Through(self.line[0], self.line[1]))
        elif self.slides_on is not None and self.along is not None:
            moves = Sliding(self.slides_on, Along(self.along))
        return BodySpec(name, moves, self.shared, _CARRIES[self.carries])


class LinkageBodies(FreeSection):
    """The bodies of the axle."""

    ENTRY = LinkageBody
    MEANING = "a body"


class LinkageJoints(FreeSection):
    """The joints of the axle."""

    ENTRY = LinkageJoint
    MEANING = "a joint"


class LinkageBushes(Bushes, FreeSection):
    """Bushes in place of ideal joints, by joint."""

    ENTRY = Bush | None
    MEANING = "bush in place of the joint of that name"


class LinkageArrangement(Section):
    """What hangs on the bodies of each side; every point as "point on body"."""

    damper: tuple[str, ...] = Field(description="the damper's two ends")
    spring: tuple[str, ...] | None = Field(default=None, description="the two seats of the coil spring")
    torsion_bar: str | None = Field(default=None, description="body in whose line of turning the torsion bar lies")
    steering_axis: tuple[str, ...] | None = Field(
        default=None, description="lower and upper point of the axis about which the wheel is steered"
    )
    roll_bars_on: str = Field(default=BODY, description="body that carries the bushes of the anti-roll bars")

    @model_validator(mode="after")
    def _check(self) -> Self:
        pairs = ("damper", "spring", "steering_axis")
        problems = pair_problems(self, *pairs) + phrase_problems(self, *pairs)
        if problems:
            refuse(*problems)
        return self

    def told(self) -> Hanging:
        """What hangs on the bodies as their layout takes it."""
        return Hanging(
            damper=on_bodies(self.damper),
            spring=None if self.spring is None else on_bodies(self.spring),
            torsion_bar=self.torsion_bar,
            steering_axis=None if self.steering_axis is None else on_bodies(self.steering_axis),
            roll_bars_on=self.roll_bars_on,
        )


class LinkageSide(LayoutSide):
    """One side of an axle told as lists, complete, in true coordinates."""

    LAYOUT = linkage_layout(_NOTHING)

    pivots: LinkagePivots = Field(description="points of the left side by names of your own")
    spring: Spring | None = Field(default=None, description="the coil spring")
    perch: Perch | None = Field(default=None, description="the spring's threaded seat, where there is one")
    torsion_bar: TorsionBarSection | None = Field(default=None, description="the bar that springs the wheel")

    @model_validator(mode="after")
    def _check(self) -> Self:
        problems = check_stop(self.bump_stop, self.damper)
        if len(self.spring_sections) != 1:
            found = " and ".join(f"[{name}]" for name in self.spring_sections) or "none"
            allowed = "[spring] or [torsion_bar]"
            problems.append(InputError("An axle has one kind of main spring", found=found, allowed=allowed))
        if problems:
            refuse(*problems)
        return self


class LinkageAxle(LayoutAxle):
    """An axle told as plain lists of bodies and joints."""

    SIDE_MODEL = LinkageSide
    LAYOUT: ClassVar[Layout] = LinkageSide.LAYOUT

    layout: Literal["linkage"] = Field(description="kind of axle")
    left: LinkageSide = Field(description="left side; in a file, keys that differ from the sections above")
    right: LinkageSide = Field(description="right side; in a file, keys that differ from the mirrored sections above")
    points: LinkagePoints = Field(default=LinkagePoints(), description="points of the axle as a whole, not mirrored")
    bodies: LinkageBodies = Field(description="bodies by names of your own")
    joints: LinkageJoints = Field(default=LinkageJoints(), description="joints by names of your own")
    arrangement: LinkageArrangement = Field(description="what hangs on the bodies")
    steering: Steering | None = Field(default=None, description="rack and pinion")
    steering_box: SteeringBox | None = Field(default=None, description="steering box with a relay rod")
    bushes: LinkageBushes = Field(default=LinkageBushes(), description="bushes of its joints")

    def as_layout(self) -> Layout:
        """The layout that the lists make."""
        return linkage_layout(self.told())

    def told(self) -> AxleSpec:
        """The lists as their layout takes them."""
        spine = {pivot.name for pivot in SPINE}
        return AxleSpec(
            bodies=tuple(getattr(self.bodies, name).told(name) for name in type(self.bodies).model_fields),
            joints=tuple(getattr(self.joints, name).told(name) for name in type(self.joints).model_fields),
            hanging=self.arrangement.told(),
            points=tuple(name for name in type(self.left.pivots).model_fields if name not in spine),
            shared_points=tuple(type(self.points).model_fields),
        )

    @model_validator(mode="before")
    @classmethod
    def _a_place_for_every_bush(cls, written: Any) -> Any:
        """Every joint has its place among the bushes, as in any layout."""
        if not isinstance(written, dict) or not isinstance(written.get("bushes", {}), dict):
            return written
        names = [name for name, body in _entries(written, "bodies") if isinstance(body, dict) and "turns_on" in body]
        hinges = [f"{name}_{end}" for name in names for end in ("front", "rear")]
        joints = [name for name, joint in _entries(written, "joints") if {"ball", "rod", "point"} & set(joint)]
        return written | {"bushes": dict.fromkeys([*hinges, *joints]) | written.get("bushes", {})}

    @model_validator(mode="after")
    def _check(self) -> Self:
        for problems in (self._part_problems, self._list_problems):
            if found := problems():
                refuse(*found)
        return self

    def _part_problems(self) -> list[InputError]:
        carriers = {BODY, *type(self.bodies).model_fields}
        problems = []
        for name in ("roll_bar", "roll_bar_2"):
            problems += check_equal_bar(name, getattr(self.left, name), getattr(self.right, name), carriers)
        left, right = self.left.spring_sections, self.right.spring_sections
        if left != right:
            problems.append(InputError("Both sides need the same kind of main spring", place=f"right.{right[0]}"))
        return problems

    def _list_problems(self) -> list[InputError]:
        """What is wrong with the lists; each check asks that those before it found nothing."""
        points = {(side, name): point for side in SIDES for name, point in _points(self.side(side).pivots)}
        shared = dict(_points(self.points))
        told = self.told()
        checks: tuple[Callable[[], list[InputError]], ...] = (
            lambda: _one_sided(points),
            lambda: check_names(told, {name for _, name in points}),
            self._unknown_bushes,
            lambda: check_structure(told) + check_hanging(told, self.left.spring_sections[0], self._gear()),
            lambda: check_places(told, points, shared),
            lambda: self._damper_problems(points, shared),
            lambda: check_freedoms(self._laid_out(bars=False)),
            lambda: check_freedoms(self._laid_out(bars=True)),
        )
        return next((found for check in checks if (found := check())), [])

    def _laid_out(self, *, bars: bool) -> AxleLinkage:
        """The axle on the ground, with or without its anti-roll bars, which leave a sound linkage its ways to move."""
        given = axle_given(self, "axle")
        given = given if bars else replace(given, anti_roll_bars={})
        return laid_out(self.as_layout().build, Setting("axle"), given)

    def _gear(self) -> set[str]:
        return {name for name in ("steering", "steering_box") if getattr(self, name) is not None}

    def _unknown_bushes(self) -> list[InputError]:
        known = known_bushes(self.told())
        return [
            InputError(f'"{name}" is no joint that may be a bush', todo=suggestion(name, known), place=f"bushes.{name}")
            for name in type(self.bushes).model_fields
            if name not in known
        ]

    def _damper_problems(
        self, points: Mapping[tuple[Side, str], MeasuredPoint], shared: Mapping[str, MeasuredPoint]
    ) -> list[InputError]:
        names = [end.point for end in self.told().hanging.damper]
        found = []
        for side in SIDES:
            one, other = (shared[name] if name in shared else points[side, name] for name in names)
            damper, how = self.side(side).damper, f"from {names[0]} to {names[1]}"
            found += check_damper_length(damper, one.distance(other), how)
        return found[:1]


def _one_sided(points: Mapping[tuple[Side, str], MeasuredPoint]) -> list[InputError]:
    """Points that only one side has."""
    todo = "Write it in [pivots], for both sides; a point that is there once belongs in [points]."
    return [
        InputError(f'The {side.other} side has no point "{name}"', todo=todo, place=f"{side}.pivots.{name}")
        for side, name in points
        if (side.other, name) not in points
    ]


def _entries(written: dict[str, Any], section: str) -> list[tuple[str, Any]]:
    """Entries of a section that is not read yet, as far as they are sections themselves."""
    entries = written.get(section, {})
    return [(name, e) for name, e in entries.items() if isinstance(e, dict)] if isinstance(entries, dict) else []


def _points(section: Section) -> list[tuple[str, MeasuredPoint]]:
    """Points of a section that are given, by name."""
    given = [(name, getattr(section, name)) for name in type(section).model_fields]
    return [(name, point) for name, point in given if point is not None]

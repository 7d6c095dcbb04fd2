"""The verbs in which a layout is told: arms, balls, rods, lines, what hangs on them; joined to bodies and joints.

A layout speaks of its parts by words ("lower_arm", "knuckle", "body"); a side's own bodies are found before those of
the axle as a whole. With ``jointed`` every arm's pivots become joints of their own, which carry loads and may be left
to bushes; without it an arm is one hinge, which is quicker to place. Both move alike.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace

import numpy as np

from jounce.layouts.anti_roll_bar import anti_roll_bar
from jounce.layouts.axle import AxleLinkage, Setting, WheelPoints
from jounce.layouts.axle_input import AntiRollBarInput, AxleInput
from jounce.layouts.naming import SIDES, SideName, named, outward
from jounce.layouts.sites import JointSite, bush_in_place
from jounce.layouts.wheel import steering_axis_measures, wheel_axis, wheel_measures
from jounce.linkage.measures import AnyMeasure, Bearing, Component, CoordinateSum, Distance, MeanComponent
from jounce.linkage.tree import GROUND, Body, Direction, Freedom, Point, Segment
from jounce.numerics.arrays import Array
from jounce.numerics.rotations import cross
from jounce.numerics.vectors import X, Y, Z, perpendiculars, unit

BODY = "body"
"""Word for the car's body in a layout."""


@dataclass
class _Parts:
    """What has been told so far."""

    bodies: list[Body] = field(default_factory=list)
    joints: dict[str, AnyMeasure] = field(default_factory=dict)
    measures: dict[str, AnyMeasure] = field(default_factory=dict)
    sites: dict[str, JointSite] = field(default_factory=dict)
    drawing: list[tuple[str, tuple[Point, ...]]] = field(default_factory=list)
    carriers: dict[SideName, str] = field(default_factory=dict)
    wheels: dict[SideName, WheelPoints] = field(default_factory=dict)
    steering_axis: dict[SideName, tuple[Point, Point]] = field(default_factory=dict)
    drive_shafts: dict[SideName, tuple[Point, Point]] = field(default_factory=dict)
    springs: dict[SideName, str] = field(default_factory=dict)
    released: list[str] = field(default_factory=list)


class _Teller:
    """What can be told of one side and of the axle as a whole alike."""

    def __init__(self, setting: Setting, given: AxleInput, parts: _Parts, side: SideName | None) -> None:
        self.setting, self.given, self.parts, self.side = setting, given, parts, side

    def title(self, thing: str) -> str:
        """Full name of something of this side or axle."""
        return named(self.setting.axle, *(() if self.side is None else (self.side,)), thing)

    def choice(self, name: str) -> str:
        """The word chosen."""
        return self.given.choices[name]

    def body(self, word: str) -> str:
        """Full name of the body that a word stands for."""
        known = {body.name for body in self.parts.bodies}
        for name in (self.title(word), named(self.setting.axle, word), word):
            if name in known:
                return name
        if word == BODY:
            return self.setting.body
        raise KeyError(f"no body {word!r} on {self.title('')}")

    def knows(self, word: str) -> bool:
        """Whether a body has been told."""
        return any(body.name in (self.title(word), word) for body in self.parts.bodies)

    def free(self, word: str, origin: Array) -> None:
        """A body that may move in every way."""
        self.parts.bodies.append(Body(self.title(word), Freedom.FREE, origin))

    def turning(self, word: str, on: str, at: Array, axis: Array) -> None:
        """A body that turns on another about an axis; its angle is the measure ``<word>_angle``."""
        self.parts.bodies.append(Body(self.title(word), Freedom.HINGE, at, unit(axis), parent=self.body(on)))
        self.parts.measures[self.title(f"{word}_angle")] = CoordinateSum({self.title(word): 1.0})

    def sliding(self, word: str, on: str, at: Array, axis: Array, joint: str) -> None:
        """A body that slides on another; its displacement is the (drivable) joint of the given name."""
        self.parts.bodies.append(Body(self.title(word), Freedom.SLIDE, at, axis, parent=self.body(on)))
        self.parts.joints[self.title(joint)] = CoordinateSum({self.title(word): 1.0})

    def arm(self, word: str, front: Array, rear: Array, tip: Array, on: str = BODY) -> None:
        """A body that turns about two pivots; its angle, positive as a rising tip turns it, is ``<word>_angle``."""
        axis = upward_axis(front, rear, tip)
        if not self.given.jointed:
            self.turning(word, on, rear, axis)
        else:
            self.free(word, rear)
            self._hinged_by_joints(word, on, front, rear, axis)
            one, _ = perpendiculars(axis)
            arm, carrier = self.body(word), self.body(on)
            self.parts.measures[self.title(f"{word}_angle")] = Bearing(
                Direction(arm, one), Direction(carrier, cross(axis, one)), Direction(carrier, one)
            )
        spoken = word.replace("_", " ")
        self.draw(spoken, (word, front), (word, tip), (word, rear))

    def _hinged_by_joints(self, word: str, on: str, front: Array, rear: Array, axis: Array) -> None:
        """The arm's two pivots: the front one holds its point, the rear one leaves it free along the axis."""
        self.ball(f"{word}_front", on, word, front, axis=axis)
        self.line(f"{word}_rear", (on, rear), axis, (word, rear), ("_1", "_2"))

    def ball(self, name: str, first: str, second: str, at: Array, axis: Array | None = None) -> None:
        """A point common to two bodies; ``axis`` is that of the bush which may stand in for it (y if none is given)."""
        a, b = self.body(first), self.body(second)
        rows: dict[str, AnyMeasure] = {
            self.title(f"{name}_{letter}"): Component(Segment(Point(a, at), Point(b, at)), Direction(GROUND, unit_))
            for letter, unit_ in (("x", X), ("y", Y), ("z", Z))
        }
        site = JointSite(name, self.title(name), "ball", Point(a, at), Point(b, at), tuple(rows))
        self._joint(site, rows, Y if axis is None else axis)

    def line(
        self,
        name: str,
        carried: tuple[str, Array],
        axis: Array,
        point: tuple[str, Array],
        suffixes: tuple[str, str] = ("_fore", "_across"),
        *,
        slides: bool = False,
    ) -> None:
        """A point of one body stays on a line of another (body and a point on the line): a bush soft along its axis.

        Where a rod ``slides`` through the joint, no rubber gives along the axis.
        """
        first, second = Point(self.body(carried[0]), carried[1]), Point(self.body(point[0]), point[1])
        one, two = perpendiculars(axis)
        gap = Segment(first, second)
        rows: dict[str, AnyMeasure] = {
            self.title(name + suffixes[0]): Component(gap, Direction(first.body, one)),
            self.title(name + suffixes[1]): Component(gap, Direction(first.body, two)),
        }
        site = JointSite(name, self.title(name), "line", first, second, tuple(rows))
        self._joint(site, rows, axis, rubber_along=not slides)

    def rod(self, name: str, first: tuple[str, Array], second: tuple[str, Array]) -> None:
        """A rod with a ball joint at each end; its load is positive in tension."""
        one, two = Point(self.body(first[0]), first[1]), Point(self.body(second[0]), second[1])
        title = self.title(name)
        self._joint(JointSite(name, title, "rod", one, two, (title,)), {title: Distance(one, two)}, None)
        self.draw(name.replace("_", " "), first, second)

    def _joint(
        self, site: JointSite, rows: dict[str, AnyMeasure], axis: Array | None, *, rubber_along: bool = True
    ) -> None:
        bush = self.given.bushes.get(site.name) if self.given.jointed else None
        if bush is None:
            self.parts.joints |= rows
            self.parts.sites[site.title] = site
            return
        if bush.axis is not None and axis is not None and self.side is not None:
            axis = bush.axis[self.side]
        place = bush_in_place(site, rows, bush, axis, rubber_along=rubber_along)
        self.parts.joints |= place.held
        self.parts.measures |= place.measures
        self.parts.released += place.released
        self.parts.sites[site.title] = place.site

    def held(self, name: str, measure: AnyMeasure) -> None:
        """Something else that keeps its value as found."""
        self.parts.joints[self.title(name)] = measure

    def measure(self, name: str, measure: AnyMeasure) -> None:
        """Something else to be measured."""
        self.parts.measures[self.title(name)] = measure

    def draw(self, name: str, *points: tuple[str, Array]) -> None:
        """A line of the picture through points of bodies."""
        spoken = name if self.side is None else f"{self.side} {name}"
        self.parts.drawing.append((spoken, tuple(Point(self.body(body), at) for body, at in points)))


class SideBuilder(_Teller):
    """One side of an axle; pivots are asked for by name."""

    side: SideName

    def __getitem__(self, pivot: str) -> Array:
        """A pivot of this side as found [m]."""
        return np.asarray(self.given.pivots[self.side][pivot])

    def has(self, pivot: str) -> bool:
        """Whether an optional pivot was given."""
        return pivot in self.given.pivots[self.side]

    def wheel_on(self, word: str) -> None:
        """The body that carries the wheel, with all that is measured on a wheel."""
        wheel, carrier = self.given.wheels[self.side], self.body(word)
        axis = Direction(carrier, wheel_axis(wheel.camber, wheel.toe, self.side))
        points = WheelPoints(Point(carrier, self["wheel_centre"]), axis, wheel.loaded_radius)
        self.parts.carriers[self.side] = carrier
        self.parts.wheels[self.side] = points
        self.parts.measures |= wheel_measures(self.setting, self.side, points)

    def wheel_on_shims(self, word: str) -> None:
        """The same with the stub axle's flange shimmed against that body: camber, then toe, about the wheel's centre.

        Joints ``shim_camber`` and ``shim_toe`` are by how much the shims make those angles grow, zero as found [rad]. That
        the wheel's centre moves by its distance from the flange times the angle is left out.
        """
        centre, sense = self["wheel_centre"], -outward(self.side)
        self.parts.bodies += [
            Body(self.title("flange"), Freedom.HINGE, centre, X, parent=self.body(word)),
            Body(self.title("stub_axle"), Freedom.HINGE, centre, Z, parent=self.title("flange")),
        ]
        for joint, body in (("shim_camber", "flange"), ("shim_toe", "stub_axle")):
            self.parts.joints[self.title(joint)] = CoordinateSum({self.title(body): sense})
        self.wheel_on("stub_axle")
        self.parts.carriers[self.side] = self.body(word)

    def steers_about(self, lower: tuple[str, Array], upper: tuple[str, Array]) -> None:
        """The two points of the steering axis."""
        low, high = (Point(self.body(body), at) for body, at in (lower, upper))
        self.parts.steering_axis[self.side] = (low, high)
        self.parts.measures |= steering_axis_measures(self.setting, self.side, low, high)

    def drive_shaft_to(self, word: str) -> None:
        """A drive shaft, where its inner joint was given."""
        if self.has("drive_shaft_inner"):
            outer = self["drive_shaft_outer"] if self.has("drive_shaft_outer") else self["wheel_centre"]
            self.parts.drive_shafts[self.side] = (
                Point(self.setting.body, self["drive_shaft_inner"]),
                Point(self.body(word), outer),
            )

    def coil(self, lower_on: str, upper_on: str = BODY) -> None:
        """A coil between two seats, where the car has one."""
        if self.given.spring == "coil":
            self._strut("spring", (upper_on, self["spring_upper"]), (lower_on, self["spring_lower"]))
            self.draw("coil", (upper_on, self["spring_upper"]), (lower_on, self["spring_lower"]))
            self.parts.springs[self.side] = self.title("spring")

    def damper(self, lower_on: str) -> None:
        """A damper that locates nothing."""
        self._strut("damper", (BODY, self["damper_upper"]), (lower_on, self["damper_lower"]))
        self.draw("damper", (BODY, self["damper_upper"]), (lower_on, self["damper_lower"]))

    def _strut(self, name: str, upper: tuple[str, Array], lower: tuple[str, Array]) -> None:
        ends = (Point(self.body(upper[0]), upper[1]), Point(self.body(lower[0]), lower[1]))
        self.measure(name, Distance(*ends))

    def torsion_bar(self, arm: str) -> None:
        """A torsion bar in an arm's axis, where the car has one; its twist is the measure ``torsion_bar``."""
        if self.given.spring == "torsion bar":
            self.measure("torsion_bar", self.parts.measures[self.title(f"{arm}_angle")])
            self.parts.springs[self.side] = self.title("torsion_bar")


class AxleBuilder(_Teller):
    """A whole axle: what belongs to both sides, and the two sides."""

    def __init__(self, setting: Setting, given: AxleInput) -> None:
        super().__init__(setting, given, _Parts(), None)
        self.sides = tuple(SideBuilder(setting, given, self.parts, side) for side in SIDES)
        self.beam: str | None = None
        self.held_sideways_by: tuple[Point, ...] = ()

    @property
    def left(self) -> SideBuilder:
        """The left side."""
        return self.sides[0]

    @property
    def right(self) -> SideBuilder:
        """The right side."""
        return self.sides[1]

    def at(self, section: str, pivot: str) -> Array:
        """A point of the axle as a whole, as found [m]."""
        return np.asarray(self.given.axle_pivots[section][pivot])

    def middle(self, pivot: str) -> Array:
        """Half way between the two sides' pivots of a name [m]."""
        return 0.5 * (self.left[pivot] + self.right[pivot])

    def across(self, pivot: str) -> Array:
        """From the right side's pivot to the left side's [m]."""
        return np.asarray(self.left[pivot] - self.right[pivot])

    def held_in_the_middle(self, name: str, pivot: str, on: Mapping[SideName, str], joint: str | None = None) -> None:
        """Both sides together keep the mean sideways place of a pivot (two like bushes share the side force).

        ``joint`` is the joint of each side, where there is one, that carries its half; where a bush there gives along
        its axis, the two bushes hold the axle instead.
        """
        gaps = [
            Segment(Point(self.setting.body, side[pivot]), Point(side.body(on[side.side]), side[pivot]))
            for side in self.sides
        ]
        mean = MeanComponent(gaps[0], gaps[1], Direction(self.setting.body, Y))
        sites = self.parts.sites
        titles = [] if joint is None else [side.title(joint) for side in self.sides]
        if titles and all(sites[title].kind == "line" and "axial" in sites[title].gives for title in titles):
            self.measure(name, mean)
            self.parts.released.append(self.title(name))
            for title in titles:
                sites[title] = replace(sites[title], carries=("axial", *sites[title].carries))
        else:
            self.held(name, mean)
            for title in titles:
                sites[title] = replace(sites[title], shared=(self.title(name),))

    def anti_roll_bars(self, carried_by: str, link_on: Mapping[str, str]) -> None:
        """The anti-roll bars that the car has."""
        for name, bar in self.given.anti_roll_bars.items():
            far = {side.side: side.body(link_on[bar.link_on]) for side in self.sides}
            bodies, joints, measures = anti_roll_bar(
                self.setting, name, {"left": bar.left, "right": bar.right}, self.body(carried_by), far
            )
            self.parts.bodies += bodies
            self.parts.joints |= joints
            self.parts.measures |= measures
            self._link_sites(name, bar)

    def _link_sites(self, name: str, bar: AntiRollBarInput) -> None:
        """The bar's drop links as joints that carry loads."""
        for side, half in zip(self.sides, (bar.left, bar.right), strict=True):
            title = side.title(f"{name}_link")
            link = self.parts.joints[title]
            if isinstance(link, Distance):
                self.parts.sites[title] = JointSite(f"{name}_link", title, "rod", link.start, link.end, (title,))
            bar_line = (f"{name}_half", half.bush), (f"{name}_half", half.arm_end)
            side.draw(name.replace("_", " "), *bar_line)

    def laid_out(self) -> AxleLinkage:
        """The axle as told."""
        parts = self.parts
        return AxleLinkage(
            axle=self.setting.axle,
            bodies=tuple(parts.bodies),
            joints=parts.joints,
            measures=parts.measures,
            carriers=parts.carriers,
            wheels=parts.wheels,
            steering_axis=parts.steering_axis,
            drive_shafts=parts.drive_shafts,
            beam=None if self.beam is None else self.body(self.beam),
            drawing=tuple(parts.drawing),
            held_sideways_by=self.held_sideways_by,
            sites=parts.sites,
            springs=parts.springs,
            released=tuple(parts.released),
        )


def laid_out(build: Callable[[AxleBuilder], None], setting: Setting, given: AxleInput) -> AxleLinkage:
    """An axle laid out by a layout's own telling."""
    axle = AxleBuilder(setting, given)
    build(axle)
    return axle.laid_out()


def upward_axis(front: Array, rear: Array, tip: Array) -> Array:
    """Unit vector along two pivots, in the sense of turning that lifts the tip [-].

    Args:
        front: front pivot, shape (..., 3) [m]
        rear: rear pivot, shape (..., 3) [m]
        tip: point that the arm carries, shape (..., 3) [m]

    """
    axis = unit(front - rear)
    rise = cross(axis, tip - rear)[..., 2:]
    return np.asarray(np.where(rise.real < 0, -axis, axis))

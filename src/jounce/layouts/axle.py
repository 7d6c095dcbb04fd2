"""An axle as a set of bodies, joints and measures that can be put on a body, alone or in a whole car."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from jounce.layouts.naming import SideName, named
from jounce.layouts.sites import JointSite
from jounce.linkage.measures import AnyMeasure, Component, CoordinateSum, MeanComponent
from jounce.linkage.mechanism import Mechanism
from jounce.linkage.tree import GROUND, Body, Direction, Freedom, Point, Segment
from jounce.numerics.arrays import Array
from jounce.numerics.vectors import X, Y, Z


@dataclass(frozen=True, slots=True)
class Setting:
    """What an axle hangs on: the body that carries it and the body whose z axis is the road's normal."""

    axle: str
    body: str = GROUND
    road: str = GROUND


@dataclass(frozen=True, slots=True)
class AxleLinkage:
    """Bodies, joints and measures of one axle.

    ``carriers`` are the bodies that hold the wheels, ``steering_axis`` the two points (lower, upper) of each side's
    steering axis where there is one, ``beam`` the body that joins both wheels where there is one, ``held_sideways_by``
    the ends of the rod, or the one pivot, that holds a beam sideways; ``drawing`` lists the parts as lines between
    points, for pictures; ``sites`` are the joints that carry loads, by full name; ``springs`` names the measure of each
    side's main spring; ``released`` names the measures that ideal joints would hold and bushes do not; ``seat_normals``
    are the coils' lower seats' own normals as found, unit vectors, where they do not lie along the spring.
    """

    axle: str
    bodies: tuple[Body, ...]
    joints: Mapping[str, AnyMeasure]
    measures: Mapping[str, AnyMeasure]
    carriers: Mapping[SideName, str]
    wheels: Mapping[SideName, WheelPoints]
    steering_axis: Mapping[SideName, tuple[Point, Point]] = field(default_factory=dict)
    drive_shafts: Mapping[SideName, tuple[Point, Point]] = field(default_factory=dict)
    beam: str | None = None
    held_sideways_by: tuple[Point, ...] = ()
    drawing: tuple[tuple[str, tuple[Point, ...]], ...] = ()
    sites: Mapping[str, JointSite] = field(default_factory=dict)
    springs: Mapping[SideName, str] = field(default_factory=dict)
    released: tuple[str, ...] = ()
    seat_normals: Mapping[SideName, Array] = field(default_factory=dict)

    def body_called(self, word: str, side: SideName) -> str | None:
        """Full name of what a word stands for on one side; None for a word that the axle does not know.

        Args:
            word: "body" for the car's, "wheel" for what carries the wheel, or a body of the side or of the axle
            side: the side
        """
        if word == "body":
            return GROUND
        if word == "wheel":
            return self.carriers[side]
        known = {body.name for body in self.bodies}
        return next((name for name in (named(self.axle, side, word), named(self.axle, word)) if name in known), None)

    def body_words(self) -> tuple[str, ...]:
        """Words for the bodies of the axle that carry something, "body" and "wheel" first."""
        own = {part.partition(".")[2] for part in (body.name for body in self.bodies)}
        plain = {word.removeprefix("left.").removeprefix("right.") for word in own if word}
        return ("body", "wheel", *sorted(plain))

    def site_called(self, name: str, side: SideName) -> JointSite | None:
        """A joint of one side, or of the axle as a whole, by its name; None for one that it has not.

        Args:
            name: as the layout calls it
            side: the side
        """
        return self.sites.get(named(self.axle, side, name)) or self.sites.get(named(self.axle, name))


@dataclass(frozen=True, slots=True)
class WheelPoints:
    """Where a wheel is on its carrier: centre, unit axis (pointing left on both sides), loaded radius [m]."""

    centre: Point
    axis: Direction
    loaded_radius: float | Array


def on_the_rig(linkage: AxleLinkage) -> Mechanism:
    """The axle on a body that is held still, over a road that may tilt: what is asked of an axle alone.

    Adds the drives ``axle.heave`` (mean travel), ``axle.roll`` and ``axle.pitch`` (the body's against the road) and
    ``axle.level`` (distance of the left wheel centre above the right one, square to the road).

    The linkage must have been laid out with ``road=road_body(axle)``.
    """
    axle = linkage.axle
    rolled = Body(named(axle, "rolled_road"), Freedom.HINGE, np.zeros(3), X)
    road = Body(road_body(axle), Freedom.HINGE, np.zeros(3), Y, parent=rolled.name)
    left, right = linkage.wheels["left"].centre, linkage.wheels["right"].centre
    rise = [Segment(Point(GROUND, wheel.at), wheel) for wheel in (left, right)]
    measures: dict[str, AnyMeasure] = {
        named(axle, "heave"): MeanComponent(rise[0], rise[1], Direction(GROUND, Z)),
        named(axle, "level"): Component(Segment(right, left), Direction(road.name, Z)),
    }
    # The road turning by -roll under a body held still is the body rolling by +roll on its road; pitch likewise. The
    # body pitches over its road and rolls about its own forward axis, so the road rolls first and then pitches under it.
    joints: dict[str, AnyMeasure] = {
        named(axle, word): CoordinateSum({body.name: -1.0}) for word, body in (("roll", rolled), ("pitch", road))
    }
    return Mechanism((rolled, road, *linkage.bodies), {**joints, **linkage.joints}, {**linkage.measures, **measures})


def road_body(axle: str) -> str:
    """Name of the road under an axle alone."""
    return named(axle, "road")

"""A wheel on its carrier: axis from camber and toe, and the measures every layout takes on it."""

from __future__ import annotations

import numpy as np

from jounce.layouts.axle import Setting, WheelPoints
from jounce.layouts.naming import SideName, named, outward
from jounce.linkage.measures import AnyMeasure, Bearing, Component, TyrePoint
from jounce.linkage.tree import Direction, Point, Segment
from jounce.numerics.arrays import Array
from jounce.numerics.vectors import X, Y, Z


def wheel_axis(camber: float | Array, toe: float | Array, side: SideName) -> Array:
    """Unit vector along the wheel's axis, pointing left on both sides, body axes.

    Camber is the true angle of the wheel plane to the vertical, toe that of the axis projected onto the ground plane.

    Args:
        camber: negative when the top leans towards the centre plane [rad]
        toe: positive toe-in [rad]
        side: which side of the car

    Returns:
        Unit axis, shape (3,) or (variants, 3) [-]

    Source: ISO 8855 (directions of camber and toe).

    """
    across = np.ones(np.broadcast_shapes(np.shape(camber), np.shape(toe)))
    sense = outward(side)
    level = np.cos(camber)
    return np.stack(
        (sense * level * np.sin(toe) * across, level * np.cos(toe) * across, -sense * np.sin(camber) * across), axis=-1
    )


def wheel_measures(setting: Setting, side: SideName, wheel: WheelPoints) -> dict[str, AnyMeasure]:
    """Travel, wheel-centre position and contact point of a wheel in the axes of the car body, its angles to the road.

    ``…travel`` is the wheel centre's rise in the body from as found; ``…contact_x/y/z`` is the tyre's lowest point
    towards the road, from the body's origin, ``…road_height`` the same point's height square to the road;
    ``…centre_height`` the wheel centre's; ``…road_cosine`` the cosine between wheel axis and road normal. ``…toe`` and
    ``…steer`` are against the road's axes, ``…camber`` is the axis' slope in the body's transverse plane.
    """
    sense = outward(side)
    body, road = setting.body, setting.road
    origin = Point(body, np.zeros(3))
    axis = wheel.axis
    normal = Direction(setting.road, Z)

    def name(thing: str) -> str:
        return named(setting.axle, side, thing)

    measures: dict[str, AnyMeasure] = {
        name("travel"): Component(Segment(Point(body, wheel.centre.at), wheel.centre), Direction(body, Z)),
        name("camber"): Bearing(axis, Direction(body, -sense * Z), Direction(body, Y)),
        name("toe"): Bearing(axis, Direction(road, sense * X), Direction(road, Y)),
        name("steer"): Bearing(axis, Direction(road, -X), Direction(road, Y)),
        name("road_cosine"): Component(axis, normal),
        name("centre_height"): Component(Segment(Point(road, np.zeros(3)), wheel.centre), normal),
        name("road_height"): TyrePoint(
            wheel.centre, Point(setting.road, np.zeros(3)), axis, normal, normal, wheel.loaded_radius
        ),
    }
    for letter, along_unit in (("x", X), ("y", Y), ("z", Z)):
        along = Direction(body, along_unit)
        measures[name(f"wheel_{letter}")] = Component(Segment(origin, wheel.centre), along)
        measures[name(f"contact_{letter}")] = TyrePoint(wheel.centre, origin, axis, normal, along, wheel.loaded_radius)
    return measures


def steering_axis_measures(setting: Setting, side: SideName, lower: Point, upper: Point) -> dict[str, AnyMeasure]:
    """Caster and kingpin inclination of the line from the lower to the upper point, to the road."""
    line = Segment(lower, upper)
    up = Direction(setting.road, Z)
    inward = Direction(setting.road, -outward(side) * Y)
    return {
        named(setting.axle, side, "caster"): Bearing(line, Direction(setting.road, -X), up),
        named(setting.axle, side, "kingpin_inclination"): Bearing(line, inward, up),
    }

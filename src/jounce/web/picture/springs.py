"""Coils between their seats, torsion bars to their anchors with a line painted along them, leaves."""

from __future__ import annotations

import numpy as np

from jounce.car.parts import Spring, TorsionBarSection
from jounce.layouts.naming import SIDES, SideName, named, outward
from jounce.linkage.measures import AnyMeasure, Bearing, CoordinateSum
from jounce.linkage.tree import GROUND, Direction, Point
from jounce.numerics.arrays import Array
from jounce.numerics.vectors import X, Y, Z
from jounce.web.picture.scene import Ends, Scene, bare

__all__ = ["main_springs"]

_WIRE, _MEAN_RADIUS, _TURNS = 0.012, 0.052, 6.0
"""Of a coil whose wire, diameter and turns are not told [m, m, -]: usual for such cars (common practice, no source)."""
_SEAT_DEPTH = 0.006
_ARM_POINTS = 3
"""An arm is told as front pivot, tip, rear pivot."""
_ANCHOR_RADIUS, _ANCHOR_DEPTH = 2.0, 0.035


def main_springs(scene: Scene) -> None:
    """All of an axle.

    Args:
        scene: what is drawn of it
    """
    for name, points in scene.lines():
        for side in SIDES:
            if name == f"{side} coil":
                _coil(scene, side, points)
            if name == f"{side} leaf":
                scene.draw("tube", name, points, "spring", "leaf", radius=0.016, bow_of_one=1.0)
    for side in SIDES:
        if named(scene.standing.model.name, side, "torsion_bar") in scene.standing.model.linkage.measures:
            _torsion_bar(scene, side)


def _coil(scene: Scene, side: SideName, points: Ends) -> None:
    told: Spring | None = scene.part(side, "spring")
    wire, mean, turns = _WIRE, _MEAN_RADIUS, _TURNS
    if told is not None:
        wire = wire if told.wire is None else told.wire.value
        turns = next((one.value for one in (told.total_turns, told.active_turns) if one is not None), turns)
        if told.mean_diameter is not None:
            mean = told.mean_diameter.value / 2
        elif told.outer_diameter is not None:
            mean = (told.outer_diameter.value - wire) / 2
        elif told.inner_diameter is not None:
            mean = (told.inner_diameter.value + wire) / 2
    scene.draw("coil", f"{side} coil", points, "spring", "spring", radius=mean, wire=wire, turns_count=turns)
    for one, other in (points, points[::-1]):
        scene.draw("tube", f"{side} spring seat", [one, other], "arm", radius=mean + wire, reach=_SEAT_DEPTH)


def _torsion_bar(scene: Scene, side: SideName) -> None:
    """A bar from its arm's pivot to the anchor on the body; the line was straight as the car was found."""
    linkage = scene.standing.model.linkage
    told: TorsionBarSection | None = scene.part(side, "torsion_bar")
    body = _turning(linkage.measures[named(scene.standing.model.name, side, "torsion_bar")])
    pivots = next(
        ([points[0], points[-1]] for _, points in scene.lines() if _is_arm(points, body)),
        None,
    )
    if told is None or pivots is None:
        return
    length = next((one.value for one in (told.active_length, told.shank_length) if one is not None), None)
    if length is None:
        return
    way = _towards_the_anchor(scene, side, bare(pivots[0].at) - bare(pivots[1].at))
    start = max((bare(pivot.at) for pivot in pivots), key=lambda at: float(at @ way))
    end = start + length * way
    radius = told.diameter.value / 2
    mark = np.cross(way, Y if abs(way @ Y) < abs(way @ Z) else X)
    mark *= np.copysign(radius / np.linalg.norm(mark), mark @ Z)  # on top, where it is seen
    arm, anchor = Point(body, start), Point(GROUND, end)
    paint = [Point(body, start + mark), Point(GROUND, end + mark)]
    scene.draw("twist", f"{side} torsion bar", [arm, anchor, *paint], "spring", "torsion_bar", radius=radius)
    deep = Point(GROUND, end + _ANCHOR_DEPTH * way)
    name = f"{side} anchor of the torsion bar"
    scene.draw("tube", name, [anchor, deep], "arm", radius=_ANCHOR_RADIUS * radius)


def _is_arm(points: Ends, body: str) -> bool:
    on = [point.body for point in points]
    return len(points) == _ARM_POINTS and on.count(body) == _ARM_POINTS


def _turning(measure: AnyMeasure) -> str:
    """The body whose angle twists a bar."""
    if isinstance(measure, CoordinateSum):
        return next(iter(measure.weights))
    if isinstance(measure, Bearing) and isinstance(measure.vector, Direction):
        return measure.vector.body
    return ""


def _towards_the_anchor(scene: Scene, side: SideName, line: Array) -> Array:
    """Along the pivots: a bar along the car runs to its middle, one across the car to the other side [-]."""
    way = line / np.linalg.norm(line)
    wanted = -outward(side) * Y if abs(way @ Y) > abs(way @ X) else (-X if scene.standing.model.name == "front" else X)
    return np.asarray(way if way @ wanted > 0 else -way)

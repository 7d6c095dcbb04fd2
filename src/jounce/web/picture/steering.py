"""The rack that the tie rods end on, in its housing."""

from __future__ import annotations

from jounce.layouts.naming import SIDES, named
from jounce.linkage.tree import GROUND, Point
from jounce.web.picture.scene import Scene, bare

__all__ = ["steering"]

_RACK, _HOUSING, _HOUSING_SHARE = 0.012, 0.024, 0.72
"""Radii of rack and housing as drawn [m], and the housing's share of the rack's length [-]: common practice, no source."""

_OVER = 0.06
"""By how much nearer to the eye the housing counts than the rack that it hides [m]."""


def steering(scene: Scene) -> None:
    """The rack, where the axle has one.

    Args:
        scene: what is drawn of the axle
    """
    rack = named(scene.standing.model.name, "rack_bar")
    ends = {
        side: point
        for name, points in scene.lines()
        for side in SIDES
        for point in points
        if point.body == rack and name.startswith(side)
    }
    if len(ends) < len(SIDES):
        return
    scene.draw("tube", "rack", [ends[side] for side in SIDES], "chrome", radius=_RACK)
    left, right = (bare(ends[side].at) for side in SIDES)
    middle, half = (left + right) / 2, _HOUSING_SHARE * (left - right) / 2
    ends_of_it = [Point(GROUND, middle + half), Point(GROUND, middle - half)]
    scene.draw("tube", "rack housing", ends_of_it, "cast", radius=_HOUSING, over=_OVER)

"""Tyres with their size, rims, hubs, drive shafts."""

from __future__ import annotations

import re

from jounce.conventions.units import Kind, show
from jounce.layouts.naming import SIDES, SideName, outward
from jounce.linkage.tree import Point
from jounce.web.picture.scene import Scene, bare

__all__ = ["wheels"]

_SIZE = re.compile(r"(\d{3})\s*/\s*(\d{2,3})\s*Z?R\s*(\d{2})")
_INCH = 0.0254
_WIDTH_SHARE = 0.62
"""Width of a tyre whose size is not told, over its loaded radius [-]: common practice, no source."""
_HUB, _HUB_DEPTH = 0.045, 0.06
_SHAFT, _SHAFT_JOINT = 0.0125, 0.038
"""Radii of hub, drive shaft and its joints as drawn, depth of the hub [m]: as thick as such parts usually are."""


def wheels(scene: Scene) -> None:
    """Both wheels with their hubs, and the drive shafts that are told.

    Args:
        scene: what is drawn of the axle
    """
    linkage = scene.standing.model.linkage
    for side in SIDES:
        _wheel(scene, side)
        if side in linkage.drive_shafts:
            inner, outer = linkage.drive_shafts[side]
            name = f"{side} drive shaft"
            scene.draw("tube", name, [inner, outer], "rod", radius=_SHAFT)
            for joint in (inner, outer):
                scene.draw("ball", name, [joint], "rubber", radius=_SHAFT_JOINT)


def _wheel(scene: Scene, side: SideName) -> None:
    placed, told = scene.standing.model.linkage.wheels[side], scene.part(side, "wheel")
    centre, away = bare(placed.centre.at), outward(side) * bare(placed.axis.along)
    hub = placed.axis.body
    size = _SIZE.search(told.tyre)
    width = rim = None
    if size is not None:
        width, rim = int(size[1]) / 1000, int(size[3]) * _INCH
    if told.tyre_width is not None:
        width = told.tyre_width.value
    if told.rim_diameter is not None:
        rim = told.rim_diameter.value
    radius = told.loaded_radius.value
    rim_text = "" if size is not None or rim is None else f" on {show(rim, Kind.LENGTH)}"
    name = " ".join(filter(None, (side, "tyre", told.tyre))) + rim_text
    ends = [Point(hub, centre), Point(hub, centre + 0.1 * away)]
    sizes = {"radius": radius, "width": width or _WIDTH_SHARE * radius}
    scene.draw("wheel", name, ends, "tyre", "wheel", **sizes, rim=0.0 if rim is None else rim / 2)
    inboard = Point(hub, centre - _HUB_DEPTH * away)
    scene.draw("tube", f"{side} hub", [inboard, Point(hub, centre)], "cast", radius=_HUB)

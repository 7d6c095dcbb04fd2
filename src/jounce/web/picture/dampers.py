"""Dampers and struts as two tubes, rod in body, and the rubbers on their rods.

The body is as long as the length at which the rubber touches leaves it; where there is no rubber, as the closed length
says; where neither is known, a good half of the damper as found is body (common practice, no source).
"""

from __future__ import annotations

import numpy as np

from jounce.car.mechanics.stops import touch_length
from jounce.car.parts import BumpStopSection, Damper
from jounce.layouts.naming import SIDES, SideName
from jounce.linkage.tree import Point
from jounce.web.picture.scene import Ends, Scene, bare

__all__ = ["dampers"]

_BODY_SHARE, _CLOSED_SHARE = 0.58, 0.93
_STRUT, _DAMPER, _ROD, _EYE = 0.0255, 0.021, 0.0095, 0.015
_RUBBER = 0.026
_RUBBER_PER_REACH = 1.4
"""Height of a rubber of which only the curve is known, over what the curve compresses it by [-]."""
_ROD_DIAMETER = 2 * _ROD


def dampers(scene: Scene) -> None:
    """All of an axle.

    Args:
        scene: what is drawn of it
    """
    for name, points in scene.lines():
        for side in SIDES:
            if name in {f"{side} damper", f"{side} strut"}:
                _damper(scene, side, points, strut=name.endswith("strut"))


def _damper(scene: Scene, side: SideName, points: Ends, *, strut: bool) -> None:
    upper, lower = points
    told: Damper = scene.part(side, "damper")
    rubber: BumpStopSection | None = scene.part(side, "bump_stop")
    found = float(np.linalg.norm(bare(upper.at) - bare(lower.at)))
    touch = None if rubber is None else touch_length(rubber, told, np.array(found))
    height = None if rubber is None else _height(rubber)
    if touch is not None and height is not None:
        body = float(touch) - height
    else:
        body = _CLOSED_SHARE * told.closed_length.value if told.closed_length is not None else _BODY_SHARE * found
    body = min(max(body, 0.3 * found), 0.95 * found)
    word = "strut" if strut else "damper"
    radius = _STRUT if strut else _DAMPER
    scene.draw("tube", f"{side} {word}, body", [lower, upper], "damper", "damper", radius=radius, reach=body)
    rod = _ROD_DIAMETER if told.rod_diameter is None else told.rod_diameter.value
    scene.draw(
        "tube", f"{side} {word}, rod", [upper, lower], "chrome", "damper", radius=rod / 2, reach=found - 0.8 * body
    )
    for end in (upper, lower):
        scene.draw("ball", f"{side} {word}", [end], "rubber", radius=1.6 * _EYE if strut and end is upper else _EYE)
    if touch is not None and height is not None:
        scene.draw(
            "rubber",
            f"{side} bump rubber",
            [Point(upper.body, upper.at), lower],
            "soft",
            "bump_stop",
            radius=_RUBBER,
            height=height,
            touch=float(touch),
        )


def _height(rubber: BumpStopSection) -> float | None:
    """Height of a rubber free of load: as told, or so that its curve leaves something of it [m]."""
    if rubber.free_height is not None:
        return rubber.free_height.value
    if rubber.curve is None:
        return None
    return _RUBBER_PER_REACH * float(np.max(np.asarray(rubber.curve, dtype=np.float64)[:, 0]))

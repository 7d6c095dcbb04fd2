"""Anti-roll bars as they are bent, with their bushes and drop links."""

from __future__ import annotations

import numpy as np

from jounce.car.mechanics.anti_roll_bar_shape import half_points
from jounce.car.parts import AntiRollBar
from jounce.layouts.naming import SIDES, named
from jounce.linkage.tree import Point
from jounce.numerics.vectors import Z
from jounce.web.picture.scene import Scene, bare

__all__ = ["anti_roll_bars"]

_BARS = ("roll_bar", "roll_bar_2")
_LINK, _BUSH = 0.007, 0.021
"""Radii of drop links and bushes as drawn [m]: usual for such parts (common practice, no source)."""


def anti_roll_bars(scene: Scene) -> None:
    """All of an axle.

    Args:
        scene: what is drawn of it
    """
    for bar in _BARS:
        _bar(scene, bar)


def _bar(scene: Scene, bar: str) -> None:
    """Both halves as bodies carry them, and between their bushes the shaft that twists."""
    axle, linkage = scene.standing.model.name, scene.standing.model.linkage
    halves: list[AntiRollBar | None] = [scene.part(side, bar) for side in SIDES]
    bodies = {body.name for body in linkage.bodies}
    shaft: list[Point] = []
    paint: list[Point] = []
    radius = 0.0
    name = bar.replace("roll_bar_2", "second anti-roll bar").replace("roll_bar", "anti-roll bar")
    for side, half in zip(SIDES, halves, strict=True):
        body = named(axle, side, f"{bar}_half")
        if half is None or body not in bodies:
            return
        radius, bush = half.diameter.value / 2, bare(half.bush.xyz)
        told = [bare(point) for point in half_points(half)]
        scene.draw("tube", name, [*(Point(body, at) for at in told), Point(body, bush)], "spring", bar, radius=radius)
        scene.draw("ball", f"{side} bush of the {name}", [Point(body, bush)], "rubber", radius=_BUSH)
        shaft.append(Point(body, bush))
        paint.append(Point(body, bush + radius * np.asarray(Z)))
        link = linkage.sites.get(named(axle, side, f"{bar}_link"))
        if link is not None:
            scene.draw("tube", f"{side} drop link", [link.first, link.second], "rod", bar, radius=_LINK)
            for end in (link.first, link.second):
                scene.draw("ball", f"{side} drop link", [end], "rod", bar, radius=2 * _LINK)
    scene.draw("twist", name, [*shaft, *paint], "spring", bar, radius=radius)

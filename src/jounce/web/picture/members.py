"""Arms, links, rods, knuckles, tubes: what the layout tells as lines, each with a thickness.

A car file knows the sizes of few of them: the others are drawn as thick as such parts usually are (common practice, no
source), which changes no place and no length.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from jounce.layouts.naming import SIDES
from jounce.linkage.tree import GROUND, Point
from jounce.web.picture.scene import Ends, Scene, bare

__all__ = ["TUBE_RADIUS", "members"]

_OWN = ("coil", "damper", "strut", "roll bar", "roll bar 2", "leaf")
"""Ends of names of parts that are drawn elsewhere."""
_USUAL: tuple[tuple[str, float, str], ...] = (
    ("tie rod", 0.009, "rod"),
    ("relay rod", 0.012, "rod"),
    ("pitman arm", 0.012, "rod"),
    ("idler arm", 0.012, "rod"),
    ("knuckle", 0.019, "cast"),
    ("trailing arm", 0.021, "arm"),
    ("trailing link", 0.013, "arm"),
    ("hub", 0.024, "cast"),
    ("panhard", 0.013, "rod"),
    ("watt", 0.012, "rod"),
    ("rocker", 0.018, "cast"),
    ("cross-member", 0.032, "arm"),
    ("upper arm", 0.014, "arm"),
    ("arm", 0.017, "arm"),
    ("rod", 0.011, "rod"),
    ("link", 0.012, "arm"),
    ("", 0.019, "cast"),
)
"""Words of a name, radius [m] and look of the part; the first that fits."""
_JOINT = 1.45
"""Radius of a joint over that of what it joins [-]."""
TUBE_RADIUS = 0.03
"""Of a beam's tube whose diameter is not told [m]."""
_CUT = (0.26, 0.74)
"""Where a tube with a bar inside is drawn cut open, shares of its length [-]."""


def members(scene: Scene) -> None:
    """All of an axle.

    Args:
        scene: what is drawn of it
    """
    for name, points in _once(scene):
        if name == "tube":
            _tube(scene, points)
            continue
        radius, look = next((radius, look) for word, radius, look in _USUAL if word in name)
        section = ""
        if name == "panhard":
            section = "panhard"
            rod = scene.part(None, section)
            told = None if rod is None else rod.diameter
            radius = radius if told is None else told.value / 2
        scene.draw("tube", name, points, look, section, radius=radius)
        for point in points:
            if point.body != GROUND and name.endswith("knuckle"):
                continue
            scene.draw("ball", name, [point], look, section, radius=_JOINT * radius)


def _once(scene: Scene) -> Iterator[tuple[str, Ends]]:
    for name, points in scene.lines():
        plain = next((name.removeprefix(f"{side} ") for side in SIDES if name.startswith(side)), name)
        if plain.startswith("leaf "):
            continue  # the rods that stand for a leaf: the leaf itself is drawn
        if plain not in _OWN and len({tuple(np.round(bare(point.at), 5).tolist()) for point in points}) > 1:
            yield name, points


def _tube(scene: Scene, points: Ends) -> None:
    """A beam's tube, cut open where a bar lies inside."""
    told = getattr(scene.document.interfaces, scene.standing.model.name).tube_diameter
    radius = TUBE_RADIUS if told is None else told.value / 2
    bar = scene.part(None, "inner_bar")
    cut = [] if bar is None else list(_CUT)
    scene.draw("tube", "beam tube", points, "arm", radius=radius, cut_of_one=cut)
    if bar is None:
        return
    linkage = scene.standing.model.linkage
    paint = [
        Point(linkage.carriers[side], bare(end.at) + radius * _up()) for side, end in zip(SIDES, points, strict=True)
    ]
    scene.draw(
        "twist",
        "bar inside the tube",
        [*points, *paint],
        "spring",
        "inner_bar",
        radius=bar.diameter.value / 2,
    )


def _up() -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    return np.array([0.0, 0.0, 1.0])

"""Picture of an axle of a demo car: from behind, from the left, from above, every pivot with its name."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from generate.drawing import FAINT, FILL, INK, POSITIVE, Y_AXIS, Z_AXIS, Panel, Place, box, page_of_panels
from generate.layout_cars import DemoAxle, Pictured, demo_axle
from generate.layout_labels import Label, put_labels
from jounce.car.mechanics.anti_roll_bar_shape import half_points
from jounce.car.mechanics.layout_input import SIDE_OF, coordinates
from jounce.layouts.naming import SIDES, SideName, named
from jounce.numerics.arrays import Array

_SCALE = 0.38e3  # picture units per metre
_COLUMN = 128.0  # room for names on each side of a drawing
_TYRE = 0.155  # width of the tyre as drawn [m]
_MARGIN = 0.05  # room around what is drawn [m]
_QUIET = "#52606d"
_QUIET_PART = "#8795a5"
_ROLL_BAR = "#7a3e9d"

_COLOURS = {
    "coil": POSITIVE,
    "leaf": POSITIVE,
    "torsion bar": POSITIVE,
    "cross-member": POSITIVE,
    "damper": Z_AXIS,
    "strut": Z_AXIS,
    "tie rod": Y_AXIS,
    "rack": Y_AXIS,
    "pitman arm": Y_AXIS,
    "idler arm": Y_AXIS,
    "relay rod": Y_AXIS,
    "knuckle": _QUIET_PART,
    "hub": _QUIET_PART,
    "drive shaft": FAINT,
    "anti-roll bar": _ROLL_BAR,
    "drop link": _ROLL_BAR,
}
_WIDTHS = {
    "knuckle": 5.0,
    "hub": 5.0,
    "tube": 6.0,
    "torsion bar": 6.0,
    "cross-member": 6.0,
    "leaf": 5.0,
    "anti-roll bar": 2.4,
    "drop link": 1.4,
}
_BEHIND_OTHERS = {"drive shaft", "torsion bar", "knuckle", "hub"}
_NOT_DRAWN = {"leaf front", "roll bar", "roll bar 2"}
"""Parts that are drawn otherwise: a leaf as a whole, an anti-roll bar along its centre line."""
_LEGEND = (
    (POSITIVE, "springs: coil, torsion bar, leaf, cross-member"),
    (Z_AXIS, "damper or strut"),
    (INK, "arms, links, tube"),
    (Y_AXIS, "steering: tie rod, rack or relay rod"),
    (_QUIET_PART, "knuckle or hub"),
    (_ROLL_BAR, "anti-roll bar with its drop link"),
    (FAINT, "drive shaft; wheel, ground, centre plane"),
)

_Part = tuple[str, tuple[Array, ...]]
"""A part's name and the points that it is drawn through, as found [m]."""


@dataclass(frozen=True, slots=True)
class _View:
    """A direction of looking: which way a point of the car goes in the picture (to the right, up) [m]."""

    title: str
    seen: str
    flat: Callable[[Array], Place]


_BEHIND = _View("from behind", "y to the left, z up", lambda at: (-float(at[1]), float(at[2])))
_LEFT = _View("from the left", "x to the left, z up", lambda at: (-float(at[0]), float(at[2])))
_ABOVE = _View("from above", "y to the left, x up", lambda at: (-float(at[1]), float(at[0])))


@dataclass(frozen=True, slots=True)
class _Scene:
    """What is drawn: parts with their points, pivots with their names, wheel centres and radius [m]."""

    parts: tuple[_Part, ...]
    pivots: tuple[tuple[str, Array], ...]
    wheels: tuple[Array, ...]
    radius: float
    whole: bool


def layout_picture(pictured: Pictured) -> str:
    """Three views of the axle as found, and what the colours mean, as SVG text.

    Args:
        pictured: which axle of which demo car

    """
    axle = demo_axle(pictured.car, pictured.axle)
    scene = _scene(axle)
    behind, left, above = (_panel(view, scene) for view in (_BEHIND, _LEFT, _ABOVE))
    words = "whole axle; names on the left and of the axle as a whole" if scene.whole else "left half of the axle"
    title = f"{axle.layout.title}: {pictured.about.lower()}"
    description = (
        f"Three views of the {pictured.axle} axle of the demo car {pictured.car}, as found: from behind, from the left "
        f"and from above; {words}. The parts are {', '.join(dict.fromkeys(_bare(name) for name, _ in scene.parts))}; "
        f"the points are {', '.join(name for name, _ in scene.pivots)}."
    )
    legend = _legend({_COLOURS.get(_bare(name), INK) for name, _ in scene.parts} | {FAINT})
    rows = [[behind], [above], [left, legend]] if scene.whole else [[behind, left], [above, legend]]
    return page_of_panels(title, description, rows)


def _scene(axle: DemoAxle) -> _Scene:
    whole = axle.linkage.beam is not None or bool(axle.given.axle_pivots) or axle.layout.twist is not None
    sides: tuple[SideName, ...] = SIDES if whole else ("left",)
    parts: list[_Part] = [
        (name, tuple(_flat(point.at) for point in points))
        for name, points in axle.linkage.drawing
        if _bare(name) not in _NOT_DRAWN and (whole or not name.startswith("right "))
    ]
    parts += [
        *_torsion_bars(axle, dict(parts)),
        *_rack(axle, sides),
        *_drive_shafts(axle),
        *_anti_roll_bars(axle, sides),
    ]
    given = axle.given.pivots["left"]
    pivots = [(pivot.name, _flat(given[pivot.name])) for pivot in axle.layout.pivots if pivot.name in given]
    pivots += [(name, _flat(at)) for section in axle.given.axle_pivots.values() for name, at in section.items()]
    wheels = tuple(_flat(axle.given.pivots[side]["wheel_centre"]) for side in sides)
    radius = float(np.ravel(axle.given.wheels["left"].loaded_radius)[0])
    return _Scene(tuple(parts), tuple(pivots), wheels, radius, whole)


def _flat(at: Array) -> Array:
    return np.asarray(np.reshape(at, (-1, 3))[0], dtype=np.float64)


def _bare(part: str) -> str:
    return part.removeprefix("left ").removeprefix("right ")


def _torsion_bars(axle: DemoAxle, parts: dict[str, tuple[Array, ...]]) -> list[_Part]:
    """Torsion bars in their arms' pivot lines; where a bar ends is no pivot of the layout."""
    if axle.given.spring != "torsion bar":
        return []
    arm = axle.given.choices.get("torsion_bar_on", "arm").replace("_", " ")
    found: list[_Part] = []
    for side in SIDES:
        if f"{side} {arm}" in parts:
            front, _, rear = parts[f"{side} {arm}"]
            found.append((f"{side} torsion bar", (front, rear)))
    return found


def _rack(axle: DemoAxle, sides: tuple[SideName, ...]) -> list[_Part]:
    if named(axle.name, "rack") not in axle.linkage.joints:
        return []
    left, right = (_flat(axle.given.pivots[side]["tie_rod_inner"]) for side in SIDES)
    return [("rack", (left, right if len(sides) > 1 else 0.5 * (left + right)))]


def _drive_shafts(axle: DemoAxle) -> list[_Part]:
    shaft = axle.linkage.drive_shafts.get("left")
    return [] if shaft is None else [("left drive shaft", tuple(_flat(point.at) for point in shaft))]


def _anti_roll_bars(axle: DemoAxle, sides: tuple[SideName, ...]) -> list[_Part]:
    """Anti-roll bars along their centre lines, to the centre plane, and their drop links."""
    found: list[_Part] = []
    for side in sides:
        bar = getattr(axle.section.side(SIDE_OF[side]), "roll_bar", None)
        if bar is not None:
            bush, link = coordinates(bar.bush), coordinates(bar.link_end)
            steel = half_points(bar)
            found.append((f"{side} anti-roll bar", (*steel, bush, bush * np.array([1.0, 0.0, 1.0]))))
            found.append((f"{side} drop link", (steel[0], link)))
    return found


def _panel(view: _View, scene: _Scene) -> Panel:
    low, high = _extent(view, scene)
    width, height = ((b - a) * _SCALE for a, b in zip(low, high, strict=True))
    size = (width + 2 * _COLUMN, max(height, 12.0 * len(scene.pivots)) + 12)
    panel = Panel(view.title, view.seen, origin=(_COLUMN - low[0] * _SCALE, 8 - low[1] * _SCALE), size=size)

    def placed(at: Array) -> Place:
        x, y = view.flat(at)
        return x * _SCALE, y * _SCALE

    _surroundings(panel, view, scene, (low, high))
    for name, points in sorted(scene.parts, key=lambda part: _bare(part[0]) not in _BEHIND_OTHERS):
        _part(panel, _bare(name), [placed(point) for point in points])
    labels = [Label(name, placed(at)) for name, at in scene.pivots]
    middle = 0.0 if scene.whole and view is not _LEFT else None
    bottom = low[1] * _SCALE
    put_labels(panel, labels, (low[0] * _SCALE, high[0] * _SCALE), (bottom, bottom + size[1] - 16), middle)
    return panel


def _extent(view: _View, scene: _Scene) -> tuple[Place, Place]:
    """Lower left and upper right corner of what is drawn [m]."""
    places = [view.flat(point) for _, points in scene.parts for point in points]
    places += [view.flat(at) for _, at in scene.pivots]
    for centre in scene.wheels:
        x, y = view.flat(centre)
        wide = scene.radius if view is _LEFT else _TYRE / 2
        places += [(x - wide, y - scene.radius), (x + wide, y + scene.radius)]
    xs, ys = zip(*places, strict=True)
    return (min(xs) - _MARGIN, min(ys)), (max(xs) + _MARGIN, max(ys) + _MARGIN)


def _surroundings(panel: Panel, view: _View, scene: _Scene, extent: tuple[Place, Place]) -> None:
    """Wheels, ground and centre plane."""
    (low_x, low_y), (high_x, high_y) = ((x * _SCALE, y * _SCALE) for x, y in extent)
    radius = scene.radius * _SCALE
    for centre in scene.wheels:
        x, y = view.flat(centre)
        middle = (x * _SCALE, y * _SCALE)
        if view is _LEFT:
            panel.circle(middle, radius, fill=FILL, colour=FAINT)
        else:
            panel.shape(box(middle, _TYRE * _SCALE, 2 * radius), colour=FAINT)
    if view is not _ABOVE:
        panel.line([(low_x, 0), (high_x, 0)], FAINT, 1.4)
    if view is not _LEFT and low_x <= 0 <= high_x:
        panel.line([(0, low_y), (0, high_y)], FAINT, 1.2, dashed=True)


def _part(panel: Panel, name: str, points: list[Place]) -> None:
    colour = _COLOURS.get(name, INK)
    if name == "coil":
        panel.line(_zigzag(points[0], points[1]), colour, 1.8)
    elif name in {"damper", "strut"}:
        upper, lower = points
        middle = ((upper[0] + lower[0]) / 2, (upper[1] + lower[1]) / 2)
        panel.line([upper, middle], colour, 2.0)
        panel.line([middle, lower], colour, 6.0)
    else:
        panel.line(points, colour, _WIDTHS.get(name, 3.0))


def _zigzag(start: Place, end: Place, turns: int = 7, half_width: float = 7.0) -> list[Place]:
    """A coil's outline: straight ends, then from side to side; a coil seen along its axis is a point."""
    along = (end[0] - start[0], end[1] - start[1])
    length = float(np.hypot(*along))
    if length < 4 * half_width:
        return [start, end]
    across = (-along[1] / length * half_width, along[0] / length * half_width)
    steps = [(start, 0.0)]
    for k in range(2 * turns):
        share = (k + 0.5) / (2 * turns)
        steps.append(((start[0] + share * along[0], start[1] + share * along[1]), 1.0 if k % 2 else -1.0))
    steps.append((end, 0.0))
    return [(x + sense * across[0], y + sense * across[1]) for (x, y), sense in steps]


def _legend(colours: set[str]) -> Panel:
    lines = [(colour, words) for colour, words in _LEGEND if colour in colours]
    panel = Panel("", "", origin=(20, 20), size=(400, 30 + 26.0 * len(lines)))
    for k, (colour, words) in enumerate(reversed(lines)):
        height = 26.0 * k
        panel.line([(0, height), (40, height)], colour, 4.0)
        panel.text((52, height - 4), words, _QUIET, anchor="start", size=13)
    return panel


def names_shown(axle: DemoAxle) -> list[str]:
    """Names of all pivots in an axle's picture."""
    return [name for name, _ in _scene(axle).pivots]

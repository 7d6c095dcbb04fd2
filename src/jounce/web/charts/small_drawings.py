"""Small vector drawings beside what is measured: where the tape goes, each length with the letter of its line in the list.

Drawn by hand for any car, not to scale; an axle's pivots are drawn from the car's own document.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

import numpy as np
from markupsafe import Markup

from jounce.car.file.document import CarDocument
from jounce.car.file.quantity import MeasuredPoint
from jounce.car.mechanics.assembly import axle_model
from jounce.car.mechanics.model import AxleName
from jounce.conventions.errors import JounceError

__all__ = ["DRAWINGS", "axle_views"]

_INK, _QUIET, _MARK, _LIGHT = "#111418", "#6d7983", "#0072b2", "#e4eaee"
_Place = tuple[float, float]


def _line(points: Sequence[_Place], colour: str = _INK, width: float = 2.0, dashes: str = "") -> str:
    path = " ".join(f"{x:.1f},{y:.1f}" for x, y in points)
    dashed = f' stroke-dasharray="{dashes}"' if dashes else ""
    looks = f'fill="none" stroke="{colour}" stroke-width="{width:g}" stroke-linejoin="round"{dashed}'
    return f'<polyline points="{path}" {looks}/>'


def _circle(x: float, y: float, r: float, fill: str = "none", colour: str = _INK, width: float = 2.0) -> str:
    return f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{r:.1f}" fill="{fill}" stroke="{colour}" stroke-width="{width:g}"/>'


def _box(x: float, y: float, wide: float, high: float, fill: str = _LIGHT) -> str:
    return (
        f'<rect x="{x:.1f}" y="{y:.1f}" width="{wide:.1f}" height="{high:.1f}" fill="{fill}" stroke="{_INK}" '
        'stroke-width="1.6"/>'
    )


def _letter(x: float, y: float, letter: str, r: float = 12) -> str:
    """The mark of a line of the list; its group is what lights up while that line's field is asked for."""
    return _marked(letter, _badge(x, y, letter, r))


def _marked(letter: str, shapes: str) -> str:
    return f'<g class="mark" data-mark="{letter}">{shapes}</g>'


def _badge(x: float, y: float, letter: str, r: float = 12) -> str:
    return (
        f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{r:g}" fill="{_MARK}"/>'
        f'<text x="{x:.1f}" y="{y + r * 0.45:.1f}" text-anchor="middle" fill="#ffffff" font-weight="bold" '
        f'font-size="{r * 1.25:.1f}">{letter}</text>'
    )


def _measure(start: _Place, end: _Place, letter: str) -> str:
    """A dimension: a line with ticks across its ends, and its letter in the middle."""
    (x1, y1), (x2, y2) = start, end
    along = math.hypot(x2 - x1, y2 - y1)
    nx, ny = -(y2 - y1) / along * 6, (x2 - x1) / along * 6
    ticks = "".join(_line([(x - nx, y - ny), (x + nx, y + ny)], _MARK, 2) for x, y in (start, end))
    return _marked(letter, _line([start, end], _MARK, 1.8) + ticks + _badge((x1 + x2) / 2, (y1 + y2) / 2, letter))


def _sheet(wide: int, high: int, title: str, parts: Sequence[str]) -> Markup:
    body = "".join(parts)
    return Markup(  # noqa: S704  # our own shapes, letters and words alone
        f'<svg class="drawing" viewBox="0 0 {wide} {high}" role="img" aria-label="{title}" '
        f'font-family="sans-serif" font-size="13">{body}</svg>'
    )


def _around(edge: float) -> list[float]:
    """Angles of half a circle, less a little at both ends [rad]."""
    return [edge + (math.pi - 2 * edge) * k / 23 for k in range(24)]


def _round() -> tuple[Markup, ...]:
    ground, hub, front, rear = 190.0, 152.0, 130.0, 400.0
    body = [
        (44, 150),
        (46, 118),
        (60, 104),
        (150, 92),
        (196, 48),
        (330, 44),
        (398, 88),
        (462, 96),
        (476, 120),
        (474, 150),
    ]
    sill: list[list[_Place]] = [[(44, 150), (92, 150)], [(168, 150), (362, 150)], [(438, 150), (474, 150)]]
    arches: list[list[_Place]] = [
        [(x + 42 * math.cos(a), hub - 42 * math.sin(a)) for a in _around(0.05)] for x in (front, rear)
    ]
    side = [
        _line([(20, ground), (500, ground)], _QUIET, 2),
        _line(body),
        *(_line(one) for one in (*sill, *arches)),
        *(_circle(x, hub, 36, _LIGHT) + _circle(x, hub, 4, _INK) for x in (front, rear)),
        *(_line([(x, hub), (x, 230)], _MARK, 1, "3 3") for x in (front, rear)),
        _measure((front, 224), (rear, 224), "A"),
        _measure((front - 22, ground), (front - 22, hub), "D"),
        _measure((rear + 22, ground), (rear + 22, hub), "E"),
        _measure((front, hub), (front, hub - 42), "F"),
        _measure((rear, hub), (rear, hub - 42), "G"),
        _measure((265, ground), (265, 150), "H"),
        _measure((30, ground), (30, 122), "J"),
        _box(46, 112, 10, 12, "#fff4d6"),
    ]
    axle = [(60.0, 152.0), (200.0, 152.0)]
    ahead = [
        _line([(20, ground), (240, ground)], _QUIET, 2),
        *(_box(x - 12, 116, 24, 74) for x, _ in axle),
        _line(axle, _INK, 3),
        _line([(44, 116), (44, 70), (66, 44), (194, 44), (216, 70), (216, 116)]),
        *(_line([(x, 190), (x, 230)], _MARK, 1, "3 3") for x in (48, 188)),
        _measure((48, 224), (188, 224), "B"),
        _marked("C", f'<text x="208" y="229" fill="{_QUIET}">rear: C</text>'),
    ]
    return (
        _sheet(516, 244, "A car from the left: wheelbase, heights of hubs, arches, lowest point and lamps", side),
        _sheet(270, 244, "A car from the front: track", ahead),
    )


def _scales() -> tuple[Markup, ...]:
    # From above with the front to the left, the car's left side is the lower one.
    pads = ((110.0, 40.0, "B"), (110.0, 150.0, "A"), (330.0, 40.0, "D"), (330.0, 150.0, "C"))
    outline = [(60, 70), (90, 58), (420, 58), (440, 76), (440, 154), (420, 172), (90, 172), (60, 160), (60, 70)]
    parts = [
        _line(outline),
        _line([(30, 115), (52, 115)], _INK, 3),
        _line([(38, 107), (28, 115), (38, 123)], _INK, 3),
        f'<text x="26" y="146" fill="{_QUIET}">front</text>',
        *(_box(x - 34, y - 4, 68, 46, "#ffffff") + _box(x - 24, y + 8, 48, 20) + _letter(x, y + 18, word)
          for x, y, word in pads),
    ]  # fmt: skip
    return (_sheet(470, 230, "Four scales under the wheels, seen from above", parts),)


def _wheels() -> tuple[Markup, ...]:
    tilt = math.radians(7)
    base = (110.0, 180.0)
    top = (base[0] + 130 * math.sin(tilt), base[1] - 130 * math.cos(tilt))
    camber = [
        _line([(30, 180), (230, 180)], _QUIET),
        _line([base, (110, 40)], _QUIET, 1.5, "5 4"),
        _line([base, top], _INK, 16),
        _line([base, top], _LIGHT, 11),
        _letter(120, 26, "A"),
        f'<text x="160" y="110" fill="{_QUIET}">inward →</text>',
        _marked("C", f'<text x="130" y="206" text-anchor="middle" fill="{_QUIET}">from the front; rear: C</text>'),
    ]
    toe = [
        _line([(30, 150), (230, 150)], _QUIET, 1.5, "5 4"),
        _line([(50, 62), (140, 72)], _INK, 18),
        _line([(51, 62), (139, 72)], _LIGHT, 13),
        _line([(50, 30), (140, 30)], _QUIET, 1.5, "5 4"),
        _letter(166, 50, "B"),
        f'<text x="6" y="90" fill="{_QUIET}">← rear</text><text x="190" y="90" fill="{_QUIET}">front →</text>',
        f'<text x="130" y="170" text-anchor="middle" fill="{_QUIET}">middle of the car</text>',
        _marked("D", f'<text x="130" y="206" text-anchor="middle" fill="{_QUIET}">from above; rear: D</text>'),
    ]
    return (
        _sheet(260, 216, "A wheel from the front that leans inward at its top", camber),
        _sheet(260, 216, "A left wheel from above that points inward at its front", toe),
    )


def _springs() -> tuple[Markup, ...]:
    turns = [(80 + (46 if k % 2 else -46), 30 + 16 * k) for k in range(9)]
    bar = [
        *(_box(x, 60, 26, 40) for x in (30, 284)),
        _box(56, 70, 228, 20),
        _measure((170, 62), (170, 98), "A"),
        _measure((56, 124), (284, 124), "B"),
        _letter(43, 42, "C"),
        _letter(297, 42, "D"),
        _circle(60, 190, 12, _LIGHT),
        _line([(60, 190), (250, 204)], _INK, 6),
        _circle(280, 198, 34, _LIGHT),
        _circle(280, 198, 4, _INK),
        _measure((60, 246), (280, 246), "K"),
    ]
    coil = [
        _line(turns, _INK, 7),
        _line(turns, _LIGHT, 4),
        _measure((152, 30), (152, 158), "H"),
        _measure((34, 188), (126, 188), "F"),
        _letter(80, 94, "G"),
        _letter(16, 48, "E"),
    ]
    others = [
        _line([(20, 60), (220, 60)], _INK, 14),
        _line([(20, 60), (220, 60)], "#ffffff", 10),
        _line([(34, 60), (206, 60)], _INK, 4),
        _letter(120, 32, "L"),
        _measure((34, 98), (206, 98), "M"),
        _line([(40, 204), (60, 160), (180, 160), (200, 204)], _INK, 5),
        _letter(120, 140, "N"),
    ]
    return (
        _sheet(340, 266, "A torsion bar with its splines, and its lever to the wheel", bar),
        _sheet(184, 210, "A coil", coil),
        _sheet(240, 218, "A bar in a tube, and an anti-roll bar", others),
    )


def _damper(x: float, top: float, bottom: float, rubber: bool = False) -> str:  # noqa: FBT001, FBT002
    parts = [
        _circle(x, top, 7, "#ffffff"), _circle(x, bottom, 7, "#ffffff"), _box(x - 13, bottom - 108, 26, 100),
        _line([(x, top + 7), (x, bottom - 108)], _INK, 4),
    ]  # fmt: skip
    return "".join([*parts, _box(x - 9, top + 9, 18, 26, "#8a6d3b")] if rubber else parts)


def _dampers() -> tuple[Markup, ...]:
    parts = [
        _damper(90, 90, 216),
        _measure((136, 90), (136, 216), "A"),
        _damper(250, 26, 216),
        _measure((296, 26), (296, 216), "B"),
        _damper(430, 40, 216, rubber=True),
        _measure((476, 75), (476, 108), "C"),
        _line([(440, 75), (484, 75)], _MARK, 1, "3 3"),
        _line([(444, 108), (484, 108)], _MARK, 1, "3 3"),
        *(
            f'<text x="{x}" y="246" text-anchor="middle" fill="{_QUIET}">{text}</text>'
            for x, text in ((90, "closed"), (250, "open"), (430, "standing"))
        ),
    ]
    return (_sheet(560, 256, "A damper closed, open, and with its rubber as the car stands", parts),)


def _room() -> tuple[Markup, ...]:
    arch = [(110 + 74 * math.cos(a), 130 - 74 * math.sin(a)) for a in _around(0.1)]
    above = [
        _line(arch, _INK, 3),
        _circle(110, 140, 50, _LIGHT),
        _circle(110, 140, 4, _INK),
        _measure((110, 90), (110, 56), "A"),
    ]
    below = [
        _circle(100, 130, 50, _LIGHT),
        _circle(100, 130, 4, _INK),
        _line([(20, 20), (40, 70), (70, 100), (96, 126)], "#8a6d3b", 4),
        _measure((170, 80), (170, 170), "B"),
    ]
    rack = [
        _line([(20, 80), (200, 80)], _INK, 8),
        _box(60, 68, 90, 24),
        _line([(105, 92), (105, 130)], _MARK, 1, "3 3"),
        _measure((105, 122), (185, 122), "C"),
    ]
    return (
        _sheet(220, 210, "Tyre and arch", above),
        _sheet(220, 200, "A wheel that hangs on its brake hose", below),
        _sheet(220, 160, "A steering rack", rack),
    )


def _place() -> tuple[Markup, ...]:
    """Any point of a car by three lengths: back from the front hubs, left of the middle, up from the ground."""
    ground, hub, front, rear = 170.0, 134.0, 110.0, 330.0
    body = [(34, 130), (40, 96), (130, 76), (168, 34), (276, 32), (330, 74), (390, 82), (398, 130)]
    side = [
        _line([(14, ground), (420, ground)], _QUIET, 2),
        _line(body),
        *(_circle(x, hub, 34, _LIGHT) + _circle(x, hub, 4, _INK) for x in (front, rear)),
        _line([(front, hub), (front, 206)], _MARK, 1, "3 3"),
        _line([(236, 96), (236, 206)], _MARK, 1, "3 3"),
        _measure((front, 200), (236, 200), "A"),
        _measure((236, 96), (236, ground), "C"),
        _circle(236, 96, 6, _INK),
        f'<text x="8" y="20" fill="{_QUIET}">from the left, front to the left</text>',
    ]
    above = [
        _line([(20, 100), (410, 100)], _QUIET, 1.5, "8 5"),
        _line([(40, 60), (60, 48), (380, 48), (396, 62), (396, 138), (380, 152), (60, 152), (40, 140), (40, 60)]),
        *(_box(x - 26, y, 52, 16) for x in (front, rear) for y in (44, 140)),
        _measure((236, 100), (236, 132), "B"),
        _circle(236, 132, 6, _INK),
        f'<text x="8" y="20" fill="{_QUIET}">from above, left side below; on the right −</text>',
    ]
    return (
        _sheet(430, 216, "A point of the car from the left: how far back, how far up", side),
        _sheet(430, 176, "A point of the car from above: how far left of the middle", above),
    )


DRAWINGS: Mapping[str, tuple[Markup, ...]] = {
    "round": _round(),
    "scales": _scales(),
    "wheels": _wheels(),
    "springs": _springs(),
    "dampers": _dampers(),
    "room": _room(),
    **dict.fromkeys(("clear", "hoses", "aboard"), _place()),
}
"""By the word of a step."""


# ---------------------------------------------------------------------------------------------------- an axle's own

_VIEWS = (("from behind", (1, -1.0), 2), ("from the left", (0, -1.0), 2), ("from above", (1, -1.0), 0))
_SCALE, _EDGE, _TYRE = 420.0, 26.0, 34.0


def axle_views(document: CarDocument, axle: AxleName, points: Sequence[tuple[int, MeasuredPoint]]) -> list[Markup]:
    """An axle seen from behind, from the left and from above, each point with its number.

    Args:
        document: the car; its numbers may still be those of another one
        axle: "front" or "rear"
        points: number and place of each, left side
    """
    try:
        drawing = axle_model(document, axle).linkage.drawing
    except JounceError:  # as typed so far it cannot be put together: the points alone tell
        drawing = ()
    parts = [
        np.stack([np.asarray(np.reshape(point.at, (-1, 3))[0], dtype=np.float64) for point in line])
        for _, line in drawing
    ]
    places = [(number, np.array([float(point.x), float(point.y), float(point.z)])) for number, point in points]
    whole = any(place[1] < 0 for _, place in places)
    shown = [part for part in parts if whole or part[:, 1].mean() > 0]
    centre = getattr(document, axle).left.pivots.wheel_centre
    return [_view(title, across, up, shown, places, centre) for title, across, up in _VIEWS]


def _view(
    title: str,
    across: tuple[int, float],
    up: int,
    parts: Sequence[np.ndarray],
    places: Sequence[tuple[int, np.ndarray]],
    centre: MeasuredPoint,
) -> Markup:
    def flat(at: np.ndarray) -> _Place:
        return across[1] * at[across[0]] * _SCALE, -at[up] * _SCALE

    hub, radius = flat(np.array([centre.x, centre.y, centre.z])), centre.z * _SCALE
    seen = [flat(at) for part in parts for at in part] + [flat(at) for _, at in places] + [hub]
    if title != "from above":
        seen += [(hub[0], hub[1] - radius), (hub[0], 0.0)]
    if title == "from the left":
        seen += [(hub[0] - radius, hub[1]), (hub[0] + radius, hub[1])]
    elif title == "from behind":
        seen += [(hub[0] - _TYRE, hub[1]), (hub[0] + _TYRE, hub[1])]
    xs, ys = zip(*seen, strict=True)
    left, top = min(xs) - _EDGE, min(ys) - _EDGE
    wide = max(xs) - left + _EDGE
    size = max(1.0, wide / 380)  # a wide axle is shown on as many pixels: its numbers have to be larger
    head = 20 * size
    high = max(ys) - top + _EDGE + head

    def moved(place: _Place) -> _Place:
        return place[0] - left, place[1] - top + head

    x, y = moved(hub)
    ground = moved((0.0, 0.0))[1]
    drawn: list[str] = []
    if title != "from above":
        drawn.append(_line([(4, ground), (wide - 4, ground)], _QUIET, 1.5))
    if title == "from the left":
        drawn.append(_circle(x, y, radius, "#f7f8f9", _QUIET, 1.5))
    elif title == "from behind":
        drawn.append(_box(x - _TYRE, y - radius, 2 * _TYRE, 2 * radius, "#f7f8f9"))
    drawn += [_line([moved(flat(at)) for at in part], _QUIET, 4) for part in parts]
    drawn += list(_numbers([(number, moved(flat(at))) for number, at in places], size))
    if places:
        letters = f'font-weight="bold" font-size="{13 * size:.0f}"'
        drawn.append(f'<text x="6" y="{13 * size:.0f}" fill="{_INK}" {letters}>{title}</text>')
    return _sheet(round(wide), round(high), f"The axle {title}, pivots numbered as in the list", drawn)


def _numbers(places: Sequence[tuple[int, _Place]], size: float) -> Iterator[str]:
    """A dot for each point, and its number beside it where there is room."""
    away = 17 * size
    taken: list[_Place] = []
    for number, (x, y) in places:
        spots = [
            (x + away * math.cos(a) * k, y + away * math.sin(a) * k)
            for k in (1, 1.7, 2.4)
            for a in np.linspace(-0.8, 5.4, 9)
        ]
        dots = [place for _, place in places]

        def room(spot: _Place) -> float:
            others = [math.dist(spot, one) for one in taken] + [math.dist(spot, one) + 4 for one in dots]  # noqa: B023
            return min(others)

        spot = next((one for one in spots if room(one) > 1.1 * away), max(spots, key=room))
        taken.append(spot)
        dot = _circle(x, y, 4 * size, _MARK, _MARK)
        yield _marked(str(number), _line([(x, y), spot], _MARK, 1) + dot + _badge(*spot, str(number), 9 * size))

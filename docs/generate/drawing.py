"""A drawing as SVG text: a few strokes, points in a panel's own axes (to the right and up, in picture units).

Written by hand instead of by a plotting library so that the committed pictures are the same on every machine.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from math import atan2, cos, degrees, hypot, radians, sin
from xml.sax.saxutils import escape

Place = tuple[float, float]

INK = "#1f2933"
FAINT = "#9aa5b1"
FILL = "#e4e7eb"
POSITIVE = "#b8400b"  # the positive sense of the quantity that a panel is about
X_AXIS, Y_AXIS, Z_AXIS = "#a8480a", "#00735a", "#005b96"

_HEAD = 9.0  # length of an arrow's head
_HEAD_WIDTH = 0.34  # half the width of an arrow's head, as a share of its length
_EDGE = 16.0  # white on both sides, for words in a wider font than the one drawn with


@dataclass(slots=True)
class Panel:
    """One picture of a row: a caption below and strokes around an origin.

    Attributes:
        title: what the panel shows
        view: from where it is seen
        origin: place of the panel's own zero, from its lower left corner
        size: width and height

    """

    title: str
    view: str
    origin: Place
    size: Place = (320.0, 250.0)
    _strokes: list[str] = field(default_factory=list)

    def line(self, points: Sequence[Place], colour: str = INK, width: float = 2.0, *, dashed: bool = False) -> None:
        """Draw straight strokes through points."""
        dash = ' stroke-dasharray="6 4"' if dashed else ""
        self._strokes.append(
            f'<polyline points="{self._places(points)}" fill="none" stroke="{colour}" stroke-width="{width:g}"'
            f' stroke-linejoin="round" stroke-linecap="round"{dash}/>'
        )

    def shape(self, points: Sequence[Place], fill: str = FILL, colour: str = INK) -> None:
        """Draw a closed, filled outline."""
        self._strokes.append(
            f'<polygon points="{self._places(points)}" fill="{fill}" stroke="{colour}" stroke-width="1.6"'
            ' stroke-linejoin="round"/>'
        )

    def circle(self, centre: Place, radius: float, fill: str = "none", colour: str = INK) -> None:
        """Draw a circle."""
        x, y = self._at(centre)
        self._strokes.append(
            f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{radius:.1f}" fill="{fill}" stroke="{colour}" stroke-width="2"/>'
        )

    def dot(self, place: Place, colour: str = INK) -> None:
        """Mark a point."""
        self.circle(place, 2.6, fill=colour, colour=colour)

    def arrow(self, start: Place, end: Place, colour: str = POSITIVE, width: float = 2.4) -> None:
        """Draw an arrow."""
        direction = degrees(atan2(end[1] - start[1], end[0] - start[0]))
        length = hypot(end[0] - start[0], end[1] - start[1])
        back = (length - 0.8 * _HEAD) / length
        neck = (start[0] + back * (end[0] - start[0]), start[1] + back * (end[1] - start[1]))
        self.line([start, neck], colour, width)
        self._head(end, direction, colour)

    def arc(self, centre: Place, radius: float, start: float, end: float, colour: str = POSITIVE) -> None:
        """Draw an arc with an arrow's head at its end; angles from the right, anticlockwise [deg]."""
        sense = 1.0 if end > start else -1.0
        stop = end - sense * degrees(0.8 * _HEAD / radius)
        steps = 24
        angles = [start + (stop - start) * i / steps for i in range(steps + 1)]
        self.line([on_circle(centre, radius, angle) for angle in angles], colour, 2.4)
        lean = sense * degrees(0.5 * _HEAD / radius)  # the head is straight: it points along its own chord
        self._head(on_circle(centre, radius, end), end + sense * 90 - lean, colour)

    def text(self, place: Place, words: str, colour: str = INK, anchor: str = "middle", size: int = 14) -> None:
        """Write words; ``anchor`` is "start", "middle" or "end" of the words at the place."""
        x, y = self._at(place)
        self._strokes.append(
            f'<text x="{x:.1f}" y="{y:.1f}" fill="{colour}" font-size="{size}" text-anchor="{anchor}">'
            f"{escape(words)}</text>"
        )

    def towards_viewer(self, place: Place, colour: str) -> None:
        """Draw an axis that points out of the picture."""
        self.circle(place, 6, fill="#ffffff", colour=colour)
        self.dot(place, colour)

    def away_from_viewer(self, place: Place, colour: str) -> None:
        """Draw an axis that points into the picture."""
        self.circle(place, 6, fill="#ffffff", colour=colour)
        x, y, reach = *place, 4.2
        self.line([(x - reach, y - reach), (x + reach, y + reach)], colour)
        self.line([(x - reach, y + reach), (x + reach, y - reach)], colour)

    def svg(self, left: float) -> str:
        """Text of the panel when its left edge lies at ``left``."""
        middle, bottom = self.size[0] / 2, self.size[1]
        caption = (
            f'<text x="{middle:.1f}" y="{bottom + 18:.1f}" fill="{INK}" font-size="15" font-weight="bold"'
            f' text-anchor="middle">{escape(self.title)}</text>'
            f'<text x="{middle:.1f}" y="{bottom + 36:.1f}" fill="#52606d" font-size="13"'
            f' text-anchor="middle">{escape(self.view)}</text>'
        )
        return "\n".join([f'<g transform="translate({left:.1f} 0)">', *self._strokes, caption, "</g>"])

    def _head(self, tip: Place, direction: float, colour: str) -> None:
        base = on_circle(tip, -_HEAD, direction)
        across = _HEAD_WIDTH * _HEAD
        corners = [tip, on_circle(base, across, direction + 90), on_circle(base, across, direction - 90)]
        self._strokes.append(f'<polygon points="{self._places(corners)}" fill="{colour}" stroke="none"/>')

    def _at(self, place: Place) -> Place:
        return self.origin[0] + place[0], self.size[1] - self.origin[1] - place[1]

    def _places(self, points: Sequence[Place]) -> str:
        # Adding zero turns a rounded -0.0 into 0.0.
        return " ".join(f"{round(x, 1) + 0.0:.1f},{round(y, 1) + 0.0:.1f}" for x, y in map(self._at, points))


def on_circle(centre: Place, radius: float, angle: float) -> Place:
    """Place on a circle; the angle counts from the right, anticlockwise [deg]."""
    return centre[0] + radius * cos(radians(angle)), centre[1] + radius * sin(radians(angle))


def turned(points: Sequence[Place], about: Place, angle: float) -> list[Place]:
    """Points turned anticlockwise about a place [deg]."""
    c, s = cos(radians(angle)), sin(radians(angle))
    moved = [(x - about[0], y - about[1]) for x, y in points]
    return [(about[0] + c * x - s * y, about[1] + s * x + c * y) for x, y in moved]


def box(centre: Place, width: float, height: float) -> list[Place]:
    """Corners of an upright box."""
    (x, y), w, h = centre, width / 2, height / 2
    return [(x - w, y - h), (x + w, y - h), (x + w, y + h), (x - w, y + h)]


def row_of_panels(title: str, description: str, panels: Sequence[Panel]) -> str:
    """SVG text of panels side by side on white, with a title and a description for those who do not see it."""
    width, height, drawn = _row(panels)
    return _on_white(title, description, (width, height), drawn)


def page_of_panels(title: str, description: str, rows: Sequence[Sequence[Panel]]) -> str:
    """SVG text of rows of panels, one below the other, with a title and a description for those who do not see it."""
    width, height = 0.0, 0.0
    drawn: list[str] = []
    for panels in rows:
        row_width, row_height, row = _row(panels)
        drawn += [f'<g transform="translate(0 {height:.1f})">', *row, "</g>"]
        width, height = max(width, row_width), height + row_height
    return _on_white(title, description, (width, height), drawn)


def _row(panels: Sequence[Panel]) -> tuple[float, float, list[str]]:
    """Width, height and text of panels side by side."""
    lefts = [sum(panel.size[0] for panel in panels[:i]) for i in range(len(panels))]
    width = sum(panel.size[0] for panel in panels)
    height = max(panel.size[1] for panel in panels) + 50
    return width, height, [panel.svg(left) for panel, left in zip(panels, lefts, strict=True)]


def _on_white(title: str, description: str, size: Place, drawn: Sequence[str]) -> str:
    width, height = size[0] + 2 * _EDGE, size[1]
    return "\n".join(
        [
            (
                f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{-_EDGE:g} 0 {width:g} {height:g}" role="img"'
                ' font-family="DejaVu Sans, Arial, sans-serif">'
            ),
            f"<title>{escape(title)}</title>",
            f"<desc>{escape(description)}</desc>",
            f'<rect x="{-_EDGE:g}" width="{width:g}" height="{height:g}" fill="#ffffff"/>',
            *drawn,
            "</svg>",
            "",
        ]
    )

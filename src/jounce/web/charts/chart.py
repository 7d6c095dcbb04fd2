"""Line charts as vector pictures, written by the server; the page's script zooms them and reads them out.

A chart carries its points beside the picture, so that the script asks for nothing; without it the picture stands as it is.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from markupsafe import Markup, escape

from jounce.numerics.arrays import Array

__all__ = ["LOOKS", "Chart", "ChartAxis", "ChartLine", "drawn"]

# Okabe and Ito's palette (2008), safe for the colour-blind; each is dashed otherwise, so that no colour is needed.
LOOKS = (("#0072B2", "7 4"), ("#D55E00", ""), ("#009E73", "14 4"), ("#CC79A7", "2.5 3"), ("#000000", "12 3 2.5 3"))
"""Colour and dashes of a curve: as found, as planned or the first of several jobs, the others."""
_WIDE, _HIGH = 360.0, 226.0
_LEFT, _RIGHT, _TOP, _BOTTOM = 54.0, 350.0, 8.0, 182.0
_ROOM = 0.08  # above and below the curves, as a share of their height


@dataclass(frozen=True, slots=True)
class ChartAxis:
    """What an axis shows: its name, unit, what is positive, and the decimals to which it is read."""

    name: str
    unit: str
    decimals: int
    sign: str = ""

    def __str__(self) -> str:
        return "; ".join(filter(None, (self.name, self.unit, self.sign)))

    def in_pieces(self, tag: str) -> Markup:
        """Name, unit and sign, each in an element of its own: the house has words for each, not for all at once."""
        pieces = filter(None, (self.name, self.unit, self.sign))
        return Markup(", ").join(Markup("<{t}>{}</{t}>").format(piece, t=tag) for piece in pieces)


@dataclass(frozen=True, slots=True)
class ChartLine:
    """One curve over the chart's places, in the units that are shown; NaN leaves a gap.

    ``look`` is its place among `LOOKS`: 0 as found, 1 as planned or the first of several jobs, 2 to 4 the others; ``band``
    the half width of its band at each place, none where it was not worked out.
    """

    name: str
    y: Array
    look: int
    band: Array | None = None

    @property
    def edges(self) -> tuple[Array, Array]:
        """Lower and upper edge of its band; the curve itself where it has none."""
        wide = np.zeros(len(self.y)) if self.band is None else np.nan_to_num(self.band)
        return self.y - wide, self.y + wide


@dataclass(frozen=True, slots=True)
class Chart:
    """Some curves over the same places.

    Attributes:
        title: what is shown
        over: what it is shown over
        x: the places, rising, shape (points,), in the unit of ``over``
        lines: the curves
        motion: motion of the picture that goes with its cursor; empty where there is none
        ceiling: height at which the whole picture is cut off; what lies above is seen when one zooms in

    """

    title: ChartAxis
    over: ChartAxis
    x: Array
    lines: Sequence[ChartLine]
    motion: str = ""
    ceiling: float = field(default=math.inf)


def drawn(chart: Chart) -> Markup:
    """A figure with its title, axes, grid, curves and a cursor.

    Args:
        chart: what it shows
    """
    low_y, high_y = _span([edge for line in chart.lines for edge in line.edges], _ROOM)
    frame = _Frame(*_span([chart.x], 0.0), low_y, max(min(high_y, chart.ceiling), low_y + 1e-3))
    said = "; ".join(
        f"{line.name}: {_ends(line, chart.title.decimals)}{_widest(line, chart.title.decimals)}" for line in chart.lines
    )
    unit = replace(chart.title, name="")
    return Markup("").join(
        [
            Markup('<figure class="chart" data-chart="{}"><figcaption>{}').format(
                _points(chart, frame), chart.title.name
            ),
            Markup(' <span class="unit">{}</span>').format(unit.in_pieces("span")) if unit.unit else "",
            Markup('</figcaption><div class="plot">'),
            Markup(
                '<svg viewBox="0 0 {w:g} {h:g}" role="img" aria-label="{label}" data-left="{l:g}" data-right="{r:g}" '
                'data-top="{t:g}" data-bottom="{b:g}" font-size="14" font-family="sans-serif">'
                '<rect width="{w:g}" height="{h:g}" fill="#ffffff"/><g class="grid">'
            ).format(
                w=_WIDE,
                h=_HIGH,
                label=f"{chart.title}; over: {chart.over}; {said}",
                l=_LEFT,
                r=_RIGHT,
                t=_TOP,
                b=_BOTTOM,
            ),
            *_grid(frame),
            # A picture within the picture cuts off what leaves the frame.
            Markup(
                '</g><svg class="curves" x="{l:g}" y="{t:g}" width="{w:g}" height="{h:g}" '
                'viewBox="{l:g} {t:g} {w:g} {h:g}">'
            ).format(l=_LEFT, t=_TOP, w=_RIGHT - _LEFT, h=_BOTTOM - _TOP),
            *(_band(frame, chart.x, line) for line in chart.lines if line.band is not None),
            *(_curve(frame, chart.x, line) for line in chart.lines),
            Markup(
                '</svg><g class="cursor"></g><text x="{:g}" y="{:g}" text-anchor="middle" fill="#111111">{}</text>'
            ).format((_LEFT + _RIGHT) / 2, _HIGH - 8, chart.over.in_pieces("tspan")),
            Markup("</svg></div></figure>"),
        ]
    )


@dataclass(frozen=True, slots=True)
class _Frame:
    low_x: float
    high_x: float
    low_y: float
    high_y: float

    def across(self, x: float) -> float:
        return _LEFT + (x - self.low_x) / (self.high_x - self.low_x) * (_RIGHT - _LEFT)

    def down(self, y: float) -> float:
        return _BOTTOM - (y - self.low_y) / (self.high_y - self.low_y) * (_BOTTOM - _TOP)


def _points(chart: Chart, frame: _Frame) -> str:
    """All that the script needs, as JSON; a gap is null. Two decimals more than are shown do for any zoom."""

    def axis(one: ChartAxis) -> dict[str, object]:
        return {"name": one.name, "unit": one.unit, "decimals": one.decimals, "sign": one.sign}

    def numbers(values: Array, decimals: int) -> list[float | None]:
        return [round(float(v), decimals + 2) + 0.0 if math.isfinite(v) else None for v in values]

    return json.dumps(
        {
            "title": axis(chart.title),
            "over": axis(chart.over),
            "motion": chart.motion,
            "heights": [frame.low_y, frame.high_y],
            "x": numbers(chart.x, chart.over.decimals),
            "lines": [
                {"name": line.name, "look": line.look, "y": numbers(line.y, chart.title.decimals)}
                | ({} if line.band is None else {"band": numbers(line.band, chart.title.decimals)})
                for line in chart.lines
            ],
        },
        separators=(",", ":"),
        ensure_ascii=False,
    )


def _span(values: Sequence[Array], room: float) -> tuple[float, float]:
    every = np.concatenate(values) if values else np.zeros(0)
    every = every[np.isfinite(every)]
    low, high = (float(every.min()), float(every.max())) if every.size else (0.0, 1.0)
    wide = max(high - low, 1e-3 * max(abs(low), abs(high), 1.0))
    return low - room * wide, low + wide + room * wide


def _grid(frame: _Frame) -> Iterator[Markup]:
    for x in _ticks(frame.low_x, frame.high_x):
        yield Markup(
            '<line x1="{a:.1f}" x2="{a:.1f}" y1="{t:g}" y2="{b:g}" stroke="#d4d4d4"/>'
            '<text x="{a:.1f}" y="{c:g}" text-anchor="middle" fill="#333333">{n}</text>'
        ).format(a=frame.across(x), t=_TOP, b=_BOTTOM, c=_BOTTOM + 17, n=_told(x))
    for y in _ticks(frame.low_y, frame.high_y):
        yield Markup(
            '<line x1="{l:g}" x2="{r:g}" y1="{d:.1f}" y2="{d:.1f}" stroke="#d4d4d4"/>'
            '<text x="{c:g}" y="{e:.1f}" text-anchor="end" fill="#333333">{n}</text>'
        ).format(l=_LEFT, r=_RIGHT, d=frame.down(y), c=_LEFT - 6, e=frame.down(y) + 4.5, n=_told(y))


def _curve(frame: _Frame, places: Array, line: ChartLine) -> Markup:
    path, drawing = [], False
    for x, y in zip(places, line.y, strict=True):
        if not math.isfinite(y):
            drawing = False
            continue
        path.append(f"{'L' if drawing else 'M'}{frame.across(float(x)):.1f} {frame.down(float(y)):.1f}")
        drawing = True
    colour, pattern = LOOKS[line.look]
    dashes = Markup(' stroke-dasharray="{}"').format(pattern) if pattern else Markup("")
    return Markup('<path d="{}" fill="none" stroke="{}" stroke-width="2.6"{}/>').format(" ".join(path), colour, dashes)


def _band(frame: _Frame, places: Array, line: ChartLine) -> Markup:
    """The band of a curve: there along its upper edge and back along the lower one, where it is known."""
    low, high = line.edges
    known = np.isfinite(line.y)
    there = [f"{frame.across(x):.1f},{frame.down(y):.1f}" for x, y in zip(places[known], high[known], strict=True)]
    back = [f"{frame.across(x):.1f},{frame.down(y):.1f}" for x, y in zip(places[known], low[known], strict=True)]
    return Markup('<polygon points="{}" fill="{}" fill-opacity="0.18"/>').format(
        " ".join([*there, *reversed(back)]), LOOKS[line.look][0]
    )


def _widest(line: ChartLine, decimals: int) -> str:
    if line.band is None or not np.isfinite(line.band).any():
        return ""
    return f"; ± {np.nanmax(line.band):.{decimals}f} at most"


def _ends(line: ChartLine, decimals: int) -> str:
    known = line.y[np.isfinite(line.y)]
    return f"{known[0]:.{decimals}f} to {known[-1]:.{decimals}f}" if known.size else "nowhere known"


def _ticks(low: float, high: float) -> Iterator[float]:
    rough = (high - low) / 5
    power = 10.0 ** math.floor(math.log10(rough))
    step = next(power * m for m in (1, 2, 5, 10) if power * m >= rough)
    for k in range(math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9) + 1):
        yield k * step


def _told(value: float) -> str:
    return str(escape(f"{value + 0.0:.6g}".replace("-", "−")))

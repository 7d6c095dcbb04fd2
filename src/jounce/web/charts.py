"""Line charts as vector pictures, written by the server; the page moves only their cursor."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from markupsafe import Markup, escape

from jounce.numerics.arrays import Array

__all__ = ["FOUND", "PLANNED", "Line", "chart"]

# Okabe and Ito's palette (2008), safe for the colour-blind; as found is dashed as well, so that no colour is needed.
FOUND, PLANNED = "#0072B2", "#D55E00"
_WIDE, _HIGH = 420.0, 260.0
_LEFT, _RIGHT, _TOP, _BOTTOM = 52.0, 408.0, 34.0, 216.0


@dataclass(frozen=True, slots=True)
class Line:
    """One curve, in the units that are shown; NaN leaves a gap."""

    name: str
    x: Array
    y: Array
    planned: bool


def chart(title: str, x_label: str, lines: Sequence[Line], motion: str = "") -> Markup:
    """A chart with axes, grid and a cursor.

    Args:
        title: what is shown, with its unit and sign
        x_label: what it is shown over
        lines: the curves
        motion: motion of the picture that its cursor follows
    """
    low_x, high_x = _span([line.x for line in lines], room=0.0)
    low_y, high_y = _span([line.y for line in lines], room=0.08)
    frame = _Frame(low_x, high_x, low_y, high_y)
    said = "; ".join(f"{line.name} from {_ends(line)}" for line in lines)
    return Markup("").join(
        [
            Markup(
                '<svg class="chart" viewBox="0 0 {w:g} {h:g}" role="img" aria-label="{label}" data-motion="{motion}" '
                'data-low="{lx:.6g}" data-high="{hx:.6g}" data-left="{l:g}" data-right="{r:g}" font-size="14" '
                'font-family="sans-serif"><rect width="{w:g}" height="{h:g}" fill="#ffffff"/>'
            ).format(
                w=_WIDE,
                h=_HIGH,
                label=f"{title} over {x_label}. {said}.",
                motion=motion,
                lx=low_x,
                hx=high_x,
                l=_LEFT,
                r=_RIGHT,
            ),
            Markup('<text x="{:g}" y="20" font-weight="bold" fill="#111111">{}</text>').format(6, title),
            *_grid(frame),
            *(_curve(frame, line) for line in lines),
            Markup(
                '<line class="cursor" x1="-9" x2="-9" y1="{:g}" y2="{:g}" stroke="#111111" stroke-width="1.5"/>'
            ).format(_TOP, _BOTTOM),
            Markup('<text x="{:g}" y="{:g}" text-anchor="middle" fill="#111111">{}</text></svg>').format(
                (_LEFT + _RIGHT) / 2, _HIGH - 8, x_label
            ),
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


def _curve(frame: _Frame, line: Line) -> Markup:
    path, drawing = [], False
    for x, y in zip(line.x, line.y, strict=True):
        if not math.isfinite(y):
            drawing = False
            continue
        path.append(f"{'L' if drawing else 'M'}{frame.across(float(x)):.1f} {frame.down(float(y)):.1f}")
        drawing = True
    dashes = Markup("") if line.planned else Markup(' stroke-dasharray="7 4"')
    return Markup('<path d="{}" fill="none" stroke="{}" stroke-width="2.6"{}/>').format(
        " ".join(path), PLANNED if line.planned else FOUND, dashes
    )


def _ends(line: Line) -> str:
    known = line.y[np.isfinite(line.y)]
    return f"{known[0]:.2f} to {known[-1]:.2f}" if known.size else "nowhere known"


def _ticks(low: float, high: float) -> Iterator[float]:
    rough = (high - low) / 5
    power = 10.0 ** math.floor(math.log10(rough))
    step = next(power * m for m in (1, 2, 5, 10) if power * m >= rough)
    for k in range(math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9) + 1):
        yield k * step


def _told(value: float) -> str:
    return str(escape(f"{value + 0.0:.6g}".replace("-", "−")))

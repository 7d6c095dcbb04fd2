"""What more money buys, as a picture: price against how far the goals are missed, the steps worth their money joined."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence

import numpy as np
from markupsafe import Markup

from jounce.numerics.arrays import Array
from jounce.web.charts.chart import LOOKS

__all__ = ["price_chart"]

_PLANNED = LOOKS[1][0]
_Scale = Callable[[float], float]
_WIDE, _HIGH = 460.0, 300.0
_LEFT, _RIGHT, _TOP, _BOTTOM = 42.0, 448.0, 40.0, 250.0
_SHAPES: Mapping[str, str] = {
    "good": "M{x} {t}L{r} {b}L{l} {b}Z",  # a triangle
    "better": "M{l} {t}H{r}V{b}H{l}Z",  # a square
    "best": "M{x} {t}L{r} {y}L{x} {b}L{l} {y}Z",  # a diamond
}


def price_chart(price: Array, missed: Array, front: Sequence[int], three: Mapping[str, int], currency: str) -> Markup:
    """The picture; a list beside it says the same in words.

    Args:
        price: what each package costs, shape (packages,) [money]
        missed: how far each misses its goals, shape (packages,) [-]
        front: packages that no cheaper one equals, the cheapest first
        three: number of the good, better and best package
        currency: of the price
    """
    low, high = _span(price)
    top = max(float(missed.max(initial=0.0)) * 1.08, 1.0)

    def across(value: float) -> float:
        return _LEFT + (value - low) / (high - low) * (_RIGHT - _LEFT)

    def down(value: float) -> float:
        return _BOTTOM - value / top * (_BOTTOM - _TOP)

    told = "; ".join(f"{name} costs {price[k]:.2f} and misses by {missed[k]:.2f}" for name, k in three.items())
    label = f"Price in {currency} against goals missed; {told}. The table below has the steps."
    return Markup("").join(
        [
            Markup(
                '<svg class="chart price" viewBox="0 0 {w:g} {h:g}" role="img" aria-label="{label}" font-size="14" '
                'font-family="sans-serif"><rect width="{w:g}" height="{h:g}" fill="#ffffff"/>'
            ).format(w=_WIDE, h=_HIGH, label=label),
            Markup('<text x="6" y="22" font-weight="bold" fill="#111111">goals missed by (0: all are met)</text>'),
            *_ruled(low, high, top, across, down),
            *(
                Markup('<circle cx="{:.1f}" cy="{:.1f}" r="3.4" fill="none" stroke="#5b6670"/>').format(
                    across(float(p)), down(float(m))
                )
                for p, m in zip(price, missed, strict=True)
            ),
            _steps([(across(float(price[k])), down(float(missed[k]))) for k in front]),
            *_marks({n: (across(float(price[k])), down(float(missed[k]))) for n, k in three.items()}),
            Markup(
                '<text x="{:g}" y="{:g}" text-anchor="middle" fill="#111111">price of the parts{}</text></svg>'
            ).format((_LEFT + _RIGHT) / 2, _HIGH - 8, f", {currency}" if currency else ""),
        ]
    )


def _span(price: Array) -> tuple[float, float]:
    low, high = (float(price.min()), float(price.max())) if len(price) else (0.0, 1.0)
    room = max(0.06 * (high - low), 0.02 * max(high, 1.0))
    return max(0.0, low - room), high + room


def _ruled(low: float, high: float, top: float, across: _Scale, down: _Scale) -> Iterator[Markup]:
    for x in _ticks(low, high):
        yield Markup(
            '<line x1="{a:.1f}" x2="{a:.1f}" y1="{t:g}" y2="{b:g}" stroke="#d4d4d4"/>'
            '<text x="{a:.1f}" y="{c:g}" text-anchor="middle" fill="#333333">{n:g}</text>'
        ).format(a=across(x), t=_TOP, b=_BOTTOM, c=_BOTTOM + 20, n=x)
    for y in _ticks(0.0, top):
        yield Markup(
            '<line x1="{l:g}" x2="{r:g}" y1="{d:.1f}" y2="{d:.1f}" stroke="#d4d4d4"/>'
            '<text x="{c:g}" y="{e:.1f}" text-anchor="end" fill="#333333">{n:g}</text>'
        ).format(l=_LEFT, r=_RIGHT, d=down(y), c=_LEFT - 8, e=down(y) + 5, n=y)


def _steps(points: Sequence[tuple[float, float]]) -> Markup:
    """The best that can be had for each price: flat until the next one that is worth its money."""
    if not points:
        return Markup("")
    path = f"M{points[0][0]:.1f} {points[0][1]:.1f}" + "".join(f"H{x:.1f}V{y:.1f}" for x, y in points[1:])
    dots = Markup("").join(
        Markup('<circle cx="{:.1f}" cy="{:.1f}" r="4.4" fill="{}"/>').format(x, y, _PLANNED) for x, y in points
    )
    line = Markup('<path d="{}H{:g}" fill="none" stroke="{}" stroke-width="2.6"/>').format(path, _RIGHT, _PLANNED)
    return line + dots


def _marks(named: Mapping[str, tuple[float, float]]) -> Iterator[Markup]:
    """Good, better and best by shape and word; words that would meet stand one above the other."""
    words: list[tuple[float, float]] = []
    for name, (x, y) in named.items():
        box = {"x": x, "y": y, "l": x - 9, "r": x + 9, "t": y - 9, "b": y + 9}
        yield Markup('<path d="{}" fill="#12344d" stroke="#ffffff" stroke-width="1.5"/>').format(
            _SHAPES[name].format(**{key: f"{value:.1f}" for key, value in box.items()})
        )
        at = y - 16
        while any(abs(x - other) < 60 and abs(at - height) < 17 for other, height in words):
            at -= 17
        words.append((x, at))
        anchor = "end" if x > _RIGHT - 40 else "start" if x < _LEFT + 40 else "middle"
        yield Markup(
            '<text x="{:.1f}" y="{:.1f}" text-anchor="{}" font-weight="bold" fill="#12344d" stroke="#ffffff" '
            'stroke-width="4" paint-order="stroke">{}</text>'
        ).format(x, at, anchor, name)


def _ticks(low: float, high: float) -> Array:
    rough = (high - low) / 5
    power = 10.0 ** math.floor(math.log10(rough))
    step = next(power * m for m in (1, 2, 5, 10) if power * m >= rough)
    return np.arange(math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9) + 1, dtype=np.float64) * step

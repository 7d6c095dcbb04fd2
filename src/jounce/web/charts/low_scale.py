"""How low a car can go, drawn under the slider: what its own parts allow, what rubs, what is not allowed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from markupsafe import Markup

from jounce.conventions.units import Kind, show
from jounce.wanted.counter.how_low import HowLow, LowMark, Sort
from jounce.wanted.counter.wish import MOST_LOWER

__all__ = ["SORTS", "low_scale", "marks_shown"]


_WIDE, _HIGH, _THICK = 1000.0, 70.0, 18.0
_FREE = "#d9ead3"
SORTS: Mapping[Sort, tuple[str, str, float]] = {
    "parts": ("other dampers or rubbers", "#fff0c2", 2.0),
    "rubs": ("it rubs", "#f6c8a8", 25.0),
    "law": ("not allowed", "#d7c4e6", 48.0),
    "end": ("the linkage ends", "#c3cad0", 0.0),
}
"""Of each sort of mark its words, its colour, and where its stripe lies."""
_STRIPES: tuple[Sort, ...] = ("parts", "rubs", "law")


def low_scale(low: HowLow, units: str) -> Markup:
    """The picture; the list beside it says the same in words.

    Args:
        low: how low the car can go
        units: unit set of the numbers told
    """
    label = "; ".join(_said(low, sort, units) for sort in _STRIPES)
    head = Markup(
        '<svg class="low-scale" viewBox="0 0 {w:g} {h:g}" preserveAspectRatio="none" role="img" aria-label="{label}">'
    ).format(w=_WIDE, h=_HIGH, label=label)
    return Markup("").join([head, *(part for sort in _STRIPES for part in _stripe(low, sort)), Markup("</svg>")])


def marks_shown(low: HowLow) -> list[LowMark]:
    """What is told in words: the first that its own parts end at, then all that rubs, is not allowed, or ends.

    Args:
        low: how low the car can go
    """
    firsts = [mark for mark in map(low.first, SORTS) if mark is not None]
    rest = [mark for mark in low.marks if mark.sort != "parts" and mark not in firsts]
    return sorted(firsts, key=lambda mark: mark.at) + rest


def _said(low: HowLow, sort: Sort, units: str) -> str:
    mark = low.first(sort)
    return (
        f"{SORTS[sort][0]}: {'nowhere on the slider' if mark is None else 'from ' + show(mark.at, Kind.LENGTH, units)}"
    )


def _stripe(low: HowLow, sort: Sort) -> Iterator[Markup]:
    """Free until its first mark, coloured beyond; grey where the linkage ends."""
    _, colour, top = SORTS[sort]
    mark, end = low.first(sort), low.first("end")
    last = _WIDE if end is None else _across(end.at)
    begins = last if mark is None else min(last, _across(mark.at))
    for start, stop, fill in ((0.0, begins, _FREE), (begins, last, colour), (last, _WIDE, SORTS["end"][1])):
        if stop > start:
            yield Markup(
                '<rect x="{x:.1f}" y="{y:g}" width="{w:.1f}" height="{h:g}" fill="{c}" stroke="#46505a"/>'
            ).format(x=start, y=top, w=stop - start, h=_THICK, c=fill)


def _across(lower: float) -> float:
    return _WIDE * min(lower, MOST_LOWER) / MOST_LOWER

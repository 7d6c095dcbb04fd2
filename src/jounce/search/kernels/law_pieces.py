"""Laws of elements as piecewise polynomials in flat arrays: what compiled functions can read."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

import numpy as np

from jounce.elements.law import Linear, OneSided
from jounce.elements.piecewise import cubic_with_slopes
from jounce.elements.springs.progressive import ProgressiveCurve, SpringCurve
from jounce.elements.springs.stepped import SteppedRate
from jounce.elements.stops.bump_stop import BumpStop
from jounce.linkage.balance import Law
from jounce.numerics.arrays import Array, IntArray
from jounce.numerics.compiled import compiled_inner

_STEP = 1e-4
"""A law of another kind is taken at every tenth of a millimetre, or of a thousandth of a turn [m or rad]."""
_REACH = 0.6  # how far to both sides [m or rad]
_TERMS = 4  # a cubic

Rows = tuple[Array, Array]
"""Where each piece begins, rising, shape (pieces,), and its terms, lowest first, shape (pieces, terms)."""


class LawPieces(NamedTuple):
    """Many laws: each piece is a polynomial of the way from its beginning, the first and the last go on without end.

    Attributes:
        begin: first piece of each law and one behind the last, shape (laws + 1,)
        start: where each piece begins, shape (pieces,) [m or rad]
        terms: lowest first, shape (pieces, terms) [N or N m, per m or rad each]

    """

    begin: IntArray
    start: Array
    terms: Array


def law_pieces(laws: Sequence[Law]) -> LawPieces:
    """Laws as pieces: straight, one-sided, stepped and curved ones exactly, others read at every tenth of a millimetre.

    Args:
        laws: each of one element, not one per state
    """
    rows = [_rows(law) for law in laws]
    width = max((terms.shape[1] for _, terms in rows), default=_TERMS)
    wide = [np.pad(terms, ((0, 0), (0, width - terms.shape[1]))) for _, terms in rows]
    begin = np.cumsum([0, *(len(start) for start, _ in rows)], dtype=np.intp)
    return LawPieces(
        begin,
        np.concatenate([start for start, _ in rows]) if rows else np.zeros(0),
        np.ascontiguousarray(np.concatenate(wide)) if rows else np.zeros((0, width)),
    )


def _rows(law: Law) -> Rows:
    match law:
        case Linear():
            return np.zeros(1), np.array([[_one(law.preload), _one(law.rate), 0.0, 0.0]])
        case OneSided():
            return _stepped((law,))
        case SteppedRate():
            return _stepped(law.laws)
        case BumpStop() | SpringCurve():
            return _progressive(law.progressive)
        case ProgressiveCurve():
            return _progressive(law)
        case _:
            return _read(law)


def _one(value: float | Array) -> float:
    return float(np.ravel(value)[0])


def _stepped(laws: Iterable[OneSided]) -> Rows:
    """No force before the first touch; then one rate after another."""
    touching = sorted((_one(law.start), _one(law.rate)) for law in laws if np.isfinite(_one(law.start)))
    starts, terms = [0.0], [[0.0, 0.0, 0.0, 0.0]]
    for start, rate in touching:
        carried = terms[-1][0] + terms[-1][1] * (start - starts[-1])
        starts.append(start)
        terms.append([carried, terms[-1][1] + rate, 0.0, 0.0])
    if len(starts) > 1:
        starts[0] = starts[1] - 1.0  # the first piece is level: anywhere before
    return np.array(starts), np.array(terms)


def _progressive(law: ProgressiveCurve) -> Rows:
    """No force before touch, the curve's own pieces, straight on beyond its reach."""
    inner = law.curve.terms.T
    width = max(inner.shape[1], _TERMS)
    inner = np.pad(inner, ((0, 0), (0, width - inner.shape[1])))
    end = np.zeros((1, width))
    end[0, :2] = float(law.curve(law.reach)), float(law.curve.slope()(law.reach))
    starts = np.concatenate(([law.curve.x[0] - 1.0], law.curve.x[:-1], [law.reach]))
    return starts, np.concatenate((np.zeros((1, width)), inner, end))


def _read(law: Law) -> Rows:
    places = np.arange(-_REACH, _REACH, _STEP)
    read = cubic_with_slopes(places, law.force(places), law.stiffness(places))
    return read.x[:-1], np.asarray(read.terms.T)


@compiled_inner
def pushed(laws: LawPieces, which: int, x: float) -> tuple[float, float]:
    """Force and stiffness of a law [N or N m, N/m or N m/rad].

    Args:
        laws: all laws
        which: number of the law
        x: displacement [m or rad]
    """
    low, high = laws.begin[which], laws.begin[which + 1] - 1
    while low < high:  # the last piece that begins before x
        middle = (low + high + 1) // 2
        if laws.start[middle] < x:
            low = middle
        else:
            high = middle - 1
    way = x - laws.start[low]
    force, rate = 0.0, 0.0
    for k in range(laws.terms.shape[1] - 1, -1, -1):
        rate = rate * way + force
        force = force * way + laws.terms[low, k]
    return force, rate

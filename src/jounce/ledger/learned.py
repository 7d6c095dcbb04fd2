"""What a shop's ledger has made of the bands of planned cars: how they are widened, and the sentence that says so.

Where found numbers miss by ``c`` times what both ± leave open, nobody knows whether the promise or the reading was told too
narrow. So both are taken to be: a band ``b`` becomes ``√(c² b² + (c² - 1) m²)`` with ``m`` the shown ± of a reading as the
shop's tools usually have it, and what is found next lies within both together as often as it should. A band that was told
too wide becomes ``c b``.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import hypot, sqrt

from jounce.conventions.certainty import SHOWN_PER_TYPED
from jounce.conventions.constants import GRAVITY
from jounce.conventions.quantities import RESULTS
from jounce.conventions.units import DEG, MM, Kind, show

__all__ = ["USUAL_READING", "besides_words", "learned_words", "own_band", "widened_band"]

USUAL_READING: Mapping[Kind, float] = {Kind.LENGTH: 1 * MM, Kind.MASS: 1.0, Kind.FORCE: GRAVITY, Kind.ANGLE: 0.1 * DEG}
"""± of a reading as typed: tape, scale and gauge at their usual; common practice, no source [SI]."""


def widened_band(band: float, factor: float, kind: Kind) -> float:
    """A band with what the ledger has taught of its quantity [SI].

    Args:
        band: half width as it was worked out [SI]
        factor: of the ledger's account [-]
        kind: what it measures
    """
    return hypot(factor * band, _of_readings(factor, kind)) if band > 0 else band


def own_band(widened: float, factor: float, kind: Kind) -> float:
    """The band as it was worked out, of one that was widened [SI].

    Args:
        widened: half width [SI]
        factor: of the ledger's account [-]
        kind: what it measures
    """
    return sqrt(max(widened**2 - _of_readings(factor, kind) ** 2, 0.0)) / factor


def _of_readings(factor: float, kind: Kind) -> float:
    """What the readings' own misses add, in squares [SI]."""
    return SHOWN_PER_TYPED * USUAL_READING.get(kind, 0.0) * sqrt(max(factor**2 - 1, 0.0))


def learned_words(widened: Mapping[str, float]) -> str:
    """A sentence on what the ledger has made of the bands; empty where it has nothing to say.

    Args:
        widened: by what bands are multiplied, by quantity [-]

    >>> learned_words({"wheel_rate": 1.25})[-20:]
    ' wheel rate × 1.250.'
    >>> learned_words({"height": 1.25})[-36:]
    'height × 1.250 and ± 0.6 mm besides.'
    """
    if not widened:
        return ""
    told = ", ".join(_told(name, by) for name, by in sorted(widened.items()))
    return (
        "± of the planned car are multiplied by what the shop found when it measured finished cars, where it found "
        f"anything: {told}."
    )


def _told(name: str, factor: float) -> str:
    return f"{name.replace('_', ' ')} × {show(factor, Kind.RATIO)}{besides_words(name, factor)}"


def besides_words(name: str, factor: float) -> str:
    """What the readings' own misses add to a band beside its factor, in words; empty for nothing.

    Args:
        name: of the quantity
        factor: of the ledger's account [-]
    """
    kind = RESULTS[name].kind if name in RESULTS else Kind.RATIO
    more = _of_readings(factor, kind)
    return f" and ± {show(more, kind)} besides" if more > 0 else ""

"""What a recording told, as the sentence that says how to write it among a car's readings."""

from __future__ import annotations

from jounce.conventions.certainty import DEVIATIONS_SHOWN, DEVIATIONS_TYPED
from jounce.conventions.units import show
from jounce.fit.kinds import KINDS
from jounce.recordings.bounce import Estimate

__all__ = ["for_readings"]


def for_readings(what: str, found: Estimate, units: str, at: str = "") -> str:
    """The reading that a recording is for a fit: its ± as one is typed, two deviations, not as a band is shown.

    Args:
        what: word of the kind of reading
        found: value and the band that holds nine of ten [SI]
        units: unit set
        at: of which axle; of the whole car when left out
    """
    kind = KINDS[what].kind
    typed = found.plus_minus * DEVIATIONS_TYPED / DEVIATIONS_SHOWN
    where = f", {at}" if at else ""
    return (
        f"Among the readings of the car, for a fit, it is {what}{where}: {show(found.value, kind, units)} ± "
        f"{show(typed, kind, units)}, a ± that holds 95 in 100 as one is typed."
    )

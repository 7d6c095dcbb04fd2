"""A number that was promised and then found: by how many deviations it missed, and whether its band held."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from math import hypot

from jounce.conventions.certainty import DEVIATIONS_SHOWN, DEVIATIONS_TYPED, agrees, together
from jounce.conventions.units import Kind

__all__ = ["Outcome", "PromisedNumber"]

_CORNER = 3
_QUARTERS = ("January to March", "April to June", "July to September", "October to December")


@dataclass(frozen=True, slots=True)
class PromisedNumber:
    """A number as it was promised on a sheet.

    Attributes:
        key: ``axle.side.quantity``, ``axle.quantity`` or a name
        kind: what it measures
        value: the number [SI]
        band: half width that was printed beside it, nine of ten [SI]; above zero
        widened: by what the ledger had multiplied the band before it was printed; 1 where it had not [-]
        layout: word of the axle's layout; empty for a number of the whole car

    """

    key: str
    kind: Kind
    value: float
    band: float
    widened: float = 1.0
    layout: str = ""


@dataclass(frozen=True, slots=True)
class Outcome:
    """A promise beside what was found.

    Attributes:
        job: what tells one job from another
        promised: the number as it was promised
        found: what was measured afterwards [SI]
        plus_minus: its ±, as typed [SI]
        when: the day on which it was measured

    """

    job: str
    promised: PromisedNumber
    found: float
    plus_minus: float
    when: datetime.date

    @property
    def difference(self) -> float:
        """Found less promised [SI]."""
        return self.found - self.promised.value

    @property
    def deviation(self) -> float:
        """Standard deviation that the difference was to have: ``√(σ_p² + σ_m²)`` [SI]."""
        return hypot(self.promised.band / DEVIATIONS_SHOWN, self.plus_minus / DEVIATIONS_TYPED)

    @property
    def apart(self) -> float:
        """By how many of its deviations the promise was missed [-]."""
        return self.difference / self.deviation

    @property
    def apart_before(self) -> float:
        """The same with the band as it was before the ledger widened it [-]: from this the ledger learns."""
        own = self.promised.band / self.promised.widened / DEVIATIONS_SHOWN
        return self.difference / hypot(own, self.plus_minus / DEVIATIONS_TYPED)

    @property
    def inside(self) -> bool:
        """Whether both agree within both bands together, which nine of ten do that were promised rightly."""
        return agrees(self.difference, self.plus_minus, self.promised.band)

    @property
    def half_width(self) -> float:
        """Half width of both bands together [SI]."""
        return together(self.plus_minus, self.promised.band)

    @property
    def quantity(self) -> str:
        """The last word of its key: ``height``."""
        return self.promised.key.rpartition(".")[2]

    @property
    def place(self) -> str:
        """Axle and quantity, ``front height``: left and right stand together."""
        parts = self.promised.key.split(".")
        return " ".join([parts[0], parts[-1]] if len(parts) == _CORNER else parts)

    @property
    def season(self) -> str:
        """The quarter of the year in which it was measured."""
        return _QUARTERS[(self.when.month - 1) // 3]

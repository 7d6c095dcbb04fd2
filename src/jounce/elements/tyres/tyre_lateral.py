"""Lateral force of a tyre by its load and slip angle: what any law of it tells, and published examples.

Here slip and force are counted in the same sense: a tyre that slips to one side is pushed to the other, and both are
positive together. Whoever has signed slip angles turns them beforehand. Camber is left out.
"""

from __future__ import annotations

from typing import Protocol

from jounce.elements.tyres.magic_formula import MagicShape
from jounce.elements.tyres.tyre_lateral_61 import MagicFormula61
from jounce.elements.tyres.tyre_lateral_1987 import MagicFormula1987
from jounce.numerics.arrays import Array

__all__ = [
    "EXAMPLE_205_60_R15",
    "EXAMPLE_1987",
    "EXAMPLE_TYRES",
    "LateralLaw",
    "MagicFormula61",
    "MagicFormula1987",
    "PeakedLaw",
]


class LateralLaw(Protocol):
    """A tyre's lateral force over load and slip."""

    def force(self, load: Array, slip: Array) -> Array:
        """Lateral force at a slip angle [rad] under a vertical load [N], in N."""
        ...

    def stiffness(self, load: Array, slip: Array) -> Array:
        """Its derivative by slip [N/rad]."""
        ...


class PeakedLaw(LateralLaw, Protocol):
    """A lateral law that knows where its peak lies."""

    def peak_slip(self, load: Array) -> Array:
        """Slip at which it gives most under a load [N], in rad."""
        ...

    def peak(self, load: Array) -> Array:
        """Most that it gives under a load [N], in N."""
        ...

    def curve(self, load: Array) -> MagicShape:
        """Force [N] over slip [rad] under loads [N], any shape; it gives nothing off the road."""
        ...


EXAMPLE_1987 = MagicFormula1987((-22.1, 1011.0, 1078.0, 1.82, 0.208, 0.000, -0.354, 0.707))
"""The passenger-car tyre of SAE 870421, Tables 2 and 3 (coefficients from public transcriptions)."""

EXAMPLE_205_60_R15 = MagicFormula61(
    4000.0,
    {
        "pCy1": 1.338,
        "pDy1": 0.8785,
        "pDy2": -0.06452,
        "pEy1": -0.8057,
        "pEy2": -0.6046,
        "pEy3": 0.09854,
        "pKy1": -15.324,
        "pKy2": 1.715,
        "pKy4": 2.0005,
        "pVy1": -0.00661,
        "pVy2": 0.03592,
        "pHy1": -0.001806,
        "pHy2": 0.00352,
    },
)
"""The 205/60R15 91V tyre at 2.2 bar of Pacejka, 3rd edition, appendix 3 (coefficients from a public transcription)."""

EXAMPLE_TYRES: dict[str, MagicFormula1987 | MagicFormula61] = {
    "example 1987": EXAMPLE_1987,
    "example 205/60 R15": EXAMPLE_205_60_R15,
}
"""Published tyres by the name under which a car file may use them."""

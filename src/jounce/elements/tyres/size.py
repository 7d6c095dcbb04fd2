"""Tyre sizes by their designation: what "195/50 R15" says of its outside, its height and its width."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from jounce.conventions.units import INCH, MM

__all__ = ["HEIGHT_SHARE", "WIDTH_SHARE", "TyreSize", "is_tyre_size", "size_named"]

_DESIGNATION = re.compile(
    r"(?<!\d)(?P<width>\d{3})\s*/\s*(?P<aspect>\d{2})\s*-?\s*Z?[RBD]?\s*-?\s*(?P<rim>\d{2})(?!\d)", re.IGNORECASE
)
_WIDTHS, _ASPECTS, _RIMS = (115, 355), (20, 95), (10, 24)
_STEP, _ENDS_WITH = 5, 5
_OF_RIM = 0.4
HEIGHT_SHARE = 0.035
"""By how much a section may be higher or lower than its design height: -3 % and +4 % are allowed [-]."""
WIDTH_SHARE = 0.04
"""By how much a radial tyre may be wider over all than its design section [-]."""


@dataclass(frozen=True, slots=True)
class TyreSize:
    """A size of the metric series: ``D = d + 2 H`` and ``S = S1 + 0.4 (A - A1)``, lengths to a whole millimetre.

    ``H = S1 · aspect / 100``, ``d`` the code of the rim in inches; ``A`` is the rim's width, that on which tyres are
    measured unless another is told, ``A1`` the theoretical rim's, ``x S1``.

    Valid for: sizes whose widths end with 5, from 115 to 355, aspects of 20 to 95 in steps of 5, rims of 10 to 24; not for
    sizes in inches or in millimetres of rim, whose measures stand in tables.
    Source: UN Regulation 30, paragraph 6.1 (read in a public transcription of its amendments); ``x`` and the measuring
    rim of each aspect by ISO 4000-1, quoted from memory, checked against published measures of sizes.

    Attributes:
        width: nominal section width S1 [mm, as it is written]
        aspect: section height as a share of it [%, as it is written]
        rim: nominal diameter of the rim [code, in inches]

    >>> size = TyreSize(195, 50, 15)
    >>> round(size.outside, 3), round(size.section_width(), 3), str(size)
    (0.577, 0.201, '195/50 R15')
    """

    width: int
    aspect: int
    rim: int

    def __str__(self) -> str:
        """The designation."""
        return f"{self.width}/{self.aspect} R{self.rim}"

    @property
    def rim_diameter(self) -> float:
        """Nominal diameter of the rim d [m]."""
        return _whole(self.rim * INCH / MM) * MM

    @property
    def section_height(self) -> float:
        """Height of the section H, from the rim to the tread [m]."""
        return _whole(self.width * self.aspect / 100) * MM

    @property
    def outside(self) -> float:
        """Outer diameter D, free of load [m]."""
        return self.rim_diameter + 2 * self.section_height

    @property
    def measuring_rim(self) -> float:
        """Width of the rim on which tyres of this size are measured, to half an inch [m]."""
        share = next(
            share
            for least, share in ((75, 0.70), (60, 0.75), (50, 0.80), (45, 0.85), (0, 0.90))
            if self.aspect >= least
        )
        return math.floor(2 * share * self.width * MM / INCH + 0.5) / 2 * INCH

    def section_width(self, rim_width: float | None = None) -> float:
        """Width of the section S, without what protects or decorates it [m].

        Args:
            rim_width: of the rim that it stands on; the measuring rim's when left out [m]
        """
        share = next(share for least, share in ((50, 0.70), (30, 0.85), (0, 0.90)) if self.aspect >= least)
        stands_on = self.measuring_rim if rim_width is None else rim_width
        return _whole(self.width + _OF_RIM * (stands_on / MM - share * self.width)) * MM


def is_tyre_size(width: int, aspect: int, rim: int) -> bool:
    """Whether there are tyres of such numbers at all.

    Args:
        width: nominal section width, in mm as it is written
        aspect: section height as a share of it, in % as it is written
        rim: code of the rim, in inches

    >>> is_tyre_size(195, 50, 15), is_tyre_size(195, 500, 15)
    (True, False)
    """
    return (
        _WIDTHS[0] <= width <= _WIDTHS[1]
        and width % 10 == _ENDS_WITH
        and _ASPECTS[0] <= aspect <= _ASPECTS[1]
        and aspect % _STEP == 0
        and _RIMS[0] <= rim <= _RIMS[1]
    )


def size_named(text: str) -> TyreSize | None:
    """The first size that a text names; None where it names none.

    Args:
        text: a tyre's size and make-up, as a car file tells it

    >>> size_named("165/70 R13 79T, example") == TyreSize(165, 70, 13)
    True
    """
    for found in _DESIGNATION.finditer(text):
        numbers = (int(found["width"]), int(found["aspect"]), int(found["rim"]))
        if is_tyre_size(*numbers):
            return TyreSize(*numbers)
    return None


def _whole(number: float) -> int:
    """To the nearest whole number, halves up, as the standards round."""
    return math.floor(number + 0.5)

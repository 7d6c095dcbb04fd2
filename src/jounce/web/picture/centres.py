"""Roll centres and instant centres, as far as a picture has room for them."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from jounce.layouts.naming import SIDES
from jounce.numerics.arrays import Array, BoolArray
from jounce.web.picture.scene import TENTHS

__all__ = ["centres"]

_FARTHEST = 6.0
"""What lies farther from the car's middle is no place for a picture [m]."""


def centres(columns: Mapping[str, Array], there: BoolArray) -> list[list[int | None]]:
    """Height of the roll centre over the road, and y and z in the body of each side's front-view instant centre.

    One row per frame, in tenths of a millimetre; None for what is not there or too far away.

    Args:
        columns: results of the axle along the motion
        there: which frames there are
    """
    names = ["roll_centre_height", *(f"{side}_front_view_centre_{way}" for side in SIDES for way in "yz")]
    return [
        [_near(columns[name][i]) if ok and name in columns else None for name in names] for i, ok in enumerate(there)
    ]


def _near(place: float) -> int | None:
    return round(float(place) * TENTHS) if np.isfinite(place) and abs(place) < _FARTHEST else None

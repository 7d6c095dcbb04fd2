"""How far the curves of an axle may be off: the stated ± followed through wheel travel from where the car stands.

The same exact derivatives as of the standing car (`jounce.behaviour.bands`), taken with both wheels moved alike and the
body where it is. A result that is not reached somewhere has no band there.
"""

from __future__ import annotations

import numpy as np

from jounce.behaviour.axle.travel import column_map, states_table
from jounce.behaviour.bands import FoundCar, StandingAxles, reaches
from jounce.car.file.document import CarDocument
from jounce.car.mechanics.assembly import axle_model
from jounce.car.mechanics.model import AxleName
from jounce.conventions.certainty import SHOWN_PER_TYPED
from jounce.layouts.naming import SIDES
from jounce.numerics.arrays import Array
from jounce.numerics.complex_step import STEP

__all__ = ["BANDED", "travel_bands"]

BANDED = ("left_camber", "left_toe", "roll_centre_height")
"""Curves that carry bands, by their columns."""
_GROUPS = ("wheel angles", "roll centre")
_SPACING = 0.01  # m: between places where the bands are worked out; they are smooth


def travel_bands(document: CarDocument, axle: AxleName, travel: Array) -> dict[str, Array]:
    """Half widths of the bands of an axle's curves as they are shown, each shape (travels,) [SI].

    Args:
        document: the car as it was measured, with its stated ±
        axle: which axle
        travel: of both wheels from where the car stands, rising, shape (travels,) [m]

    Returns:
        Half widths by the columns of `BANDED`; not a number where a place is not reached, or no such curve is
    """
    car = FoundCar(document)
    inputs = [one for one in car.inputs if reaches(one, axle)]
    if not inputs:
        return {name: np.zeros(len(travel)) for name in BANDED}
    widths = np.array([one.plus_minus * SHOWN_PER_TYPED for one in inputs])
    model = axle_model(car.varied(inputs, np.full(len(inputs), 1j * STEP)).document, axle)
    places = np.linspace(travel[0], travel[-1], max(int(np.ceil((travel[-1] - travel[0]) / _SPACING)), 1) + 1)
    found = np.full((len(BANDED), len(places)), np.nan)
    for k, place in enumerate(places):
        states = StandingAxles({(axle, side): float(place) for side in SIDES}, {}).states(model)
        columns = column_map(states_table(model.stand, model.linkage, states, (1.0, 1.0), groups=_GROUPS))
        for n, name in enumerate(BANDED):
            slopes = np.imag(columns[name]) / STEP if name in columns else np.full(len(inputs), np.nan)
            if np.isfinite(slopes).all():
                found[n, k] = float(np.linalg.norm(slopes * widths))
    return {name: np.interp(travel, places, found[n]) for n, name in enumerate(BANDED)}

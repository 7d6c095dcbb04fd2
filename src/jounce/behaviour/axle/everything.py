"""Every quantity of an axle in any states: its geometry, and what its springs, bars and stops carry."""

from __future__ import annotations

from jounce.behaviour.axle.context import car_context
from jounce.behaviour.axle.motions import MODES, AxleStates
from jounce.behaviour.axle.springing import bar_stresses, springing
from jounce.behaviour.axle.travel import TravelTable, column_map, states_table
from jounce.car.file.document import CarDocument
from jounce.car.mechanics.model import AxleModel
from jounce.conventions.axes import End
from jounce.conventions.quantities import RESULTS
from jounce.conventions.quantity import Quantity
from jounce.layouts.naming import SIDES
from jounce.numerics.arrays import Array

__all__ = ["everything_at", "quantity_of", "without_side"]


def everything_at(
    document: CarDocument, model: AxleModel, states: AxleStates, motion: str = "heave"
) -> tuple[TravelTable, dict[str, Array]]:
    """Put an axle somewhere and take every quantity.

    Args:
        document: its car
        model: the axle, its springs loaded
        states: where it is put
        motion: in which way ratios and gradients are taken

    Returns:
        The geometry with what was reached; all columns by name, each (states,) [SI].
    """
    mode = MODES.get(motion, MODES["heave"])
    table = states_table(model.stand, model.linkage, states, mode, car_context(document, model.name))
    carried = springing(model, states)
    return table, {**column_map(table), **carried, **bar_stresses(document.axle(End(model.name)), carried)}


def without_side(column: str) -> str:
    """Name of the quantity of a column.

    >>> without_side("left_camber"), without_side("track")
    ('camber', 'track')
    """
    return next(
        (column.removeprefix(f"{s}_") for s in SIDES if column.startswith(f"{s}_") and column not in RESULTS), column
    )


def quantity_of(column: str) -> Quantity:
    """What a column is.

    Args:
        column: its name, a wheel's with ``left_`` or ``right_`` in front
    """
    return RESULTS[without_side(column)]

"""A car where it stands: both axles' results side by side, and what is known of the whole car."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from jounce.behaviour.axle.everything import everything_at, quantity_of, without_side
from jounce.behaviour.axle.motions import AxleStates
from jounce.behaviour.axle.static import axle_sits
from jounce.behaviour.bands import Band
from jounce.car.mechanics.layout_input import SIDE_OF
from jounce.car.mechanics.model import AxleName
from jounce.case.state import CaseState
from jounce.conventions.axes import End
from jounce.layouts.naming import SIDES
from jounce.library.results import Results, Standing
from jounce.numerics.arrays import Array

__all__ = ["standing_of", "widths_of"]

_OF_SITS = ("sprung_mass", "ride_frequency", "suspension_frequency", "loose_at")


def standing_of(title: str, state: CaseState, places: Mapping[AxleName, AxleStates]) -> Standing:
    """Everything of a car where it stands.

    Args:
        title: what it is called
        state: the car
        places: where each axle stands

    Raises:
        Impossible: it does not stand there
    """
    axles = {model.name: axle_sits(model, places[model.name]) for model in state.models}
    found: dict[str, float] = {}
    for model in state.models:
        axle, where = model.name, places[model.name]
        _, columns = everything_at(state.document, model, where)
        found |= {f"{axle}.{_dotted(name)}": float(values[0]) for name, values in columns.items()}
        for side, travel in zip(SIDES, (where.left, where.right), strict=True):
            key, wheel = f"{axle}.{side}", axles[axle].wheels[side]
            found |= {f"{key}.{name}": np.nan if (v := getattr(wheel, name)) is None else v for name in _OF_SITS}
            found[f"{key}.height"] = state.document.heights.corner(End(axle), SIDE_OF[side]).value - float(
                np.ravel(travel)[0]
            )
    load = {key: value for key, value in found.items() if key.endswith((".left.load", ".right.load"))}
    found["cross_weight"] = (load["front.right.load"] + load["rear.left.load"]) / sum(load.values())
    front, rear = (axle.roll_stiffness for axle in axles.values())
    found["front_share"] = front / (front + rear)
    values = _side_by_side(found)
    return Standing(title, values, {name: quantity_of(name) for name in values}, axles)


def widths_of(standing: Standing, bands: Mapping[str, Band]) -> Results:
    """Half widths of the bands of a standing car, in the shapes of its results.

    Args:
        standing: the car
        bands: by ``axle.side.quantity``, ``axle.quantity`` or a name
    """
    told = {key: band.plus_minus for key, band in bands.items() if key.rpartition(".")[2] in standing}
    values = _side_by_side(told)
    return Results(f"{standing.title}, ±", values, {name: standing.quantities[name] for name in values})


def _dotted(column: str) -> str:
    """``left.camber`` of the column ``left_camber``."""
    quantity = without_side(column)
    return column.removesuffix(f"_{quantity}") + f".{quantity}" if quantity != column else column


_PLACE = {"front": 0, "rear": 1, "left": 0, "right": 1}


def _side_by_side(found: Mapping[str, float]) -> dict[str, Array]:
    """Results by quantity: of wheels (2, 2), of axles (2,), of the car (); NaN where one end has none [SI]."""
    arrays: dict[str, Array] = {}
    for key, value in found.items():
        *place, name = key.split(".")
        array = arrays.setdefault(name, np.full((2,) * len(place), np.nan))
        array[tuple(_PLACE[one] for one in place)] = value
    return arrays

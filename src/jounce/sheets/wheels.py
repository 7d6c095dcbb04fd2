"""What sheets read of the four wheels where a car stands: heights, loads, angles, travel."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from jounce.behaviour.axle.reach import StopContact, first_hard, rubber_gaps, stops_met
from jounce.car.file.document import CarDocument
from jounce.car.mechanics.layout_input import SIDE_OF
from jounce.car.mechanics.model import AxleModel
from jounce.car.mechanics.stops import RUBBER
from jounce.conventions.axes import CORNERS, End
from jounce.job.plan import CarState, height
from jounce.layouts.naming import SideName

NAMES = tuple(f"{axle} {side}" for axle, side in CORNERS)
END = {"front": End.FRONT, "rear": End.REAR}


@dataclass(frozen=True, slots=True)
class WheelTravel:
    """How far one wheel goes alone from where the car stands [m].

    ``rubber`` is where the bump rubber touches, ``bump`` and ``droop`` what ends the travel; None where not known.
    """

    rubber: float | None
    bump: StopContact | None
    droop: StopContact | None


def angle(state: CarState, axle: str, side: SideName, name: str) -> float | None:
    """An angle or length of a wheel's geometry where the car stands, SI; None where the axle has none.

    Args:
        state: the car
        axle: front or rear
        side: left or right
        name: its name among the travel columns, without the side
    """
    wanted = f"{side}_{name}"
    for column in state.geometry[axle].columns:
        if column.name == wanted:
            value = float(column.values[0])
            return None if value != value else value
    return None


def arch(document: CarDocument, state: CarState, corner: tuple[str, SideName]) -> float:
    """Wheel centre to arch where the car stands [m].

    Args:
        document: the car as measured
        state: where it stands
        corner: axle and side
    """
    return height(document, state, corner)


def arch_found(document: CarDocument, corner: tuple[str, SideName]) -> tuple[float, float]:
    """Wheel centre to arch as measured, and its ± [m].

    Args:
        document: the car as measured
        corner: axle and side
    """
    measured = document.heights.corner(END[corner[0]], SIDE_OF[corner[1]])
    return measured.value, measured.plus_minus


def model_of(state: CarState, axle: str) -> AxleModel:
    """An axle's mechanics.

    Args:
        state: the car
        axle: front or rear
    """
    return next(model for model in state.models if model.name == axle)


def travel_alone(state: CarState, axle: str, side: SideName) -> WheelTravel:
    """How far a wheel goes while the other stays where it stands.

    Args:
        state: the car
        axle: front or rear
        side: the wheel that moves
    """
    at = (state.sits.travel[axle, "left"], state.sits.travel[axle, "right"])
    settings = {name: float(value) for name, value in (state.states[axle].settings or {}).items()}
    return _travel(stops_met(model_of(state, axle), at, settings, moving=(side,)), side)


def rubber_gap(state: CarState, axle: str, side: SideName) -> float | None:
    """Gap at a wheel's bump rubber where the car stands, as a rule reads it at the rod; None where not known [m].

    Args:
        state: the car
        axle: front or rear
        side: the wheel
    """
    gap = rubber_gaps(model_of(state, axle), state.states[axle]).get(side)
    return None if gap is None else float(gap[0])


def travel_together(state: CarState, axle: str, side: SideName) -> WheelTravel:
    """How far a wheel goes while the other goes with it.

    Args:
        state: the car
        axle: front or rear
        side: the wheel told of
    """
    return _travel(state.stops[axle], side)


def tyres(document: CarDocument) -> str:
    """The tyres in words.

    Args:
        document: the car
    """
    wheels: list[Any] = [document.axle(end).side(SIDE_OF["left"]) for end in END.values()]
    front, rear = (one.wheel.tyre or "not noted" for one in wheels)
    return front if front == rear else f"front {front}, rear {rear}"


def travel_of(met: StopContact | None) -> float | None:
    """Where a stop is met [m]; None where there is none.

    Args:
        met: the stop
    """
    return None if met is None else met.travel


def least(values: list[float | None]) -> float | None:
    """The smallest of those that are known; None where none is.

    Args:
        values: any
    """
    known = [value for value in values if value is not None]
    return min(known) if known else None


def of_corners(read: Callable[[str, SideName], str | None]) -> list[str | None]:
    """A row of four cells.

    Args:
        read: the cell of an axle's side
    """
    return [read(axle, side) for axle, side in CORNERS]


def _travel(met: tuple[StopContact, ...], side: SideName) -> WheelTravel:
    touching = least([m.travel for m in met if m.name == RUBBER and m.side == side])
    return WheelTravel(touching, first_hard(met, "bump"), first_hard(met, "droop"))

"""Coil stacks and threaded seats of a standing car."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from jounce.behaviour.axle.motions import AxleStates
from jounce.behaviour.axle.stack_states import StackState, stack_states
from jounce.behaviour.road.of_document import car_of
from jounce.behaviour.road.seat_turns import SeatEffect, seat_effects
from jounce.car.file.document import CarDocument
from jounce.car.mechanics.layout_input import SIDE_OF
from jounce.car.mechanics.model import AxleModel
from jounce.conventions.axes import ENDS, Corner
from jounce.conventions.units import Kind, show
from jounce.layouts.naming import SIDES


def stacks_at_rest(models: Sequence[AxleModel], places: Mapping[str, AxleStates]) -> dict[str, StackState]:
    """States of all stacks of both axles, by axle, side and place.

    Args:
        models: both axles
        places: where each stands
    """
    return {
        f"{model.name} {state.side}, {state.at}": state
        for model in models
        for state in stack_states(model, places[model.name])
    }


def turns_of_seats(document: CarDocument, models: tuple[AxleModel, AxleModel]) -> list[SeatEffect]:
    """What one turn of each threaded seat does, the car as found."""
    perches: dict[Corner, float] = {
        (end.value, side): perch.pitch.value
        for end in ENDS
        for side in SIDES
        if (perch := getattr(document.axle(end).side(SIDE_OF[side]), "perch", None)) is not None
    }
    return seat_effects(car_of(document, *models), perches) if perches else []


def spring_sentences(stacks: dict[str, StackState], seats: Sequence[SeatEffect], units: str) -> Iterator[str]:
    """One sentence for each stack and each seat."""
    for place, state in stacks.items():
        yield f"{place}: {state.words}, {show(state.force, Kind.FORCE, units)}."
    for seat in seats:
        axle, side = seat.corner
        changes = "; ".join(
            f"{' '.join(corner)} {_signed(seat.height[corner], Kind.LENGTH, units)}, "
            f"{_signed(seat.load[corner], Kind.FORCE, units)}"
            for corner in seat.height
        )
        turn = f"one turn of the {axle} {side} seat ({show(seat.rise, Kind.LENGTH, units)}) gives body height and load:"
        yield f"{turn} {changes}."


def spring_values(stacks: dict[str, StackState], seats: Sequence[SeatEffect]) -> dict[str, Any]:
    """The same as plain data in SI."""
    told = {place: {"travel": s.travel, "force": s.force, "solid": dict(s.solid)} for place, s in stacks.items()}
    turned = [
        {
            "seat": " ".join(seat.corner),
            "rise": seat.rise,
            "height": {" ".join(corner): value for corner, value in seat.height.items()},
            "load": {" ".join(corner): value for corner, value in seat.load.items()},
        }
        for seat in seats
    ]
    return {"spring_stacks": told, "one_turn_of_a_seat": turned}


def _signed(value: float, kind: Any, units: str) -> str:

    return ("+" if value >= 0 else "") + show(value, kind, units)

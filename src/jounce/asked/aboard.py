"""Who and what a sentence puts into a car or takes out of it, each at a place of the car."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from jounce.asked.amounts import AmountUnit, Wording
from jounce.car.file.document import CarDocument
from jounce.car.parts.driveline import Place
from jounce.case.case import Case
from jounce.conventions.units import MM

__all__ = ["FRONT", "Riding", "named_aboard", "not_placed", "riding", "with_front_place"]

FRONT = "front_of_the_car"
"""The place over the front wheel centres of what is told to be in front: an engine, a battery."""
_LOADS = re.compile(r"boot|luggage|load|roof|trunk")
_SEATS = re.compile(r"rear_?seat|back_?seat|bench|seat")


@dataclass(frozen=True, slots=True)
class Riding:
    """Something at a place of the car: its mass, negative where it was taken out [kg]."""

    name: str
    mass: float


def riding(told: Wording, case: Case) -> Iterator[Riding]:
    """Places of the car that people and loads take, the driver's not, and what rides there.

    Where nothing is said all places of the car file are taken, as heavy as it tells them.

    Args:
        told: amounts of the sentence
        case: what it is asked of
    """
    named = list(named_aboard(told, case))
    if not named and not _masses(told) and not _passengers(told):
        named = [Riding(name, one.mass.value) for name, one in case.car.places.items() if "driver" not in name]
    yield from named


def named_aboard(told: Wording, case: Case) -> Iterator[Riding]:
    """What a sentence names itself, as far as the car has places for it.

    Args:
        told: amounts of the sentence
        case: what it is asked of
    """
    places = case.car.places
    seats = _seats(case)
    if "rear" in told.places and told.of(AmountUnit.PASSENGERS):  # they are told to sit in the back
        seats.sort(key=lambda name: not _SEATS.search(name))
    for name in seats[: _passengers(told)]:
        yield Riding(name, places[name].mass.value if told.person is None else told.person)
    for mass in _masses(told):
        name = _place_of(told, case, mass)
        if name:
            yield Riding(name, mass)


def not_placed(told: Wording, case: Case) -> tuple[int, bool]:
    """How many people the car file has no place for, and whether it has none for the loads of a sentence.

    Args:
        told: amounts of the sentence
        case: what it is asked of
    """
    left = max(0, _passengers(told) - len(_seats(case)))
    return left, any(not _place_of(told, case, mass) for mass in _masses(told))


def with_front_place(document: CarDocument) -> CarDocument:
    """A car with a place over its front wheel centres.

    Args:
        document: the car
    """
    over = document.mass.centre_of_gravity_height.value
    place = Place.model_validate({"at": [0, 0, over / MM], "mass": "1 kg"})
    return document.model_copy(update={"places": {**document.places, FRONT: place}})


def _passengers(told: Wording) -> int:
    """People besides the driver: of those told as all that are in the car one drives."""
    return max(0, round(sum(told.of(AmountUnit.PEOPLE))) - 1) + round(sum(told.of(AmountUnit.PASSENGERS)))


def _masses(told: Wording) -> tuple[float, ...]:
    return told.of(AmountUnit.MASS)


def _seats(case: Case) -> list[str]:
    return [name for name in case.car.places if "driver" not in name and not _LOADS.search(name)]


def _place_of(told: Wording, case: Case, mass: float) -> str:
    """The place of a load: where it is told, else where loads lie; empty where the car file has no such place."""
    if told.load_at == "front":
        return FRONT
    loads = [name for name in case.car.places if _LOADS.search(name)]
    seats = [name for name in _seats(case) if _SEATS.search(name)]
    first = (*seats, *loads) if told.load_at == "seats" else (*loads, *(seats if mass < 0 else ()))
    return next(iter(first), "")

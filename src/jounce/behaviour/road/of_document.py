"""The whole car on its road, from its document."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from jounce.behaviour.axle.static import loaded
from jounce.behaviour.road.equal_slip import EqualSlip
from jounce.behaviour.road.loading import DriveShares
from jounce.behaviour.road.road_car import Load, RoadCar, road_car
from jounce.behaviour.road.sharing import ByLoad, Sharing
from jounce.car.axles.axle import Axle
from jounce.car.file.document import CarDocument
from jounce.car.mechanics.assembly import axle_model
from jounce.car.mechanics.model import AXLES, AxleModel
from jounce.car.parts.driveline import BRAKE_FRONT_SHARE
from jounce.conventions.axes import Side
from jounce.conventions.errors import InputError
from jounce.elements.tyres.tyre_lateral import EXAMPLE_TYRES, MagicFormula1987


def car_as_found(document: CarDocument) -> RoadCar:
    """The car as it was measured, springs preloaded so that they carry it.

    Args:
        document: the car
    """
    front, rear = (loaded(axle_model(document, axle))[0] for axle in AXLES)
    return car_of(document, front, rear)


def car_of(
    document: CarDocument, front: AxleModel, rear: AxleModel, settings: Mapping[str, float] | None = None
) -> RoadCar:
    """A car of this document with axles as they are given.

    Args:
        document: weights and driveline
        front: front axle, complete with its main springs
        rear: rear axle, likewise
        settings: adjusted joints by name [m or rad]
    """
    told = document.driveline
    share = told.brake_front_share
    driveline = DriveShares(told.driven, share.value, told.friction.value, share != BRAKE_FRONT_SHARE)
    height = document.mass.centre_of_gravity_height.value
    car = road_car(front, rear, height, settings, driveline)
    return replace(car, sharing=(_sharing(document.front), _sharing(document.rear)))


def _sharing(axle: Axle) -> Sharing:
    """Both tyres of an axle at one slip angle where their law is known, else in proportion to their loads."""
    wheel = axle.side(Side.LEFT).wheel
    if wheel.lateral_coefficients is not None:
        return EqualSlip(MagicFormula1987(tuple(wheel.lateral_coefficients), grip=wheel.grip.value))
    if wheel.lateral is not None:
        return EqualSlip(replace(EXAMPLE_TYRES[wheel.lateral], grip=wheel.grip.value))
    return ByLoad()


def aboard(document: CarDocument, wanted: Mapping[str, float | None]) -> tuple[Load, ...]:
    """What rides besides what was weighed.

    Args:
        document: the car and its places
        wanted: name of each place with a mass there, None for the usual one [kg]

    Raises:
        InputError: a place that the car file does not name
    """
    loads = []
    for name, mass in wanted.items():
        place = document.places.get(name)
        if place is None:
            raise InputError(
                "The car file names no such place",
                found=name,
                allowed=", ".join(document.places) or "none: it has no [places.…] section",
                todo="Add it to the car file with its centre and usual mass, or correct the name.",
            )
        loads.append(Load(name, place.mass.value if mass is None else mass, place.at.xyz))
    return tuple(loads)

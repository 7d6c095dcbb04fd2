"""The car as it stands on its road: body and loads aboard, two axles, four tyres."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, replace

import numpy as np

from jounce.behaviour.road.axle_path import AxleOnBody
from jounce.behaviour.road.loading import DriveShares
from jounce.behaviour.road.sharing import ByLoad, Sharing
from jounce.car.mechanics.model import AxleModel, Group
from jounce.conventions.constants import GRAVITY
from jounce.layouts.naming import SIDES, SideName, named
from jounce.linkage.balance import Element
from jounce.numerics.arrays import Array, numbers


@dataclass(frozen=True, slots=True)
class Load:
    """Something aboard besides what was weighed: a person, fuel, luggage; negative for something taken out.

    ``mass`` in kg, ``at`` the centre of it in the body's axes as found, shape (3,) [m].
    """

    name: str
    mass: float
    at: Array


@dataclass(frozen=True, slots=True)
class RoadCar:
    """A car ready to be put on its road, or many variants of it: then these are along the first axis of every number.

    Attributes:
        axles: front and rear axle, springs and settings complete
        sprung_mass: mass of the body as weighed, without what moves with the wheels [kg]
        sprung_centre: its centre of gravity, body axes as found, shape (3,) [m]
        unsprung: mass that moves with each wheel, (front, rear) x (left, right) [kg]
        radius: distance from wheel centre to ground in the wheel's plane as found, same order [m]
        road_height: height of the tyres' lowest points as found, same order [m]
        tyres: vertical law of each tyre about as found, by its deflection from there
        unloaded: rise of each tyre from as found at which it leaves the ground, same order [m]
        driveline: which axle drives, how brakes share
        loads: what else is aboard
        sharing: how the two tyres of front and rear axle share a lateral force
        stands: heave, pitch, roll and travels where it is known to stand or nearly, shape (7,) [m or rad]; None where it
            is looked for from as found

    """

    axles: tuple[AxleOnBody, AxleOnBody]
    sprung_mass: Array | float
    sprung_centre: Array
    unsprung: Array
    radius: Array
    road_height: Array
    tyres: tuple[tuple[Element, Element], tuple[Element, Element]]
    unloaded: Array
    driveline: DriveShares
    loads: tuple[Load, ...] = ()
    sharing: tuple[Sharing, Sharing] = (ByLoad(), ByLoad())
    stands: Array | None = None

    @property
    def mass(self) -> Array | float:
        """Mass of the whole car with what is aboard [kg]."""
        return np.asarray(self.sprung_mass + self.unsprung.sum(axis=(-2, -1)) + sum(load.mass for load in self.loads))[
            ()
        ]

    @property
    def names(self) -> tuple[str, str]:
        """Names of the axles."""
        return self.axles[0].axle.name, self.axles[1].axle.name

    def live(self, axle: int) -> bool:
        """Whether an axle is a driven beam, which takes its driving torque itself (0 front, 1 rear)."""
        own = self.axles[axle].axle
        return own.linkage.beam is not None and own.name == self.driveline.driven

    def body_masses(self) -> tuple[Array, Array]:
        """Masses fixed to the body, shape (masses,) [kg], and where they are in it, shape (masses, 3) [m].

        Of a car that stands for many, the variants come first.
        """
        mass = np.stack(np.broadcast_arrays(self.sprung_mass, *(load.mass for load in self.loads)), -1)
        return mass, np.stack(np.broadcast_arrays(self.sprung_centre, *(load.at for load in self.loads)), -2)

    def with_loads(self, loads: tuple[Load, ...]) -> RoadCar:
        """The same car with something aboard."""
        return replace(self, loads=(*self.loads, *loads))

    def without(self, groups: Collection[Group]) -> RoadCar:
        """The same car with groups of elements taken off, as a shop disconnects its anti-roll bars for weighing."""
        return replace(self, axles=(_without(self.axles[0], groups), _without(self.axles[1], groups)))


def road_car(
    front: AxleModel,
    rear: AxleModel,
    centre_of_gravity_height: Array | float,
    settings: Mapping[str, float] | None,
    driveline: DriveShares,
) -> RoadCar:
    """Put two axles under a body.

    The body's centre of gravity follows from the corner weights.

    Args:
        front: front axle, complete with its main springs
        rear: rear axle, likewise
        centre_of_gravity_height: of the whole car as weighed, above the ground [m]
        settings: adjusted joints of both axles by name [m or rad]
        driveline: which axle drives, how brakes share
    """
    axles = (front, rear)
    corner = _by_wheel(axles, lambda axle, side: axle.corner_load[side])
    unsprung = _by_wheel(axles, lambda axle, side: axle.unsprung[side])
    foot = _found(axles, ("contact_x", "contact_y"))
    whole = corner.sum(axis=(-2, -1)) / GRAVITY
    middle = np.einsum("...as,...asx->...x", corner, foot) / corner.sum(axis=(-2, -1))[..., None]
    centres = _found(axles, ("wheel_x", "wheel_y", "wheel_z"))
    hanging = np.einsum("...as,...asx->...x", unsprung, centres)
    sprung = whole - unsprung.sum(axis=(-2, -1))
    height = np.broadcast_to(_one(np.atleast_1d(centre_of_gravity_height)), middle.shape[:-1])
    balance = whole[..., None] * np.concatenate((middle, height[..., None]), -1) - hanging
    return RoadCar(
        axles=(AxleOnBody(front, settings or {}), AxleOnBody(rear, settings or {})),
        sprung_mass=sprung,
        sprung_centre=balance / sprung[..., None],
        unsprung=unsprung,
        radius=_by_wheel(axles, lambda axle, side: axle.linkage.wheels[side].loaded_radius),
        road_height=_found(axles, ("road_height",))[..., 0],
        tyres=(_tyres(front), _tyres(rear)),
        unloaded=_by_wheel(axles, lambda axle, side: axle.tyre(side).deflection(axle.corner_load[side])),
        driveline=driveline,
    )


def _by_wheel(axles: tuple[AxleModel, AxleModel], of: Callable[[AxleModel, SideName], Array | float]) -> Array:
    """A number of each wheel, shape (2, 2), variants first where there are any."""
    every = np.broadcast_arrays(*(np.atleast_1d(numbers(of(axle, side))) for axle in axles for side in SIDES))
    return _one(np.stack(every, -1).reshape(-1, 2, 2))


def _found(axles: tuple[AxleModel, AxleModel], things: tuple[str, ...]) -> Array:
    """Measures of each wheel as found, shape (2, 2, things), variants first where there are any."""
    values = [
        axle.stand.reference_values([named(axle.name, side, thing) for side in SIDES for thing in things])
        for axle in axles
    ]
    every = [value.reshape(-1, 2, len(things)) for value in values]
    variants = max(map(len, every))
    return _one(np.stack([np.broadcast_to(one, (variants, *one.shape[1:])) for one in every], 1))


def _one(values: Array) -> Array:
    """Without the axis of variants where there is but one."""
    return np.asarray(values[0] if len(values) == 1 else values)


def _tyres(axle: AxleModel) -> tuple[Element, Element]:
    left, right = (_tyre(axle, side) for side in SIDES)
    return left, right


def _tyre(axle: AxleModel, side: SideName) -> Element:
    name = named(axle.name, side, "road_height")
    found, load = axle.stand.reference_values([name])[:, 0], np.atleast_1d(axle.corner_load[side])
    alone = len(found) == len(load) == 1
    law = axle.tyre(side).first().law_about(float(load[0])) if alone else axle.tyre(side).law_about(load)
    return Element(name, law, -1.0, float(found[0]) if alone else found)


def _without(on_body: AxleOnBody, groups: Collection[Group]) -> AxleOnBody:
    axle = on_body.axle
    kept = {name: element for name, element in axle.elements.items() if axle.groups[name] not in groups}
    return AxleOnBody(replace(axle, elements=kept), on_body.settings)

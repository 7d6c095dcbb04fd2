"""The car as it stands on its road: body and loads aboard, two axles, four tyres."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace

import numpy as np

from jounce.behaviour.on_road.acting import Driveline
from jounce.behaviour.on_road.axle_path import AxleOnBody
from jounce.behaviour.on_road.sharing import ByLoad, Sharing
from jounce.car.model import AxleModel, Group
from jounce.conventions.constants import GRAVITY
from jounce.layouts.naming import SIDES, SideName, named
from jounce.linkage.balance import Element
from jounce.numerics.arrays import Array


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
    """A car ready to be put on its road.

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

    """

    axles: tuple[AxleOnBody, AxleOnBody]
    sprung_mass: float
    sprung_centre: Array
    unsprung: Array
    radius: Array
    road_height: Array
    tyres: tuple[tuple[Element, Element], tuple[Element, Element]]
    unloaded: Array
    driveline: Driveline
    loads: tuple[Load, ...] = ()
    sharing: tuple[Sharing, Sharing] = (ByLoad(), ByLoad())

    @property
    def mass(self) -> float:
        """Mass of the whole car with what is aboard [kg]."""
        return self.sprung_mass + float(self.unsprung.sum()) + sum(load.mass for load in self.loads)

    @property
    def names(self) -> tuple[str, str]:
        """Names of the axles."""
        return self.axles[0].axle.name, self.axles[1].axle.name

    def live(self, axle: int) -> bool:
        """Whether an axle is a driven beam, which takes its driving torque itself (0 front, 1 rear)."""
        own = self.axles[axle].axle
        return own.linkage.beam is not None and own.name == self.driveline.driven

    def body_masses(self) -> tuple[Array, Array]:
        """Masses fixed to the body, shape (masses,) [kg], and where they are in it, shape (masses, 3) [m]."""
        mass = np.array([self.sprung_mass, *(load.mass for load in self.loads)])
        return mass, np.stack([self.sprung_centre, *(load.at for load in self.loads)])

    def with_loads(self, loads: tuple[Load, ...]) -> RoadCar:
        """The same car with something aboard."""
        return replace(self, loads=(*self.loads, *loads))

    def without(self, groups: Collection[Group]) -> RoadCar:
        """The same car with groups of elements taken off, as a shop disconnects its anti-roll bars for weighing."""
        return replace(self, axles=(_without(self.axles[0], groups), _without(self.axles[1], groups)))


def road_car(
    front: AxleModel,
    rear: AxleModel,
    centre_of_gravity_height: float,
    settings: Mapping[str, float] | None,
    driveline: Driveline,
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
    corner = _by_wheel(axles, "corner_load")
    unsprung = _by_wheel(axles, "unsprung")
    foot = np.stack([_found(axle, ("contact_x", "contact_y")) for axle in axles])
    whole = corner.sum() / GRAVITY
    middle = np.einsum("as,asx->x", corner, foot) / corner.sum()
    centres = np.stack([_found(axle, ("wheel_x", "wheel_y", "wheel_z")) for axle in axles])
    hanging = np.einsum("as,asx->x", unsprung, centres)
    sprung = whole - unsprung.sum()
    radius = np.array([[float(np.ravel(a.linkage.wheels[s].loaded_radius)[0]) for s in SIDES] for a in axles])
    height = np.stack([_found(axle, ("road_height",))[:, 0] for axle in axles])
    return RoadCar(
        axles=(AxleOnBody(front, settings or {}), AxleOnBody(rear, settings or {})),
        sprung_mass=float(sprung),
        sprung_centre=(whole * np.array([*middle, centre_of_gravity_height]) - hanging) / sprung,
        unsprung=unsprung,
        radius=radius,
        road_height=height,
        tyres=(_tyres(front), _tyres(rear)),
        unloaded=np.array([[_deflection(axle, side) for side in SIDES] for axle in axles]),
        driveline=driveline,
    )


def _by_wheel(axles: tuple[AxleModel, AxleModel], what: str) -> Array:
    return np.array([[float(np.ravel(getattr(axle, what)[side])[0]) for side in SIDES] for axle in axles])


def _found(axle: AxleModel, things: tuple[str, ...]) -> Array:
    names = [named(axle.name, side, thing) for side in SIDES for thing in things]
    return np.asarray(axle.stand.reference_values(names)[0].reshape(2, len(things)))


def _tyres(axle: AxleModel) -> tuple[Element, Element]:
    left, right = (
        Element(
            named(axle.name, side, "road_height"),
            axle.tyre(side).first().law_about(float(np.ravel(axle.corner_load[side])[0])),
            -1.0,
            float(axle.stand.reference_values([named(axle.name, side, "road_height")])[0, 0]),
        )
        for side in SIDES
    )
    return left, right


def _deflection(axle: AxleModel, side: SideName) -> float:
    return float(axle.tyre(side).first().deflection(float(np.ravel(axle.corner_load[side])[0])))


def _without(on_body: AxleOnBody, groups: Collection[Group]) -> AxleOnBody:
    axle = on_body.axle
    kept = {name: element for name, element in axle.elements.items() if axle.groups[name] not in groups}
    return AxleOnBody(replace(axle, elements=kept), on_body.settings)

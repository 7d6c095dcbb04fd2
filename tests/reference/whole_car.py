"""The whole car as one mechanism of all its bodies and joints, put to rest by multipliers: no following of axles.

The body slides up and down and turns about the car's y and x axes; forward, sideways and in yaw it is held, since
tyres standing on turn plates give nothing there. Tyres are vertical springs that lift off. As found is in
equilibrium by construction: centre of gravity and tyre deflections follow from the corner weights.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields, is_dataclass, replace
from typing import TypeVar

import numpy as np

from jounce.car.mechanics.model import AxleModel, weight
from jounce.conventions.axes import Corner
from jounce.conventions.constants import GRAVITY
from jounce.conventions.errors import Impossible
from jounce.elements.law import Linear
from jounce.layouts.axle import road_body
from jounce.layouts.naming import SIDES, named
from jounce.linkage.balance import Balanced, Element, balance
from jounce.linkage.measures import AnyMeasure, Component, CoordinateSum
from jounce.linkage.mechanism import Mechanism
from jounce.linkage.place import place
from jounce.linkage.tree import GROUND, Body, Direction, Freedom, Point, Pose, Segment
from jounce.numerics.vectors import X, Y, Z

Thing = TypeVar("Thing")
CAR_BODY = "body"
_ATTITUDE = ("body_heave", "body_pitch", CAR_BODY)
_ON_THE_ROAD = 3  # rounds in which the body is set down on its four wheels before it comes to rest


@dataclass(frozen=True, slots=True)
class CarSits:
    """Where the car stands: wheel travels from as found [m], tyre loads [N], body heave [m], pitch and roll [rad].

    Pitch is positive nose down, roll positive right side down (ISO 8855). ``joint_loads`` are the joints' loads [N];
    ``pose`` is that of the whole mechanism, for its other measures.
    """

    travel: Mapping[Corner, float]
    load: Mapping[Corner, float]
    heave: float
    pitch: float
    roll: float
    joint_loads: Mapping[str, float]
    pose: Pose

    @property
    def cross_share(self) -> float:
        """Share of the weight on the front right and rear left wheels [-]."""
        return (self.load["front", "right"] + self.load["rear", "left"]) / sum(self.load.values())


@dataclass(frozen=True, slots=True)
class CarOnTyres:
    """The car as one mechanism, with the elements that do not change when parts are exchanged."""

    mechanism: Mechanism
    standing: Mapping[str, Element]
    axles: tuple[AxleModel, AxleModel]


def car_on_tyres(front: AxleModel, rear: AxleModel, centre_of_gravity_height: float) -> CarOnTyres:
    """Put both axles under one body.

    Args:
        front: front axle
        rear: rear axle
        centre_of_gravity_height: of the whole car above the ground as found [m]
    """
    axles = (front, rear)
    bodies = [
        Body("body_heave", Freedom.SLIDE, np.zeros(3), Z),
        Body("body_pitch", Freedom.HINGE, np.zeros(3), Y, parent="body_heave"),
        Body(CAR_BODY, Freedom.HINGE, np.zeros(3), X, parent="body_pitch"),
    ]
    joints: dict[str, AnyMeasure] = {}
    measures: dict[str, AnyMeasure] = {name: CoordinateSum({name: 1.0}) for name in _ATTITUDE}
    standing: dict[str, Element] = {}
    for axle in axles:
        names = {GROUND: CAR_BODY, road_body(axle.name): GROUND}
        bodies += (_moved_to(body, names) for body in axle.linkage.bodies)
        joints |= {name: _moved_to(joint, names) for name, joint in axle.linkage.joints.items()}
        measures |= {name: _moved_to(measure, names) for name, measure in axle.linkage.measures.items()}
        for side in SIDES:
            name = named(axle.name, side, "centre_height")
            standing[named(axle.name, side, "unsprung_weight")] = _weight(name, weight(axle.unsprung[side])[0])
    centre, mass = _sprung(axles, centre_of_gravity_height)
    measures["sprung_height"] = _height(Point(CAR_BODY, centre))
    standing["sprung_weight"] = _weight("sprung_height", mass * GRAVITY)
    mechanism = Mechanism(bodies, joints, measures)
    for axle in axles:
        for side in SIDES:
            name = named(axle.name, side, "road_height")
            found = mechanism.reference_values([name])[:, 0]
            tyre = axle.tyre(side).law_about(axle.corner_load[side])
            standing[named(axle.name, side, "tyre")] = Element(name, tyre, -1.0, found)
    return CarOnTyres(mechanism, standing, axles)


def settle(
    car: CarOnTyres,
    elements: Mapping[str, Element],
    joint_values: Mapping[str, float] | None = None,
    start: Mapping[Corner, float] | None = None,
) -> CarSits:
    """Let the car come to rest.

    Args:
        car: the car on its tyres
        elements: springs, bars and stops of both axles, preloads included
        joint_values: adjusted rods and top plates
        start: wheel travels to start from, as found when left out [m]; where it may rest in more than one place it
            comes to rest in the one downhill from there

    Raises:
        Impossible: the car finds no rest
    """
    pose = None if start is None else _set_down(car, start, joint_values or {})
    rest = balance(car.mechanism, {**car.standing, **elements}, joint_values, pose)
    if not rest.reached[0]:
        raise Impossible(_why_no_rest(car, rest))
    corners = [(axle.name, side) for axle in car.axles for side in SIDES]
    travels = car.mechanism.taken([named(*corner, "travel") for corner in corners]).values(rest.pose)[0]
    tree = car.mechanism.tree
    return CarSits(
        travel=dict(zip(corners, map(float, travels), strict=True)),
        load={corner: float(rest.element_forces[named(*corner, "tyre")][0]) for corner in corners},
        heave=float(rest.pose.coordinate[0, tree.coordinate("body_heave")]),
        pitch=float(rest.pose.coordinate[0, tree.coordinate("body_pitch")]),
        roll=float(rest.pose.coordinate[0, tree.coordinate(CAR_BODY)]),
        joint_loads={name: float(load[0]) for name, load in rest.joint_loads.items()},
        pose=rest.pose,
    )


def _set_down(car: CarOnTyres, travel: Mapping[Corner, float], joint_values: Mapping[str, float]) -> Pose:
    """The car with given wheel travels, set down so that its four tyres are pressed as found as nearly as they can be."""
    drives = {named(*corner, "travel"): value for corner, value in travel.items()}
    pose = place(car.mechanism, {**joint_values, **drives, **dict.fromkeys(_ATTITUDE, 0.0)}).pose
    heights = [named(*corner, "road_height") for corner in travel]
    found = car.mechanism.reference_values(heights)
    coordinates = [car.mechanism.tree.coordinate(name) for name in _ATTITUDE]
    for _ in range(_ON_THE_ROAD):
        line = car.mechanism.taken(heights).linearised(pose)
        change = np.zeros((1, car.mechanism.tree.size))
        change[0, coordinates] = np.linalg.lstsq(line.gradient[0][:, coordinates], (found - line.value)[0])[0]
        pose = car.mechanism.moved(pose, change)
    return pose


def _why_no_rest(car: CarOnTyres, rest: Balanced) -> str:
    """What does not carry where the search for a rest was given up."""
    corners = [(axle.name, side) for axle in car.axles for side in SIDES]
    loose = [" ".join(c) for c in corners if not rest.element_forces[named(*c, "main_spring")][0] > 0]
    if not loose:
        return f"The car does not come to rest with these parts: {rest.unbalanced[0]:.3g} N stay unbalanced."
    return (
        f"The car does not come to rest with these parts: its springs carry nothing at the {', '.join(loose)}, and no "
        "bump rubber or damper end that is described holds it up there. Choose longer springs or higher seats, or "
        "describe the bump rubbers."
    )


def _moved_to(thing: Thing, names: Mapping[str, str]) -> Thing:
    """The same on other bodies: what an axle hangs on and its road, by name."""
    if isinstance(thing, str):
        return names.get(thing, thing)
    if isinstance(thing, tuple):
        return type(thing)(_moved_to(one, names) for one in thing)
    if isinstance(thing, Mapping):
        return type(thing)({name: _moved_to(one, names) for name, one in thing.items()})
    if is_dataclass(thing):
        return replace(thing, **{one.name: _moved_to(getattr(thing, one.name), names) for one in fields(thing)})
    return thing


def _height(point: Point) -> Component:
    return Component(Segment(Point(GROUND, np.zeros(3)), point), Direction(GROUND, Z))


def _weight(measure: str, force: float) -> Element:
    return Element(measure, Linear(rate=0.0, preload=force))


def _sprung(axles: tuple[AxleModel, AxleModel], height: float) -> tuple[np.ndarray, float]:
    """Centre and mass of the sprung body: whole car from the scales, less the unsprung masses at the wheel centres."""
    moment, total, hanging, unsprung = np.zeros(3), 0.0, np.zeros(3), 0.0
    for axle in axles:
        names = [named(axle.name, side, f"contact_{a}") for side in SIDES for a in "xy"]
        contact = axle.stand.reference_values(names)[0].reshape(2, 2)
        for k, side in enumerate(SIDES):
            load = float(axle.corner_load[side][0])
            moment[:2] += load * contact[k]
            total += load
            mass = float(axle.unsprung[side][0])
            hanging += mass * np.asarray(axle.linkage.wheels[side].centre.at)
            unsprung += mass
    whole = total / GRAVITY
    centre = np.array([moment[0] / total, moment[1] / total, height])
    return (whole * centre - hanging) / (whole - unsprung), whole - unsprung

"""Every body of every layout is in equilibrium under the loads told: plain sums of forces and of r x F.

Nothing of the linkage's derivatives is used here: only where the joints are, what they are said to carry, what the
springs push, and the road's forces.
"""

from __future__ import annotations

from functools import cache
from importlib.resources import files

import numpy as np
import pytest

from jounce.behaviour.axle.loads import WheelForces, axle_loads
from jounce.behaviour.axle.motions import AxleStates, place_axle, steering_drive
from jounce.behaviour.axle.road_forces import contact_points
from jounce.behaviour.axle.static import loaded
from jounce.car.file.reading import parse_car
from jounce.car.mechanics.assembly import axle_model
from jounce.car.mechanics.bushes import jointed_axle
from jounce.car.mechanics.model import AXLES
from jounce.conventions.constants import GRAVITY
from jounce.layouts.adjusters import HUB_SHIM
from jounce.layouts.axle import on_the_rig
from jounce.layouts.naming import SIDES
from jounce.linkage.measures import CoordinateSum, Distance
from jounce.linkage.tree import Direction, Freedom, Point

CARS = sorted(
    entry.name
    for entry in files("jounce.demo").iterdir()
    if entry.name.endswith(".toml") and "[mass]" in entry.read_text("utf-8")
)
FORCES = WheelForces(
    ("any", "another"),
    np.array([[[-900.0, 400.0, 3100.0], [250.0, -700.0, 1900.0]], [[0.0, 1500.0, 800.0], [-1200.0, 60.0, 4000.0]]]),
    np.array([[300.0, -150.0], [0.0, 500.0]]),
    np.array([[40.0, -25.0], [-60.0, 10.0]]),
)


@cache
def case(car, axle):
    """Model, jointed linkage, placed pose and loads of an axle away from as found."""
    document = parse_car(files("jounce.demo").joinpath(car).read_text("utf-8"), car)
    model = loaded(axle_model(document, axle))[0]
    linkage = jointed_axle(document, axle, rigid=True).linkage
    stand = on_the_rig(linkage)
    gear = steering_drive(stand, axle)
    steer = {} if gear is None else {gear: 0.008 if gear == "rack" else 0.03}
    states = AxleStates(left=0.022, right=-0.017, **steer)
    return model, linkage, stand, place_axle(stand, axle, states).pose, axle_loads(model, linkage, FORCES, states)


class Sums:
    """Force and moment about the origin on each body, (cases, 3)."""

    def __init__(self, stand, pose):
        self.stand, self.pose, self.force, self.moment, self.largest = stand, pose, {}, {}, 0.0

    def at(self, point):
        return self.stand.position(self.pose, point)[0]

    def push(self, body, at, force):
        self.force[body] = self.force.get(body, 0) + force
        self.turn(body, np.cross(at, force))
        self.largest = max(self.largest, np.abs(force).max())

    def turn(self, body, moment):
        self.moment[body] = self.moment.get(body, 0) + moment

    def apart(self, first, second, push):
        """Two points pushed apart along the line between them."""
        along = self.at(second) - self.at(first)
        force = push[:, None] * along / np.linalg.norm(along)
        self.push(second.body, self.at(second), force)
        self.push(first.body, self.at(first), -force)


def summed(car, axle):
    """All that the loads say, put on the bodies by hand."""
    model, linkage, stand, pose, loads = case(car, axle)
    sums = Sums(stand, pose)
    for load in loads.sites.values():
        # A joint's force acts at its second point, on both bodies.
        where = sums.at(load.site.second)
        sums.push(load.site.second.body, where, load.force[0])
        sums.push(load.site.first.body, where, -load.force[0])
    for side in SIDES:
        spring = model.main[side]
        line = stand.measures[spring.measure]
        if isinstance(line, Distance):
            sums.apart(line.start, line.end, loads.springs[side][0])
        elif spring.kind == "torsion bar":
            twist_arm(sums, linkage, side, loads.springs[side][0])
        else:
            lift_leaf(sums, linkage, side, loads.springs[side][0])
    for name, force in loads.elements.items():
        if name.endswith(("bump_stop", "gas_force")):
            damper = stand.measures[model.elements[name].measure]
            sums.apart(damper.start, damper.end, np.broadcast_to(force[0], 2))
    for row, load in loads.held.items():
        ahead = getattr(stand.measures[row], "vector", None)
        if isinstance(ahead, Direction):  # a direction is held by a moment: a leaf keeps its seat's slope so
            sums.turn(
                ahead.body,
                -load[0][:, None]
                * np.cross(*(stand.direction(pose, one)[0] for one in (ahead, stand.measures[row].along))),
            )
    for k, side in enumerate(SIDES):
        wheel = linkage.wheels[side]
        body, centre = wheel.centre.body, sums.at(wheel.centre)
        foot = contact_points(linkage, stand, pose, side)[0]
        sums.push(body, foot, FORCES.contact[:, k])
        sums.push(body, centre, FORCES.hub[:, k, None] * [1.0, 0, 0])
        sums.push(body, centre, np.array([[0, 0, -GRAVITY * model.unsprung[side][0]]] * 2))
        sums.turn(body, FORCES.turn[:, k, None] * [0, 0, 1.0])
    return model, linkage, stand, pose, loads, sums


def twist_arm(sums, linkage, side, torque):
    """A torsion bar's torque on its arm, about the line through the arm's two pivots, against a rising wheel."""
    spring = linkage.springs[side]
    ends = [load for name, load in linkage.sites.items() if f".{side}." in name and name.endswith(("_front", "_rear"))]
    arm = bar_arm(linkage, side)
    pivots = [site for site in ends if site.second.body == arm and site.first.body == "ground"]
    assert len(pivots) == 2, spring
    line = sums.at(pivots[0].second) - sums.at(pivots[1].second)
    wheel = sums.at(linkage.wheels[side].centre)
    lifting = np.cross(line, wheel - sums.at(pivots[1].second))[2]
    sums.turn(arm, -np.sign(lifting) * torque[:, None] * line / np.linalg.norm(line))


def bar_arm(linkage, side):
    """The arm that a side's torsion bar turns with."""
    return linkage.measures[linkage.springs[side]].vector.body


def lift_leaf(sums, linkage, side, force):
    """A leaf pushes its seat down, upright in the body."""
    seat = linkage.measures[linkage.springs[side]].vector.start
    sums.push(seat.body, sums.at(seat), -force[:, None] * [0, 0, 1.0])


def whole(linkage, name):
    """A body with all that turns or slides on it."""
    carried = {name}
    for body in linkage.bodies:
        if body.parent in carried and body.freedom is not Freedom.FREE:
            carried.add(body.name)
    return carried


@pytest.mark.parametrize("car", CARS)
@pytest.mark.parametrize("axle", AXLES)
def test_every_free_body_with_what_turns_on_it(car, axle):
    """Sum of forces, and of moments about the body's own origin."""
    _, linkage, _, _, loads, sums = summed(car, axle)
    for body in linkage.bodies:
        if body.freedom is not Freedom.FREE:
            continue
        carried = whole(linkage, body.name)
        force = sum(sums.force.get(name, 0) for name in carried)
        moment = sum(sums.moment.get(name, 0) for name in carried)

        assert force == pytest.approx(0, abs=1e-9 * sums.largest), body.name
        assert moment == pytest.approx(0, abs=1e-9 * sums.largest), body.name
        for left_over in loads.wrenches.left_over(body.name):  # the program's own sums say the same
            assert left_over == pytest.approx(0, abs=1e-9 * sums.largest), body.name


@pytest.mark.parametrize("car", CARS)
@pytest.mark.parametrize("axle", AXLES)
def test_every_body_that_turns_on_another(car, axle):
    """About its own line only the torque of the bar between the two can hold it; its pivot's force does the rest.

    A hub's flange on shims turns about nothing: its bolts hold it about that line too, with what they are told to hold.
    """
    model, linkage, stand, pose, loads, sums = summed(car, axle)
    about_lines = [(stand.measures[model.elements[name].measure], load[0]) for name, load in loads.elements.items()]
    about_lines += [(stand.measures[row], load[0]) for row, load in loads.held.items()]
    twists = [(measure.weights, load) for measure, load in about_lines if isinstance(measure, CoordinateSum)]
    turned = {row: one.weights for row, one in linkage.joints.items() if isinstance(one, CoordinateSum)}
    shims = tuple(f".{adjuster.joint}" for adjuster in HUB_SHIM)
    bolted = {name for row, weights in turned.items() if row.endswith(shims) for name in weights}
    for body in linkage.bodies:
        if body.freedom is not Freedom.HINGE:
            continue
        carried = whole(linkage, body.name)
        at = stand.position(pose, Point(body.name, body.origin))[0]
        force = sum(sums.force.get(name, 0) for name in carried)
        moment = sum(sums.moment.get(name, 0) for name in carried) - np.cross(at, force)
        pivot = loads.pivots[body.name]
        axis = stand.direction(pose, Direction(body.parent, body.axis))[0]
        own = sum(weights.get(body.name, 0.0) * torque for weights, torque in twists)

        assert pivot.force[0] == pytest.approx(-np.asarray(force), abs=1e-9 * sums.largest), body.name
        if body.name not in bolted:
            assert moment @ axis == pytest.approx(np.broadcast_to(own, 2), abs=1e-9 * sums.largest), body.name
        assert pivot.moment[0] @ axis == pytest.approx(0, abs=1e-9 * sums.largest), body.name


def test_a_load_told_wrongly_is_seen():
    """The sums do fail: one joint's force off by a thousandth leaves its bodies out of balance."""
    _, linkage, _, _, loads, sums = summed("brisk-14.toml", "front")
    ball = loads.sites["front.left.ball_joint"]
    sums.push(ball.site.second.body, sums.at(ball.site.second), 1e-3 * ball.force[0])
    carried = whole(linkage, "front.left.knuckle")

    assert np.abs(sum(sums.force.get(name, 0) for name in carried)).max() > 1e-4 * sums.largest


@pytest.mark.parametrize("axle", AXLES)
def test_whole_axle_hands_the_road_forces_to_the_body(axle):
    """What all joints and springs put on the car's body is what the road and the wheels' weights give."""
    model, linkage, _, _, loads, sums = summed("brisk-14.toml", axle)
    onto_body = sum(sums.force.get(name, 0) for name in ("ground", *(b.name for b in linkage.bodies if fixed_to(b))))
    weights = sum(model.unsprung[side][0] for side in SIDES) * GRAVITY
    road = FORCES.contact.sum(axis=1) + FORCES.hub.sum(axis=1)[:, None] * [1.0, 0, 0] - [0, 0, weights]
    half_bars = sum(
        (-p.force[0] for n, p in loads.pivots.items() if n.endswith("_half") and parent(linkage, n) == "ground"),
        np.zeros((2, 3)),
    )

    assert onto_body + half_bars == pytest.approx(road, abs=1e-8 * sums.largest)


def fixed_to(body):
    """Whether a body slides on the car's body (rack, top plate): what it takes it hands on."""
    return body.freedom is Freedom.SLIDE


def parent(linkage, name):
    """The body on which another turns."""
    return next(body.parent for body in linkage.bodies if body.name == name)


@pytest.mark.parametrize("car", CARS)
@pytest.mark.parametrize("axle", AXLES)
def test_main_springs_carry_the_preload_as_found(car, axle):
    """The springs as links under the corner weights carry what virtual work along the wheels' travel gives."""
    document = parse_car(files("jounce.demo").joinpath(car).read_text("utf-8"), car)
    model, found = loaded(axle_model(document, axle))
    contact = np.zeros((1, 2, 3))
    contact[0, :, 2] = [model.corner_load[side][0] for side in SIDES]
    standing = WheelForces(("standing",), contact, np.zeros((1, 2)), np.zeros((1, 2)))
    loads = axle_loads(model, jointed_axle(document, axle, rigid=True).linkage, standing)

    for side in SIDES:
        assert loads.springs[side][0, 0] == pytest.approx(found[side].force[0], rel=1e-9)

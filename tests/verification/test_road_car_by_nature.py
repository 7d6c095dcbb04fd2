"""The whole car on its road, proved by nature: sums of forces and moments, energy, mirror images, signs."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from jounce.behaviour.axle.motions import AxleStates, place_axle
from jounce.behaviour.axle.road_forces import axes_of
from jounce.behaviour.axle.static import loaded
from jounce.behaviour.road import static_car
from jounce.behaviour.road.around import tangent
from jounce.behaviour.road.equilibrium import at_rest
from jounce.behaviour.road.forces import acted
from jounce.behaviour.road.loading import steady
from jounce.behaviour.road.of_document import car_as_found, car_of
from jounce.behaviour.road.road_car import Load
from jounce.behaviour.road.weigh import with_settings
from jounce.car.mechanics.assembly import axle_model
from jounce.car.mechanics.layout_input import axle_given
from jounce.conventions.axes import End
from jounce.layouts.anti_roll_bar import AntiRollBarSide
from jounce.layouts.axle import Setting, on_the_rig, road_body
from jounce.layouts.axle_input import AntiRollBarInput
from jounce.layouts.builder import laid_out
from tests.behaviour.demo_layouts import CARS, document
from tests.reference.whole_car import car_on_tyres, settle

GRAVITY = 9.80665  # [m/s²], CGPM 1901
AXLES = ("front", "rear")
SIDES = ("left", "right")
LEFT_TO_RIGHT = np.array([1.0, -1.0, 1.0])
GRIPPING = np.array([(0, 0), (4, 0), (-4, 0), (7, 0), (-7, 0), (0, -5), (0, 3), (3, -4), (-5, 2)], dtype=float)
"""Accelerations to the left and ahead that every demo car withstands [m/s²]."""


@cache
def road_car_of(name):
    """A demo car as found."""
    return car_as_found(document(name))


every_car = pytest.mark.parametrize("name", CARS)
some_cars = pytest.mark.parametrize("name", ["brisk-14.toml", "bracken-16.toml", "comfrey-20.toml", "sedge-13.toml"])


def turns_body(freedoms):
    """The body's rotation, pitch first, then roll about its own axis: by a rotation library."""
    return Rotation.from_euler("YX", freedoms[:, 1:3])


def places(car, rest):
    """Masses [kg], and where they are in each state [m]."""
    mass, at = car.body_masses()
    lift = np.array([0, 0, 1.0]) * rest.freedoms[:, :1]
    body = np.stack([turns_body(rest.freedoms).apply(one) + lift for one in at], 1)
    wheels = rest.acted.centre.reshape(len(lift), 4, 3)
    return np.concatenate((mass, car.unsprung.ravel())), np.concatenate((body, wheels), 1)


def lowest(car, now):
    """Lowest points of the tyres: the loaded radius down the wheel's plane [m]."""
    up = np.array([0, 0, 1.0]) - now.axis[..., 2:] * now.axis
    return now.centre - car.radius[..., None] * up / np.sqrt((up**2).sum(-1, keepdims=True))


def resultant(car, rest, acting):
    """Sum of all forces and of their moments about the road's origin, shape (states, 3) each [N, N m]."""
    now = rest.acted
    mass, at = places(car, rest)
    pull = np.stack((-acting.ahead, -acting.across, -GRAVITY * np.ones(len(acting))), -1)
    weight = mass[None, :, None] * pull[:, None]
    nothing = np.zeros_like(now.load)
    along = np.stack((now.ahead, now.lateral, nothing), -1)
    upright = np.stack((nothing, nothing, now.load), -1)
    force = weight.sum(1) + (along + upright).sum((1, 2))
    moment = np.cross(at, weight).sum(1)
    moment += np.cross(now.foot, along).sum((1, 2)) + np.cross(lowest(car, now), upright).sum((1, 2))
    return force, moment


@every_car
def test_forces_and_moments_balance_in_every_direction(name):
    """Also in yaw, forward and sideways, where the car has no freedom and the solution asks for nothing."""
    car, acting = road_car_of(name), steady(*GRIPPING.T)
    rest = at_rest(car, acting)
    force, moment = resultant(car, rest, acting)

    assert rest.reached.all()
    assert rest.acted.load.sum(axis=(1, 2)) == pytest.approx(car.mass * GRAVITY, abs=1e-6)
    assert force == pytest.approx(np.zeros_like(force), abs=1e-6)
    assert moment == pytest.approx(np.zeros_like(moment), abs=1e-6)


def test_they_balance_with_people_aboard_and_on_uneven_ground():
    aboard = (Load("passenger", 90.0, np.array([-1.2, -0.35, 0.5])), Load("luggage", 40.0, np.array([-2.7, 0.1, 0.6])))
    car = road_car_of("brisk-14.toml").with_loads(aboard)
    acting = steady(*GRIPPING.T, ground=np.array([[0.020, 0.0], [-0.010, 0.005]]), rack=0.01)
    rest = at_rest(car, acting)
    force, moment = resultant(car, rest, acting)

    assert rest.reached.all()
    assert rest.acted.load.sum(axis=(1, 2)) == pytest.approx(car.mass * GRAVITY, abs=1e-6)
    assert force == pytest.approx(np.zeros_like(force), abs=1e-6)
    assert moment == pytest.approx(np.zeros_like(moment), abs=1e-6)


@every_car
def test_as_found_is_at_rest(name):
    rest, mass = at_rest(road_car_of(name), steady()), document(name).mass
    weighed = [[getattr(mass, f"{axle}_{side}").value * GRAVITY for side in SIDES] for axle in AXLES]

    assert rest.reached.all()
    assert rest.freedoms == pytest.approx(np.zeros((1, 7)), abs=1e-9)
    assert rest.acted.load[0] == pytest.approx(np.array(weighed), abs=1e-5)


# ------------------------------------------------------------------------------------------------ a second method

WOUND = np.array([[0.004, -0.002], [0.003, 0.006]])


def rods_of(name):
    """Some rods of a car, a few millimetres from as found."""
    changed = {}
    for on_body in road_car_of(name).axles:
        stand, axle = on_body.axle.stand, on_body.axle.name
        rods = [
            f"{axle}.{rod}" for rod in ("panhard", "left.tie_rod", "right.link_1") if f"{axle}.{rod}" in stand.joints
        ]
        for i, rod in enumerate(rods):
            changed[rod] = float(stand.reference_values([rod])[0, 0]) + (0.005, -0.003, 0.002)[i]
    return changed


@every_car
@pytest.mark.parametrize("rods", [False, True], ids=["springs", "springs and rods"])
def test_the_full_mechanism_comes_to_rest_in_the_same_place(name, rods):
    """All bodies with all joints and multipliers, against seven freedoms and followers."""
    found, settings = road_car_of(name), rods_of(name) if rods else {}
    car = with_settings(car_of(document(name), *(on_body.axle for on_body in found.axles), settings), WOUND)
    ours = static_car.settle(car)
    front, rear = (on_body.axle for on_body in car.axles)
    whole = car_on_tyres(front, rear, document(name).mass.centre_of_gravity_height.value)
    sits = settle(whole, {**front.elements, **rear.elements}, settings)
    near = static_car.settle(car, {corner: travel + 0.01 for corner, travel in sits.travel.items()})

    assert max(map(abs, ours.travel.values())) > 1e-3
    assert ours.travel == pytest.approx(sits.travel, abs=1e-10)
    assert ours.load == pytest.approx(sits.load, rel=1e-9)
    assert (ours.heave, ours.pitch, ours.roll) == pytest.approx((sits.heave, sits.pitch, sits.roll), abs=1e-10)
    assert ours.cross_share == pytest.approx(sits.cross_share, rel=1e-9)
    assert near.travel == pytest.approx(ours.travel, abs=1e-9)


# -------------------------------------------------------------------------------------------------------- mirrored


def _other(name):
    """A name of the other side."""
    swapped = {"left": "right", "right": "left"}
    return ".".join(swapped.get(part, part) for part in name.split("."))


def _crossed(points):
    """Points of an axle as a whole, each in the place of its image."""
    swap = {"left": "right", "right": "left"}
    return {
        "_".join(swap.get(word, word) for word in name.split("_")): at * LEFT_TO_RIGHT for name, at in points.items()
    }


def _image(side):
    return AntiRollBarSide(*(getattr(side, name) * LEFT_TO_RIGHT for name in ("bush", "arm_end", "link_end")))


def mirrored(name, axle):
    """An axle of a demo car as it is seen in a mirror, main springs loaded by the mirrored corner weights."""
    section = document(name).axle(End(axle))
    model, given = axle_model(document(name), axle), axle_given(section, axle)
    image = replace(
        given,
        pivots={s: {n: at * LEFT_TO_RIGHT for n, at in given.pivots[_other(s)].items()} for s in SIDES},
        wheels={s: given.wheels[_other(s)] for s in SIDES},
        axle_pivots={section: _crossed(points) for section, points in given.axle_pivots.items()},
        choices={choice: _other(word) for choice, word in given.choices.items()},
        bush_axis={s: given.bush_axis[_other(s)] * LEFT_TO_RIGHT for s in SIDES} if given.bush_axis else {},
        anti_roll_bars={
            n: AntiRollBarInput(_image(bar.right), _image(bar.left), link_on=bar.link_on)
            for n, bar in given.anti_roll_bars.items()
        },
    )
    linkage = laid_out(section.as_layout().build, Setting(axle, road=road_body(axle)), image)
    swapped = replace(
        model,
        linkage=linkage,
        stand=on_the_rig(linkage),
        elements={_other(n): replace(e, measure=_other(e.measure)) for n, e in model.elements.items()},
        groups={_other(n): group for n, group in model.groups.items()},
        main={s: replace(model.main[_other(s)], measure=_other(model.main[_other(s)].measure)) for s in SIDES},
        corner_load={s: model.corner_load[_other(s)] for s in SIDES},
        unsprung={s: model.unsprung[_other(s)] for s in SIDES},
        tyre_rate={s: model.tyre_rate[_other(s)] for s in SIDES},
    )
    return loaded(swapped)[0]


BAR_ON_A_TWISTING_TUBE = ("burnet-17.toml",)
"""Cars with a bar whose two bushes the layout puts on the left half of a tube that twists: no mirror shows them alike."""


@pytest.mark.parametrize("name", [car for car in CARS if document(car).rear.layout != "linkage"])
def test_a_mirrored_car_turned_right_is_the_car_turned_left(name):
    car = road_car_of(name)
    image = car_of(document(name), *(mirrored(name, axle) for axle in AXLES))
    if name in BAR_ON_A_TWISTING_TUBE:
        car, image = (one.without(("anti-roll bar",)) for one in (car, image))
    across, ahead = 0.7 * GRIPPING.T if name in BAR_ON_A_TWISTING_TUBE else GRIPPING.T
    rest, seen = at_rest(car, steady(across, ahead)), at_rest(image, steady(-across, ahead))

    assert rest.reached.all()
    assert seen.reached.all()
    assert np.abs(car.axles[0].axle.corner_load["left"] - car.axles[0].axle.corner_load["right"]).max() > 1.0
    assert seen.travel == pytest.approx(rest.travel[:, :, ::-1], abs=1e-8)
    assert seen.acted.load == pytest.approx(rest.acted.load[:, :, ::-1], abs=1e-4)
    assert seen.acted.lateral == pytest.approx(-rest.acted.lateral[:, :, ::-1], abs=1e-4)
    assert seen.acted.ahead == pytest.approx(rest.acted.ahead[:, :, ::-1], abs=1e-4)
    assert seen.roll == pytest.approx(-rest.roll, abs=1e-8)
    assert seen.pitch == pytest.approx(rest.pitch, abs=1e-8)
    assert seen.acted.foot == pytest.approx(rest.acted.foot[:, :, ::-1] * LEFT_TO_RIGHT, abs=1e-8)


# ---------------------------------------------------------------------------------------------------------- energy


def placed(car, freedoms):
    """Both axles at given freedoms."""
    paths = []
    for on_body, travels in zip(car.axles, (slice(3, 5), slice(5, 7)), strict=True):
        path, reached = on_body.at(freedoms[:, travels])

        assert reached.all()
        paths.append(path)
    return tuple(paths)


def energy(car, freedoms):
    """Stored energy of springs, tyres and weights in a batch of states, all added up plainly [J]."""
    total = np.zeros(len(freedoms))
    paths, turn = placed(car, freedoms), turns_body(freedoms)
    mass, at = car.body_masses()
    for one, place in zip(mass, at, strict=True):
        total += GRAVITY * one * (turn.apply(place)[:, 2] + freedoms[:, 0])
    for k, (on_body, path) in enumerate(zip(car.axles, paths, strict=True)):
        for element in on_body.axle.elements.values():
            total += element.law.energy(element.displacement(path.measure[:, on_body.row[element.measure]]))
        for s in range(2):
            height = turn.apply(path.centre[:, s])[:, 2] + freedoms[:, 0]
            total += GRAVITY * car.unsprung[k, s] * height
            axis = turn.apply(path.axis[:, s])
            low = height - car.radius[k, s] * np.sqrt(axis[:, 0] ** 2 + axis[:, 1] ** 2)
            total += car.tyres[k][s].law.energy(car.tyres[k][s].displacement(low))
    return total


def scattered(count, seed=3):
    """Freedoms all over, within what every linkage reaches."""
    return np.random.default_rng(seed).uniform(-1, 1, (count, 7)) * np.array([0.02, 0.03, 0.05, *[0.03] * 4])


@some_cars
def test_without_accelerations_forces_are_the_slope_of_the_energy(name):
    car, at, h = road_car_of(name), scattered(8), 1e-5
    force = acted(car, at, placed(car, at), steady(np.zeros(8))).unbalanced
    for k in range(7):
        step = h * np.eye(7)[k]
        near, far = ([energy(car, at + sign * n * step) for sign in (1, -1)] for n in (1, 2))
        slope = (8 * (near[0] - near[1]) - (far[0] - far[1])) / (12 * h)

        assert force[:, k] == pytest.approx(-slope, rel=1e-6, abs=2e-3)


@some_cars
def test_without_accelerations_the_stiffness_is_symmetric(name):
    car, at = road_car_of(name), scattered(8)
    slope = tangent(car, at, steady(np.zeros(8)))[1]

    assert slope == pytest.approx(slope.transpose(0, 2, 1), rel=1e-9, abs=1e-6)


@some_cars
def test_the_jacobian_is_the_slope_of_the_forces(name):
    car, at, h = road_car_of(name), scattered(8, seed=5), 1e-6
    acting = steady(np.linspace(-6, 6, 8), np.linspace(3, -5, 8))
    slope = tangent(car, at, acting)[1]
    for k in range(7):
        step = h * np.eye(7)[k]
        above, below = (acted(car, x, placed(car, x), acting).unbalanced for x in (at + step, at - step))

        assert slope[:, :, k] == pytest.approx((above - below) / (2 * h), rel=2e-6, abs=2.0)


def carrier_axes(car, rest, k):
    """Axes of both carriers of an axle on the road, shape (states, 2, 3, 3) [-]."""
    axle = car.axles[k].axle
    states = AxleStates(left=rest.travel[:, k, 0], right=rest.travel[:, k, 1])
    pose = place_axle(axle.stand, axle.name, states).pose
    turn = turns_body(rest.freedoms).as_matrix()
    return np.stack([turn @ axes_of(axle.stand, pose, axle.linkage.carriers[side]) for side in SIDES], 1)


def work_of_cornering(name, steps):
    """What inertia and the tyres' lateral forces do from straight ahead to 3 m/s², by the midpoint rule [J].

    The forces act on points fixed to the masses and to the carriers: those at the feet half way of each step.
    """
    car, across = road_car_of(name), np.linspace(0, 3, steps + 1)
    rest = at_rest(car, steady(across))
    mass, at = places(car, rest)
    work = -((across[1:] + across[:-1]) / 2 @ ((at[1:, :, 1] - at[:-1, :, 1]) @ mass))
    for k in range(2):
        axes, centre, foot = carrier_axes(car, rest, k), rest.acted.centre[:, k], rest.acted.foot[:, k]
        own = np.einsum("nsij,nsi->nsj", axes, foot - centre)
        half_way = (own[1:] + own[:-1]) / 2
        there, here = (
            centre[part, :, 1] + np.einsum("nsj,nsj->ns", axes[part][:, :, 1], half_way)
            for part in (slice(1, None), slice(-1))
        )
        lateral = rest.acted.lateral[:, k]
        work += np.sum((lateral[1:] + lateral[:-1]) / 2 * (there - here))
    stored = energy(car, rest.freedoms[[0, -1]])
    return work, stored[1] - stored[0]


@pytest.mark.parametrize("name", ["brisk-14.toml", "comfrey-20.toml", "sedge-13.toml"])
def test_work_of_cornering_is_stored(name):
    """Halving the steps quarters the error: the rule is of second order, and what it comes nearer to is the energy."""
    coarse, medium, fine = (work_of_cornering(name, steps) for steps in (10, 20, 40))
    stored = fine[1]
    errors = [work - stored for work, _ in (coarse, medium, fine)]

    assert stored > 5.0
    assert errors[0] / errors[1] == pytest.approx(4, rel=0.1)
    assert errors[1] / errors[2] == pytest.approx(4, rel=0.1)
    assert (4 * fine[0] - medium[0]) / 3 == pytest.approx(stored, abs=1e-5)


# ----------------------------------------------------------------------------------------------------------- signs


@every_car
def test_signs(name):
    """Left turn: the right side goes down. Braking: nose down, front wheels loaded. Driving: the other way."""
    rest = at_rest(road_car_of(name), steady([4.0, -4.0, 0.0, 0.0], [0.0, 0.0, -4.0, 2.5]))
    load, travel, found = rest.acted.load, rest.travel, at_rest(road_car_of(name), steady()).acted.load[0]

    assert rest.roll[0] > np.radians(1.0)
    assert rest.roll[1] < -np.radians(1.0)
    assert (load[0, :, 1] > found[:, 1] + 100).all()
    assert (load[0, :, 0] < found[:, 0] - 100).all()
    assert (travel[0].mean(axis=0) * [-1, 1] > 0.003).all()
    assert (rest.acted.lateral[0] > 0).all()
    assert (rest.acted.lateral[1] < 0).all()
    assert rest.pitch[2] > np.radians(0.3)
    assert rest.pitch[3] < -np.radians(0.3)
    assert (load[2, 0] > found[0] + 100).all()
    assert (load[2, 1] < found[1] - 100).all()
    assert (load[3, 0] < found[0] - 50).all()
    assert (load[3, 1] > found[1] + 50).all()
    assert (rest.acted.ahead[2] < 0).all()
    assert rest.acted.ahead[3, 0] == pytest.approx([0.5 * 2.5 * road_car_of(name).mass] * 2)
    assert rest.acted.ahead[3, 1] == pytest.approx([0, 0])

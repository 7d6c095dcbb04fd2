"""The car on its tyres, proved by nature."""

from __future__ import annotations

import numpy as np
import pytest

from jounce.behaviour.axle.contact import contact_state
from jounce.behaviour.axle.motions import AxleStates, place_axle, wheel_motions
from jounce.behaviour.axle.reach import stops_met
from jounce.elements.law import Linear
from jounce.linkage.balance import Element, balance
from tests.demo_car import demo_axle, demo_car, demo_document
from tests.reference.whole_car import settle


def springs():
    return {**demo_axle("front").elements, **demo_axle("rear").elements}


def test_as_found_is_at_rest_with_the_preloads_that_virtual_work_gave():
    """Two ways to the same preloads: axle by axle on the stand, and all bodies with all joints at once."""
    sits = settle(demo_car(), springs())
    mass = demo_document().mass

    assert max(abs(t) for t in sits.travel.values()) < 1e-9
    assert (sits.heave, sits.pitch, sits.roll) == pytest.approx((0, 0, 0), abs=1e-9)
    assert sits.load["front", "left"] == pytest.approx(mass.front_left.value * 9.80665, abs=1e-4)


def test_a_stiffer_bar_at_the_same_preload_carries_the_same_weight_elsewhere():
    """Loads sum to the weight, and the loads' moments to that of the centre of gravity, wherever the car stands."""
    extra = Element("front.left.torsion_bar", Linear(rate=0.0, preload=80.0))
    found, moved = settle(demo_car(), springs()), settle(demo_car(), {**springs(), "wound": extra})

    assert moved.travel["front", "left"] < found.travel["front", "left"] - 0.004
    assert sum(moved.load.values()) == pytest.approx(sum(found.load.values()), abs=1e-5)
    assert moved.cross_share < found.cross_share


@pytest.mark.parametrize("axle", ["front", "rear"])
def test_wheel_rates_are_the_slope_of_the_loads(axle):
    """The exact second derivatives against differences of wheel loads at moved positions."""
    model, h = demo_axle(axle), 1e-5

    def load(left, right):
        placed = place_axle(model.stand, axle, AxleStates(left=left, right=right))
        names = [f"{axle}.{side}.road_height" for side in ("left", "right")]
        state = contact_state(model, wheel_motions(placed, axle))
        return state, model.stand.taken(names).values(placed.pose)[0]

    for point in ((0.0, 0.0), (0.02, -0.03), (-0.05, -0.05)):
        middle, _ = load(*point)
        slope = np.zeros((2, 2))
        rise = np.zeros((2, 2))
        for k in range(2):
            step = np.eye(2)[k] * h
            (above, high), (below, low) = load(*(point + step)), load(*(point - step))
            slope[:, k] = (above.load - below.load)[0] / (2 * h)
            rise[:, k] = (high - low) / (2 * h)

        assert middle.stiffness[0] == pytest.approx(slope @ np.linalg.inv(rise), rel=2e-6, abs=0.05)
        assert middle.stiffness[0] == pytest.approx(middle.stiffness[0].T, rel=1e-9, abs=1e-6)


def test_stops_are_met_in_order_and_where_the_damper_says():
    met = stops_met(demo_axle("front"))
    touch = next(m for m in met if m.name == "bump rubber touches" and m.side == "left")
    stand = demo_axle("front").stand
    placed = place_axle(stand, "front", AxleStates(left=touch.travel, right=touch.travel))
    length = stand.taken(["front.left.damper"]).values(placed.pose)[0, 0]
    found = stand.reference_values(["front.left.damper"])[0, 0]

    assert found - length == pytest.approx(0.025, abs=1e-9)
    assert [m.travel for m in met if m.at == "bump"] == sorted(m.travel for m in met if m.at == "bump")


def test_roll_stiffness_of_the_beam_is_that_of_its_springs_and_bar():
    """Upright coils at their spacing and the bar at the arms: K = k b²/2 + (GJ/L)(t/La)², to the tilt of the coils."""
    document, model = demo_document().rear, demo_axle("rear")
    placed = place_axle(model.stand, "rear", AxleStates())
    state = contact_state(model, wheel_motions(placed, "rear"))
    base = document.left.pivots.spring_lower.y - document.right.pivots.spring_lower.y
    coils = 0.5 * document.left.spring.rate.value * base**2
    bar = document.inner_bar
    steel = np.pi * bar.shear_modulus.value * bar.diameter.value**4 / (32 * bar.active_length.value)
    spacing = 2 * document.left.pivots.arm_bush.y
    arm = document.left.pivots.arm_bush.x - document.left.pivots.tube_end.x
    by_hand = coils + steel * (spacing / arm) ** 2

    # The by-hand value leaves out the coils' tilt and the preload's turn with it: a few per cent.
    assert state.roll_stiffness[0] == pytest.approx(by_hand, rel=0.04)


ANGLES = ("camber", "toe", "steer", "road_cosine")


def test_turning_the_car_does_not_change_its_linkages():
    """On its tyres the body pitches and leans; every wheel is where the stand puts it under the same attitude."""
    extra = Element("front.left.torsion_bar", Linear(rate=0.0, preload=150.0))
    car = demo_car()
    rest = balance(car.mechanism, {**car.standing, **springs(), "wound": extra})
    tree = car.mechanism.tree

    attitude = tuple(float(rest.pose.coordinate[0, tree.coordinate(name)]) for name in ("body_pitch", "body"))
    assert abs(attitude[0]) > 1e-3
    for axle in ("front", "rear"):
        stand = demo_axle(axle).stand
        names = [f"{axle}.{side}.{what}" for side in ("left", "right") for what in (*ANGLES, "damper", "wheel_y")]
        travels = [f"{axle}.{side}.travel" for side in ("left", "right")]
        left, right = car.mechanism.taken(travels).values(rest.pose)[0]
        placed = place_axle(stand, axle, AxleStates(left=left, right=right, attitude=attitude))

        there = car.mechanism.taken(names).values(rest.pose)
        assert there == pytest.approx(stand.taken(names).values(placed.pose), abs=1e-10)

"""The whole car asked the questions of a shop: wheel lift, drive, dive, settings on the scales."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from importlib.resources import files
from pathlib import Path

import numpy as np
import pytest

from jounce.behaviour.axle.contact import contact_state
from jounce.behaviour.axle.motions import AxleStates, place_axle, wheel_motions
from jounce.behaviour.road.beyond_stops import beyond_stops
from jounce.behaviour.road.brake import most_drive, straight_ahead
from jounce.behaviour.road.corner import corner, gradient
from jounce.behaviour.road.equal_slip import EqualSlip
from jounce.behaviour.road.equilibrium import at_rest
from jounce.behaviour.road.feel import feel
from jounce.behaviour.road.lift import lift
from jounce.behaviour.road.loading import steady
from jounce.behaviour.road.of_document import aboard, car_as_found
from jounce.behaviour.road.road_car import Load
from jounce.behaviour.road.sharing import ByLoad, longitudinal
from jounce.behaviour.road.weigh import evenly_loaded, on_scales, settings_for
from jounce.car.file.reading import read_car
from jounce.conventions.constants import GRAVITY
from jounce.conventions.errors import InputError
from jounce.elements.tyres.tyre_lateral import EXAMPLE_1987
from tests.demo_car import demo_document


@cache
def car():
    return car_as_found(demo_document())


@cache
def demo(name):
    return car_as_found(read_car(Path(str(files("jounce.demo").joinpath(f"{name}.toml")))))


def test_a_wheel_lifts_where_its_load_ends():
    found = lift(car(), 1, 1.0, np.array([0.0, -2.0]))
    before, after = (at_rest(car(), steady(found.across * s, found.ahead)) for s in (0.999, 1.001))

    assert found.across[1] < found.across[0]
    assert (before.acted.load[:, 1, 0] > 0.1).all()
    assert after.acted.load[:, 1, 0] == pytest.approx([0.0, 0.0], abs=1e-9)


@pytest.mark.parametrize("turn", [1.0, -1.0])
def test_the_lift_is_where_the_load_ends_to_a_millionth(turn):
    found, inside = lift(car(), 1, turn, np.array([-2.0])).across, int(turn < 0)
    before, after = (at_rest(car(), steady(turn * found * s, -2.0)) for s in (1 - 1e-6, 1 + 1e-6))

    assert before.reached.all()
    assert after.reached.all()
    assert 0 < before.acted.load[0, 1, inside] < 0.1
    assert after.acted.load[0, 1, inside] == 0


def test_turns_and_brakings_are_found_together_as_each_alone():
    turns, ahead = np.array([1.0, 1.0, -1.0, -1.0]), np.array([0.0, -2.0, 0.0, -2.0])
    alone = [lift(car(), 1, turn, np.array([a])).across[0] for turn, a in zip(turns, ahead, strict=True)]

    assert lift(car(), 1, turns, ahead).across == pytest.approx(alone, rel=1e-9)


def test_both_turns_of_a_nearly_even_car_lift_its_wheel():
    """Standing starts do not come to rest near there in every state: one turn must not be lost for that."""
    found = lift(demo("tansy-11"), 1, np.array([1.0, -1.0]), np.zeros(2)).across

    assert found[0] == pytest.approx(found[1], rel=0.03)


def test_a_car_that_tips_over_first_does_not_lift_its_rear_wheel():
    tall = demo("bracken-16")
    front, rear = lift(tall, 0, 1.0, np.zeros(1)).across[0], lift(tall, 1, 1.0, np.zeros(1)).across[0]
    standing = at_rest(tall, steady(np.array([front + 0.02, front + 0.5, front + 2.0])))

    assert 8.0 < front < 10.0
    assert np.isnan(rear)
    assert standing.reached.tolist() == [True, False, False]


def test_a_wheel_that_does_not_lift_is_no_number():
    assert np.isnan(lift(demo("sorrel-21"), 0, 1.0, np.zeros(1)).across[0])


def test_load_transfer_parts_add_up_to_what_the_tyres_feel():
    told = corner(car(), np.linspace(-9.0, 9.0, 7), ahead=-2.0)
    load, rest = told.states.acted.load, told.standing.acted.load
    moved = 0.5 * ((load - rest)[..., 1] - (load - rest)[..., 0])

    assert told.transfer.total == pytest.approx(moved, abs=1e-5)


def test_the_body_rolls_out_of_the_corner_and_the_nose_dives():
    told = corner(car(), np.array([-4.0, 0.0, 4.0]))

    assert told.roll[2] > 0.03 > -0.03 > told.roll[0]
    assert told.states.acted.load[2, 0, 1] > told.states.acted.load[2, 0, 0]
    assert straight_ahead(car(), np.array([-5.0])).pitch[0] > 0.005
    assert gradient(told, told.roll, 1.0) == pytest.approx(told.roll[2] / 4.0, rel=1e-12)


def test_a_gradient_beyond_the_sweep_is_no_number():
    told = corner(car(), np.array([0.0, 2.0]))

    assert np.isnan(gradient(told, told.roll, 1.0))


def test_the_lighter_driven_wheel_spins_at_what_friction_gives():
    across = np.array([0.0, 5.0])
    most = most_drive(car(), across).ahead
    rest = at_rest(car(), steady(across, most))
    lightest = rest.acted.load[:, 0].min(axis=1)

    assert most * car().mass == pytest.approx(2 * car().driveline.friction * lightest, rel=1e-7)
    assert most[1] < most[0]


@pytest.mark.parametrize("demand", [-3000.0, 0.0, 3000.0])
def test_a_tyre_gives_no_more_along_the_road_than_friction_and_its_partner_gives_the_rest(demand):
    load = np.array([[2000.0, 800.0], [2500.0, 2500.0]])
    given = longitudinal(load, np.full(2, demand), 0.9)

    assert given.sum(axis=1) == pytest.approx([demand, demand], abs=1e-9)
    assert abs(given[0, 1]) <= 0.9 * 800.0 + 1e-9
    assert given[1, 0] == pytest.approx(given[1, 1])


def test_settings_reach_heights_and_cross_weight_together_and_leave_the_left_share():
    before = on_scales(car())
    found = settings_for(car(), front=0.010, rear=0.015, cross_share=0.51)

    assert found.stands.travel.mean(axis=1) == pytest.approx([0.010, 0.015], abs=1e-8)
    assert found.stands.cross_share == pytest.approx(0.51, abs=1e-8)
    assert found.stands.left_share == pytest.approx(before.left_share, abs=2e-4)
    assert found.stands.load.sum() == pytest.approx(before.load.sum(), abs=1e-5)


def test_a_pad_too_high_moves_cross_weight_as_four_springs_in_series_say():
    """Closed form, bars off: a height under one wheel is met by four corners in series, ``dF = h / sum(1/k)``.

    The body's lean, which moves its weight a little sideways, is not in the closed form: 5 %.
    """
    loose = car().without({"anti-roll bar", "inner bar"})
    ground = np.zeros((2, 2))
    ground[0, 0] = 1e-3
    change = on_scales(loose, steady(ground=ground)).load - on_scales(loose).load
    give = 0.0
    for on_body in loose.axles:
        axle = on_body.axle
        state = contact_state(axle, wheel_motions(place_axle(axle.stand, axle.name, AxleStates()), axle.name))
        against = state.stiffness[0, 0, 0] - state.stiffness[0, 0, 1]
        give += 2 / against + 2 / float(axle.tyre_rate["left"][0])

    assert change[0, 1] + change[1, 0] == pytest.approx(-2e-3 / give, rel=0.05)


def test_even_weights_stand_level_in_load():
    stands = on_scales(evenly_loaded(car()))

    assert stands.left_share == pytest.approx(0.5, abs=2e-4)
    assert stands.cross_share == pytest.approx(0.5, abs=1e-8)


def test_what_rides_aboard_weighs_where_it_sits():
    loads = aboard(demo_document(), {"passenger": None, "boot": 20.0})
    before, after = on_scales(car()), on_scales(car().with_loads(loads))

    assert (after.load.sum() - before.load.sum()) / GRAVITY == pytest.approx(95.0, abs=1e-6)
    assert after.left_share < before.left_share
    with pytest.raises(InputError, match="names no such place"):
        aboard(demo_document(), {"roof": None})


def test_feel_is_what_the_sweep_says():
    told, sweep = feel(car())

    assert told.left.roll_gradient == pytest.approx(gradient(sweep, sweep.roll, 1.0))
    assert told.left.rear_lift is not None
    assert told.left.rear_lift_braked is not None
    assert told.left.rear_lift_braked < told.left.rear_lift
    assert 0.1 < told.left.drive / GRAVITY < 0.6
    assert told.left.understeer_gradient is not None
    assert 0.0 < np.degrees(told.left.understeer_gradient) * GRAVITY < 4.0  # common practice for front drive, no source
    assert told.left.limit is not None
    assert 0.7 < told.left.limit / GRAVITY < 1.05


def test_without_a_tyre_law_balance_is_not_known():
    plain, _ = feel(replace(car(), sharing=(ByLoad(), ByLoad())))

    assert plain.left.understeer_gradient is None
    assert plain.left.limit is None
    assert plain.left.limit_front is None


def test_two_tyres_at_one_slip_angle_give_the_demand():
    sharing = EqualSlip(EXAMPLE_1987)
    load = np.array([[1000.0, 4000.0], [3000.0, 3000.0], [0.0, 4000.0]])
    demand = np.array([3000.0, -2500.0, 2000.0])
    given, slip = sharing.lateral(load, demand), sharing.slip(load, demand)

    assert given.sum(axis=1) == pytest.approx(demand, abs=1e-6)
    assert given[0] == pytest.approx(EXAMPLE_1987.force(load[0], slip[0] * np.ones(2)), rel=1e-6)
    assert given[1, 0] == pytest.approx(given[1, 1])
    assert given[2, 0] == 0.0
    assert given[0, 0] / load[0, 0] > given[0, 1] / load[0, 1]  # the light tyre gives more of its load
    assert slip[1] < 0


def test_beyond_their_grip_tyres_still_share_the_demand_and_nothing_jumps_there():
    sharing = EqualSlip(EXAMPLE_1987)
    load = np.array([[1000.0, 4000.0]])
    most = sharing.most(load)
    inside, outside = (sharing.lateral(load, share * most) for share in (1 - 1e-9, 1 + 1e-9))

    assert sharing.lateral(load, 1.2 * most).sum() == pytest.approx(float(1.2 * most[0]))
    assert inside == pytest.approx(outside, abs=1.0)


def test_perturbed_loads_share_with_their_exact_slope():
    sharing, h = EqualSlip(EXAMPLE_1987), 1e-20
    load, demand = np.array([[1500.0, 3500.0]]), np.array([2500.0])
    perturbed = sharing.lateral(load + 1j * h * np.array([[1.0, 0.0]]), demand).imag / h
    step = 1e-1
    above, below = (sharing.lateral(load + s * step * np.array([[1.0, 0.0]]), demand) for s in (1, -1))

    assert perturbed == pytest.approx((above - below) / (2 * step), rel=1e-5)


def test_a_car_above_its_road_falls_onto_it():
    found = at_rest(car(), steady(ground=-0.2))

    assert found.reached.all()
    assert found.freedoms[0, 0] == pytest.approx(-0.2, abs=1e-6)


def test_a_driven_beam_takes_its_own_torque():
    """A live axle squats by where the force acts; one driven through shafts by where its wheel centres go."""
    document = demo_document()
    behind = document.model_copy(update={"driveline": document.driveline.model_copy(update={"driven": "rear"})})
    front, live = car_as_found(document), car_as_found(behind)
    squat = [straight_ahead(one, np.array([3.0])).travel[0, 1] for one in (front, live)]

    assert live.live(1)
    assert not front.live(1)
    assert squat[1] < 0.5 * squat[0]  # arms that slope up to the front carry the axle's own torque: anti-squat


def test_a_wheel_beyond_its_travel_is_told():
    laden = car().with_loads((Load("boot", 900.0, np.array([-2.4, 0.0, 0.5])),))

    assert beyond_stops(car(), on_scales(car()).travel[None]) == []
    told = beyond_stops(laden, on_scales(laden).travel[None])
    assert {(one.axle, one.side) for one in told} >= {("rear", "left"), ("rear", "right")}


def test_no_state_at_all_is_beyond_no_stop():
    assert beyond_stops(car(), np.zeros((0, 2, 2))) == []

"""Combined motions, what excludes what, and how far a single wheel goes."""

from __future__ import annotations

import numpy as np
import pytest

from jounce.behaviour.axle.motions import AxleStates, place_axle, steering_drive
from jounce.behaviour.axle.reach import stops_met
from jounce.behaviour.axle.travel import column_map, motion_states, states_table, travel_table
from jounce.conventions.errors import InputError
from tests.behaviour.demo_layouts import axle_of, axles, columns
from tests.demo_car import demo_axle

BOX = next(pair for pair in axles() if steering_drive(axle_of(*pair)[0].stand, pair[1]) == "pitman")


def test_a_motion_can_be_made_with_other_drives_held():
    model = demo_axle("front")
    drive = np.array([-0.01, 0.02])
    held = {"roll": 0.02, "rack": 0.01}
    along_heave = column_map(travel_table(model.stand, model.linkage, "heave", drive, held))
    states = AxleStates(heave=drive, roll=0.02, rack=0.01)
    direct = column_map(states_table(model.stand, model.linkage, states, (1.0, 1.0)))

    assert along_heave["heave"].tolist() == drive.tolist()
    assert all(along_heave[name] == pytest.approx(direct[name], abs=0, nan_ok=True) for name in direct)
    assert 0.5 * (direct["left_travel"] + direct["right_travel"]) == pytest.approx(drive, abs=1e-12)
    assert direct["rack_travel"] == pytest.approx([0.01, 0.01])


def test_the_other_wheel_can_be_held_off_its_place():
    found = column_map(travel_table(*_front(), "left", np.array([0.01]), {"right": -0.02}))

    assert (found["left_travel"][0], found["right_travel"][0]) == pytest.approx((0.01, -0.02), abs=1e-12)


def _front():
    model = demo_axle("front")
    return model.stand, model.linkage


@pytest.mark.parametrize(
    ("motion", "held"), [("heave", {"left": 0.01}), ("roll", {"right": 0.01}), ("left", {"roll": 0.01})]
)
def test_drives_that_exclude_each_other_are_refused(motion, held):
    with pytest.raises(InputError, match="not both"):
        motion_states(motion, np.zeros(1), held)


def test_a_steering_box_is_driven_by_its_pitman_arm():
    found = columns(*BOX, "steer", np.radians([-10.0, 10.0]))

    assert found["pitman"] == pytest.approx(np.radians([-10.0, 10.0]))
    assert found["pitman_angle"] == pytest.approx(np.radians([-10.0, 10.0]))
    assert "rack" not in found
    assert found["left_steer"][0] * found["left_steer"][1] < 0


def test_velocities_move_one_row_and_hold_the_others():
    model = demo_axle("front")
    placed = place_axle(model.stand, "front", AxleStates(left=0.02, right=-0.01, rack=0.01))
    rows = ["front.left.travel", "front.rack", "front.left.tie_rod"]
    moved = placed.motions([{row: 1.0} for row in rows], second=False).velocity.transpose(0, 2, 1)
    gradient = model.stand.taken(placed.rows).linearised(placed.pose).gradient[0]
    wanted = np.array([[float(row == name) for name in rows] for row in placed.rows])

    assert gradient @ moved[0] == pytest.approx(wanted, abs=1e-9)


def test_a_single_wheel_meets_its_own_stops_where_both_would():
    """Independent wheels without a lean: the other wheel does not move this wheel's damper."""
    model = demo_axle("front")
    both = [stop for stop in stops_met(model) if stop.side == "left"]
    alone = [stop for stop in stops_met(model, moving=("left",)) if stop.side is not None]

    assert {stop.side for stop in alone} == {"left"}
    assert [stop.name for stop in alone] == [stop.name for stop in both]
    assert [stop.travel for stop in alone] == pytest.approx([stop.travel for stop in both], abs=1e-8)


def test_steering_moves_where_a_stop_is_met():
    model = demo_axle("front")
    straight, steered = (
        {stop.name: stop.travel for stop in stops_met(model, steered=rack) if stop.side == "left"}
        for rack in (0.0, 0.04)
    )

    assert straight["damper closed"] != pytest.approx(steered["damper closed"], abs=1e-5)


def test_only_the_groups_asked_for_are_taken():
    model = demo_axle("rear")
    found = column_map(states_table(model.stand, model.linkage, AxleStates(), (1.0, 1.0), groups={"track"}))

    assert found.keys() == {"track", "track_change", "total_toe"}

"""The sense of each result: a simple axle or a poke whose answer is plain beforehand."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import brentq

from jounce.behaviour.axle.context import CarContext
from jounce.behaviour.axle.travel import column_map, travel_table
from jounce.layouts.axle import Setting, on_the_rig, road_body
from jounce.layouts.axle_input import AxleInput
from jounce.layouts.builder import laid_out
from jounce.layouts.strut_torsion_bar import STRUT_TORSION_BAR
from jounce.layouts.trailing_arm import TRAILING_ARM
from tests.demo_axles import BEAM, STRUT, beam_axle, both, strut_given, wheels

RADIUS, PIVOT_AHEAD, PIVOT_HEIGHT = 0.280, 0.400, 0.350
ARM = {
    "wheel_centre": (0, 700, RADIUS * 1e3),
    "arm_inner": (PIVOT_AHEAD * 1e3, 350, PIVOT_HEIGHT * 1e3),
    "arm_outer": (PIVOT_AHEAD * 1e3, 650, PIVOT_HEIGHT * 1e3),
    "spring_upper": (150, 500, 500),
    "spring_lower": (150, 500, 300),
    "damper_upper": (-20, 500, 600),
    "damper_lower": (-20, 500, 250),
}
WHEELBASE = 2.5


def results(build, given, axle, motion="heave", drive=(0.0,), context=None):
    linkage = laid_out(build, Setting(axle, road=road_body(axle)), given)
    context = context or CarContext(wheelbase=np.array([WHEELBASE]), rack_per_turn=np.array([0.045]))
    return column_map(travel_table(on_the_rig(linkage), linkage, motion, np.array(drive), None, context))


def trailing(axle, **more):
    return results(TRAILING_ARM.build, AxleInput(both(ARM), wheels(0.0, 0.0, RADIUS)), axle, **more)


def strut(motion="heave", drive=(0.0,), changes=None, context=None):
    return results(STRUT_TORSION_BAR.build, strut_given(changes), "front", motion, drive, context)


def test_support_angles_of_a_trailing_arm_are_those_of_its_line():
    """A locked wheel pulls through the line from its contact to the arm's pivot, a driven one from its centre."""
    rear, front = trailing("rear"), trailing("front")
    brake, drive = np.arctan2(PIVOT_HEIGHT, PIVOT_AHEAD), np.arctan2(PIVOT_HEIGHT - RADIUS, PIVOT_AHEAD)

    for side in ("left", "right"):
        assert rear[f"{side}_brake_support_angle"] == pytest.approx([brake], rel=1e-12)  # braking holds the tail down
        assert rear[f"{side}_drive_support_angle"] == pytest.approx([drive], rel=1e-12)  # driving holds it up
        assert front[f"{side}_brake_support_angle"] == pytest.approx([-brake], rel=1e-12)  # the same arm dives in front


def test_swing_arm_of_a_trailing_arm_leads_to_its_pivot():
    rear, front = trailing("rear"), trailing("front")

    assert rear["left_side_view_swing_arm_length"] == pytest.approx([PIVOT_AHEAD], rel=1e-12)
    assert rear["left_side_view_swing_arm_angle"] > 0 > front["left_side_view_swing_arm_angle"]
    assert front["left_side_view_swing_arm_length"] == pytest.approx([-PIVOT_AHEAD], rel=1e-12)
    assert np.isnan(rear["left_front_view_swing_arm_length"]).all()
    assert rear["left_front_view_swing_arm_angle"] == pytest.approx([0.0], abs=1e-12)


def test_a_trailing_arm_swings_its_wheel_rearward_below_its_pivot():
    """The pivot lies above the wheel centre: in bump the wheel goes rearward until it is level with it."""
    found = trailing("rear", drive=(0.0, 0.02))

    assert found["left_recession_gradient"] == pytest.approx(
        [(PIVOT_HEIGHT - RADIUS) / PIVOT_AHEAD, 0.05 / np.sqrt(PIVOT_AHEAD**2 + 0.07**2 - 0.05**2)], rel=1e-9
    )
    assert found["left_wheel_recession"][1] > 0
    assert found["left_arm_angle"][1] > 0
    assert found["left_half_track_gradient"] == pytest.approx([0, 0], abs=1e-12)


def test_wheelbase_changes_grow_when_the_rear_wheel_goes_rearward():
    moved = trailing("rear", drive=(0.02,)), trailing("front", drive=(0.02,))

    assert moved[0]["left_wheelbase_change"] > 0 > moved[1]["left_wheelbase_change"]


def test_wheels_of_trailing_arms_lean_with_the_body_in_roll():
    rolled = trailing("rear", motion="roll", drive=(0.02,))

    # A trailing arm keeps its wheel upright to the body: to the road it leans with it, the left one's top inward.
    assert rolled["left_roll_camber_to_body"] == pytest.approx([0], abs=1e-12)
    assert rolled["left_roll_camber"] == pytest.approx([-1.0], rel=1e-9)
    assert rolled["right_roll_camber"] == pytest.approx([1.0], rel=1e-9)
    assert rolled["left_roll_steer"] == pytest.approx([0], abs=1e-12)
    assert rolled["roll_centre_height"] == pytest.approx([0], abs=1e-9)
    # The wheels move along the body's own vertical, which leans: the road's push to the left goes up along its floor.
    assert rolled["jacking_ratio"] == pytest.approx([np.tan(0.02)], rel=1e-9)


def test_bump_steer_goes_to_toe_out_when_the_tie_rods_inner_end_is_lowered():
    """Rod behind the axle: as the wheel rises, the steeper rod draws the wheel's tail inward."""
    x, y, z = STRUT["tie_rod_inner"]
    as_drawn = strut()["left_bump_steer"]
    lowered = strut(changes={"tie_rod_inner": (x, y, z - 20)})["left_bump_steer"]

    assert lowered < as_drawn


def test_hub_offset_is_how_far_the_axis_passes_inboard_of_the_centre():
    found = strut()
    low, high, wheel = (np.array(STRUT[p], dtype=float) * 1e-3 for p in ("ball_joint", "strut_top", "wheel_centre"))
    at_hub = low + (high - low) * (wheel[2] - low[2]) / (high[2] - low[2])
    away = wheel - at_hub
    toe = np.radians(0.05)
    ahead = np.array([np.cos(toe), -np.sin(toe)])  # of the left wheel, toed in

    assert found["left_hub_offset"] == pytest.approx([away[:2] @ [-ahead[1], ahead[0]]], abs=1e-9)
    assert found["left_hub_trail"] == pytest.approx([-away[:2] @ ahead], abs=1e-9)
    assert found["left_hub_offset"] > 0.03
    assert found["left_damper_tilt"] == pytest.approx([np.arccos((0.790 - 0.330) / found["left_damper_length"][0])])


def test_the_rack_behind_the_axle_steers_against_itself_and_the_steering_wheel_does_not():
    found = strut("steer", (-0.03, 0.03))

    assert (found["left_steer_per_rack"] < 0).all()
    assert found["rack_travel"].tolist() == [-0.03, 0.03]
    assert np.sign(found["handwheel_angle"]) == pytest.approx(np.sign(found["left_steer"]))
    assert np.abs(found["handwheel_angle"]) == pytest.approx(0.03 / 0.045 * 2 * np.pi)
    assert (found["steering_ratio"] > 5).all()


def test_steering_ratio_is_the_slope_of_handwheel_over_mean_steer():
    h = 1e-5
    found = strut("steer", (0.02 - h, 0.02, 0.02 + h))
    mean = 0.5 * (found["left_steer"] + found["right_steer"])
    turned = found["handwheel_angle"]

    assert found["steering_ratio"][1] == pytest.approx((turned[2] - turned[0]) / (mean[2] - mean[0]), rel=1e-6)


@pytest.mark.parametrize("rack", [-0.03, 0.03])
def test_ideal_angles_meet_on_the_rear_axle(rack):
    found = {name: float(values[0]) for name, values in strut("steer", (rack,)).items()}
    left_turn = found["left_steer"] > 0
    inner, outer = ("left", "right") if left_turn else ("right", "left")
    straight = strut()
    turned = {side: abs(found[f"{side}_steer"] - straight[f"{side}_steer"][0]) for side in (inner, outer)}

    def cot(angle):
        return 1 / np.tan(abs(angle))

    share = found["kingpin_track"] / WHEELBASE
    assert cot(turned[outer]) - cot(found["ideal_inner_steer"]) == pytest.approx(share, rel=1e-12)
    assert cot(found["ideal_outer_steer"]) - cot(turned[inner]) == pytest.approx(share, rel=1e-12)
    assert (found["ideal_inner_steer"] > 0) == left_turn
    ideal = abs(found["ideal_inner_steer"]) - turned[outer]
    assert found["ackermann"] == pytest.approx((turned[inner] - turned[outer]) / ideal, rel=1e-12)


def test_turning_circle_is_where_the_outer_wheels_axis_meets_the_rear_axle():
    found = {name: float(values[0]) for name, values in strut("steer", (-0.03,)).items()}
    assert found["right_steer"] > 0  # a left turn: the right wheel is the outer one
    contact = np.array([found["right_contact_x"], found["right_contact_y"]])
    rear = -WHEELBASE  # the front wheel centres stand at x = 0
    inward = np.array([-np.sin(found["right_steer"]), np.cos(found["right_steer"])])
    centre = contact + inward * (rear - contact[0]) / inward[0]

    assert found["turning_circle"] == pytest.approx(2 * np.hypot(*(contact - centre)), rel=1e-12)
    assert centre[1] > 0


def test_there_is_no_turn_while_the_gear_is_in_its_middle():
    rolled = strut("roll", (0.03,))

    assert all(np.isnan(rolled[name]).all() for name in ("ackermann", "turning_circle", "ideal_inner_steer"))


def test_steering_lifts_the_body_as_the_knuckle_turns_about_its_axis():
    """Second method: the knuckle of the axle as found turned about its two joints, which the springs hold."""
    found = strut("steer", (-0.04, 0.04))
    straight = strut()
    low, high, wheel = (np.array(STRUT[p], dtype=float) * 1e-3 for p in ("ball_joint", "strut_top", "wheel_centre"))
    axis = (high - low) / np.linalg.norm(high - low)
    spin = np.array([np.tan(straight["left_toe"][0]), 1.0, -np.tan(straight["left_camber_to_body"][0])])
    spin /= np.linalg.norm(spin)

    def turned(vector, angle):
        along = axis * (axis @ vector)
        return along + np.cos(angle) * (vector - along) + np.sin(angle) * np.cross(axis, vector)

    def height(angle):
        y = turned(spin, angle)
        down = -np.array([0, 0, 1]) + y[2] * y
        return (low + turned(wheel - low, angle) + 0.265 * down / np.linalg.norm(down))[2]

    outer, inner = (np.array(STRUT[f"tie_rod_{end}"], dtype=float) * 1e-3 for end in ("outer", "inner"))

    def misfit(angle, rack):
        rod = low + turned(outer - low, angle) - inner - np.array([0, rack, 0])
        return np.linalg.norm(rod) - np.linalg.norm(outer - inner)

    for i, rack in enumerate((-0.04, 0.04)):
        angle = brentq(misfit, -0.5, 0.5, args=(rack,), xtol=1e-14)
        assert found["left_wheel_steer_jacking"][i] == pytest.approx(height(0.0) - height(angle), abs=1e-11)
    assert found["steer_jacking"][0] == pytest.approx(found["steer_jacking"][1], abs=1e-9)
    assert found["steer_jacking"][0] > 1e-4
    assert straight["steer_jacking"].tolist() == [0.0]


def test_a_rod_that_rises_from_axle_to_body_lifts_the_body_in_a_left_turn():
    """The road pushes the axle to the left, the axle pushes the rod up against its body end on the left."""
    linkage, stand = beam_axle()
    found = column_map(travel_table(stand, linkage, "heave", np.zeros(1)))
    steep = column_map(travel_table(*reversed(beam_axle((-2400, 430, 390))), "heave", np.zeros(1)))

    assert found["rod_slope"] == pytest.approx([np.arctan2(40, 850)])
    assert found["jacking_ratio"] == pytest.approx(np.tan(found["rod_slope"]), rel=0.1)  # arms and tyres add a little
    assert steep["jacking_ratio"] > 2 * found["jacking_ratio"]


def test_a_trailing_arm_slopes_up_to_its_wheel_when_the_bush_lies_lower():
    linkage, stand = beam_axle()
    found = column_map(travel_table(stand, linkage, "heave", np.array([0.0, 0.05])))
    bush, wheel = np.array(BEAM["arm_bush"]), np.array(BEAM["wheel_centre"])

    assert found["left_trailing_arm_slope"][0] == pytest.approx(np.arctan2(*(wheel - bush)[[2, 0]] * [1, -1]))
    assert found["left_trailing_arm_slope"][0] < 0 < found["left_trailing_arm_slope"][1]
    spring = np.subtract(BEAM["spring_upper"], BEAM["spring_lower"])
    assert found["left_spring_tilt"][0] == pytest.approx(np.arccos(spring[2] / np.linalg.norm(spring)), rel=1e-9)


def test_total_toe_is_the_sum():
    given = strut_given()
    found = results(STRUT_TORSION_BAR.build, replace(given, wheels=wheels(-0.2, 0.1, 0.265)), "front", "heave", (0.0,))

    assert found["total_toe"] == pytest.approx([np.radians(0.2)])

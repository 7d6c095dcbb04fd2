"""The results along a motion: complete, and by nature: slopes of tables, two methods, mirror."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from jounce.behaviour.axle.motions import steering_drive
from jounce.behaviour.axle.travel import column_map, travel_table
from jounce.conventions.quantities import QUANTITIES
from jounce.layouts.axle import Setting, on_the_rig, road_body
from jounce.layouts.builder import laid_out
from jounce.layouts.naming import SIDES, outward
from jounce.layouts.strut_torsion_bar import STRUT_TORSION_BAR
from tests.behaviour.demo_layouts import axle_of, axles, columns, table, with_layout
from tests.demo_axles import FRONT_BAR, bar, strut_given

AXLES = tuple(axles())
MOTIONS = ("heave", "roll", "left", "right", "steer")
STEP = 1e-4


def name(pair):
    """Layout of a car's axle, for the name of a test."""
    model = axle_of(*pair)[0]
    return f"{model.layout}-{steering_drive(model.stand, model.name)}"


def motions_of(pair):
    model = axle_of(*pair)[0]
    return MOTIONS if steering_drive(model.stand, model.name) else MOTIONS[:-1]


def two_bars():
    """A strut axle with two anti-roll bars."""
    given = strut_given()
    given = replace(given, anti_roll_bars={**given.anti_roll_bars, "roll_bar_2": bar(FRONT_BAR, "arm")})
    linkage = laid_out(STRUT_TORSION_BAR.build, Setting("front", road=road_body("front")), given)
    return travel_table(on_the_rig(linkage), linkage, "roll", np.array([0.02]))


def test_every_quantity_is_a_number_on_some_axle_in_some_motion():
    tables = [table(*pair, motion, [0.012, 0.02]) for pair in AXLES for motion in motions_of(pair)]
    seen = {c.quantity.name for t in [*tables, two_bars()] for c in t.columns if np.isfinite(c.values).any()}

    assert QUANTITIES.keys() - seen == set()


@pytest.mark.parametrize("pair", AXLES, ids=name)
def test_a_state_out_of_reach_shows_no_number(pair):
    found = table(*pair, "heave", [0.01, 3.0])

    assert found.reached.tolist() == [True, False]
    assert all(np.isnan(c.values[1]) for c in found.columns[1:])


def slope(values, rate=1.0):
    """Central difference of a column over three states, per `rate` of something else."""
    return (values[2] - values[0]) / (2 * STEP) / rate


GRADIENTS = {
    "heave": {
        "bump_steer": ("toe", 1),
        "bump_camber": ("camber", 1),
        "bump_caster": ("caster", 1),
        "recession_gradient": ("wheel_recession", 1),
        "damper_ratio": ("damper_length", -1),
        "spring_ratio": ("spring_length", -1),
        "torsion_bar_ratio": ("torsion_bar_angle", 1),
        "roll_bar_ratio": ("roll_bar_angle", 1),
    },
    "roll": {
        "roll_steer": ("steer", 1),
        "roll_camber": ("camber", 1),
        "roll_camber_to_body": ("camber_to_body", 1),
        "roll_caster": ("caster", 1),
    },
    "steer": {"steer_per_rack": ("steer", 1), "steer_per_pitman": ("steer", 1)},
}
INSTANT = {"bump_caster", "roll_caster"}  # given only where the axis is a line through two joints


@pytest.mark.parametrize(
    ("pair", "motion"),
    [
        pytest.param(pair, motion, id=f"{name(pair)}-{motion}")
        for pair in AXLES
        for motion in GRADIENTS
        if motion in motions_of(pair)
    ],
)
def test_gradients_are_the_slopes_of_the_tables(pair, motion):
    middle = 0.02
    found = columns(*pair, motion, middle + STEP * np.array([-1, 0, 1]))
    compared = 0
    for side in SIDES:
        for gradient, (quantity, sense) in GRADIENTS[motion].items():
            if f"{side}_{gradient}" in found:
                expected = sense * slope(found[f"{side}_{quantity}"])
                assert found[f"{side}_{gradient}"][1] == pytest.approx(expected, rel=2e-5, abs=2e-7), gradient
                compared += 1
            elif gradient not in INSTANT and motion != "steer":
                assert f"{side}_{quantity}" not in found, gradient
    assert compared >= 2


@pytest.mark.parametrize("pair", AXLES, ids=name)
def test_gradients_per_roll_and_per_own_steer_are_slopes_too(pair):
    rolled = columns(*pair, "roll", 0.02 + STEP * np.array([-1, 0, 1]))
    for twist in ("roll_bar_twist", "inner_bar_twist"):
        if twist in rolled:
            assert rolled[f"{twist}_per_roll"][1] == pytest.approx(slope(rolled[twist]), rel=2e-5, abs=2e-7)
    if "axle_steer" in rolled:
        assert rolled["axle_roll_steer"][1] == pytest.approx(slope(rolled["axle_steer"]), rel=2e-5, abs=2e-7)
    opposite = slope(rolled["right_damper_length"], slope(rolled["right_travel"]))
    assert rolled["right_damper_roll_ratio"][1] == pytest.approx(-opposite, rel=2e-5)
    if "steer" in motions_of(pair):
        steered = columns(*pair, "steer", 0.02 + STEP * np.array([-1, 0, 1]))
        for gradient, quantity in (("steer_camber", "camber"), ("steer_caster", "caster")):
            own = slope(steered[f"left_{quantity}"], slope(steered["left_steer"]))
            assert steered[f"left_{gradient}"][1] == pytest.approx(own, rel=2e-5, abs=2e-7)


def is_symmetric(pair):
    """A beam with one rod or one turning arm, and a twist beam's tree of bodies, are not."""
    model = axle_of(*pair)[0]
    return model.linkage.beam is None and model.layout != "twist-beam"


@pytest.mark.parametrize("pair", [pair for pair in AXLES if is_symmetric(pair)], ids=name)
def test_roll_to_the_other_side_is_the_mirror_picture(pair):
    found = columns(*pair, "roll", [-0.03, 0.03])
    flips = ("steer", "roll_camber", "roll_camber_to_body", "roll_caster", "steer_camber", "steer_caster")
    flips += ("wheel_centre_y", "contact_y", "front_view_centre_y")
    for column, values in found.items():
        if column.startswith("left_") and not column.startswith(("left_roll_bar", "left_drive")):
            quantity = column.removeprefix("left_")
            sign = -1.0 if quantity in flips else 1.0
            mirrored = sign * found[f"right_{quantity}"][1]
            assert values[0] == pytest.approx(mirrored, rel=1e-7, abs=1e-9, nan_ok=True), column


TWO_JOINTS = ("double-wishbone", "strut-coil", "strut-torsion-bar")
AXIS = ("caster", "kingpin_inclination", "scrub_radius", "trail", "hub_offset", "hub_trail")


@pytest.mark.parametrize("layout", TWO_JOINTS)
def test_the_screw_axis_of_the_carrier_is_the_line_through_the_two_joints(layout):
    """What five links are given by, on an axle where the joints are known: two methods, one axis."""
    model, _ = with_layout(layout)
    as_links = replace(model.linkage, steering_axis={})
    drive = np.array([-0.03, 0.0, 0.03])
    for motion in ("heave", "roll", "steer"):
        two = column_map(travel_table(model.stand, model.linkage, motion, drive))
        one = column_map(travel_table(model.stand, as_links, motion, drive))
        for side in SIDES:
            for quantity in AXIS:
                column = f"{side}_{quantity}"
                assert one[column] == pytest.approx(two[column], rel=1e-8, abs=1e-10), (motion, column)


@pytest.mark.parametrize("pair", AXLES, ids=name)
def test_swing_arms_lead_from_the_contact_point_to_the_instant_centres(pair):
    found = columns(*pair, "heave", [-0.021, 0.033])
    forward = 1.0 if pair[1] == "front" else -1.0
    for side in SIDES:
        rise = found[f"{side}_front_view_centre_z"] - found[f"{side}_contact_z"]
        inward = outward(side) * (found[f"{side}_contact_y"] - found[f"{side}_front_view_centre_y"])
        angle = found[f"{side}_front_view_swing_arm_angle"]
        known = np.isfinite(rise)
        assert np.tan(angle[known]) == pytest.approx((rise / inward)[known], rel=1e-6, abs=1e-9)
        rise = found[f"{side}_side_view_centre_z"] - found[f"{side}_contact_z"]
        back = forward * (found[f"{side}_contact_x"] - found[f"{side}_side_view_centre_x"])
        known = np.isfinite(rise)
        angle = found[f"{side}_side_view_swing_arm_angle"]
        assert np.tan(angle[known]) == pytest.approx((rise / back)[known], rel=1e-6, abs=1e-9)


@pytest.mark.parametrize("layout", ["double-wishbone", "five-link", "semi-trailing-arm", "strut-coil"])
def test_roll_centre_by_forces_and_by_construction_meet_in_roll(layout):
    """The construction takes each carrier in its own plane, the contact's turning left out: close, not the same."""
    model, _ = with_layout(layout)
    found = column_map(travel_table(model.stand, model.linkage, "roll", np.radians([-3.0, 3.0])))

    assert found["roll_centre_point_height"] == pytest.approx(found["roll_centre_construction_height"], abs=4e-3)
    assert found["roll_centre_point_y"][0] == pytest.approx(-found["roll_centre_point_y"][1], abs=1e-9)
    assert abs(found["roll_centre_point_y"][0]) > 1e-3


@pytest.mark.parametrize("pair", AXLES, ids=name)
def test_an_equal_share_is_the_mean_of_left_alone_and_right_alone(pair):
    """Both wheels held at unlike heights, the body level: what the road does is linear in its forces."""
    found = columns(*pair, "left", [0.03])
    mean = 0.5 * (found["roll_centre_height_by_left"] + found["roll_centre_height_by_right"])

    assert found["roll_centre_height"] == pytest.approx(mean, abs=1e-12)

"""Rill and Castro, Road Vehicle Dynamics, 2nd ed., CRC Press 2020, ch. 5: a front double wishbone with a rack.

The coordinates are the book's, read in two independent public transcriptions of its listing; the book shows the results
as plots only. The tables here were recomputed from the published coordinates by two methods which agree to 1e-15:
distance constraints with Newton's iteration, and the book's closed-form rotations. Tolerances are those tables' digits.
"""

from __future__ import annotations

import numpy as np
import pytest

from jounce.behaviour.axle.motions import AxleStates
from jounce.behaviour.axle.travel import column_map, states_table
from jounce.layouts.axle_input import AxleInput, WheelInput
from jounce.layouts.catalogue import LAYOUTS
from jounce.linkage.place import place
from jounce.linkage.tree import Direction, Point
from tests.demo_axles import MIRROR, layout_axle

MM = 1e-3
CONTACT = np.array([0.0, 0.7640210, -0.2849722])
GROUND = CONTACT[2]
"""The book's origin is at the wheel centre's height; here the ground is at zero."""

POINTS = {
    "wheel_centre": (0.000, 0.768, 0.000),
    "lower_rear": (-0.251, 0.320, -0.080),
    "lower_front": (0.148, 0.320, -0.094),
    "lower_ball": (0.013, 0.737, -0.145),
    "upper_rear": (-0.105, 0.435, 0.196),
    "upper_front": (0.122, 0.435, 0.230),
    "upper_ball": (-0.025, 0.680, 0.162),
    "tie_rod_inner": (-0.150, 0.380, -0.038),
    "tie_rod_outer": (-0.137, 0.690, -0.088),
}
"""Left-hand points [m]; the rack's end is ``tie_rod_inner``."""

AXIS = np.array([0.0, 1.0, -0.8 * np.pi / 180])

# Lower arm's angle [deg]; wheel centre's rise, place along and across [mm]; toe-in, camber [deg]; contact point [mm].
HEAVE = np.array(
    [
        (-10, -70.1986, 3.5668, 747.3893, -0.23856, -0.99892, 752.3029),
        (-8, -56.4711, 2.8579, 753.0621, -0.17765, -0.42216, 755.1307),
        (-6, -42.5669, 2.1463, 757.9164, -0.12516, 0.02791, 757.7616),
        (-4, -28.5067, 1.4323, 762.0027, -0.07905, 0.37246, 760.1435),
        (-2, -14.3109, 0.7165, 765.3557, -0.03774, 0.62628, 762.2391),
        (0, 0, 0, 768.0000, 0, 0.79995, 764.0210),
        (2, 14.4062, -0.7163, 769.9530, 0.03507, 0.90119, 765.4692),
        (4, 28.8879, -1.4312, 771.2275, 0.06816, 0.93560, 766.5687),
        (6, 43.4256, -2.1438, 771.8325, 0.09974, 0.90721, 767.3089),
        (8, 58.0000, -2.8530, 771.7748, 0.13013, 0.81875, 767.6826),
        (10, 72.5918, -3.5576, 771.0588, 0.15952, 0.67197, 767.6855),
    ]
)

# Rack to the left [mm]; turn about the kingpin, steer angle of the wheel, camber [deg]; wheel centre's rise [mm].
# The last camber was first noted as -1.53213; the same row's turn about the kingpin gives -1.53211 in closed form.
STEER = np.array(
    [
        (-74.5, 41.24258, 39.93620, 10.24724, -6.70796),
        (-50, 23.69431, 22.97574, 4.81712, -3.36437),
        (-25, 11.05541, 10.74085, 2.35629, -1.37081),
        (25, -10.43737, -10.17924, -0.29146, 0.92606),
        (50, -20.73012, -20.24999, -1.06205, 1.45847),
        (74.5, -30.98645, -30.30607, -1.53211, 1.59569),
    ]
)


def raised(point):
    """A point of the book above the ground."""
    return np.array(point) - [0.0, 0.0, GROUND]


@pytest.fixture(scope="module")
def axle():
    left = {name: raised(point) for name, point in POINTS.items()}
    hung = dict.fromkeys(("spring_upper", "damper_upper"), raised((0.0, 0.45, 0.40)))
    left |= hung | dict.fromkeys(("spring_lower", "damper_lower"), raised((0.0, 0.60, -0.10)))
    wheel = WheelInput(camber=np.arctan(0.8 * np.pi / 180), toe=0.0, loaded_radius=0.285)
    given = AxleInput(
        pivots={"left": left, "right": {name: at * MIRROR for name, at in left.items()}},
        wheels={"left": wheel, "right": wheel},
        choices={
            "steering": "rack",
            "spring_on": "lower_arm",
            "damper_on": "lower_arm",
            "torsion_bar_on": "lower_arm",
        },
    )
    return layout_axle(LAYOUTS["double-wishbone"], given)


def table(axle, states):
    linkage, stand = axle
    return column_map(states_table(stand, linkage, states, (1.0, 1.0)))


@pytest.fixture(scope="module")
def design(axle):
    return table(axle, AxleStates())


def test_the_contact_point_lies_where_the_static_radius_puts_it(design):
    place = [design[f"left_contact_{letter}"][0] for letter in "xyz"]

    assert place == pytest.approx(raised(CONTACT), abs=5e-8)


@pytest.mark.parametrize(
    ("column", "value", "tolerance"),
    [
        ("left_kingpin_inclination", np.radians(10.51821), np.radians(5e-6)),
        ("left_caster", np.radians(7.05610), np.radians(5e-6)),
        ("left_trail", 0.03032555, 5e-9),
        ("left_scrub_radius", 0.00103271, 5e-9),
        ("roll_centre_height", 86.0131 * MM, 5e-5 * MM),
        ("roll_centre_construction_height", 86.0131 * MM, 5e-5 * MM),
    ],
)
def test_design_position(design, column, value, tolerance):
    assert design[column][0] == pytest.approx(value, abs=tolerance)
    assert design[column.replace("left", "right")][0] == pytest.approx(value, abs=tolerance)


def carried(stand, pose):
    """The contact point as found, carried along by the knuckle [m]."""
    return stand.position(pose, Point("axle.left.knuckle", raised(CONTACT)))


def test_heave_table(axle):
    _, stand = axle
    arms = {f"axle.{side}.lower_arm_angle": np.radians(HEAVE[:, 0]) for side in ("left", "right")}
    placed = place(stand, {"axle.rack": 0.0, "axle.roll": 0.0, **arms})
    names = ["travel", "wheel_x", "wheel_y", "toe", "camber"]
    found = stand.taken([f"axle.left.{name}" for name in names]).values(placed.pose)

    assert placed.reached.all()
    assert found[:, :3] / MM == pytest.approx(HEAVE[:, 1:4], abs=6e-5)
    assert np.degrees(found[:, 3:]) == pytest.approx(HEAVE[:, 4:6], abs=6e-6)
    # The contact point is itself given to 5e-5 mm only.
    assert carried(stand, placed.pose)[:, 1] / MM == pytest.approx(HEAVE[:, 6], abs=1.2e-4)


def test_design_gradients(axle):
    """Toe and camber per metre of wheel travel, contact point's and wheel centre's paths."""
    linkage, stand = axle
    names = ["toe", "camber", "contact_y", "contact_z", "wheel_x"]
    placed = place(stand, {"axle.rack": 0.0, "axle.roll": 0.0, "axle.left.travel": 0.0, "axle.right.travel": 0.0})
    motion = placed.motion({"axle.left.travel": 1.0, "axle.right.travel": 1.0})
    line = stand.taken([f"axle.left.{name}" for name in names]).linearised(placed.pose)
    toe, camber, across, up, along = motion.rates(line)[0][0]

    assert np.degrees(toe) == pytest.approx(2.52570, abs=6e-6)
    assert np.degrees(camber) == pytest.approx(9.49507, abs=6e-6)
    assert across / up == pytest.approx(0.1125795, abs=6e-8)
    assert along == pytest.approx(-0.0498942, abs=6e-8)
    assert linkage.wheels["left"].axis.along == pytest.approx(AXIS / np.linalg.norm(AXIS), abs=1e-15)


def test_steer_table_with_the_arms_held(axle):
    """The right wheel is the left one's mirror image: it follows the table read from the other end."""
    _, stand = axle
    arms = {f"axle.{side}.lower_arm_angle": 0.0 for side in ("left", "right")}
    placed = place(stand, {"axle.rack": STEER[:, 0] * MM, "axle.roll": 0.0, **arms})
    angles = np.degrees(stand.taken(["axle.left.steer", "axle.left.camber"]).values(placed.pose))
    mirrored = np.degrees(stand.taken(["axle.right.steer", "axle.right.camber"]).values(placed.pose))
    rise = stand.taken(["axle.left.travel", "axle.right.travel"]).values(placed.pose) / MM

    assert placed.reached.all()
    assert angles == pytest.approx(STEER[:, 2:4], abs=6e-6)
    assert rise[:, 0] == pytest.approx(STEER[:, 4], abs=6e-6)
    assert mirrored == pytest.approx(STEER[::-1, 2:4] * [-1, 1], abs=6e-6)
    assert rise[:, 1] == pytest.approx(STEER[::-1, 4], abs=6e-6)
    assert kingpin_turn(stand, placed.pose) == pytest.approx(STEER[:, 1], abs=6e-6)


def test_steer_and_camber_follow_from_the_turn_about_the_kingpin_in_closed_form():
    """The table agrees with itself: Rodrigues' formula, nothing of the program."""
    line = np.array(POINTS["upper_ball"]) - np.array(POINTS["lower_ball"])
    line /= np.linalg.norm(line)
    for _, turn, steer, camber, _ in STEER:
        c, s = np.cos(np.radians(turn)), np.sin(np.radians(turn))
        axis = c * AXIS + s * np.cross(line, AXIS) + (1 - c) * (line @ AXIS) * line

        assert np.degrees(np.arctan2(-axis[0], axis[1])) == pytest.approx(steer, abs=1.2e-5)
        assert -np.degrees(np.arctan2(axis[2], axis[1])) == pytest.approx(camber, abs=1.2e-5)


def kingpin_turn(stand, pose):
    """Turn of the left knuckle about the line through its ball joints, which the arms hold still [deg]."""
    line = np.array(POINTS["upper_ball"]) - np.array(POINTS["lower_ball"])
    line /= np.linalg.norm(line)
    axis = np.array([0.0, 1.0, 0.0])
    before = axis - (axis @ line) * line
    now = stand.direction(pose, Direction("axle.left.knuckle", axis))
    return np.degrees(np.arctan2(np.cross(before, now) @ line, now @ before))

"""Nikravesh, Planar Multibody Dynamics, 2nd ed., CRC Press 2018: suspension models AA (two arms) and MP_A (strut).

The coordinates are the book's, read in public transcriptions of its models; so are the two states that it prints. The
tables were recomputed from the published coordinates by an independent planar solution. x is outboard, y up.

Each model is built twice: as a planar linkage of hinges, which finds the state that the book prints, and as a layout of
this program whose pivot lines all run along the car; its tie rod lies parallel to the lower arm, so that nothing steers.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pytest

from jounce.behaviour.axle.motions import AxleStates, place_axle
from jounce.behaviour.axle.travel import column_map, states_table
from jounce.layouts.axle_input import AxleInput, WheelInput
from jounce.layouts.catalogue import LAYOUTS
from jounce.linkage.measures import Component, CoordinateSum, Distance
from jounce.linkage.mechanism import Mechanism
from jounce.linkage.place import place
from jounce.linkage.tree import GROUND, Body, Direction, Freedom, Point, Segment
from tests.demo_axles import MIRROR, layout_axle
from tests.published import Published

MM = 1e-3
X, Y, Z = np.eye(3)
BOOK = {"source": "nikravesh", "where": "suspension model AA, initial state"}
BOOK_MP = {"source": "nikravesh", "where": "suspension model MP_A, initial state"}
AA_X = Published(quantity="knuckle of the double A-arm, outboard", printed="0.6817", **BOOK)
AA_Y = Published(quantity="knuckle of the double A-arm, up", printed="0.3498", **BOOK)
AA_ANGLE = Published(quantity="turn of the double A-arm's knuckle", printed="0.0783", **BOOK)
MP_X = Published(quantity="knuckle of the strut, outboard", printed="0.5840", **BOOK_MP)
MP_Y = Published(quantity="knuckle of the strut, up", printed="0.3586", **BOOK_MP)
MP_ANGLE = Published(
    quantity="turn of the strut's knuckle, 2 pi added",
    printed="6.0819",
    rel=4e-5,
    tolerance_note="the printed coordinates close the loop only to about 2e-4 rad",
    **BOOK_MP,
)


@dataclass(frozen=True)
class Model:
    """A planar model: points in its plane [m], knuckle's own points from the wheel centre."""

    lower_inner: tuple
    upper: tuple
    lower_length: float
    upper_length: float
    ball: tuple
    top: tuple
    design_angle: float
    rod: tuple = ()


AA = Model((0.20, 0.26), (0.32, 0.40), 0.42, 0.26, (-0.07, -0.10), (-0.10, 0.12), -0.0367)
MP = Model((0.12, 0.29), (0.41, 0.83), 0.45, 0.0, (0.0, -0.07), (-0.17, 0.25), 0.0, rod=(0.47, -0.88))

# Wheel's rise [mm]; arm's angle [rad]; camber's change [deg]; outboard move [mm]; instant centre out and up [m].
AA_TABLE = np.array(
    [
        (-60, -0.171065, 3.44460, 0.3594, -0.4709, 0.3759),
        (-40, -0.125864, 2.40001, 1.3101, -0.3631, 0.3312),
        (-20, -0.081114, 1.25288, 1.1866, -0.2726, 0.2984),
        (0, -0.036700, 0, 0, -0.1949, 0.2745),
        (20, 0.007487, -1.36355, -2.2491, -0.1270, 0.2576),
        (40, 0.051556, -2.84439, -5.5704, -0.0670, 0.2462),
        (60, 0.095616, -4.45096, -9.9842, -0.0134, 0.2395),
    ]
)

# The same, and the change of the strut's length [mm].
MP_TABLE = np.array(
    [
        (-60, -0.132594, 1.92127, -1.6583, -1.0548, 0.4467, 56.2650),
        (-40, -0.088295, 1.24037, -0.2715, -1.1485, 0.4023, 37.6880),
        (-20, -0.044126, 0.59902, 0.2783, -1.2619, 0.3510, 18.9393),
        (0, 0, 0, 0, -1.4030, 0.2900, 0),
        (20, 0.044166, -0.55299, -1.1015, -1.5855, 0.2146, -19.1493),
        (40, 0.088458, -1.05513, -3.0248, -1.8326, 0.1168, -38.5282),
        (60, 0.132964, -1.50021, -5.7725, -2.1892, -0.0189, -58.1570),
    ]
)


def across(point, x=0.0):
    """A planar point (outboard, up) on the left of the car [m]."""
    return np.array([x, *point])


@dataclass(frozen=True)
class Planar:
    """The knuckle on the lower arm by a hinge, told in the unassembled state; the loop is closed by a drive."""

    mechanism: Mechanism
    centre: Point
    closing: dict

    def at(self, **drives):
        """Pose of the given drives, the loop closed."""
        placed = place(self.mechanism, {**self.closing, **drives})
        assert placed.reached.all()
        return placed.pose


def planar(model):
    inner = across(model.lower_inner)
    joint = inner + model.lower_length * Y
    centre = joint - across(model.ball)
    bodies = (
        Body("arm", Freedom.HINGE, inner, X),
        Body("knuckle", Freedom.HINGE, joint, X, parent="arm"),
    )
    held = Point("knuckle", centre + across(model.top))
    top = Point(GROUND, across(model.upper))
    if model.rod:
        direction = across(model.rod) / np.hypot(*model.rod)
        loop = Component(Segment(held, top), Direction("knuckle", np.cross(X, direction)))
    else:
        loop = Distance(top, held)
    measures = {
        "arm_angle": CoordinateSum({"arm": 1.0}),
        "turn": CoordinateSum({"arm": 1.0, "knuckle": 1.0}),
        "height": Component(Segment(Point(GROUND, np.zeros(3)), Point("knuckle", centre)), Direction(GROUND, Z)),
        "strut": Distance(top, held),
    }
    return Planar(Mechanism(bodies, {"loop": loop}, measures), Point("knuckle", centre), {"loop": model.upper_length})


@pytest.fixture(scope="module", params=["AA", "MP"])
def case(request):
    model, table = {"AA": (AA, AA_TABLE), "MP": (MP, MP_TABLE)}[request.param]
    return model, table, planar(model)


def design_pose(model):
    linkage = planar(model)
    return linkage, linkage.at(arm_angle=model.design_angle)


def test_the_state_that_the_book_prints_for_the_two_arms():
    linkage, pose = design_pose(AA)
    _, out, up = linkage.mechanism.position(pose, linkage.centre)[0]
    turn = linkage.mechanism.taken(["turn"]).values(pose)[0, 0]

    assert out == AA_X.match()
    assert up == AA_Y.match()
    assert turn == AA_ANGLE.match()
    assert (turn, out, up) == pytest.approx((0.0782812, 0.6816827, 0.3497573), abs=6e-8)


def test_the_state_that_the_book_prints_for_the_strut():
    linkage, pose = design_pose(MP)
    _, out, up = linkage.mechanism.position(pose, linkage.centre)[0]
    turn, strut = linkage.mechanism.taken(["turn", "strut"]).values(pose)[0]
    lean = np.degrees(np.arctan2(MP.rod[0], -MP.rod[1]) + turn)

    assert out == MP_X.match()
    assert up == MP_Y.match()
    assert turn + 2 * np.pi == MP_ANGLE.match()
    assert (turn, out, up) == pytest.approx((-0.2010677, 0.5839801, 0.3585898), abs=6e-8)
    assert (lean, strut) == pytest.approx((16.58594, 0.2008520), abs=6e-6)


def test_planar_linkage_moves_as_the_table(case):
    model, table, linkage = case
    found = linkage.at(arm_angle=model.design_angle)
    start = linkage.mechanism.position(found, linkage.centre)[0]
    pose = linkage.at(height=start[2] + table[:, 0] * MM)
    angle, turn = linkage.mechanism.taken(["arm_angle", "turn"]).values(pose).T
    moved = linkage.mechanism.position(pose, linkage.centre)[:, 1] - start[1]
    as_found = linkage.mechanism.taken(["turn"]).values(found)[0, 0]

    assert angle == pytest.approx(table[:, 1], abs=6e-7)
    assert np.degrees(as_found - turn) == pytest.approx(table[:, 2], abs=6e-6)
    assert moved / MM == pytest.approx(table[:, 3], abs=6e-5)


def layout_of(model):
    """The model in its design state as an axle of this program, both sides alike."""
    linkage, pose = design_pose(model)

    def now(body, at):
        return linkage.mechanism.position(pose, Point(body, at))[0]

    inner, joint = across(model.lower_inner), across(model.lower_inner) + model.lower_length * Y
    centre = linkage.centre.at
    ahead, behind, aside = 0.2 * X, -0.2 * X, 0.1 * X
    ball, top = now("arm", joint), now("knuckle", centre + across(model.top))
    left = {"wheel_centre": now("knuckle", centre), "tie_rod_inner": inner + aside, "tie_rod_outer": ball + aside}
    upper = across(model.upper)
    if model.rod:
        name = "strut-coil"
        left |= {"arm_front": inner + ahead, "arm_rear": inner + behind, "ball_joint": ball}
        left |= {"strut_top": upper, "strut_foot": top, "spring_upper": upper, "spring_lower": top}
    else:
        name = "double-wishbone"
        left |= {"lower_front": inner + ahead, "lower_rear": inner + behind, "lower_ball": ball}
        left |= {"upper_front": upper + ahead, "upper_rear": upper + behind, "upper_ball": top}
        left |= dict.fromkeys(("spring_upper", "damper_upper"), upper) | dict.fromkeys(
            ("spring_lower", "damper_lower"), ball
        )
    words = {choice.name: choice.words[0] for choice in LAYOUTS[name].choices} | {"steering": "none"}
    wheel = WheelInput(0.0, 0.0, 0.3)
    sides = {"left": left, "right": {pivot: at * MIRROR for pivot, at in left.items()}}
    return layout_axle(LAYOUTS[name], AxleInput(pivots=sides, wheels=dict.fromkeys(sides, wheel), choices=words))


@pytest.mark.parametrize(("model", "table"), [(AA, AA_TABLE), (MP, MP_TABLE)], ids=["AA", "MP"])
def test_layout_moves_as_the_table(model, table):
    linkage, stand = layout_of(model)
    travel = table[:, 0] * MM
    columns = column_map(states_table(stand, linkage, AxleStates(left=travel, right=travel), (1.0, 1.0)))
    found = column_map(states_table(stand, linkage, AxleStates(), (1.0, 1.0)))
    arm = "arm_angle" if model.rod else "lower_arm_angle"
    pose = place_axle(stand, "axle", AxleStates(left=travel, right=travel)).pose
    angle = stand.taken([f"axle.left.{arm}"]).values(pose)[:, 0]

    for side, out in (("left", 1.0), ("right", -1.0)):
        moved = out * (columns[f"{side}_wheel_centre_y"] - found[f"{side}_wheel_centre_y"])

        assert np.degrees(columns[f"{side}_camber"]) == pytest.approx(table[:, 2], abs=6e-6)
        assert moved / MM == pytest.approx(table[:, 3], abs=6e-5)
        assert out * columns[f"{side}_front_view_centre_y"] == pytest.approx(table[:, 4], abs=6e-5)
        assert columns[f"{side}_front_view_centre_z"] == pytest.approx(table[:, 5], abs=6e-5)
        assert np.abs(columns[f"{side}_toe"]).max() < 1e-12
    assert angle == pytest.approx(table[:, 1] - model.design_angle, abs=6e-7)
    if model.rod:
        change = columns["left_damper_length"] - found["left_damper_length"]

        assert change / MM == pytest.approx(table[:, 6], abs=6e-5)


@pytest.mark.parametrize(
    ("model", "gain", "centre"),
    [(AA, -65.36284, (-0.1948976, 0.2744993)), (MP, -28.83533, (-1.4030190, 0.29))],
    ids=["AA", "MP"],
)
def test_camber_gain_is_the_inverse_of_the_distance_to_the_instant_centre(model, gain, centre):
    linkage, stand = layout_of(model)
    columns = column_map(states_table(stand, linkage, AxleStates(), (1.0, 1.0)))
    placed = place_axle(stand, "axle", AxleStates())
    line = stand.taken(["axle.left.camber", "axle.left.damper"]).linearised(placed.pose)
    motion = placed.motion({"axle.left.travel": 1.0, "axle.right.travel": 1.0})
    camber, damper = motion.rates(line)[0][0]
    out, up = columns["left_front_view_centre_y"][0], columns["left_front_view_centre_z"][0]

    assert np.degrees(camber) == pytest.approx(gain, abs=6e-6)
    assert (out, up) == pytest.approx(centre, abs=6e-8)
    assert camber == pytest.approx(-1 / (columns["left_wheel_centre_y"][0] - out), rel=1e-12)
    if model.rod:
        assert damper == pytest.approx(-0.9520532, abs=6e-8)

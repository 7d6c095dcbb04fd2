"""Both axles against a general multibody library: the same pivots, solved by somebody else's joints and iteration.

Source of the second method: exudyn (J. Gerstmayr), static solution of a fully constrained system of rigid bodies in
Euler parameters.
"""

from __future__ import annotations

from dataclasses import dataclass
from types import SimpleNamespace

import numpy as np
import pytest

from jounce.behaviour.motions import AxleStates, place_axle
from jounce.linkage.mechanism import Mechanism
from jounce.linkage.tree import Direction, Point
from tests.demo_axles import BEAM, beam_axle, side_points, strut_axle, strut_given
from tests.verification.multibody import SIDES, Multibody, axis_from_angles, beam_multibody, strut_multibody

POSITION = 1e-9
"""Agreement asked for [m]: a millionth of a millimetre."""

ANGLE = 1e-6
"""Agreement asked for [deg]."""

TRAVEL = np.array([-0.07, -0.035, 0.035, 0.07])
ROLL = np.radians([-4.0, -2.0, 2.0, 4.0])

HEAVE_AND_ROLL = {
    "heave": AxleStates(left=TRAVEL, right=TRAVEL),
    "opposite": AxleStates(left=TRAVEL, right=-TRAVEL),
    "body roll": AxleStates(roll=ROLL),
    "body roll in bump": AxleStates(roll=ROLL, heave=0.03),
}
STEERED = {
    "full rack": AxleStates(rack=np.array([-0.06, -0.03, 0.03, 0.06])),
    "full rack in bump": AxleStates(left=0.07, right=0.07, rack=np.array([-0.06, 0.06])),
    "full rack in roll": AxleStates(left=-0.05, right=0.04, rack=np.array([-0.06, 0.06])),
}
ROD = (np.array([-2.400, 0.430, 0.330]), np.array([-2.400, -0.420, 0.290]))


@dataclass(frozen=True)
class Pair:
    """An axle and its multibody twin.

    ``points`` are the twin's bodies and points as found, ``wheels`` its carriers and wheel axes by side; the axle's
    own bodies have the same names behind the axle's.
    """

    axle: str
    stand: Mechanism
    twin: Multibody
    points: list
    wheels: dict


def strut_pair(moved_by=0.0):
    """The strut axle; the twin's left ball joint stands ``moved_by`` [m] higher."""
    corners = {side: SimpleNamespace(**points) for side, points in strut_given().pivots.items()}
    axes = {side: axis_from_angles(np.radians(-0.2), np.radians(0.05), side) for side in SIDES}
    wheels = {side: (f"{side}.knuckle", axes[side]) for side in SIDES}
    points = [
        (f"{side}.{body}", getattr(corners[side], name))
        for side in SIDES
        for body, name in (
            ("knuckle", "wheel_centre"),
            ("knuckle", "ball_joint"),
            ("knuckle", "tie_rod_outer"),
            ("knuckle", "strut_foot"),
            ("arm", "ball_joint"),
        )
    ]
    moved = corners["left"].ball_joint + np.array([0.0, 0.0, moved_by])
    changed = SimpleNamespace(**{**vars(corners["left"]), "ball_joint": moved})
    twin = strut_multibody({"left": changed, "right": corners["right"]})
    return Pair("front", strut_axle()[1], twin, points, wheels)


def beam_pair(turning, moved_by=0.0):
    """The beam axle with the arm of one side turning; the twin's left bush stands ``moved_by`` [m] higher."""
    corners = {side: side_points(BEAM, side) for side in SIDES}
    carriers = {side: f"{side}.carrier" if side == turning else "tube" for side in SIDES}
    axes = {side: axis_from_angles(np.radians(-0.75), np.radians(0.1), side) for side in SIDES}
    wheels = {side: (carriers[side], axes[side]) for side in SIDES}
    points = [(carriers[side], corners[side][name]) for side in SIDES for name in ("wheel_centre", "arm_bush")]
    points += [("tube", corners[side]["tube_end"]) for side in SIDES]
    points += [("tube", ROD[1])]
    bush = corners["left"]["arm_bush"] + np.array([0.0, 0.0, moved_by])
    twin = beam_multibody({**corners, "left": {**corners["left"], "arm_bush": bush}}, ROD, turning)
    stand = beam_axle(*(end * 1e3 for end in ROD), turning=turning)[1]
    return Pair("rear", stand, twin, points, wheels)


def wheel_angles(axis, side):
    """Camber, toe and steer [rad] of an axis that points left: angles of its projections."""
    lean, turn = np.arctan2(axis[2], axis[1]), np.arctan2(-axis[0], axis[1])
    return np.array([-lean, -turn, turn] if side == "left" else [lean, turn, turn])


def disagreement(pair, states):
    """Largest distance between points [m], and largest angle [deg] between axes or difference of wheel angles."""
    stand, axle = pair.stand, pair.axle
    placed = place_axle(stand, axle, states)
    assert placed.reached.all()
    travels = stand.taken([f"{axle}.{side}.travel" for side in SIDES]).values(placed.pose)
    racks = np.broadcast_to(states.rack, len(travels))
    distances, angles = [], []
    for i, (left, right) in enumerate(travels):
        pair.twin.solve({"left": left, "right": right, "rack": racks[i]})
        for body, at in pair.points:
            ours = stand.position(placed.pose, Point(f"{axle}.{body}", at))[i]
            distances.append(np.linalg.norm(pair.twin.position(body, at) - ours))
        for side, (body, axis) in pair.wheels.items():
            theirs = pair.twin.direction(body, axis)
            ours = stand.direction(placed.pose, Direction(f"{axle}.{body}", axis))[i]
            names = [f"{axle}.{side}.{angle}" for angle in ("camber", "toe", "steer")]
            reported = stand.taken(names).values(placed.pose)[i]
            angles.append(np.arcsin(np.linalg.norm(np.cross(theirs, ours))))
            angles.extend(np.abs(wheel_angles(theirs, side) - reported))
    return max(distances), np.degrees(max(angles))


@pytest.fixture(scope="module")
def strut():
    return strut_pair()


@pytest.fixture(scope="module", params=SIDES)
def beam(request):
    return beam_pair(request.param)


@pytest.mark.parametrize("motion", [*HEAVE_AND_ROLL, *STEERED])
def test_strut_axle_stands_where_the_multibody_library_puts_it(strut, motion):
    distance, angle = disagreement(strut, (HEAVE_AND_ROLL | STEERED)[motion])

    assert distance < POSITION
    assert angle < ANGLE


@pytest.mark.parametrize("motion", HEAVE_AND_ROLL)
def test_beam_axle_stands_where_the_multibody_library_puts_it(beam, motion):
    distance, angle = disagreement(beam, HEAVE_AND_ROLL[motion])

    assert distance < POSITION
    assert angle < ANGLE


@pytest.mark.parametrize("pair", [strut_pair, lambda **moved: beam_pair("right", **moved)], ids=["strut", "beam"])
def test_a_pivot_a_hundredth_of_a_millimetre_off_is_seen(pair):
    distance, angle = disagreement(pair(moved_by=1e-5), HEAVE_AND_ROLL["opposite"])

    assert distance > 10 * POSITION
    assert angle > 10 * ANGLE

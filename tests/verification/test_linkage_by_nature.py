"""The two axles proved by nature: derivatives, mirror, sweep independence, dead points, closed forms."""

from __future__ import annotations

import numpy as np
import pytest

from jounce.behaviour.axle.motions import AxleStates, place_axle, wheel_motions
from tests.demo_axles import BEAM, beam_axle, strut_axle

AXLES = {"front": strut_axle()[1], "rear": beam_axle()[1]}
TRAVEL = np.linspace(-0.07, 0.07, 15)


def measured(stand, pose, *names):
    return stand.taken(names).values(pose)


def outputs(axle):
    return tuple(
        f"{axle}.{side}.{thing}"
        for side in ("left", "right")
        for thing in ("camber", "toe", "contact_y", "damper", "road_height")
    )


@pytest.mark.parametrize("axle", ["front", "rear"])
def test_every_state_of_the_working_range_is_reached_and_closes(axle):
    stand = AXLES[axle]
    for states in (
        AxleStates(left=TRAVEL, right=TRAVEL),
        AxleStates(left=TRAVEL, right=-TRAVEL),
        AxleStates(roll=np.radians(np.linspace(-4, 4, 9)), heave=0.03),
        AxleStates(left=0.02, right=-0.03, rack=np.linspace(-0.06, 0.06, 7)),
    ):
        placed = place_axle(stand, axle, states)
        kept = stand.taken(stand.joints)
        free = [i for i, name in enumerate(stand.joints) if name.rpartition(".")[2] not in ("roll", "rack")]
        gap = (kept.values(placed.pose) - stand.reference_values(stand.joints))[:, free]

        assert placed.reached.all()
        assert np.abs(gap).max() < 1e-12


@pytest.mark.parametrize("axle", ["front", "rear"])
def test_first_and_second_derivatives_match_differences_of_positions(axle):
    stand, names, h = AXLES[axle], outputs(axle), 2e-4
    base = place_axle(stand, axle, AxleStates(left=TRAVEL, right=0.5 * TRAVEL))
    motions = wheel_motions(base, axle)
    line = stand.taken(names).linearised(base.pose)
    first, second = motions.first(line), motions.second(line)

    def at(left, right):
        return measured(
            stand, place_axle(stand, axle, AxleStates(left=TRAVEL + left, right=0.5 * TRAVEL + right)).pose, *names
        )

    slope = (8 * (at(h, 0) - at(-h, 0)) - (at(2 * h, 0) - at(-2 * h, 0))) / (12 * h)
    bend = (at(h, 0) - 2 * at(0, 0) + at(-h, 0)) / h**2
    mixed = (at(h, h) - at(h, -h) - at(-h, h) + at(-h, -h)) / (4 * h * h)

    assert first[..., 0] == pytest.approx(slope, abs=1e-9)
    assert second[..., 0, 0] == pytest.approx(bend, abs=1e-4)
    assert second[..., 0, 1] == pytest.approx(mixed, abs=1e-4)


def test_front_axle_is_its_own_mirror_image():
    stand = AXLES["front"]
    one = place_axle(stand, "front", AxleStates(left=0.05, right=-0.03, rack=0.02))
    two = place_axle(stand, "front", AxleStates(left=-0.03, right=0.05, rack=-0.02))
    for thing, sign in (("camber", 1), ("toe", 1), ("steer", -1), ("caster", 1), ("contact_y", -1), ("damper", 1)):
        left = measured(stand, one.pose, f"front.left.{thing}")
        right = measured(stand, two.pose, f"front.right.{thing}")

        assert left == pytest.approx(sign * right, abs=1e-11), thing


def test_result_does_not_depend_on_the_batch_it_came_in():
    stand, names = AXLES["front"], outputs("front")
    together = measured(stand, place_axle(stand, "front", AxleStates(left=TRAVEL, right=-TRAVEL)).pose, *names)
    alone = np.concatenate(
        [measured(stand, place_axle(stand, "front", AxleStates(left=t, right=-t)).pose, *names) for t in TRAVEL]
    )

    assert together == pytest.approx(alone, abs=1e-12)


def test_a_travel_out_of_reach_is_said_and_not_jumped():
    placed = place_axle(AXLES["front"], "front", AxleStates(left=np.array([0.05, 0.6]), right=0.0))
    travel = measured(AXLES["front"], placed.pose, "front.left.travel")[:, 0]

    assert placed.reached.tolist() == [True, False]
    assert 0 < placed.share[1] < 1
    assert travel[1] == pytest.approx(0.6 * placed.share[1], abs=1e-12)


def test_panhard_arc_in_pure_heave_is_the_closed_form():
    """Dy = sqrt(L² - h0²) - sqrt(L² - (h0 + z)²) for a rod square to the car whose ends keep their x."""
    stand = AXLES["rear"]
    placed = place_axle(stand, "rear", AxleStates(left=TRAVEL, right=TRAVEL))
    rod = stand.measures["rear.panhard"]
    position = stand.position(placed.pose, rod.end)
    body = np.asarray(rod.start.at)
    length = np.linalg.norm(np.asarray(rod.end.at) - body)
    dx, dz = position[:, 0] - body[0], position[:, 2] - body[2]
    closed = body[1] - np.sqrt(length**2 - dz**2 - dx**2)

    assert position[:, 1] == pytest.approx(closed, abs=1e-12)


def test_lowering_moves_the_axle_away_from_the_rods_body_end_and_a_shorter_rod_brings_it_back():
    """A rod that rises from the axle to the body, its body end on the left (common practice, no source)."""
    stand = AXLES["rear"]
    before = measured(stand, place_axle(stand, "rear", AxleStates()).pose, "rear.shift")[0, 0]
    lowered = AxleStates(left=0.02, right=0.02)
    after = measured(stand, place_axle(stand, "rear", lowered).pose, "rear.shift")[0, 0]
    found = stand.reference_values(["rear.panhard"])[0, 0]
    shorter = AxleStates(left=0.02, right=0.02, settings={"rear.panhard": found - 0.0005})
    back = measured(stand, place_axle(stand, "rear", shorter).pose, "rear.shift")[0, 0]

    assert after < before - 1e-4  # to the right, away from the left-hand body end
    assert back > after + 4e-4


def test_rod_length_that_centres_the_axle_is_found_by_freeing_the_rod():
    stand = AXLES["rear"]
    freed = place_axle(
        stand, "rear", AxleStates(left=0.035, right=0.035, settings={"rear.shift": 0.0}), freed=("rear.panhard",)
    )
    length = measured(stand, freed.pose, "rear.panhard")[0, 0]
    again = place_axle(stand, "rear", AxleStates(left=0.035, right=0.035, settings={"rear.panhard": length}))

    assert measured(stand, again.pose, "rear.shift")[0, 0] == pytest.approx(0, abs=1e-12)


def test_inner_bar_twists_by_the_difference_of_the_arm_angles():
    """Small roll: twist = roll x arm spacing / arm length, to first order."""
    stand = AXLES["rear"]
    placed = place_axle(stand, "rear", AxleStates(roll=np.array([-1e-4, 1e-4]), heave=0.0))
    twist = measured(stand, placed.pose, "rear.inner_bar_twist")[:, 0]
    spacing = 2 * BEAM["arm_bush"][1] * 1e-3
    arm = (BEAM["arm_bush"][0] - BEAM["tube_end"][0]) * 1e-3

    assert abs(twist[1] - twist[0]) / 2e-4 == pytest.approx(spacing / arm, rel=1e-3)

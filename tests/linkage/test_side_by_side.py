"""States side by side against the same one at a time: places, values, rates, and where many have to give way."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from bench.__main__ import cases, check

from jounce.behaviour.axle.motions import AxleStates, place_axle
from jounce.linkage import batch, measured, place
from jounce.linkage.measured import MeasureSet
from jounce.linkage.measures import Bearing, Component, CoordinateSum
from jounce.linkage.mechanism import Mechanism
from jounce.linkage.motion import FARTHEST_TURN
from jounce.linkage.states import FEWEST_FOLLOWED, SIDE_BY_SIDE
from jounce.linkage.tree import GROUND, Body, Direction, Freedom, Point
from tests.linkage.linkages import AXLES, CRANK, ROD, X, Y, Z, chain, random_poses, slider_crank

MANY = FEWEST_FOLLOWED + 7
RANDOM = np.random.default_rng(11)


@pytest.fixture
def one_by_one(monkeypatch):
    """Call it to have every state worked on alone from then on."""

    def switch() -> None:
        monkeypatch.setattr(measured, "FEWEST_MEASURED", 10**9)
        monkeypatch.setattr(place, "FEWEST_FOLLOWED", 10**9)

    return switch


def everything(stand, placed, names):
    """Poses, values and rates by some drives."""
    motions = placed.motions([{name: 1.0} for name in names], second=False)
    value, rate = motions.first(stand.taken(tuple(stand.measures)))
    pose = placed.pose
    parts = (pose.rotation, pose.origin, pose.coordinate, motions.velocity, value, rate)
    return np.concatenate([part.reshape(len(pose), -1) for part in parts], axis=1)


@pytest.mark.parametrize("axle", AXLES)
@pytest.mark.parametrize("states", [MANY, FEWEST_FOLLOWED, 3 * len(SIDE_BY_SIDE)])
def test_axles_come_to_the_same_places_with_the_same_outputs(axle, states, one_by_one):
    stand = AXLES[axle]
    left, right = RANDOM.uniform(-0.09, 0.09, (2, states))
    names = [f"{axle}.left.travel", f"{axle}.right.travel"]

    def run():
        return everything(stand, place_axle(stand, axle, AxleStates(left=left, right=right)), names)

    in_blocks = run()
    one_by_one()

    assert in_blocks == pytest.approx(run(), rel=1e-12, abs=1e-12)


def test_every_freedom_and_every_kind_of_measure(one_by_one):
    """Turns are large here, so that bearings look backwards in some lanes."""
    mechanism = chain()
    poses = random_poses(mechanism, MANY, seed=5, size=1.5)
    chosen = mechanism.taken(tuple(mechanism.measures))
    velocity = RANDOM.normal(size=(MANY, 2, mechanism.tree.size))
    velocity[:, 1, 1:] = 0.0  # a motion that leaves most bodies where they are
    value, rate = chosen.rates(poses, velocity)
    alone = chosen.values(poses)
    one_by_one()
    expected, expected_rate = chosen.rates(poses, velocity)

    assert np.array_equal(alone, value)
    assert value == pytest.approx(expected, rel=1e-14, abs=1e-15)
    assert rate == pytest.approx(expected_rate, rel=1e-13, abs=1e-13)


def test_bearings_all_the_way_round():
    body = Body("arm", Freedom.HINGE, np.zeros(3), Z)
    names = {"turn": CoordinateSum({"arm": 1.0})}
    mechanism = Mechanism([body], {}, names)
    angle = np.linspace(-np.pi, np.pi, 500)[1:-1]
    ahead = Bearing(Direction("arm", X), Direction(GROUND, Y), Direction(GROUND, X))
    pose = place.place(mechanism, {"turn": angle}).pose

    assert MeasureSet(mechanism.tree, {"bearing": ahead}).values(pose)[:, 0] == pytest.approx(angle, abs=2e-15)


@pytest.mark.parametrize("farthest", [0.9, 1.0, 1.2])
def test_dead_points_are_met_in_the_same_way(farthest, one_by_one):
    """States beyond reach, and the lanes beside them, come as far as they do alone."""
    mechanism, slide = slider_crank()
    to_dead_point = CRANK + ROD - slide
    wanted = np.linspace(-0.02, farthest * to_dead_point, MANY)
    found = place.place(mechanism, {"slide": wanted})
    one_by_one()
    expected = place.place(mechanism, {"slide": wanted})

    assert np.array_equal(found.reached, expected.reached)
    assert found.reached.all() == (farthest < 1)
    assert np.array_equal(found.stopped, expected.stopped)
    assert found.share == pytest.approx(expected.share, abs=1e-12)
    well = found.share < 1 - 1e-9 if farthest > 1 else wanted < 0.95 * to_dead_point
    assert found.pose.coordinate[well] == pytest.approx(expected.pose.coordinate[well], abs=1e-12)


def test_turns_farther_than_a_block_works_out():
    """A crank that goes round beyond the farthest turn of a block ends where it is told."""
    mechanism, _ = slider_crank()
    angle = np.linspace(-1.4 * FARTHEST_TURN, 1.4 * FARTHEST_TURN, MANY)
    placed = place.place(mechanism, {"crank": angle})

    assert placed.reached.all()
    assert placed.pose.coordinate[:, 0] == pytest.approx(angle, abs=1e-13)
    turn = placed.pose.rotation[:, 1]
    assert turn[:, 0, 0] == pytest.approx(np.cos(angle), abs=1e-14)
    assert turn[:, 1, 0] == pytest.approx(np.sin(angle), abs=1e-14)


def test_states_that_no_common_order_of_pivots_suits_are_solved_alone(one_by_one):
    """Two arms turn all round: which of the tip's two components tells more of the first arm's turn differs by state."""
    bodies = [
        Body("upper", Freedom.HINGE, np.zeros(3), Z),
        Body("fore", Freedom.HINGE, 0.3 * X, Z, parent="upper"),
    ]
    tip = Point("fore", 0.3 * X + 0.2 * Y)
    measures = {"x": Component(tip, Direction(GROUND, X)), "y": Component(tip, Direction(GROUND, Y))}
    mechanism = Mechanism(bodies, {}, measures)
    as_found = place.place(mechanism, {"x": 0.3, "y": 0.2})
    placed = replace(as_found, pose=random_poses(mechanism, 2000, seed=5, size=3.0), reached=np.ones(2000, bool))
    chosen = mechanism.taken(placed.rows)
    tables, poses = chosen.prepared(placed.pose)
    velocity, left = np.zeros((2000, 1, 2)), np.zeros(2000, np.intp)
    wanted = batch.MotionRequest(
        np.array([[[1.0, 0.0]]]), velocity, left, np.zeros((0, 2), np.intp), np.zeros((2000, 0, 2))
    )
    batch.run_velocities(tables, mechanism.equations(placed.rows), poses, wanted, 0, 2000)
    found = placed.motions([{"x": 1.0}], second=False).velocity
    one_by_one()
    expected = placed.motions([{"x": 1.0}], second=False).velocity

    assert 0 < np.count_nonzero(left >= 0) < 200
    assert np.array_equal(found[left >= 0], expected[left >= 0])
    assert found == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize("number", range(3))
def test_the_multibody_library_has_the_same_outputs_in_the_comparison_of_speed(number):
    """Values to its tolerance, derivatives to what central differences give; farther off is refused."""
    values, rates = check(cases()[number])

    assert values < 1e-10
    assert rates < 1e-6

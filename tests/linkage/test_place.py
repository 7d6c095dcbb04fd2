"""Placing: blocks, independence of batch, order and step, dead points, variants, chunks."""

from __future__ import annotations

import numpy as np
import pytest

from jounce.behaviour.axle.motions import AxleStates, place_axle
from jounce.conventions.errors import Impossible
from jounce.linkage.measures import CoordinateSum, Distance
from jounce.linkage.mechanism import Mechanism
from jounce.linkage.place import TOLERANCE, place, place_chunks
from jounce.linkage.tree import Body, Freedom, Point
from tests.demo_axles import strut_axle
from tests.linkage.linkages import AXLES, CRANK, ROD, X, Z, slider_crank, strut_with_variants

FRONT = AXLES["front"]
RANDOM = np.random.default_rng(3)
LEFT, RIGHT = RANDOM.uniform(-0.07, 0.07, (2, 700))
RACK = RANDOM.uniform(-0.05, 0.05, 700)


def figures(placed):
    """All measures and the poses themselves."""
    pose, measured = placed.pose, placed.mechanism.taken(tuple(placed.mechanism.measures))
    parts = (pose.rotation, pose.origin, pose.coordinate, measured.values(pose))
    return np.concatenate([part.reshape(len(pose), -1) for part in parts], axis=1)


def front(left, right, rack=0.0):
    return place_axle(FRONT, "front", AxleStates(left=left, right=right, rack=rack))


@pytest.mark.parametrize("axle", AXLES)
def test_velocities_by_blocks_are_those_of_the_whole_matrix(axle):
    stand = AXLES[axle]
    for states in (AxleStates(left=LEFT, right=RIGHT), AxleStates(roll=LEFT, heave=RIGHT)):
        placed = place_axle(stand, axle, states)
        wanted = RANDOM.normal(size=(len(LEFT), 3, len(placed.rows)))
        motions = placed.motions([dict(zip(placed.rows, wanted[:, k].T, strict=True)) for k in range(3)])
        gradient = stand.taken(placed.rows).linearised(placed.pose).gradient
        whole = np.linalg.solve(gradient[:, None], wanted[..., None])[..., 0]

        assert motions.velocity == pytest.approx(whole, rel=1e-10, abs=1e-10)


def test_accelerations_keep_the_rows_rates_as_they_are():
    placed = front(LEFT, RIGHT, RACK)
    names = ("front.left.travel", "front.right.travel", "front.rack")
    motions = placed.motions([{name: 1.0} for name in names])
    rows = FRONT.taken(placed.rows)
    _, first = motions.first(rows)

    assert np.abs(motions.second(rows)).max() < 1e-10
    for k, name in enumerate(names):
        expected = np.array([row == name for row in placed.rows], dtype=float)

        assert first[:, :, k] == pytest.approx(np.broadcast_to(expected, first.shape[:2]), abs=1e-12)


def test_an_axle_falls_into_its_parts():
    sizes = sorted(len(names) for names in front(0.0, 0.0).blocks)
    together = place_axle(FRONT, "front", AxleStates(roll=0.01)).blocks

    assert (
        sizes == [1] * 11 + [6] * 2
    )  # a corner's knuckle and arm, its travel apart; rack, plates, bar halves, road twice
    assert max(len(names) for names in together) == 14  # heave and level tie both corners together


def test_no_result_depends_on_batch_order_or_the_way_there():
    together = figures(front(LEFT, RIGHT, RACK))
    alone = np.concatenate([figures(front(*state)) for state in zip(LEFT[:40], RIGHT[:40], RACK[:40], strict=True)])
    shuffled = RANDOM.permutation(len(LEFT))
    share = np.linspace(0.0, 1.0, 400)
    swept = figures(front(LEFT[0] * share, RIGHT[0] * share, RACK[0] * share))

    assert alone == pytest.approx(together[:40], abs=1e-12)
    assert figures(front(LEFT[shuffled], RIGHT[shuffled], RACK[shuffled])) == pytest.approx(
        together[shuffled], abs=1e-12
    )
    assert figures(front(LEFT[::-1], RIGHT[::-1], RACK[::-1])) == pytest.approx(together[::-1], abs=1e-12)
    assert swept[-1] == pytest.approx(together[0], abs=1e-12)


def test_a_long_sweep_gathers_no_rounding():
    travel = np.linspace(-0.07, 0.07, 60_000)
    pose = front(travel, travel).pose
    body = FRONT.tree.index["front.left.knuckle"]
    rotation = pose.rotation[:, body]

    assert np.abs(rotation.transpose(0, 2, 1) @ rotation - np.eye(3)).max() < 1e-14
    for end in (0, -1):
        assert figures(front(travel[end], travel[end]))[0] == pytest.approx(
            figures(front(travel[-50:], travel[-50:]) if end else front(travel[:50], travel[:50]))[end], abs=1e-12
        )
        assert pose.rotation[end] == pytest.approx(front(travel[end], travel[end]).pose.rotation[0], abs=1e-12)


def test_chunks_are_the_batch_cut_up():
    drives = {"front.rack": RACK, "front.left.travel": LEFT, "front.right.travel": 0.01}
    chunks = list(place_chunks(FRONT, drives, size=300))

    assert [len(chunk.pose) for chunk in chunks] == [300, 300, 100]
    assert np.concatenate([figures(c) for c in chunks]) == pytest.approx(figures(place(FRONT, drives)), abs=1e-12)


def test_variants_are_separate_mechanisms():
    heights = np.array([180.0, 190.0, 200.0])
    stands = [strut_axle({"ball_joint": (5, 655, z)})[1] for z in heights]
    varied = strut_with_variants("ball_joint", [(5, 655, z) for z in heights])
    states = AxleStates(left=0.04, right=-0.02, rack=0.01)
    together = place_axle(varied, "front", states)

    assert together.reached.tolist() == [True] * 3
    for k, stand in enumerate(stands):
        assert figures(together)[k] == pytest.approx(figures(place_axle(stand, "front", states))[0], abs=1e-12)


@pytest.mark.parametrize("states", [1, 3, 900])
def test_a_crank_is_not_driven_through_its_dead_point(states):
    mechanism, found = slider_crank()
    furthest = CRANK + ROD - found
    goals = np.linspace(1.1, 1.9, states) * furthest
    placed = place(mechanism, {"slide": goals})

    assert not placed.reached.any()
    assert np.all(placed.share * goals <= furthest * (1 + 1e-12))
    assert placed.share == pytest.approx(furthest / goals, abs=4e-5)  # the smallest step is 1e-5 of the way
    assert np.all(mechanism.taken(["elbow"]).values(placed.pose) > 0)
    assert "dead point" in placed.reason(0)
    assert "connecting_rod" in placed.reason(0)
    assert f"{100 * placed.share[0]:.3g} %" in placed.reason(0)


def test_states_up_to_the_dead_point_are_reached_on_the_same_side_of_it():
    mechanism, found = slider_crank()
    furthest = CRANK + ROD - found
    goals = np.concatenate((np.linspace(-0.1, 0.9999, 3000) * furthest, np.linspace(1.0001, 2, 50) * furthest))
    placed = place(mechanism, {"slide": goals})
    x = found + goals[:3000]
    elbow = mechanism.taken(["elbow"]).values(placed.pose)[:3000, 0]
    along = (x**2 + CRANK**2 - ROD**2) / (2 * x)

    assert placed.reached.tolist() == [True] * 3000 + [False] * 50
    assert elbow == pytest.approx(np.sqrt(CRANK**2 - along**2), rel=1e-9)  # closed form, above the line of centres
    assert placed.reason(0) == ""


@pytest.mark.parametrize("angle", [1, 3, 5, 10, 20, 40, 90, 140, 170])
def test_a_step_longer_than_the_crank_neither_folds_it_over_nor_turns_it_round(angle):
    """From near a dead point the tangent points several turns away; the angle is known in closed form all the same."""
    crank, rod = 0.02, 0.25
    mechanism, found = slider_crank(np.radians(angle), crank, rod)
    x = rod + crank * np.linspace(-0.999, 0.999, 301)
    placed = place(mechanism, {"slide": x - found})
    alone = [place(mechanism, {"slide": one - found}) for one in x[::10]]
    exact = np.arccos((x**2 + crank**2 - rod**2) / (2 * x * crank)) - np.radians(angle)

    assert placed.reached.all()
    assert mechanism.taken(["crank"]).values(placed.pose)[:, 0] == pytest.approx(exact, abs=1e-9)
    assert [one.pose.coordinate[0, 0] for one in alone] == pytest.approx(exact[::10], abs=1e-9)


def test_driven_by_its_crank_the_same_linkage_goes_round():
    mechanism, found = slider_crank()
    turn = np.linspace(0.0, 2 * np.pi, 500)
    placed = place(mechanism, {"crank": turn})
    slide = mechanism.taken(["slide"]).values(placed.pose)[:, 0]
    angle = np.pi / 3 + turn

    assert placed.reached.all()
    assert found + slide == pytest.approx(
        CRANK * np.cos(angle) + np.sqrt(ROD**2 - (CRANK * np.sin(angle)) ** 2), abs=1e-12
    )


def test_every_placed_state_closes_to_the_tolerance():
    placed = front(LEFT, RIGHT, RACK)
    value = FRONT.taken(placed.rows).values(placed.pose)
    goal = np.broadcast_to(FRONT.reference_values(placed.rows), value.shape).copy()
    for name, drive in (("front.left.travel", LEFT), ("front.right.travel", RIGHT), ("front.rack", RACK)):
        goal[:, placed.rows.index(name)] = drive

    assert placed.reached.all()
    assert np.abs(value - goal).max() <= TOLERANCE


def test_a_linkage_that_stands_in_a_dead_point_names_the_rows_that_do_not_fix_it():
    mechanism, _ = slider_crank(angle=0.0)

    with pytest.raises(Impossible, match=r"as found it stands in a dead point.*connecting_rod"):
        place(mechanism, {"slide": -0.01})
    assert place(mechanism, {"crank": 0.3}).reached.all()


def test_drives_that_leave_a_part_free_are_named():
    bodies = [Body("one", Freedom.SLIDE, np.zeros(3), X), Body("other", Freedom.HINGE, np.zeros(3), Z)]
    measures = {"once": CoordinateSum({"one": 1.0}), "twice": CoordinateSum({"one": 2.0})}
    mechanism = Mechanism(bodies, {}, measures)

    with pytest.raises(Impossible, match=r"(once|twice)"):
        place(mechanism, {"once": 0.0, "twice": 0.0})
    with pytest.raises(ValueError, match="1 rows for 2 coordinates"):
        place(mechanism, {"once": 0.0})


def test_a_state_without_way_stays_where_it_was_found():
    mechanism = Mechanism(
        [Body("arm", Freedom.HINGE, np.zeros(3), Z)],
        {},
        {"reach": Distance(Point("ground", np.array([1.0, 0.0, 0.0])), Point("arm", np.array([0.3, 0.4, 0.0])))},
    )
    found = mechanism.reference_values(["reach"])[0, 0]
    placed = place(mechanism, {"reach": np.array([found, np.nan])})

    assert placed.reached.tolist() == [True, False]
    assert np.isfinite(placed.pose.rotation).all()
    assert placed.share[1] == 0

"""The ground by boards on the floor, by tiles on wheels whose height was measured, and by places that were touched."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import minimize
from scipy.spatial.transform import Rotation

from jounce.conventions.errors import Impossible
from jounce.photographs.car_axes import in_car_axes
from jounce.photographs.ground import ground_plane, ground_up, too_narrow
from jounce.photographs.net import NetState, Views
from jounce.photographs.pivots import found_pivots
from jounce.photographs.solving import Net
from jounce.photographs.survey import KnownHeight, PointerStand, Survey, TiledPivot
from jounce.photographs.tiles import in_stand
from tests.photographs.pointing import SWINGS, board, swung
from tests.photographs.rendering import Stuck, facing

TURNED = Rotation.from_rotvec([0.3, -0.5, 1.1]).as_matrix()
AWAY = np.array([0.4, -1.2, 0.7])
WHEELS = np.array([[0, 0.7, 0.29], [0, -0.7, 0.292], [-2.4, 0.69, 0.288], [-2.4, -0.69, 0.29]])
EDGES = np.array([[0.02, 0.72, 0.05], [-2.41, -0.7, 0.04]])
CAMERAS = np.array([[1.8, 0.3, 0.5], [1.2, 1.5, 1.2], [-1.0, 2.0, 0.9]])


def somewhere(points):
    return points @ TURNED.T + AWAY


@pytest.mark.parametrize(
    "points", [WHEELS, WHEELS[:3], np.concatenate([WHEELS[:2], EDGES]), np.concatenate([WHEELS, EDGES])]
)
def test_heights_of_wheels_tell_the_ground_below_them(points) -> None:
    places, over = somewhere(points), points[:, 2]
    deviations = np.full(len(over), 1e-3)
    up = ground_up(places, over, deviations, somewhere(np.concatenate([CAMERAS, points])))
    again, below = ground_plane(places, over, deviations, up)

    assert up == pytest.approx(TURNED[:, 2], abs=1e-9)
    assert again == pytest.approx(up, abs=1e-12)
    assert (below - AWAY) @ up == pytest.approx(0, abs=1e-9)


def test_a_general_optimiser_finds_the_same_plane() -> None:
    """Heights that do not agree, each with its own weight: direction by two angles and a distance."""
    rng = np.random.default_rng(3)
    points = np.concatenate([WHEELS, EDGES])
    over, deviations = points[:, 2] + 4e-3 * rng.normal(size=6), rng.uniform(0.5e-3, 4e-3, 6)

    def cost(three):
        up = Rotation.from_rotvec([three[0], three[1], 0]).as_matrix()[:, 2]
        return np.sum(((points @ up + three[2] - over) / deviations) ** 2)

    theirs = minimize(
        cost, np.zeros(3), method="Nelder-Mead", options={"xatol": 1e-11, "fatol": 1e-13, "maxiter": 4000}
    )
    up, below = ground_plane(points, over, deviations, np.array([0, 0, 1.0]))

    assert up == pytest.approx(Rotation.from_rotvec([*theirs.x[:2], 0]).as_matrix()[:, 2], abs=1e-7)
    assert -below @ up == pytest.approx(theirs.x[2], abs=1e-7)


def test_what_lies_in_a_line_is_too_narrow() -> None:
    assert too_narrow(np.concatenate([WHEELS[:2], EDGES[:1]]), np.array([0, 0, 1.0]))
    assert not too_narrow(WHEELS[:3], np.array([0, 0, 1.0]))


def tiled(given):
    """A net of tiles where they are, each known to a fifth of a millimetre and two thousandths of a radian."""
    count = len(given)
    turned, centre = (
        np.array([TURNED @ one.turned for one in given]),
        np.array([somewhere(one.centre) for one in given]),
    )
    cameras = somewhere(CAMERAS)
    none = np.zeros((count, 4, 3))
    state = NetState(
        np.zeros(8), np.ones(2), np.stack([np.eye(3)] * 3), -cameras, np.zeros((3, 6)), turned, centre, none
    )
    views = Views(
        np.tile(np.arange(3), count),
        np.repeat(np.arange(count), 3),
        np.zeros((3 * count, 4, 2)),
        np.ones(count),
        (9, 9),
    )
    own = np.diag([2e-3] * 3 + [0.2e-3] * 3) ** 2
    covariance = np.einsum("ab,ij->aibj", np.eye(count), own)
    return Net(("a", "b", "c"), tuple(one.number for one in given), state, views, None, covariance,
               metric=True, left_out={}, moved={}, focal_share=0.0)  # fmt: skip


def on_wheels():
    """A tile on each front hub and both rear ones, two points of the body on both sides."""
    sides = [np.array([0, 1.0, 0]), np.array([0, -1.0, 0])]
    given = [Stuck(20 + k, 0.06, facing(sides[k % 2]), place) for k, place in enumerate(WHEELS)]
    body = [np.array([-0.3, 0.4, 0.3]), np.array([-0.3, -0.4, 0.3])]
    given += [Stuck(60 + k, 0.04, facing(side), place) for k, (side, place) in enumerate(zip(sides, body, strict=True))]
    pivots = [TiledPivot(20 + k, "front.pivots.wheel_centre", ("left", "right")[k], 0.0, 0.3e-3) for k in range(2)]
    pivots += [TiledPivot(60 + k, "front.pivots.arm_front", ("left", "right")[k], 0.0, 0.3e-3) for k in range(2)]
    return given, Survey(pivots=tuple(pivots))


def test_pivots_lie_over_the_ground_that_the_wheels_tell() -> None:
    given, survey = on_wheels()
    survey = replace(survey, heights=tuple(KnownHeight(20 + k, float(one[2]), 0.5e-3) for k, one in enumerate(WHEELS)))
    net = tiled(given)
    wheel, arm = in_car_axes(net, survey, found_pivots(net, survey))

    assert wheel.place == pytest.approx([0, 0.7, 0.291], abs=1e-6)
    assert arm.place == pytest.approx([-0.3, 0.4, 0.3], abs=2e-6)
    # by hand: the tiles' 0.2 mm and the rule's 0.5 mm in each height, a plane through four wheels in two rows
    one = np.hypot(0.2e-3, 0.5e-3)
    share = 0.3 / 2.4
    by_plane = one * np.sqrt((1 - share) ** 2 / 2 + share**2 / 2)
    assert arm.deviation[2] == pytest.approx(np.sqrt(by_plane**2 + 0.2e-3**2 / 2), rel=0.02)


def test_what_the_pointer_touches_of_the_floor_is_ground_too() -> None:
    """Three touches, no board on the floor and no wheel's height: the same pivots."""
    given, survey = on_wheels()
    mark, floor = (
        np.array([0.6, 0.1, 0.0]),
        [np.array([0.9, 0.5, 0]), np.array([0.8, -0.6, 0]), np.array([-1.5, 0.8, 0])],
    )
    stands, boards = [], []
    turns = [swung(one) for one in [*SWINGS[:5], (0, 0, 0), (8, 0, 4), (0, 9, 0)]]
    for k, (turned, at) in enumerate(zip(turns, [mark] * 5 + floor, strict=True)):
        stands.append(PointerStand((f"{2 * k}", f"{2 * k + 1}"), "mark" if k < 5 else "ground", "left", 0.2e-3))
        boards += [replace(one, number=in_stand(one.number, k)) for one in board(turned, at)]
    survey = replace(survey, pointer=tuple(stands))
    net = tiled([*given, *boards])
    wheel, arm = in_car_axes(net, survey, found_pivots(net, survey))

    assert wheel.place == pytest.approx([0, 0.7, 0.291], abs=1e-6)
    assert arm.place == pytest.approx([-0.3, 0.4, 0.3], abs=2e-6)
    assert 0.3e-3 < arm.deviation[2] < 1.5e-3


def test_what_the_ground_lacks_is_told() -> None:
    given, survey = on_wheels()
    two = tuple(KnownHeight(20 + k, 0.29, 0.5e-3) for k in range(2))
    net = tiled(given)
    found = found_pivots(net, survey)
    with pytest.raises(Impossible, match=r"the ground: three tiles .* touched by the pointer; 2 were placed"):
        in_car_axes(net, replace(survey, heights=two), found)
    in_line = replace(survey, heights=(*two, KnownHeight(20, 0.29, 0.5e-3)))
    with pytest.raises(Impossible, match=r"the ground's tilt: .* nearly in one line"):
        in_car_axes(net, in_line, found)

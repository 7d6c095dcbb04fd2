"""The pointer's tip and what it touches: beside a closed form, drawn at random, and in rendered photographs."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from jounce.photographs.intake import arrived
from jounce.photographs.net import NetState, Views
from jounce.photographs.pivots import WIDEST
from jounce.photographs.pointer import pointed, remarks_on_pointer, touched_pivots
from jounce.photographs.seen import seen_in
from jounce.photographs.solving import Net, netted, standing
from jounce.photographs.tiles import board_centres, in_stand
from tests.photographs.pointing import (
    MARK_AT,
    NUMBERS,
    SWINGS,
    TIP,
    TOUCHED,
    board,
    pointing,
    seen,
    swung,
    without_swings,
)
from tests.photographs.rendering import Weather, photograph
from tests.photographs.scene import BITS, PIVOTS, corner, telephone
from tests.photographs.shop import laid_on

GIVEN = pointing()
EXACT = 1e-7  # m: that the tip is taken to be within a metre of its board pulls it by some nanometres


def spread(stands, seed=7):
    """Covariance of the tiles' turnings and centres: tiles of a stand err together, and each by itself."""
    rng = np.random.default_rng(seed)
    size = 6 * 4 * stands
    scale = np.tile([2e-3] * 3 + [0.15e-3] * 3, 4 * stands)
    whole = 0.15 * rng.normal(size=(size, 6))
    for stand in range(stands):
        here = slice(24 * stand, 24 * stand + 24)
        whole = np.column_stack([whole, np.zeros((size, 6))])
        whole[here, -6:] = 0.5 * rng.normal(size=(24, 6))
    return (whole @ whole.T + 0.3 * np.eye(size)) * scale[:, None] * scale


def placed(given, covariance, off=None, drop=()):
    """A net in which the pointer's tiles lie where they truly do, but for what is given of turnings and centres."""
    rows = [(in_stand(one.number, k), one) for k, boards in enumerate(given.boards) for one in boards]
    turned, centre = (np.array([getattr(one, word) for _, one in rows]) for word in ("turned", "centre"))
    if off is not None:
        each = off.reshape(-1, 6)
        turned = Rotation.from_rotvec(each[:, :3]).as_matrix() @ turned
        centre = centre + each[:, 3:]
    keep = [place for place, (number, _) in enumerate(rows) if number not in drop]
    count = len(keep)
    state = NetState(
        np.zeros(8), np.ones(2), np.stack([np.eye(3)] * 4), np.array([[0, 0, 1.0], [1, 0, 0], [0, 1, 0], [0, 0, -1]]),
        np.zeros((4, 6)), turned[keep], centre[keep], np.zeros((count, 4, 3)),
    )  # fmt: skip
    views = Views(
        np.tile(np.arange(4), count),
        np.repeat(np.arange(count), 4),
        np.zeros((4 * count, 4, 2)),
        np.ones(count),
        (9, 9),
    )
    kept = covariance.reshape(len(rows), 6, len(rows), 6)[np.ix_(keep, range(6), keep, range(6))]
    return Net(
        ("a", "b", "c", "d"),
        tuple(rows[k][0] for k in keep),
        state,
        views,
        None,
        kept,
        metric=True,
        left_out={},
        moved={},
        focal_share=0.0,
    )


def test_where_all_is_exact_the_tip_is_where_it_is() -> None:
    net = placed(GIVEN, spread(len(GIVEN.boards)))
    pointer = pointed(net, GIVEN.survey)

    assert pointer.tip == pytest.approx(TIP, abs=EXACT)
    assert (pointer.swings, pointer.slipped, pointer.why_not) == (6, (), "")
    for one in touched_pivots(net, pointer):
        assert one.place == pytest.approx(TOUCHED[one.pivot.point], abs=EXACT)
        assert one.label == "tip"


def test_a_ball_in_closed_form_has_its_middle_in_the_mark() -> None:
    """The board's middle moves on a ball round the mark: its equations are linear, and know nothing of turnings."""
    rng = np.random.default_rng(2)
    swings = [tuple(rng.uniform(-35, 35, 3)) for _ in range(12)]
    given = pointing(swings=swings)
    off = 0.02e-3 * rng.normal(size=(len(given.boards), 1, 6)) * [0.05, 0.05, 0.05, 1, 1, 1] * np.ones((1, 4, 1))
    net = placed(given, spread(len(given.boards)), off)
    middles = net.state.tile_centre.reshape(-1, 4, 3).mean(axis=1)[:12]
    rows = np.column_stack([2 * middles, np.ones(12)])
    ball = np.linalg.lstsq(rows, np.sum(middles**2, axis=1), rcond=None)[0]
    turned = net.state.tile_turned.reshape(-1, 4, 3, 3)[:12, 0]
    by_ball = np.mean([one.T @ (ball[:3] - middle) for one, middle in zip(turned, middles, strict=True)], axis=0)

    assert ball[:3] == pytest.approx(MARK_AT, abs=0.2e-3)
    assert np.linalg.norm(ball[:3]) != pytest.approx(np.linalg.norm(MARK_AT), abs=1e-9)
    assert pointed(net, given.survey).tip == pytest.approx(by_ball, abs=0.2e-3)


def test_the_slopes_are_those_of_differences() -> None:
    net = placed(GIVEN, spread(len(GIVEN.boards)))
    touches = pointed(net, GIVEN.survey).touches
    size = 6 * len(net.numbers)
    rng = np.random.default_rng(3)
    for _ in range(4):
        step = 1e-5 * rng.normal(size=size)
        there = pointed(placed(GIVEN, spread(len(GIVEN.boards)), step), GIVEN.survey).touches
        back = pointed(placed(GIVEN, spread(len(GIVEN.boards)), -step), GIVEN.survey).touches
        for one, more, less in zip(touches, there, back, strict=True):
            change = one.slopes.reshape(3, -1) @ step
            assert (more.place - less.place) / 2 == pytest.approx(change, abs=1e-3 * np.abs(change).max() + 1e-10)


def drawn(draws):
    """Touched places of pointers whose tiles err as they are said to, whose board is bent, and whose tip sits off."""
    rng, stands = np.random.default_rng(5), len(GIVEN.boards)
    covariance = spread(stands)
    half = np.linalg.cholesky(covariance)
    off, stated, every = [], [], []
    for _ in range(draws):
        boards = []
        warp = rng.normal(size=(4, 6)) * [*[0.01] * 3, 0.2e-3, 0.2e-3, 0.4e-3]
        tips = [MARK_AT] * len(SWINGS) + [*TOUCHED.values()]
        turns = [swung(one) for one in SWINGS] + [swung((8, -6, 12)), swung((-10, 9, -15))]
        for stand, turned, tip_at in zip(GIVEN.survey.pointer, turns, tips, strict=True):
            well = stand.deviation
            true = board(turned, tip_at + well * rng.normal(size=3))
            boards.append(
                [
                    replace(
                        one,
                        turned=turned @ Rotation.from_rotvec(bend[:3]).as_matrix(),
                        centre=one.centre + turned @ bend[3:],
                    )
                    for one, bend in zip(true, warp, strict=True)
                ]
            )
        net = placed(replace(GIVEN, boards=boards), covariance, half @ rng.normal(size=len(half)))
        found = touched_pivots(net, pointed(net, GIVEN.survey))
        off.append([one.place - TOUCHED[one.pivot.point] for one in found])
        stated = [one.covariance for one in found]
        every.append([one.why_not for one in found])
    assert not any(map(any, every))
    return np.array(off), np.array(stated)


def test_touched_points_spread_as_stated() -> None:
    """Squares of 60 draws in units of the stated covariance: 60 x 3 of them, within four deviations of a chi-square."""
    off, stated = drawn(60)
    for place in range(2):
        squares = np.einsum("di,ij,dj->d", off[:, place], np.linalg.inv(stated[place]), off[:, place]).sum()
        assert squares == pytest.approx(180, abs=4 * np.sqrt(2 * 180))


def test_a_tip_that_slipped_out_of_its_mark_is_named_and_left_out() -> None:
    given = pointing()
    given.boards[2] = board(swung(SWINGS[2]), MARK_AT + np.array([0.004, 0, 0.003]))
    pointer = pointed(placed(given, 0.05 * spread(len(given.boards))), given.survey)

    assert pointer.slipped == (given.survey.pointer[2],)
    assert pointer.swings == 5
    told = remarks_on_pointer(placed(given, spread(len(given.boards))), given.survey, pointer)
    assert told == ("The pointer in photo 5 and photo 6: its tip was not in the mark. These are left out.",)


@pytest.mark.parametrize(
    ("swings", "most", "said"),
    [
        (SWINGS[:3], 1.0, "in the mark in 3 stands: 4 are needed"),
        (SWINGS, 0.1, "too little swing"),
        ([(x, 0, 0) for x in (-30, -15, 0, 15, 30)], 1.0, "turned by 0° in the direction"),
    ],
)
def test_too_little_swing_is_told_and_nothing_is_taken(swings, most, said) -> None:
    given = pointing(swings=swings, most=most)
    net = placed(given, spread(len(given.boards)))
    pointer = pointed(net, given.survey)

    assert said in pointer.why_not
    assert all(said in one.why_not for one in touched_pivots(net, pointer))
    assert any(said in one.lower() for one in remarks_on_pointer(net, given.survey, pointer))


def test_little_swing_is_told_where_it_makes_a_point_unsure() -> None:
    given = pointing(most=0.3)
    net = placed(given, 4 * spread(len(given.boards)))
    found = touched_pivots(net, pointed(net, given.survey))

    assert all(one.plus_minus > WIDEST and "too little swing" in one.why_not for one in found)


def test_a_point_touched_at_both_ends_is_their_middle() -> None:
    given = pointing()
    stands = [
        replace(one, point="front.pivots.arm_front") if one.point == "front.pivots.arm_rear" else one
        for one in given.survey.pointer
    ]
    net = placed(given, spread(len(given.boards)))
    survey = replace(given.survey, pointer=tuple(stands))
    (found,) = touched_pivots(net, pointed(net, survey))

    assert found.place == pytest.approx(np.mean([*TOUCHED.values()], axis=0), abs=EXACT)
    assert found.own == pytest.approx(np.eye(3) * 0.05e-3**2 / 2)


def test_a_stand_with_a_tile_hidden_is_placed_by_the_others() -> None:
    drop = (in_stand(100, 0), in_stand(103, 6), in_stand(102, 6))
    net = placed(GIVEN, spread(len(GIVEN.boards)), drop=drop)

    assert pointed(net, GIVEN.survey).tip == pytest.approx(TIP, abs=EXACT)


def test_a_pointer_that_is_being_moved_is_no_tile() -> None:
    photos = seen(GIVEN)[:4]
    moved = without_swings(GIVEN.survey, 1)
    first, _, third, _ = standing(photos, moved)

    assert [one for one in first.numbers if one >= 100] == [
        in_stand(one, 0) for one in NUMBERS if one in photos[0].numbers
    ]
    assert not [one for one in third.numbers if one >= 100]
    assert len(third.corners) == len(third.numbers)


def test_the_board_is_as_it_is_printed() -> None:
    there = [one.centre for one in board(np.eye(3), np.zeros(3), tip=np.zeros(3))]

    assert board_centres(0.04) == pytest.approx(np.array(there))


# ------------------------------------------------------------------------------------------------- photographs


def errors_of(given, net):
    """How far each touched point is off, and its stated deviation, laid on the control tiles [m]."""
    control = [place for place, number in enumerate(net.numbers) if number < 60]
    here = net.state.tile_centre[control]
    there = np.array([given.scene.tile(net.numbers[place]).centre for place in control])
    _, turned = laid_on(here, there)
    found = touched_pivots(net, pointed(net, given.survey))
    off = [(one.place - here.mean(axis=0)) @ turned.T + there.mean(axis=0) - TOUCHED[one.pivot.point] for one in found]
    return np.array(off), np.array([np.sqrt(np.diag(turned @ one.covariance @ turned.T)) for one in found]), found


@pytest.mark.validation_long
@pytest.mark.validation_slow
def test_points_are_touched_in_rendered_photographs() -> None:
    """Five swings and two points in fourteen small photographs; large tiles, and few of them."""
    scene = corner(0.09).without(*PIVOTS, 1, 4, 7, 9, 11, 12, 13, 14, 18)
    given = pointing(scene, SWINGS[:5], side=0.08)
    lens, rng = telephone(1600), np.random.default_rng(6)
    shots = []
    for name, camera, tiles in given.photos():
        data = photograph(lens, camera, tiles, BITS, rng, Weather())
        shots.append(replace(seen_in(arrived(data, f"{name}.jpg")), name=name, as_on_film=26.0))
    net = netted(shots, given.survey)
    off, stated, found = errors_of(given, net)

    assert [one.why_not for one in found] == ["", ""]
    assert np.abs(off).max() <= 0.4e-3
    assert np.all(np.abs(off) <= 3 * stated)

"""Tiles and pivots by photographs of a corner whose truth is known."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from jounce.conventions.errors import Impossible
from jounce.photographs import adjustment
from jounce.photographs.pivots import (
    SCALE,
    _by_reason,
    _not_placed,
    checked,
    doubted_by_checks,
    found_pivots,
    remarks_on,
    suspect,
)
from jounce.photographs.solving import netted
from jounce.photographs.survey import KnownLength, TiledPivot
from tests.photographs.conftest import rendered
from tests.photographs.rendering import Weather
from tests.photographs.scene import corner, telephone, walk
from tests.photographs.shop import PICTURE_ONLY, Errors, laid_on, point, walked


def errors_of(net, found, scene, true):
    """Each pivot's error and stated deviation in the true axes, laid on the control tiles, shapes (pivots, 3) [m]."""
    control = [place for place, number in enumerate(net.numbers) if number < 60]
    here = net.state.tile_centre[control]
    there = np.array([scene.tile(net.numbers[place]).centre for place in control])
    _, turned = laid_on(here, there)
    off = [(one.place - here.mean(axis=0)) @ turned.T + there.mean(axis=0) - true[one.pivot.name] for one in found]
    deviation = [np.sqrt(np.diag(turned @ one.covariance @ turned.T)) for one in found]
    return np.array(off), np.array(deviation)


def root_mean_square(off) -> float:
    return float(np.sqrt(np.mean(np.sum(off**2, axis=1))))


@pytest.fixture(scope="module")
def shop():
    """Eight photographs with the errors of a shop; tile 4 moved 6 mm half way, 8 mm too much typed behind tile 63."""
    scene = corner()
    given = walked(scene, walk(8), telephone(), Errors(), 1, moved={4: np.array([0.006, 0, 0])}, offsets={63: 0.008})
    net = netted(given.photos, given.survey)
    found = found_pivots(net, given.survey)
    return scene, given, net, found


@pytest.fixture(scope="module")
def solved(five):
    """The five rendered photographs solved; by chance tile 60 is in two of them alone."""
    given = walked(five.scene, five.stands, five.lens, PICTURE_ONLY, 0)
    net = netted(five.seen, given.survey)
    return given, net, found_pivots(net, given.survey)


def without(photo, *numbers):
    """The same photograph with some tiles covered."""
    kept = [one not in numbers for one in photo.numbers]
    return replace(
        photo, numbers=tuple(one for one in photo.numbers if one not in numbers), corners=photo.corners[kept]
    )


def test_pivots_of_rendered_photographs_lie_where_they_are(five, solved) -> None:
    given, net, found = solved
    off, _ = errors_of(net, found, five.scene, given.true)

    assert len(found) == 7
    assert root_mean_square(off) <= 0.05e-3
    assert net.metric
    assert net.state.lens[0] == pytest.approx(five.lens.focal, rel=1e-3)


def test_with_the_errors_of_a_shop_pivots_are_well_under_a_millimetre(shop) -> None:
    scene, given, net, found = shop
    off, deviation = errors_of(net, [one for one in found if one.pivot.tile != 63], scene, given.true)

    assert root_mean_square(off) <= 0.8e-3
    assert np.mean(np.abs(off) <= 1.96 * deviation) >= 0.8


def test_a_tile_that_was_moved_is_named_and_no_other(shop) -> None:
    _, given, net, found = shop

    assert list(net.moved) == [4]
    assert any(told.startswith("Tile 4 does not fit in photo ") for told in remarks_on(net, given.survey, found, ()))


def test_a_wrong_offset_is_named_and_what_would_fit(shop) -> None:
    _, given, net, found = shop
    told = remarks_on(net, given.survey, found, checked(net, given.survey, found))
    named = [one for one in told if "behind its paper" in one]

    assert len(named) == 1
    assert named[0].startswith(f"left {point(63)}: ")
    would = float(named[0].split("distances, ")[1].split(" mm")[0])
    assert would == pytest.approx(1e3 * corner().behind[63], abs=1.5)
    doubted = {one.pivot.tile for one in doubted_by_checks(found, checked(net, given.survey, found)) if one.why_not}
    assert 63 in doubted
    assert len(doubted - {one.pivot.tile for one in found if one.why_not}) == 1, "the others stay"


def test_a_known_length_that_no_check_fits_is_named_and_nothing_is_used(shop) -> None:
    _, given, net, found = shop
    checks = [
        replace(one, found=1.02 * one.check.length)
        for one in checked(net, given.survey, found)
        if point(63) not in str(one.check.pivots)
    ]

    named = suspect(found, checks)
    assert named is not None
    assert named[0] == SCALE
    assert "2.0 % shorter" in named[1]
    assert all("the known length" in one.why_not for one in doubted_by_checks(found, checks))


def test_a_pivot_in_two_photographs_only_asks_for_more(solved) -> None:
    doubted = {one.pivot.tile: one.why_not for one in solved[2] if one.why_not}

    assert list(doubted) == [60]
    assert "take two more that show tile 60" in doubted[60]


def test_what_is_wrong_with_several_is_said_once() -> None:
    two = (TiledPivot(60, point(60), "left", 0.03, 0.3e-3), TiledPivot(61, point(61), "left", 0.03, 0.3e-3))

    assert _by_reason({"1": "too dark", "2": "too dark", "3": "blurred"}) == {"too dark": ["1", "2"], "blurred": ["3"]}
    assert len(_not_placed(two)) == 1
    assert _not_placed(two)[0].startswith("Tiles 60, 61 are in fewer than two photographs")
    assert _not_placed(two[:1])[0].startswith(f"Tile 60 of left {point(60)} is in fewer")


def test_right_offsets_are_not_called_wrong(solved) -> None:
    given, net, found = solved

    assert not [
        one for one in remarks_on(net, given.survey, found, checked(net, given.survey, found)) if "behind" in one
    ]


@pytest.mark.validation_slow
def test_without_a_known_length_nothing_is_told_in_mm(five, solved) -> None:
    survey = replace(solved[0].survey, rulers=())
    net = netted(five.seen, survey)

    assert solved[1].metric
    assert not net.metric
    assert any("nothing is told in mm" in one for one in remarks_on(net, survey, (), ()))


@pytest.mark.validation_slow
def test_a_known_length_that_fits_no_other_is_left_out_and_no_tile_is_blamed(five) -> None:
    given = walked(five.scene, five.stands, five.lens, PICTURE_ONLY, 0)
    rule = given.survey.rulers[0]
    wrong = KnownLength((1, 4), 0.05 + rule.length, rule.deviation)
    net = netted(five.seen, replace(given.survey, rulers=(rule, wrong)))
    off, _ = errors_of(net, found_pivots(net, given.survey), five.scene, given.true)

    assert list(net.off_lengths) == [(1, 4)]
    assert not net.moved
    assert root_mean_square(off) <= 0.05e-3


@pytest.mark.validation_slow
def test_a_sheet_printed_too_small_is_found_by_the_ruler(five) -> None:
    """Tiles said to be 3 % larger than they came out: the ruler sets the scale, and the printer is named."""
    given = walked(five.scene, five.stands, five.lens, PICTURE_ONLY, 0)
    survey = replace(given.survey, sides={one: 1.03 * side for one, side in given.survey.sides.items()})
    net = netted(five.seen, survey)
    off, _ = errors_of(net, found_pivots(net, survey), five.scene, given.true)

    assert root_mean_square(off) <= 0.1e-3
    assert net.state.print_scale == pytest.approx(np.full(2, 1 / 1.03), abs=1e-3)
    assert any("97." in one and "printer" in one for one in remarks_on(net, survey, (), ()))


@pytest.mark.validation_slow
def test_a_photograph_by_another_lens_is_left_out(five) -> None:
    given = walked(five.scene, five.stands, five.lens, PICTURE_ONLY, 0)
    photos = [*five.seen[:4], replace(five.seen[4], as_on_film=13.0)]
    net = netted(photos, given.survey)

    assert list(net.left_out) == ["photo 5.jpg"]
    assert "another lens" in net.left_out["photo 5.jpg"]


@pytest.mark.validation_slow
def test_sizes_of_one_lens_are_one_camera_and_a_crop_is_left_out_in_words(five) -> None:
    """Two kept at half their size, as modes of a telephone do: all are used, pivots as true as before."""
    given = walked(five.scene, five.stands, five.lens, PICTURE_ONLY, 0)
    small = [replace(one, corners=(one.corners + 0.5) / 2 - 0.5, size=(800, 600)) for one in five.seen[:2]]
    net = netted([*small, *five.seen[2:]], given.survey)
    off, _ = errors_of(net, found_pivots(net, given.survey), five.scene, given.true)

    assert len(net.names) == 5
    assert net.views.size == (1600, 1200)
    assert root_mean_square(off) <= 0.05e-3
    cropped = netted([*five.seen[:4], replace(five.seen[4], size=(1600, 900))], given.survey)
    assert list(cropped.left_out) == ["photo 5.jpg"]
    assert "1600 x 900, 26 mm, most 1600 x 1200, 26 mm" in cropped.left_out["photo 5.jpg"]


def test_two_photographs_are_too_few(five) -> None:
    given = walked(five.scene, five.stands, five.lens, PICTURE_ONLY, 0)
    with pytest.raises(Impossible, match="2 photographs share"):
        netted(five.seen[:2], given.survey)


@pytest.mark.validation_slow
def test_a_flat_scene_is_told() -> None:
    scene = corner()
    floor = replace(scene, tiles=tuple(one for one in scene.tiles if 6 <= one.number <= 15))
    given = walked(scene, walk(6), telephone(), PICTURE_ONLY, 0)
    numbers = [one.number for one in floor.tiles]
    photos = [without(one, *set(one.numbers).difference(numbers)) for one in given.photos]
    net = netted(photos, given.survey)

    assert any("in one plane" in one for one in remarks_on(net, given.survey, (), ()))


def test_it_can_be_stopped(five) -> None:
    class Stopped(Exception):
        pass

    def stop(_) -> None:
        raise Stopped

    given = walked(five.scene, five.stands, five.lens, PICTURE_ONLY, 0)
    with pytest.raises(Stopped):
        netted(five.seen, given.survey, stop)


@pytest.mark.validation_slow
def test_the_focal_length_need_not_be_told() -> None:
    scene = corner()
    given = walked(scene, walk(6), telephone(), PICTURE_ONLY, 0, as_on_film=None)
    net = netted(given.photos, given.survey)

    assert net.state.lens[0] == pytest.approx(telephone().focal, rel=2e-3)


# -------------------------------------------------------------------------------------------------- hundreds of pivots


@pytest.mark.validation_long
def test_twenty_rendered_photographs_are_exact_to_a_twentieth_of_a_millimetre() -> None:
    scene, stands, lens = corner(), walk(20), telephone()
    shots = rendered(scene, stands, lens, [Weather()] * 20)
    given = walked(scene, stands, lens, PICTURE_ONLY, 0)
    net = netted(shots.seen, given.survey)
    off, _ = errors_of(net, found_pivots(net, given.survey), scene, given.true)

    assert root_mean_square(off) <= 0.05e-3


@pytest.mark.validation_long
def test_twenty_photographs_in_a_shop_are_as_sure_as_they_say() -> None:
    """Six draws of seven pivots: 126 coordinates."""
    scene, every, stated = corner(), [], []
    for seed in range(6):
        given = walked(scene, walk(20), telephone(), Errors(), seed)
        net = netted(given.photos, given.survey)
        off, deviation = errors_of(net, found_pivots(net, given.survey), scene, given.true)
        every.append(off)
        stated.append(deviation)
    off, deviation = np.concatenate(every), np.concatenate(stated)

    assert root_mean_square(off) <= 0.7e-3
    assert np.quantile(np.abs(off), 0.95) <= 0.8e-3
    assert 0.88 <= np.mean(np.abs(off) <= 1.96 * deviation) <= 0.99


def test_photographs_by_another_lens_that_nothing_tells_are_left_out_and_the_rest_is_right() -> None:
    """Three of eleven from half as far a lens, none says which it was: what is left of them must not spoil the others."""
    scene, stands, wide = corner(), walk(11), replace(telephone(), focal=1600.0)
    given = walked(scene, stands, telephone(), PICTURE_ONLY, 0, as_on_film=None)
    other = walked(scene, stands, wide, PICTURE_ONLY, 0, as_on_film=None)
    net = netted([*given.photos[:8], *other.photos[8:]], given.survey)
    off, _ = errors_of(net, found_pivots(net, given.survey), scene, given.true)

    assert {f"photo {number}" for number in (9, 10, 11)} <= set(net.left_out)
    assert root_mean_square(off) <= 0.1e-3


def printed_smaller(share, ruler_deviation=0.3e-3):
    """From far by a long lens, where a tile's two ways of standing look nearly alike; the sheets came out smaller."""
    scene = corner(0.06 * share, 0.04 * share)
    lens = replace(telephone(), focal=2.2 * telephone().focal)
    given = walked(scene, walk(16, 3.2), lens, PICTURE_ONLY, 0, as_on_film=57.2)
    sides = {number: side / share for number, side in given.survey.sides.items()}
    rulers = tuple(replace(one, deviation=ruler_deviation) for one in given.survey.rulers)
    return scene, given, netted(given.photos, replace(given.survey, sides=sides, rulers=rulers))


def test_sheets_printed_smaller_put_no_tile_in_the_wrong_one_of_its_two_ways() -> None:
    scene, given, net = printed_smaller(0.97)
    off, _ = errors_of(net, found_pivots(net, given.survey), scene, given.true)

    assert not net.moved
    assert root_mean_square(off) <= 0.2e-3
    assert net.state.print_scale == pytest.approx([0.97, 0.97], abs=3e-4)


def test_what_a_printer_promises_pulls_at_no_known_length_that_says_otherwise() -> None:
    """A length known to a millimetre: the scale is off by a small part of what that leaves open."""
    _, _, net = printed_smaller(0.97, 1e-3)

    assert net.state.print_scale == pytest.approx([0.97, 0.97], abs=2e-4)


def test_it_comes_to_rest_where_nothing_moves_by_a_tenth_of_its_deviation_any_more(monkeypatch) -> None:
    """Wrong corners of all sizes, as no noise is: much lies in the tails, where rounds go on by hundredths."""
    given = walked(corner(), walk(8), telephone(), PICTURE_ONLY, 0)
    rng = np.random.default_rng(1)
    photos = [
        replace(one, corners=one.corners + np.clip(0.05 * rng.standard_cauchy(one.corners.shape), -3, 3))
        for one in given.photos
    ]
    monkeypatch.setattr(adjustment, "_PATIENT", 3)
    found = found_pivots(netted(photos, given.survey), given.survey)
    monkeypatch.setattr(adjustment, "_PATIENT", 400)
    monkeypatch.setattr(adjustment, "_MOST_ROUNDS", 400)
    longer = found_pivots(netted(photos, given.survey), given.survey)

    moved = [np.abs(a.place - b.place) / np.sqrt(np.diag(b.covariance)) for a, b in zip(found, longer, strict=True)]
    assert np.max(moved) < 0.1


def test_it_can_be_stopped_between_the_lenses_that_are_tried() -> None:
    """No start suits a lens twice as long as told: other lengths are tried, each of which can be the last."""
    given = walked(corner(0.06, 0.04), walk(4), telephone(), PICTURE_ONLY, 0, as_on_film=13.0)
    told: list[str] = []

    class Stopped(Exception):
        pass

    def stop_at_the_third(step: str) -> None:
        told.append(step)
        if len(told) == 3:
            raise Stopped

    with pytest.raises(Stopped):
        netted(given.photos, given.survey, stop_at_the_third)
    assert told == ["placing the photographs"] * 3

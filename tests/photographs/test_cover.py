"""What is still missing, beside where the photographs truly were taken from."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest

from jounce.photographs.cover import covered, still_missing
from jounce.photographs.survey import KnownHeight, PointerStand, Survey, parse_survey
from tests.photographs.front import kept, shots, stands, stuck
from tests.photographs.pointing import SWINGS, pointing, seen
from tests.photographs.rendering import Lens
from tests.photographs.scene import telephone

SURVEY = parse_survey(kept().text, "")
NUMBERS = [one.tile for one in SURVEY.pivots]


def without(photos, number, fewer=0):
    """Photographs in which a tile is hidden, but for the first few."""
    told = []
    for place, one in enumerate(photos):
        keep = [k for k, n in enumerate(one.numbers) if n != number or place < fewer]
        told.append(replace(one, numbers=tuple(one.numbers[k] for k in keep), corners=one.corners[keep]))
    return told


def true_ways(number, photos):
    """Directions from a tile to the cameras that see it, shape (views, 3) [-]."""
    tile = next(one for one in stuck() if one.number == number)
    ways = [stand.place - tile.centre for stand, one in zip(stands(), photos, strict=True) if number in one.numbers]
    return np.array([tile.turned.T @ way / np.linalg.norm(way) for way in ways])


def widest(ways):
    return max(np.arccos(a @ b) for a, b in combinations(ways, 2))


@pytest.mark.parametrize("number", NUMBERS)
def test_directions_are_those_from_which_the_photographs_were_taken(number) -> None:
    """A lens that leaves lines straight, its middle in the middle of the picture, and no noise: exact but for rounding."""
    plain = Lens(telephone().focal, 4000, 3000, (1999.5, 1499.5))
    photos = shots(lens=plain, noise=0.0)
    (cover,) = covered(photos, SURVEY, [number])

    assert cover.photos == len(cover.views) >= 3
    assert np.allclose(cover.views, true_ways(number, photos), atol=1e-3)
    assert cover.angle == pytest.approx(widest(true_ways(number, photos)), abs=1e-3)


@pytest.mark.parametrize("number", NUMBERS)
def test_a_telephone_that_nobody_has_measured_yet_is_good_enough_to_guide(number) -> None:
    """The lens bends by a twentieth and its middle lies 1 % off: some degrees, where fifteen are asked for."""
    photos = shots()
    (cover,) = covered(photos, SURVEY, [number])

    assert cover.angle == pytest.approx(widest(true_ways(number, photos)), abs=np.radians(5))


def test_a_good_set_lacks_nothing() -> None:
    assert still_missing(shots(14), SURVEY) == ()


def test_what_is_missing_is_told_with_what_to_do() -> None:
    photos = shots(14)
    few = still_missing(without(photos, 62, 1), SURVEY)
    aside = still_missing(shots(60)[:6:2], SURVEY)

    assert few == ("Two more that show tile 62, left front.pivots.strut_top.",)
    assert any(told.startswith("Two more of tile 62, left front.pivots.strut_top, from farther left") for told in aside)
    assert "6 more photographs: 12 do, 20 are good." in still_missing(shots(6), SURVEY)
    assert still_missing((), SURVEY) == ("Photographs: 20 are good, 12 do.",)
    assert still_missing(without(photos, 4, 1), SURVEY) == ("Two photographs that show tile 4: it is in 1.",)


def test_what_the_pointer_lacks_is_told() -> None:
    given = pointing(swings=SWINGS[:3])
    photos = seen(given)
    told = still_missing(photos, given.survey)
    bare = still_missing(
        [replace(one, numbers=(), corners=one.corners[:0]) if one.name == "photo 2" else one for one in photos],
        given.survey,
    )

    assert any(one.startswith("Swings of the pointer in its mark: 3 are named, 4 are needed") for one in told)
    assert not any("photo 1" in one for one in told)
    assert any("the pointer as it stood in photo 1 and photo 2 that show the same tile" in one for one in bare)
    assert "photo 2: named for the pointer, and not among the photographs." in still_missing(
        [photos[0], *photos[2:]], given.survey
    )


def test_what_tells_the_ground_may_sit_on_wheels_or_be_touched() -> None:
    photos = shots(14)
    bare = replace(SURVEY, floor=())
    wheels = tuple(KnownHeight(tile, 0.3, 1e-3) for tile in (4, 5))
    touched = PointerStand(("photograph 1", "photograph 2"), "ground", "left", 0.3e-3)

    def ground(survey):
        return [one for one in still_missing(photos, survey) if one.startswith("The ground")]

    assert ground(replace(bare, heights=wheels))
    assert not ground(replace(bare, heights=wheels, pointer=(touched,)))


def test_photographs_that_do_not_hang_together_are_named() -> None:
    photos = shots(14)
    lonely = without([replace(photos[5], numbers=photos[5].numbers[:3], corners=photos[5].corners[:3])], 99)

    told = still_missing([*photos[:5], *lonely, *photos[6:]], SURVEY)
    assert told == ("photograph 6: fewer than 4 tiles shared with the others. Take one from halfway between.",)


def test_what_scale_axes_and_lens_need_is_told() -> None:
    photos = [replace(one, turns=0) for one in shots(14)]
    zoomed = [replace(photos[0], as_on_film=52.0), *photos[1:]]
    left = replace(
        SURVEY, pivots=tuple(one for one in SURVEY.pivots if one.side == "left" and "wheel" not in one.point)
    )

    held_alike = ("Some with the telephone turned a quarter: so far it was held alike in all. They tell the lens.",)
    assert still_missing(photos, SURVEY) == held_alike
    assert still_missing([replace(one, turns=1) for one in photos], SURVEY) == held_alike
    assert any("taken with another one" in told for told in still_missing(zoomed, SURVEY))
    told = " ".join(still_missing(shots(14), Survey()))
    for what in ("A known length", "The ground", "Names"):
        assert what in told
    told = " ".join(still_missing(shots(14), left))
    assert "a tile on the middle of a front wheel" in told
    assert "The centre plane" in told

"""Leaves, shackles and blocks of the demo shelf beside what is sought: by hand, and the file with the part read anew."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from jounce.conventions.units import MM
from jounce.shelf.file import read_shelf
from jounce.shelf.kinds.leaves import LeafPart
from jounce.shelf.shelf import Shelf
from jounce.wanted.main_springs import longer_springs, raised_springs, stiffer_springs
from jounce.wanted.on_shelf import nearest
from jounce.wanted.seek import PartWish
from jounce.wanted.stood import stand
from tests.wanted.demo_work import DEMO, found, read_anew, today, work_of

CAR = "bracken-16"
BETWEEN = 30 * MM
"""Height of the middle of the eyes above each seat as found."""


@cache
def shelf():
    return read_shelf(DEMO / "shelf.toml")


def lowered(stood):
    return stood.lower("rear") - today(CAR).lower("rear")


def frequency(stood):
    return stood.of_wheels("rear", "ride_frequency")


def beside(part, read, wanted, parts=None):
    wish = PartWish("wish", "ratio", wanted, read, ("", ""))
    return nearest(wish, part, parts or shelf(), found(part, read, wanted).value)


def leaves():
    return Shelf(tuple(shelf().of_kind(LeafPart)))


def test_leaves_as_they_are_bent_stand_where_load_and_rate_leave_them():
    """By hand: a leaf gives way by its load over its rate; tyres carry what they carried."""
    part = longer_springs(work_of(CAR), "rear", today(CAR))
    force = np.mean([one.spring_force for one in today(CAR).axles["rear"].wheels.values()])
    fits = beside(part, lowered, 15 * MM, leaves())

    assert len(fits) == 2
    for fit in fits:
        leaf = shelf().part(fit.tried.code)
        stands = leaf.free_camber.value - force / leaf.rate.value
        assert fit.value == pytest.approx(BETWEEN - stands, abs=0.3 * MM)  # the car pitches


def test_nothing_on_the_shelf_is_nearer():
    part, wanted = longer_springs(work_of(CAR), "rear", today(CAR)), 15 * MM
    has = [lowered(stand(one.fitted())) for one in part.on_shelf(shelf(), None)]
    less, more = beside(part, lowered, wanted, leaves())

    known = [one for one in shelf().of_kind(LeafPart) if one.free_camber is not None]
    assert len(has) == len(known)
    assert less.value == max(one for one in has if one <= wanted)
    assert more.value == min(one for one in has if one > wanted)


def test_leaves_on_a_seat_for_them_give_the_frequency_of_the_file_with_their_rate():
    for fit in beside(stiffer_springs(work_of(CAR), "rear", today(CAR)), frequency, 1.6):
        rate = shelf().part(fit.tried.code).rate.value
        anew = read_anew(CAR, rear__leaf__rate=rate / 1000)
        assert fit.value == pytest.approx(frequency(anew), rel=1e-6)


def test_blocks_and_shackles_move_the_body_by_their_height_and_by_half_their_length():
    part = raised_springs(work_of(CAR), "rear")
    tries = [(one.code, one.number / MM) for one in part.on_shelf(shelf(), None)]

    assert ("BL-25", pytest.approx(-25)) in tries
    assert ("SK-65", pytest.approx(-10)) in tries
    assert [number for code, number in tries if code == "SK-65-105"] == pytest.approx([-10, -5, 0, 5, 10])
    assert not [code for code, _ in tries if code.startswith("SP-")]
    for fit in beside(part, lowered, 12 * MM):
        assert fit.value == pytest.approx(-fit.tried.number, abs=0.3 * MM)


def of_the_shelf(*codes):
    return Shelf(tuple(shelf().part(code) for code in codes))


def told(part, wanted, *codes):
    wish = PartWish("wish", "ratio", wanted, lowered, ("", ""))
    return nearest(wish, part, of_the_shelf(*codes), found(part, lowered, wanted).value)


def test_a_leaf_with_a_shackle_is_told_where_each_alone_misses_the_height():
    """By hand: 20 N/mm and 102 mm stand 19 mm lower, a shackle 20 mm shorter 10 mm."""
    part = longer_springs(work_of(CAR), "rear", today(CAR), 20_000.0)
    (fit,) = told(part, 29.5 * MM, "LS-20-102", "SK-65")

    assert fit.tried.code == "LS-20-102 with SK-65"
    alone = part.on_shelf(of_the_shelf("LS-20-102"), None)
    leaf = lowered(stand(next(iter(alone)).fitted()))
    assert abs(leaf - 29.5 * MM) > 9 * MM
    assert fit.value == pytest.approx(leaf + 10 * MM, abs=0.3 * MM)


def test_a_block_with_a_shackle_is_told_where_each_alone_misses_the_height_and_not_where_one_does():
    part = raised_springs(work_of(CAR), "rear")

    assert [fit.tried.code for fit in told(part, 35.5 * MM, "BL-25", "SK-65")] == ["BL-25 with SK-65"]
    assert [fit.tried.code for fit in told(part, 25.5 * MM, "BL-25", "SK-65")] == ["BL-25", "BL-25 with SK-65"]


def test_parts_that_do_not_go_together_are_not_told_together():
    part = longer_springs(work_of(CAR), "rear", today(CAR), 22_000.0)

    assert all("with" not in fit.tried.code for fit in told(part, 43 * MM, "LS-22-W60", "BL-25"))


def test_a_leaf_for_a_frequency_tells_what_sets_its_seat():
    part = stiffer_springs(work_of(CAR), "rear", today(CAR))
    (tried,) = part.on_shelf(of_the_shelf("LS-22-114", "SK-65-105"), None)
    figures = {figure.name: figure.value for figure in tried.more}
    needed = (figures["seat higher for it, left"] + figures["seat higher for it, right"]) / 2

    assert figures["seat higher by SK-65-105"] == pytest.approx(
        min((-10, -5, 0, 5, 10), key=lambda x: abs(x / 1000 - needed)) / 1000
    )

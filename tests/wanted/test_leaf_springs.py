"""Leaves, shackles and blocks of the demo shelf beside what is sought: by hand, and the file with the part read anew."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from jounce.conventions.units import MM
from jounce.shelf.file import read_shelf
from jounce.shelf.kinds.leaves import LeafPart
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


def beside(part, read, wanted):
    wish = PartWish("wish", "ratio", wanted, read, ("", ""))
    return nearest(wish, part, shelf(), found(part, read, wanted).value)


def test_leaves_as_they_are_bent_stand_where_load_and_rate_leave_them():
    """By hand: a leaf gives way by its load over its rate; tyres carry what they carried."""
    part = longer_springs(work_of(CAR), "rear", today(CAR))
    force = np.mean([one.spring_force for one in today(CAR).axles["rear"].wheels.values()])
    fits = beside(part, lowered, 15 * MM)

    assert len(fits) == 2
    for fit in fits:
        leaf = shelf().part(fit.tried.code)
        stands = leaf.free_camber.value - force / leaf.rate.value
        assert fit.value == pytest.approx(BETWEEN - stands, abs=0.3 * MM)  # the car pitches


def test_nothing_on_the_shelf_is_nearer():
    part, wanted = longer_springs(work_of(CAR), "rear", today(CAR)), 15 * MM
    has = [lowered(stand(one.fitted())) for one in part.on_shelf(shelf(), None)]
    less, more = beside(part, lowered, wanted)

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

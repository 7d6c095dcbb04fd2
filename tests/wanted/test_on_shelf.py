"""Parts of the demo shelf beside what is sought: nothing on it is nearer, and the file with the part read anew agrees."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from jounce.conventions.errors import Impossible
from jounce.conventions.units import Kind
from jounce.shelf.file import read_shelf
from jounce.shelf.kinds.bars import InnerBarPart
from jounce.shelf.kinds.coils import CoilPart
from jounce.shelf.shelf import Shelf
from jounce.wanted.anti_roll_bars import thicker_bar
from jounce.wanted.damper_ends import damper_length, damper_travel, rubber_gap, rubber_share
from jounce.wanted.helpers import compressed_hanging, helper_travel
from jounce.wanted.main_springs import longer_springs, raised_springs, stiffer_springs
from jounce.wanted.on_shelf import nearest
from jounce.wanted.panhard_rods import axle_shift, longer_rod
from jounce.wanted.seek import PartWish
from jounce.wanted.stood import stand
from jounce.wanted.tie_rods import bump_steer, raised_tie_rods
from tests.wanted.demo_work import DEMO, found, read_anew, today, work_of

CAR = "brisk-14"


@cache
def shelf() -> Shelf:
    """The demo shelf, which was made for the demo car."""
    return read_shelf(DEMO / "shelf.toml")


def share(stood):
    return stood.front_share


def front_frequency(stood):
    return stood.of_wheels("front", "ride_frequency")


def rear_frequency(stood):
    return stood.of_wheels("rear", "ride_frequency")


def lowered(stood):
    return stood.lower("rear") - today(CAR).lower("rear")


def cases():
    work, stood = work_of(CAR), today(CAR)
    return {
        "coils as long as they are": (longer_springs(work, "rear", stood), lowered, 0.015),
        "coils": (stiffer_springs(work, "rear", stood), rear_frequency, 1.7),
        "torsion bars": (stiffer_springs(work, "front", stood), front_frequency, 1.42),
        "inner bars": (thicker_bar(work, "rear"), share, 0.63),
        "anti-roll bars": (thicker_bar(work, "front"), share, 0.74),
        "dampers": (damper_length(work, "rear", "bump", stood, 0.065), damper_travel("rear", "bump"), 0.065),
        "rubbers": (rubber_gap(work, "front", stood), rubber_share("front"), 0.4),
        "spacers": (raised_tie_rods(work, "front", "outer", stood), bump_steer("front"), 0.1),
        "helpers": (helper_travel(work, "rear", stood, 0.05), compressed_hanging("rear"), 0.05),
    }


@pytest.mark.sweep
@pytest.mark.parametrize("name", cases())
def test_no_part_is_nearer(name):
    part, read, wanted = cases()[name]
    wish = PartWish(name, Kind.RATIO, wanted, read, ("", ""))
    fits = nearest(wish, part, shelf(), None)
    every = [read(stand(one.fitted())) for one in part.on_shelf(shelf(), None)]
    less, more = [one for one in every if one <= wanted], [one for one in every if one > wanted]

    assert len(every) > 1
    assert [fit.value for fit in fits] == [*([max(less)] if less else []), *([min(more)] if more else [])]
    assert [read(fit.stood) for fit in fits] == [fit.value for fit in fits]


def fits_of(name):
    part, read, wanted = cases()[name]
    return read, nearest(PartWish(name, Kind.RATIO, wanted, read, ("", "")), part, shelf(), None)


def mm(quantity):
    return quantity.value * 1e3


def test_coils_of_the_shelf_in_the_file_read_anew_have_that_frequency():
    read, fits = fits_of("coils")
    for fit in fits:
        part = shelf().part(fit.tried.code)
        if part.rate is None:
            continue
        anew = read_anew(CAR, rear__spring__rate=part.rate.value / 1e3)

        assert read(anew) == pytest.approx(fit.value, rel=1e-9)
        assert fit.tried.number == pytest.approx(part.rate.value)
    assert any(isinstance(shelf().part(fit.tried.code), CoilPart) for fit in fits)


def test_inner_bars_of_the_shelf_in_the_file_read_anew_have_that_share():
    read, fits = fits_of("inner bars")
    for fit in fits:
        part = shelf().part(fit.tried.code)
        sizes = {
            "rear__inner_bar__diameter": mm(part.diameter),
            "rear__inner_bar__active_length": mm(part.active_length),
        }
        if part.inner_diameter is not None:
            sizes["rear__inner_bar__inner_diameter"] = mm(part.inner_diameter)

        assert isinstance(part, InnerBarPart)
        assert read(read_anew(CAR, **sizes)) == pytest.approx(fit.value, rel=1e-8)


def test_dampers_and_bars_of_the_shelf_in_the_file_read_anew():
    read, fits = fits_of("dampers")
    for fit in fits:
        anew = read_anew(CAR, rear__damper__closed_length=mm(shelf().part(fit.tried.code).closed_length))
        assert read(anew) == pytest.approx(fit.value, abs=1e-8)
    read, fits = fits_of("torsion bars")
    for fit in fits:
        part = shelf().part(fit.tried.code)
        sizes = {f"front__torsion_bar__{key}": mm(getattr(part, key)) for key in ("diameter", "active_length")}
        if part.shear_modulus is not None or part.inner_diameter is not None or part.steel is not None:
            continue
        assert read(read_anew(CAR, **sizes)) == pytest.approx(fit.value, rel=1e-9)


def test_a_rod_is_set_to_what_was_found_or_as_near_as_it_goes():
    part, read = longer_rod(work_of(CAR), "rear"), axle_shift("rear")
    answer = found(part, read, 0.002)
    tried = {one.code: one.number for one in part.on_shelf(shelf(), answer.value)}
    beyond = {one.code: one.number for one in part.on_shelf(shelf(), 0.9)}

    assert tried["PR-845"] == pytest.approx(answer.value)
    assert beyond["PR-845"] == pytest.approx(0.865)


def test_springs_that_are_in_the_car_take_spacers_alone_and_the_other_axle_has_its_own():
    tried = {one.code: one.number for one in raised_springs(work_of(CAR), "rear").on_shelf(shelf(), None)}

    assert tried == {"SP-10": 0.010, "SP-20": 0.020, "SP-T6": -0.006}  # no block for leaves
    assert not list(raised_springs(work_of(CAR), "front").on_shelf(shelf(), None))  # it has torsion bars
    only_front = Shelf(tuple(replace_place(part) for part in shelf().parts))
    assert not list(stiffer_springs(work_of(CAR), "rear", today(CAR)).on_shelf(only_front, None))


def replace_place(part):
    return part.model_copy(update={"place": "front"})


def test_a_part_with_which_the_car_does_not_stand_is_left_out():
    part, read, wanted = cases()["inner bars"]
    broken = replace(
        part,
        on_shelf=lambda all_parts, value: [replace(one, fitted=nowhere) for one in part.on_shelf(all_parts, value)],
    )

    assert not nearest(PartWish("share", Kind.SHARE, wanted, read, ("", "")), broken, shelf(), None)


def nowhere():
    raise Impossible("The car does not come to rest with these parts.")

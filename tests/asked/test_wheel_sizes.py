"""Sizes of tyres and rims in sentences come back as they were written, and nothing else is taken for one."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jounce.asked.amounts import AmountUnit, told_in
from jounce.asked.other_wheels import other_wheel
from jounce.car.file.reading import read_car
from jounce.conventions.errors import InputError
from jounce.conventions.units import INCH, MM
from jounce.elements.tyres.size import TyreSize
from tests.asked.demo import DEMO

WIDTHS = st.integers(13, 24).map(lambda tens: 10 * tens + 5)
ASPECTS = st.integers(6, 17).map(lambda k: 5 * k)
RIMS = st.integers(10, 20)
TYRES = [
    "{w}/{a} R{r}",
    "{w}/{a}R{r}",
    "{w} / {a} r {r}",
    "{w}/{a}-{r}",
    "{w}-{a}-{r}",
    "{w} {a} R{r}",
    "{w}/{a} ZR{r} 82V",
]
ROUND = [
    "will it rub on {}",
    "40 mm lower and {} tyres",
    "passt {} und 40 tiefer",
    "{}",
    "GEHT {} MIT 40 TIEFER?",
    "{}?",
]
WHERE = {"at the rear": ("rear",), "front": ("front",), "hinten": ("rear",), "vorn": ("front",), "": ("front", "rear")}


@given(
    width=WIDTHS,
    aspect=ASPECTS,
    rim=RIMS,
    mark=st.sampled_from(TYRES),
    around=st.sampled_from(ROUND),
    big=st.booleans(),
)
def test_a_tyre_comes_back_however_it_is_written(width, aspect, rim, mark, around, big):
    text = around.format(mark.format(w=width, a=aspect, r=rim))
    found = told_in(text.upper() if big else text)
    assert {(one.width, one.aspect, one.rim) for one in found.sizes.values()} == {(width, aspect, rim)}
    assert set(found.sizes) == {"front", "rear"}
    assert (found.lower or {}).get("front") == pytest.approx(0.040 if "40 " in around else None)
    assert (found.bar, found.offset, found.spacer) == (None, None, None)


@given(
    width=st.integers(8, 19).map(lambda k: k / 2),
    rim=RIMS,
    offset=st.integers(0, 60),
    mark=st.sampled_from(
        [
            "{w}x{r} ET{o}",
            "{w} x {r} et {o}",
            "{w}J x {r} ET {o}",
            "{w}Jx{r} ET{o}",
            "{r}x{w} ET{o}",
            "{w} by {r}, ET{o}",
        ]
    ),
)
def test_a_rim_and_its_offset_come_back_however_they_are_written(width, rim, offset, mark):
    for text in (
        mark.format(w=f"{width:g}", r=rim, o=offset),
        mark.format(w=f"{width:g}".replace(".", ","), r=rim, o=offset),
    ):
        found = told_in(text)
        (one,) = set(found.sizes.values())
        assert (one.width, one.rim, one.rim_width) == (0, rim, pytest.approx(width * INCH))
        assert found.offset == pytest.approx(offset * MM)


@given(rim=st.integers(12, 18), where=st.sampled_from(sorted(WHERE)))
def test_a_rim_alone_and_its_axle(rim, where):
    for text in (
        f"50 lower on {rim}s {where}",
        f"50 tiefer auf {rim}-Zoll {where}",
        f"{rim} inch wheels {where}",
        f"auf {rim}er Felgen {where}",
    ):
        found = told_in(text)
        assert {axle: one.rim for axle, one in found.sizes.items()} == dict.fromkeys(WHERE[where], rim)
        assert found.of(AmountUnit.WHEEL) == (rim,)


@pytest.mark.parametrize(
    ("text", "front", "rear"),
    [
        ("fifty lower on fourteens", 14, 14),
        ("auf fünfzehner Felgen", 15, 15),
        ("front 195/50 R15, rear 205/45 R16", 15, 16),
        ("from 165/70 R13 to 195/50 R15", 15, 15),
        ("von 13 auf 15 Zoll", 15, 15),
        ("15s instead of 13 inch", 15, 15),
        ("fifty lower at the front on fourteens", 14, 14),
        ("vorn 7x15 hinten 8x16", 15, 16),
        ("195/50 on 15 inch rims", 15, 15),
        ("24 mm bars on fourteens", 14, 14),
        ("will fifteens fit", 15, 15),
        ("passen Vierzehner drunter", 14, 14),
    ],
)
def test_which_wheel_is_the_new_one_and_where(text, front, rear):
    sizes = told_in(text).sizes
    assert (sizes["front"].rim, sizes["rear"].rim) == (front, rear)


@pytest.mark.parametrize(
    "text",
    [
        "40/30 lower", "front 40 mm lower, rear an inch and 22s", "22 mm torsion bars", "mit 20 tiefer",
        "lower it to 15 mm",         "20 mm spacers", "2 x 15 mm spacers", "5x100", "a 4x4", "springs of 20 N/mm",
        "12 inch springs", "four people",
        "put 20 kg in the boot", "mit 22er Stäben", "one turn of 14", "18er Stäbe vorn", "16s bars",
        "0.8 g", "drop it 12 inch lower", "-125",
    ],
)  # fmt: skip
def test_what_is_no_wheel_is_none(text):
    assert told_in(text).sizes == {}


def test_a_bar_beside_a_rim_is_the_bar():
    assert told_in("24 mm bars on fourteens").bar == pytest.approx(0.024)


@pytest.fixture(scope="module")
def wheel():
    return read_car(DEMO / "brisk-14.toml").front.left.wheel


def one_of(text):
    return told_in(text).sizes["front"]


@given(width=WIDTHS, aspect=ASPECTS, rim=RIMS)
def test_the_loaded_radius_goes_with_half_the_diameters(wheel, width, aspect, rim):
    other = other_wheel(wheel, one_of(f"{width}/{aspect} R{rim}"), None, "front")
    larger = (TyreSize(width, aspect, rim).outside - TyreSize(165, 70, 13).outside) / 2
    assert float(other.change.loaded_radius) - float(wheel.loaded_radius) == pytest.approx(larger, abs=1e-12)
    assert other.change.loaded_radius.plus_minus > 0
    assert float(other.change.rim_diameter) == pytest.approx(rim * INCH)


def test_a_rim_alone_leaves_the_outside_and_says_so(wheel):
    other = other_wheel(wheel, one_of("on fourteens"), None, "front")
    assert (other.change.loaded_radius, other.change.tyre) == (None, None)
    assert other.outside == TyreSize(165, 70, 13).outside
    assert "165/65 R14" in other.assumed[0]  # 570 mm, against 562 today and 554 of the 60 series


def test_what_looks_like_a_size_and_is_none_is_refused(wheel):
    with pytest.raises(InputError, match="no such tyre size"):
        other_wheel(wheel, one_of("195/500 R15"), None, "front")


def test_without_todays_size_nothing_is_told(wheel):
    with pytest.raises(InputError, match=r"front\.wheel\.tyre"):
        other_wheel(wheel.model_copy(update={"tyre": ""}), one_of("195/50 R15"), None, "front")

"""Barton & Fieldhouse, Automotive Chassis Engineering, Springer 2018, doi 10.1007/978-3-319-72437-9, chapter 3."""

from __future__ import annotations

import numpy as np
import pytest

from jounce.conventions.units import MM, N_PER_MM
from jounce.elements.bars.materials import SPRING_STEELS
from jounce.elements.springs.coil import active_turns
from jounce.elements.springs.progressive import ConstantFrequency
from jounce.questions.coil import CoilAsked
from tests.published import Published
from tests.reference.quarter_car import undamped_modes

SOURCE = "barton-fieldhouse"
FRONT_TURNS = Published(quantity="active turns, front spring", source=SOURCE, where="ch. 3, p. 213", printed="7.73")
REAR_TURNS = Published(quantity="active turns, rear spring", source=SOURCE, where="ch. 3, p. 213", printed="6.10")

RISING = {
    place: Published(
        quantity=f"load of a rising-rate spring {place} mm from a static 3000 N",
        source=SOURCE,
        where="ch. 3, p. 177, Eq. 3.28",
        printed=printed,
        status="F",
    )
    for place, printed in ((-50, "2149.5939"), (50, "4186.8373"), (100, "5843.2021"))
}

QUARTER_CAR = "ch. 3, p. 209"
ROUNDED = "the book goes on with rounded coefficients of the characteristic equation"
BODY = Published(
    quantity="body mode of a quarter car",
    source=SOURCE,
    where=QUARTER_CAR,
    printed="7.87",
    rel=0.0015,
    tolerance_note=ROUNDED,
)
HOP = Published(
    quantity="wheel-hop mode of a quarter car",
    source=SOURCE,
    where=QUARTER_CAR,
    printed="68.73",
    rel=0.0015,
    tolerance_note=ROUNDED,
)
BODY_HZ = Published(
    quantity="body mode of a quarter car", source=SOURCE, where=QUARTER_CAR, printed="1.25", unit=2 * np.pi
)
HOP_HZ = Published(
    quantity="wheel-hop mode of a quarter car", source=SOURCE, where=QUARTER_CAR, printed="10.9", unit=2 * np.pi
)
SHAPE = Published(
    quantity="wheel per body in the body mode", source=SOURCE, where=QUARTER_CAR, printed="0.104"
)  # fmt: skip


@pytest.mark.parametrize(
    ("rate", "coil", "printed", "exact"), [(19.3, 120, FRONT_TURNS, 7.73209), (42.3, 100, REAR_TURNS, 6.09618)]
)
def test_turns_of_car_springs(rate: float, coil: float, printed: Published, exact: float):
    turns = active_turns(79.3e9, 12.7 * MM, coil * MM, rate * N_PER_MM)

    assert turns == printed.match()
    assert turns == pytest.approx(exact, abs=5e-6)


@pytest.mark.parametrize("place", RISING)
def test_rising_rate_spring(place: int):
    """The spring begins to rise at 1000 N, long before the static load of 3000 N; ds = 150 mm."""
    spring = ConstantFrequency(rate=1000.0 / 0.150, length=0.150)
    static = spring.displacement_at(np.array(3000.0))

    assert spring.force(static + place * MM) == RISING[place].match()
    assert spring.stiffness(static) == pytest.approx(3000.0 / 0.150, rel=1e-13)


def test_wheel_rate_by_the_square_of_the_lever_ratio():
    """Eq. 3.33, p. 179: kw = ks (c/b)^2."""
    spring = CoilAsked(steel=SPRING_STEELS["hot-formed, EN 10089"], rate=25e3, motion_ratio=0.3 / 0.4)

    assert spring.wheel_rate == pytest.approx(25e3 * 0.3**2 / 0.4**2, rel=1e-14)


def test_quarter_car():
    modes = undamped_modes(317.5, 45.4, 22e3, 192e3)
    body, hop = modes.angular_frequency

    assert (body, hop) == (BODY.match(), HOP.match())
    assert (body, hop) == (BODY_HZ.match(), HOP_HZ.match())
    assert modes.wheel_per_body[0] == SHAPE.match()


def test_quarter_car_in_full_digits():
    modes = undamped_modes(317.5, 45.4, 22e3, 192e3)

    assert modes.angular_frequency == pytest.approx([7.878634, 68.708623], abs=5e-7)
    assert modes.frequency == pytest.approx([1.253924, 10.935317], abs=5e-7)
    assert modes.wheel_per_body[0] == pytest.approx(0.1041756, abs=5e-8)
    assert modes.wheel_per_body[1] == pytest.approx(-67.13081, abs=5e-6)

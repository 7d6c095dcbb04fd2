"""Play, blade and section of an anti-roll bar: laws against their derivatives, formulas against a plainer way."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from jounce.conventions.errors import InputError
from jounce.elements.bars.blade import Blade
from jounce.elements.bars.centre_line import rounded
from jounce.elements.bars.round_section import RoundSection
from jounce.elements.free_play import FreePlay

MM = 1e-3


@given(st.floats(10, 5e4), st.floats(0, 0.05), st.floats(-0.3, 0.3))
def test_play_force_and_stiffness_are_the_derivatives_of_its_energy(rate, gap, x):
    law, step = FreePlay(rate, gap), 1e-5
    if min(abs(x - gap), abs(x + gap)) < 2 * step:
        return
    high, low = np.array(x + step), np.array(x - step)

    slope = (law.energy(high) - law.energy(low)) / (2 * step)
    assert law.force(np.array(x)) == pytest.approx(slope, rel=1e-6, abs=1e-9 * rate)
    rise = (law.force(high) - law.force(low)) / (2 * step)
    assert law.stiffness(np.array(x)) == pytest.approx(rise, rel=1e-6, abs=1e-9 * rate)


def test_play_is_without_force_inside_and_the_bar_beyond():
    law = FreePlay(1000.0, 0.01)
    inside, beyond = np.array([-0.0099, 0.0, 0.0099]), np.array([-0.03, 0.03])

    assert law.force(inside).tolist() == [0, 0, 0]
    assert law.stiffness(inside).tolist() == [0, 0, 0]
    assert law.force(beyond) == pytest.approx([-20, 20])
    assert law.energy(beyond) == pytest.approx([0.2, 0.2])


def test_play_carries_a_perturbation_of_its_own_numbers():
    """The derivative of the force by the gap is minus the rate above it, plus the rate below."""
    law = FreePlay(1000.0, np.array([0.01 + 1e-30j]))

    assert np.imag(law.force(np.array([0.03]))) / 1e-30 == pytest.approx([-1000])
    assert np.imag(law.force(np.array([-0.03]))) / 1e-30 == pytest.approx([1000])


@pytest.mark.parametrize("bad", [FreePlay, lambda rate, gap: FreePlay(-rate, -gap)])
def test_play_below_zero_is_refused(bad):
    with pytest.raises(InputError):
        bad(1000.0, -0.01) if bad is FreePlay else bad(1000.0, 0.01)


def test_blade_flat_and_on_edge_is_a_cantilever():
    length, width, thickness, young = 0.15, 0.025, 0.006, 206e9
    flat, edge = (Blade(length, width, thickness, a * np.pi / 180).tip_compliance for a in (0.0, 90.0))

    assert flat == pytest.approx(length**3 / (3 * young * width * thickness**3 / 12), rel=1e-12)
    assert edge == pytest.approx(length**3 / (3 * young * thickness * width**3 / 12), rel=1e-12)


@given(st.floats(0, np.pi / 2))
def test_blade_between_is_its_strain_energy(angle):
    """Force parts along both main axes, energy ``F² L³ / (6 E I)`` of each; twice that per force squared is the give."""
    length, width, thickness, young, force = 0.15, 0.025, 0.006, 206e9, 400.0
    energy = sum(
        (force * part) ** 2 * length**3 / (6 * young * second)
        for part, second in (
            (np.cos(angle), width * thickness**3 / 12),
            (np.sin(angle), thickness * width**3 / 12),
        )
    )

    assert Blade(length, width, thickness, angle).tip_compliance == pytest.approx(2 * energy / force**2, rel=1e-12)


def test_stress_of_a_blade_is_that_of_its_corner():
    blade, force = Blade(0.15, 0.025, 0.006, 0.6), 400.0
    flat, edge = (float(second) for second in blade.second_moments)
    across, along = 0.006 / 2, 0.025 / 2
    corner = force * 0.15 * (np.cos(0.6) * across / flat + np.sin(0.6) * along / edge)

    assert blade.peak_stress(force) == pytest.approx(corner, rel=1e-12)


def test_tube_of_common_practice():
    """A tube of 25 x 3 mm is a solid bar of 22.6 mm at 52 % of the mass, whole per cents."""
    tube = RoundSection(25 * MM, 19 * MM)
    solid = RoundSection(tube.solid_equivalent)

    assert tube.solid_equivalent == pytest.approx(22.6 * MM, abs=0.05 * MM)
    assert tube.mass(1.0) / solid.mass(1.0) == pytest.approx(0.52, abs=0.005)
    assert solid.equal_tube_bore(25 * MM) == pytest.approx(19 * MM, rel=1e-12)
    assert np.isnan(solid.equal_tube_bore(20 * MM))


@pytest.mark.parametrize(
    ("thin", "thick", "printed"), [(16, 19, 0.99), (18, 22, 1.23), (20, 24, 1.07), (15, 19, 1.574)]
)
def test_rate_goes_with_the_fourth_power_of_the_diameter(thin, thick, printed):
    ratio = RoundSection(thick * MM).second_moment / RoundSection(thin * MM).second_moment

    assert ratio - 1 == pytest.approx(printed, abs=0.005)


def test_shear_coefficient_of_solid_and_thin_tube():
    """Cowper's two limits: ``6 (1 + nu) / (7 + 6 nu)`` solid, ``2 (1 + nu) / (4 + 3 nu)`` thin."""
    assert RoundSection(0.02).shear_coefficient == pytest.approx(6 * 1.3 / 8.8, rel=1e-12)
    assert RoundSection(0.02, 0.02 - 1e-9).shear_coefficient == pytest.approx(2 * 1.3 / 4.9, rel=1e-6)


A, B, C = (np.array(p) * MM for p in [(250, 540, 0), (0, 460, 0), (0, 0, 0)])


@pytest.mark.parametrize(
    ("points", "radii", "words"),
    [
        ([A, A, C], [0.0], "Points 1 and 2 of the centre line are the same"),
        ([A, B, C], [0.900], "bends at points 1 and 2 of the centre line do not fit"),
        ([A, B, A + (B - A) * 0.1 + np.array([0, 0.001, 0])], [0.01], "doubles back"),
    ],
)
def test_line_that_cannot_be_bent_is_refused(points, radii, words):
    with pytest.raises(InputError, match=words):
        rounded(points, radii)

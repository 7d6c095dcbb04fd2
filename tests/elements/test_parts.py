"""Parts as they are used: variants of one part along an axis, limits, the signs of what they push."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.testing import assert_allclose

from jounce.elements.bars.anti_roll_bar import StraightArmBar
from jounce.elements.bars.materials import SPRING_STEELS
from jounce.elements.bars.torsion_bar import TorsionBar, effective_length
from jounce.elements.dampers.force_velocity import ForceVelocity
from jounce.elements.law import Linear, OneSided, Parallel
from jounce.elements.springs.coil import Ends, helical_rate, rate_from_wire, solid_length
from jounce.elements.springs.coil_spring import CoilSpring
from jounce.elements.springs.coil_stack import Stack
from jounce.elements.stops.bump_stop import BumpStop, polynomial_stop
from jounce.elements.tyres.tyre import Tyre


def test_laws_take_one_value_per_state():
    law = OneSided(rate=np.array([1e4, 2e4]), start=np.array([0.0, 0.01]))

    assert_allclose(law.force(np.array([0.02, 0.02])), [200.0, 200.0])
    assert_allclose(law.energy(np.array([0.02, 0.02])), [2.0, 1.0])
    assert_allclose(Parallel((law, Linear(1e3, preload=5.0))).force(np.array([0.02, 0.0])), [225.0, 5.0])


def test_variants_of_a_bar_are_single_bars():
    diameters, bores = np.array([0.020, 0.0215, 0.024]), np.array([0.0, 0.005, 0.010])
    together = TorsionBar(diameters, 1.05, 78.5e9, inner_diameter=bores)
    alone = [TorsionBar(d, 1.05, 78.5e9, inner_diameter=b) for d, b in zip(diameters, bores, strict=True)]

    assert_allclose(together.rate, [bar.rate for bar in alone], rtol=1e-15)
    assert_allclose(together.mass(7850.0), [bar.mass(7850.0) for bar in alone], rtol=1e-15)
    assert_allclose(together.shear_stress(500.0), [bar.shear_stress(500.0) for bar in alone], rtol=1e-15)


def test_variants_of_a_roll_bar_are_single_bars():
    diameters = np.array([0.018, 0.020, 0.022])
    together = StraightArmBar(diameters, 0.25, 0.08, 0.06, 0.4)
    alone = [StraightArmBar(d, 0.25, 0.08, 0.06, 0.4) for d in diameters]

    assert_allclose(together.twist_rate, [bar.twist_rate for bar in alone], rtol=1e-15)
    assert_allclose(together.peak_von_mises_stress(800.0), [b.peak_von_mises_stress(800.0) for b in alone], rtol=1e-15)


def test_effective_length_of_several_fillets():
    lengths = effective_length(1.05, 0.0215, 0.0275, np.array([0.02, 0.04]), 0.6)

    assert lengths.shape == (2,)
    assert lengths[1] < lengths[0] < 1.05  # the longer fillet takes more away


def test_a_coil_is_loose_beyond_its_free_length_and_says_when_it_is_solid():
    spring = CoilSpring(rate=20e3, free_length=0.300, solid_length=0.120)
    lengths = np.array([0.320, 0.300, 0.200, 0.120, 0.110])

    assert_allclose(spring.force_at_length(lengths), [0, 0, 2000, 3600, 3800])
    assert_allclose(spring.compression(lengths[:1]), -0.020)
    assert spring.is_solid(lengths).tolist() == [False, False, False, True, True]
    assert not CoilSpring(20e3, 0.300).is_solid(np.array(0.001))


def test_a_helper_goes_solid_and_leaves_the_main_spring():
    main = CoilSpring(rate=30e3, free_length=0.200, solid_length=0.090)
    helper = CoilSpring(rate=5e3, free_length=0.080, solid_length=0.020)
    stack = Stack((main, helper))
    step = 0.060 + 300 / 30e3  # the helper gives 60 mm under 300 N, the main spring 10 mm

    assert stack.free_length == pytest.approx(0.280)
    assert_allclose(stack.law.stiffness(np.array([-0.01, 0.9 * step, 1.1 * step])), [0, 30e3 / 7, 30e3], rtol=1e-12)
    assert_allclose(stack.force_at_length(0.280 - np.array([-0.01, step, step + 0.02])), [0, 300, 900], atol=1e-9)
    assert_allclose(stack.compressions(np.array([150.0, 900.0])), [[0.005, 0.03], [0.03, 0.06]])
    assert stack.solid(np.array([150.0, 900.0])).tolist() == [[False, False], [False, True]]


def test_variants_of_a_stack_may_go_solid_in_another_order():
    rates = np.array([5e3, 50e3])  # soft or hard beside the 20 N/mm spring
    first = CoilSpring(rates, free_length=0.1, solid_length=0.05)
    second = CoilSpring(20e3, free_length=0.2, solid_length=0.1)
    together = Stack((first, second)).law
    compression = np.array([0.07, 0.12])
    alone = [Stack((CoilSpring(rate, 0.1, 0.05), second)).law for rate in rates]

    for x in compression:
        assert_allclose(together.force(np.full(2, x)), [law.force(np.array(x)) for law in alone], rtol=1e-12)


def test_order_of_a_stack_does_not_matter():
    springs = (CoilSpring(30e3, 0.2), CoilSpring(5e3, 0.08, 0.02), CoilSpring(9e3, 0.1, 0.03))
    x = np.linspace(-0.02, 0.25, 40)

    assert_allclose(Stack(springs).law.force(x), Stack(springs[::-1]).law.force(x), rtol=1e-12, atol=1e-9)


def test_rate_from_wire_takes_one_wire_off_the_outside_diameter():
    """From wire centre to wire centre: 112 mm outside, 12 mm wire, 100 mm mean."""
    assert_allclose(rate_from_wire(81.5e9, 0.012, 0.112, 9.5, 1.5), helical_rate(81.5e9, 0.012, 0.100, 8.0), rtol=1e-14)


def test_rate_from_wire_leaves_the_dead_turns_out():
    by_calliper = rate_from_wire(81.5e9, 0.012, 0.112, 9.5, np.array([1.5, 2.0]))

    assert_allclose(by_calliper[1] / by_calliper[0], 8.0 / 7.5)


@pytest.mark.parametrize(
    ("ends", "turns"), [(Ends.CLOSED_GROUND, 8.0), (Ends.CLOSED, 9.0), (Ends.HOT_FORMED_GROUND, 7.7)]
)
def test_solid_length_by_form_of_ends(ends: Ends, turns: float):
    assert solid_length(8, 0.012, ends) == pytest.approx(turns * 0.012)


def test_a_table_that_begins_after_touch_begins_at_touch():
    with_row = BumpStop(np.array([0.0, 0.01, 0.02]), np.array([0.0, 100.0, 400.0]))
    without = BumpStop(np.array([0.01, 0.02]), np.array([100.0, 400.0]))
    x = np.linspace(-0.01, 0.03, 30)

    assert_allclose(without.force(x), with_row.force(x), rtol=1e-15)
    assert without.reach == with_row.reach == 0.02


def test_a_stop_of_one_straight_row_is_a_one_sided_spring():
    stop, spring = BumpStop(np.array([0.0, 0.02]), np.array([0.0, 500.0])), OneSided(25e3)
    x = np.linspace(-0.01, 0.05, 31)

    for function in ("energy", "force", "stiffness"):
        assert_allclose(getattr(stop, function)(x), getattr(spring, function)(x), rtol=1e-12, atol=1e-12)


def test_polynomial_stop_by_hand():
    stop = polynomial_stop([1e4, 0.0, 4e7], reach=0.02)
    x = np.array([-0.01, 0.01, 0.02, 0.03])

    assert_allclose(stop.force(x), [0, 140, 520, 520 + 0.01 * 58e3])
    assert_allclose(stop.stiffness(x), [0, 22e3, 58e3, 58e3])
    assert_allclose(stop.energy(x), [0, 0.6, 3.6, 3.6 + 5.2 + 2.9])


@pytest.mark.parametrize("least", [1e-308, 1e-30, -1e-30, 0.0])
def test_a_vanishing_coefficient_of_a_stop_changes_nothing(least: float):
    """Found by chance: so small a leading term once overflowed in the search for the smallest slope."""
    plain, same = (polynomial_stop(list(c), reach=0.02) for c in ((0.0, 1e5), (0.0, 1e5, least)))
    x = np.array([0.01, 0.02, 0.03])

    assert_allclose(same.force(x), plain.force(x), rtol=1e-14)


def test_damper_curve_signs_and_straight_lines():
    curve = ForceVelocity(np.array([0.0, 0.1, 0.3]), np.array([0.0, 150.0, 350.0]), np.array([0.0, 300.0, 900.0]))
    speed = np.array([-0.5, -0.2, -0.05, 0.0, 0.05, 0.2, 0.5])

    assert_allclose(curve.force(speed), [-1500, -600, -150, 0, 75, 250, 550])
    assert_allclose(curve.damping(speed), [3000, 3000, 3000, 2250, 1500, 1000, 1000])


def test_a_tyre_carries_its_load_where_it_stands_and_lifts_off():
    tyre = Tyre(180e3)
    law = tyre.law_about(2700.0)

    assert_allclose(law.force(np.array([0.0, 0.01, -0.015, -0.05])), [2700, 4500, 0, 0], atol=1e-9)
    assert_allclose(tyre.law.force(np.array([tyre.deflection(2700.0), -0.1])), [2700, 0])


def test_every_number_of_the_material_table_has_a_source():
    fields = ("shear_modulus", "youngs_modulus", "density", "shear_limit", "shear_limit_preset")
    for steel in SPRING_STEELS.values():
        for number in (getattr(steel, name) for name in fields):
            assert number is None or (number.value > 0 and number.source)


def test_moduli_of_the_material_table_fit_together():
    """``nu = E / (2 G) - 1`` of steel lies between 0.26 and 0.32."""
    for steel in SPRING_STEELS.values():
        if steel.youngs_modulus is not None:
            assert 0.26 <= steel.youngs_modulus.value / (2 * steel.shear_modulus.value) - 1 <= 0.32

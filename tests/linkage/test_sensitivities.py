"""Imaginary parts of pivots and drives come through placing as derivatives."""

from __future__ import annotations

import numpy as np
import pytest

from jounce.behaviour.axle.motions import AxleStates, place_axle, wheel_motions
from jounce.linkage.place import place
from tests.demo_axles import STRUT
from tests.linkage.linkages import slider_crank, strut_with_variants

TINY = 1e-30
MEASURES = tuple(
    f"front.{side}.{thing}"
    for side in ("left", "right")
    for thing in ("camber", "toe", "caster", "contact_y", "road_height", "damper", "torsion_bar", "roll_bar_angle")
)
STATE = AxleStates(left=0.05, right=-0.03, rack=0.015)


def values(stand):
    placed = place_axle(stand, "front", STATE)

    assert placed.reached.all()
    return stand.taken(MEASURES).values(placed.pose), placed


def moved(pivot, axis, steps):
    """Places of a pivot [mm] moved along an axis by steps [mm]."""
    places = np.repeat(np.array([STRUT[pivot]], dtype=np.result_type(steps)), len(steps), axis=0)
    places[:, axis] += steps
    return places


@pytest.mark.parametrize("pivot", ["ball_joint", "strut_top", "tie_rod_inner", "arm_front", "wheel_centre"])
@pytest.mark.parametrize("axis", [0, 1, 2])
def test_design_sensitivities_are_differences_of_real_linkages(pivot, axis):
    """Beside differences of eighth order of eight real solutions."""
    step = 2.0  # [mm]
    weights = np.array([1 / 280, -4 / 105, 1 / 5, -4 / 5, 4 / 5, -1 / 5, 4 / 105, -1 / 280]) / step
    real, _ = values(strut_with_variants(pivot, moved(pivot, axis, step * np.array([-4, -3, -2, -1, 1, 2, 3, 4]))))
    exact, _ = values(strut_with_variants(pivot, moved(pivot, axis, np.array([1j * TINY]))))

    assert exact.imag[0] / TINY == pytest.approx(weights @ real, rel=1e-8, abs=1e-12)


def test_the_real_part_is_left_as_it_was():
    plain, _ = values(strut_with_variants("ball_joint", moved("ball_joint", 0, np.zeros(1))))
    exact, _ = values(strut_with_variants("ball_joint", moved("ball_joint", 0, np.array([1j * TINY]))))

    assert exact.real == pytest.approx(plain, abs=1e-13)


def test_one_variant_for_each_pivot_gives_all_sensitivities_at_once():
    steps = np.array([1j * TINY, 2j * TINY, 0.0])
    exact, _ = values(strut_with_variants("tie_rod_inner", moved("tie_rod_inner", 2, steps)))

    assert exact.imag[1] == pytest.approx(2 * exact.imag[0], rel=1e-12)
    assert np.abs(exact.imag[0]).max() > 0.1 * TINY * 1e-3
    assert np.all(exact.imag[2] == 0)


def test_rates_carry_sensitivities_too():
    step = 1.0
    weights = np.array([1 / 280, -4 / 105, 1 / 5, -4 / 5, 4 / 5, -1 / 5, 4 / 105, -1 / 280]) / step

    def rates(steps):
        stand = strut_with_variants("ball_joint", moved("ball_joint", 2, steps))
        motions = values(stand)[1].motions([{"front.left.travel": 1.0}, {"front.right.travel": 1.0}])
        measured = stand.taken(MEASURES)
        return motions.first(measured)[1], motions.second(measured)

    real = rates(step * np.array([-4, -3, -2, -1, 1, 2, 3, 4]))
    exact = rates(np.array([1j * TINY]))
    for one, other in zip(exact, real, strict=True):
        expected = np.tensordot(weights, other, axes=1)

        assert one.imag[0] / TINY == pytest.approx(expected, rel=1e-7, abs=1e-10)


def test_an_imaginary_part_of_a_drive_is_a_velocity():
    mechanism, _ = slider_crank()
    turn = np.linspace(0.0, 0.5, 5)
    exact = place(mechanism, {"crank": turn + 1j * TINY})
    motion = place(mechanism, {"crank": turn}).motion({"crank": 1.0})

    assert exact.pose.coordinate.imag / TINY == pytest.approx(motion.velocity, rel=1e-13)


def test_motions_on_the_demo_axle_agree_with_velocities_by_imaginary_travel():
    stand = strut_with_variants("ball_joint", moved("ball_joint", 0, np.zeros(1)))
    left = np.array([0.03 + 1j * TINY])
    measured = stand.taken(MEASURES)
    exact = measured.values(place_axle(stand, "front", AxleStates(left=left, right=0.01)).pose)
    placed = place_axle(stand, "front", AxleStates(left=0.03, right=0.01))
    first = wheel_motions(placed, "front").left.rates(measured.linearised(placed.pose))[0]

    assert exact.imag / TINY == pytest.approx(first, rel=1e-12, abs=1e-14)

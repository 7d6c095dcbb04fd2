"""Barton and Fieldhouse, Automotive Chassis Engineering, ch. 3, p. 197, eqs 3.63 to 3.69: squat with a side-view pivot.

The formulas are published, the numbers were computed again from them. The pivot is that of trailing arms in this
program's own layouts, ``d`` ahead of the wheel and ``e`` above the ground; the torque is reacted by the arm, as in a
live axle, so that the force acts at the contact point.
"""

from __future__ import annotations

import numpy as np
import pytest

from jounce.behaviour.axle.motions import AxleStates
from jounce.behaviour.axle.travel import column_map, states_table
from jounce.layouts.catalogue import LAYOUTS
from tests.demo_axles import LAYOUT_PIVOTS, both, layout_axle, layout_given, wheels
from tests.reference.anti_features import anti_percent, deflecting_force

MASS, ACCELERATION, HEIGHT, WHEELBASE = 1000.0, 3.0, 0.5, 2.5
FRONT_RATE, REAR_RATE = 20e3, 22e3
AHEAD = 400
"""``d`` [mm]."""


def rear_axle(layout_name, height):
    """Columns as found of a rear axle whose arms turn about a line across the car, ``height`` [mm] above the ground."""
    layout = LAYOUTS[layout_name]
    at, pivot = (-2380, 690, 270), (-2380 + AHEAD, height)
    points = {**LAYOUT_PIVOTS[layout_name], "wheel_centre": at}
    if layout_name == "trailing-arm":
        points |= {name: (pivot[0], y, pivot[1]) for name, y in (("arm_inner", 350), ("arm_outer", 620))}
    else:
        points |= {"arm_bush": (pivot[0], 520, pivot[1]), "tube_end": (-2380, 600, 270)}
    given = layout_given(layout, pivots=both(points))
    level = wheels(camber=0.0, toe=0.0, loaded_radius=0.27)
    linkage, stand = layout_axle(layout, given, axle="rear", wheels=level, bush_axis={}, anti_roll_bars={})
    return column_map(states_table(stand, linkage, AxleStates(), (1.0, 1.0)))


@pytest.mark.parametrize("layout_name", ["trailing-arm", "beam-panhard"])
@pytest.mark.parametrize(
    ("slope", "rear", "pitch"),
    [(0.25, -6.81818e-3, np.radians(0.531288)), (0.42, -30e-3, 0.0)],
    ids=["e/d = 0.25", "no pitch at e/d = (h/l)(1 + kr/kf)"],
)
def test_squat_of_arms_that_turn_about_a_side_view_pivot(layout_name, slope, rear, pitch):
    columns = rear_axle(layout_name, slope * AHEAD)
    force = MASS * ACCELERATION
    for side in ("left", "right"):
        angle = columns[f"{side}_brake_support_angle"][0]
        carried = anti_percent(angle, 1.0, HEIGHT, WHEELBASE)
        rear_down = deflecting_force(force, HEIGHT, WHEELBASE, carried) / REAR_RATE
        front_down = -deflecting_force(force, HEIGHT, WHEELBASE, 0.0) / FRONT_RATE

        assert np.tan(angle) == pytest.approx(slope, abs=1e-9)
        assert rear_down == pytest.approx(rear, abs=1e-8)
        assert (rear_down - front_down) / WHEELBASE == pytest.approx(pitch, abs=1e-8)


@pytest.mark.parametrize("layout_name", ["trailing-arm", "beam-panhard"])
def test_torque_reacted_on_the_body_counts_from_the_wheel_centre(layout_name):
    columns = rear_axle(layout_name, 330)

    assert np.tan(columns["left_drive_support_angle"][0]) == pytest.approx((0.330 - 0.270) / 0.4, abs=1e-9)
    assert columns["left_side_view_centre_x"][0] == pytest.approx(-1.98, abs=1e-9)
    assert columns["left_side_view_centre_z"][0] == pytest.approx(0.33, abs=1e-9)

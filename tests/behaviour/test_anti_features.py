"""Anti-dive and anti-squat against published examples."""

from __future__ import annotations

import numpy as np
import pytest

from tests.reference.anti_features import anti_percent, deflecting_force


def test_published_anti_dive_of_a_quarter():
    """60 % front braking, wheelbase 2550 mm, height 600 mm, 25 %: the worked case asks for 5.6 degrees."""
    angle = np.degrees(np.arctan(0.25 * 0.600 / (0.6 * 2.550)))

    assert angle == pytest.approx(5.6, abs=0.05)
    assert anti_percent(np.radians(angle), 0.6, 0.600, 2.550) == pytest.approx(0.25, rel=1e-12)


def test_a_linkage_that_leans_the_wrong_way_adds_to_the_dive():
    assert anti_percent(np.radians(-3.0), 0.7, 0.55, 2.4) < 0


MASS, ACCELERATION, HEIGHT, WHEELBASE, FRONT_RATE, REAR_RATE = 1000.0, 3.0, 0.5, 2.5, 20e3, 22e3


@pytest.mark.parametrize(
    ("slope", "rear", "pitch"), [(0.25, -6.81818e-3, np.radians(0.531288)), (0.42, -30e-3, 0.0)], ids=["0.25", "level"]
)
def test_squat_with_a_side_view_pivot(slope, rear, pitch):
    """Barton and Fieldhouse, equations 3.63 to 3.69: dS_r = m a (h/l - e/d), dS_f = -m a h/l; recomputed example."""
    force = MASS * ACCELERATION
    squat = anti_percent(np.arctan(slope), 1.0, HEIGHT, WHEELBASE)
    rear_down = deflecting_force(force, HEIGHT, WHEELBASE, squat) / REAR_RATE
    front_down = -deflecting_force(force, HEIGHT, WHEELBASE, 0.0) / FRONT_RATE

    assert rear_down == pytest.approx(rear, abs=1e-8)
    assert front_down == pytest.approx(-30e-3, rel=1e-12)
    assert (rear_down - front_down) / WHEELBASE == pytest.approx(pitch, abs=1e-8)

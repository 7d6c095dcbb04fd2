"""The table of signs is complete and well formed, and axes and mirror are what they say."""

from __future__ import annotations

import numpy as np

from jounce.conventions.axes import MIRROR, Axis, End, Side, mirrored
from jounce.conventions.quantities import RESULTS
from jounce.conventions.signs import SIGNS

EXPECTED = {
    *(
        "travel",
        "contact_x",
        "contact_y",
        "contact_z",
        "heave",
        "roll",
        "camber",
        "toe",
        "total_toe",
        "steer",
        "caster",
    ),
    *(
        "kingpin_inclination",
        "trail",
        "scrub_radius",
        "damper_ratio",
        "spring_ratio",
        "torsion_bar_ratio",
        "wheel_rate",
    ),
    *("ride_rate", "roll_stiffness", "roll_centre_height", "axle_shift", "axle_steer"),
}


def test_every_sign_is_a_row_of_the_table_of_results() -> None:
    assert {row.name for row in SIGNS} == EXPECTED
    assert [row.name for row in SIGNS if RESULTS[row.name] is not row] == []


def test_mirror_turns_y_round_and_nothing_else() -> None:
    point = (0.1, 0.5, 0.2)

    assert mirrored(point) == (0.1, -0.5, 0.2)
    np.testing.assert_array_equal(np.array(MIRROR) @ point, mirrored(point))
    assert mirrored(mirrored(point)) == point
    assert np.linalg.det(np.array(MIRROR)) == -1
    assert (Axis.X, Axis.Y, Axis.Z) == (0, 1, 2)


def test_sides_and_ends_are_their_names() -> None:
    assert f"{End.FRONT}.{Side.LEFT}" == "front.left"
    assert (Side.LEFT.outward, Side.RIGHT.outward) == (1, -1)
    assert Side.LEFT.other is Side.RIGHT
    assert Side.RIGHT.other is Side.LEFT

"""The table of signs is complete and well formed, and axes and mirror are what they say."""

from __future__ import annotations

import numpy as np
import pytest

from jounce.conventions.axes import MIRROR, Axis, End, Side, mirrored
from jounce.conventions.signs import SIGNS, Sign

EXPECTED = {
    "wheel_travel", "contact_point", "heave", "roll", "camber", "toe", "total_toe", "steer_angle", "caster",
    "kingpin_inclination", "mechanical_trail", "scrub_radius", "motion_ratio", "angular_motion_ratio", "wheel_rate",
    "ride_rate", "roll_stiffness", "roll_centre_height", "axle_shift", "axle_steer",
}  # fmt: skip


def test_every_quantity_has_its_row() -> None:
    assert set(SIGNS) == EXPECTED


@pytest.mark.parametrize("sign", SIGNS.values(), ids=list(SIGNS))
def test_row_is_complete(sign: Sign) -> None:
    assert sign.label
    assert sign.meaning.endswith(".")
    assert sign.definition.endswith(".")
    assert sign.source
    assert sign.unit


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

"""The second method itself: joints of the multibody library as it is used here, against what is known in closed form."""

from __future__ import annotations

import numpy as np
import pytest
from exudyn import SolverError

from tests.verification.layout_twins import _half_way, twin_of
from tests.verification.multibody import Multibody, axis_from_angles

X, Y, Z = np.eye(3)


def hinged(name="arm", along=X):
    """An arm of 0.4 m along y, hinged at the origin; its end can be driven up."""
    model = Multibody()
    model.body(name, 0.4 * Y)
    model.hinge("ground", name, np.zeros(3), along)
    return model


def test_an_arm_swings_on_its_circle():
    model = hinged()
    model.drive("rise", "arm", "z")
    model.system.Assemble()
    model.solve({"rise": 0.07})
    angle = np.arcsin(0.07 / 0.4)

    assert model.position("arm", 0.4 * Y) == pytest.approx([0, 0.4 * np.cos(angle), 0.07], abs=1e-12)
    assert model.turned("arm", "ground", 3.0 * X) == pytest.approx(angle, abs=1e-12)
    assert model.turned("ground", "arm", X) == pytest.approx(-angle, abs=1e-12)


def test_a_drive_that_is_not_named_goes_back():
    model = hinged()
    model.drive("rise", "arm", "z")
    model.system.Assemble()
    model.solve({"rise": 0.07})
    model.solve({})

    assert model.position("arm", 0.4 * Y) == pytest.approx(0.4 * Y, abs=1e-12)


def test_a_rod_sets_an_angle_by_the_law_of_cosines():
    model = hinged()
    model.rod("ground", 0.3 * Z, "arm", 0.4 * Y, name="rod")
    model.system.Assemble()
    model.solve({"rod": -0.03})
    between = np.arccos((0.4**2 + 0.3**2 - 0.47**2) / (2 * 0.4 * 0.3))

    assert model.turned("arm", "ground", X) == pytest.approx(np.pi / 2 - between, abs=1e-12)


@pytest.mark.parametrize("sense", [1.0, -1.0])
def test_tied_points_move_alike_or_against_each_other(sense):
    model = Multibody()
    for name, at in (("one", 0.2 * X), ("two", 0.5 * X)):
        model.body(name, at)
        model.slide("ground", name, at, Y)
    model.tie("one", "two", "y", sense)
    model.drive("shift", "one", "y")
    model.system.Assemble()
    model.solve({"shift": 0.013})

    assert model.position("two", 0.5 * X)[1] == pytest.approx(sense * 0.013, abs=1e-12)


def ladder():
    """A bar of half a metre whose ends run on the two legs of a right angle, held against spinning."""
    model = Multibody()
    model.body("bar", 0.4 * Y)
    model.on_line("ground", 0.3 * Z, "bar", 0.3 * Z, Z)
    model.on_line("ground", 0.4 * Y, "bar", 0.4 * Y, Y)
    model.feeler("beside", "bar", 0.4 * Y + 0.3 * Z)
    model.drive("spin", "beside", "x")
    model.drive("foot", "bar", "y")
    model.system.Assemble()
    return model


def test_points_on_lines_slide_as_a_ladders_ends():
    model = ladder()
    model.solve({"foot": 0.05})

    assert model.position("bar", 0.3 * Z) == pytest.approx([0, 0, np.sqrt(0.5**2 - 0.45**2)], abs=1e-12)


def test_what_cannot_be_reached_is_refused():
    with pytest.raises(SolverError):
        ladder().solve({"foot": 0.2})


def test_the_half_way_block_keeps_a_tube_half_way_between_its_carriers():
    model = Multibody()
    model.body("tube", np.zeros(3))
    model.joint("ground", np.zeros(3), "tube", np.zeros(3), [1, 1, 1, 1, 1, 0], Y)
    for side, out in (("left", 1.0), ("right", -1.0)):
        model.body(f"{side}.carrier", np.array([0.4, 0.6 * out, 0.0]))
        model.hinge("tube", f"{side}.carrier", 0.6 * out * Y, Y)
        model.drive(side, f"{side}.carrier", "z")
    carriers = {side: f"{side}.carrier" for side in ("left", "right")}
    _half_way(model, "tube", carriers, np.zeros(3), Y)
    model.system.Assemble()
    model.solve({"left": 0.09, "right": -0.02})
    left, right = (model.turned(f"{side}.carrier", "ground", Y) for side in ("left", "right"))

    assert left - right == pytest.approx(-np.arcsin(0.09 / 0.4) - np.arcsin(0.02 / 0.4), abs=1e-12)
    assert model.turned("tube", "ground", Y) == pytest.approx(0.5 * (left + right), abs=1e-12)


def test_a_wheel_axis_gives_the_angles_of_its_plane_to_the_vertical_and_on_the_ground():
    axis = axis_from_angles(np.radians(-1.5), np.radians(0.4), "right")

    assert np.linalg.norm(axis) == pytest.approx(1.0, abs=1e-15)
    assert axis[2] == pytest.approx(np.sin(np.radians(-1.5)), abs=1e-15)  # right wheel, its top inward: the axis falls
    assert axis @ [np.cos(np.radians(0.4)), np.sin(np.radians(0.4)), 0] == pytest.approx(0, abs=1e-15)
    assert axis[1] > 0


def test_a_layout_without_a_twin_is_noticed():
    with pytest.raises(KeyError):
        twin_of("no such layout", None)

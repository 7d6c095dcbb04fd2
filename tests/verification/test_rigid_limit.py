"""Bushes ever stiffer come to ideal joints, at the rate they should: what is left falls as one over the stiffness."""

from __future__ import annotations

import numpy as np
import pytest

from jounce.behaviour.axle.compliance import compliance
from jounce.behaviour.axle.compliant import standing
from jounce.behaviour.axle.contact import contact_state
from jounce.behaviour.axle.motions import AxleStates, place_axle, wheel_motions
from tests.bushed_axles import BUSHES, demo_bushed, demo_pair

STIFFER = np.array([100.0, 1000.0, 10000.0])
NO_MORE_THAN_JOINTS = "\n".join(
    line for line in BUSHES.splitlines() if "N·m/deg" not in line and '"500 N/mm"' not in line
)
"""Bushes that resist nothing that ideal joints allow: turning, and sliding along a trailing arm's bush, are free."""
RESULTS = ("left_toe", "left_camber", "right_wheel_x", "right_wheel_y", "left_contact_y")


def order(size):
    """Slope of a size over the stiffness in a log-log plot, between neighbours."""
    return np.diff(np.log(size)) / np.diff(np.log(STIFFER))


@pytest.mark.parametrize("axle", ["front", "rear"])
@pytest.mark.parametrize("force", ["lateral", "brake", "drive", "aligning"])
def test_compliance_falls_with_the_first_order_of_the_stiffness(axle, force):
    """Wheels held at their height: with ideal joints nothing moves at all."""
    found = [compliance(demo_bushed(axle, stiffer=s)).of(force, "left") for s in STIFFER]

    for name in RESULTS:
        size = np.abs([one[name][0] for one in found])
        if size[0] > 1e-12:  # what an axle does not do at all has no order
            assert order(size) == pytest.approx(-1, abs=0.02), name


@pytest.mark.parametrize("axle", ["front", "rear"])
def test_compliance_under_free_wheels_comes_to_that_of_ideal_joints(axle):
    """Wheels free: the springs give as well, so the difference from ideal joints falls."""
    ideal = compliance(demo_bushed(axle, rigid=True), wheels="free").of("lateral", "both")
    found = [
        compliance(demo_bushed(axle, stiffer=s, bushes=NO_MORE_THAN_JOINTS), wheels="free").of("lateral", "both")
        for s in STIFFER
    ]

    assert abs(ideal["left_wheel_z"][0]) > 1e-6
    for name in ("left_wheel_z", "left_contact_y"):
        assert order(np.abs([one[name][0] - ideal[name][0] for one in found])) == pytest.approx(-1, abs=0.02), name


@pytest.mark.parametrize("axle", ["front", "rear"])
def test_rest_in_travel_comes_to_the_place_of_ideal_joints(axle):
    """Away from as found the bushes' loads have changed, so the axle rests beside where ideal joints put it."""
    states = AxleStates(left=np.array([0.03]), right=np.array([-0.02]))
    gaps = []
    for s in (1.0, 10.0, 100.0):
        bushed = demo_bushed(axle, stiffer=s, bushes=NO_MORE_THAN_JOINTS)
        measured = bushed.stand.taken([f"{axle}.left.toe", f"{axle}.left.wheel_x", f"{axle}.right.wheel_y"])
        ideal = place_axle(bushed.ideal, axle, states).pose
        gaps.append(np.abs(measured.values(standing(bushed, states)) - measured.values(ideal)).max())

    assert gaps[0] > 1e-7
    assert np.diff(np.log10(gaps))[-1] == pytest.approx(-1, abs=0.02)


@pytest.mark.parametrize("axle", ["front", "rear"])
@pytest.mark.parametrize("states", [AxleStates(), AxleStates(left=0.03, right=-0.02), AxleStates(roll=0.04)])
def test_ideal_joints_have_the_contact_stiffness_of_virtual_work(axle, states):
    """Two ways to the wheel rate: second derivatives along the wheels' motions, and the tangent on the joints."""
    model, _ = demo_pair(axle)
    by_work = contact_state(model, wheel_motions(place_axle(model.stand, axle, states), axle)).stiffness
    by_tangent = compliance(demo_bushed(axle, rigid=True), states).contact_stiffness

    assert by_tangent == pytest.approx(by_work, rel=1e-9)

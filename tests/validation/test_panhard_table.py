"""Panhard rod: sideways shift of a moving end that goes straight up or down, and where its roll centre lies.

The shift is Pythagoras, tabulated independently of the program. Roll centre: a rod that lies level puts it at its own
height (a European university's course notes; Heisler, Advanced Vehicle Technology, section 10.3, Fig. 10.28(b): the
body rolls about the middle of the rod; Gillespie, Fundamentals of Vehicle Dynamics, ch. 7: where it crosses the centre
plane). The statements differ for a rod whose middle is not on the centre plane: this program takes the centre plane.
"""

from __future__ import annotations

import numpy as np
import pytest

from jounce.behaviour.axle.motions import AxleStates, place_axle
from jounce.behaviour.axle.travel import column_map, states_table
from jounce.layouts.catalogue import LAYOUTS
from jounce.linkage.measures import CoordinateSum, Distance
from jounce.linkage.mechanism import Mechanism
from jounce.linkage.place import place
from jounce.linkage.tree import GROUND, Body, Freedom, Point
from tests.demo_axles import FOUR_LINKS, both, layout_axle, layout_given, wheels
from tests.reference.panhard_rod import lateral_shift

MM = 1e-3
Y, Z = np.eye(3)[1:]
HALF_DIGIT = 6e-7 * MM

# Rod length, end-height difference at the start [mm]; travel and shift [mm].
TABLE = [
    (700, 0, (25, 50, 75, 100), (0.446571, 1.787998, 4.029455, 7.179677)),
    (900, 0, (25, 50, 75, 100), (0.347289, 1.389962, 3.130444, 5.572809)),
    (1000, 0, (25, 50, 75, 100), (0.312549, 1.250782, 2.816466, 5.012563)),
    (1200, 0, (25, 50, 75, 100), (0.260445, 1.042119, 2.346043, 4.173926)),
    (900, 30, (-60, -40, -20, 20, 40, 60), (0, -0.444582, -0.444582, 0.889823, 2.226213, 4.011168)),
]
by_row = pytest.mark.parametrize(("length", "height", "travel", "shift"), TABLE)


@by_row
def test_closed_form(length, height, travel, shift):
    found = lateral_shift(length * MM, height * MM, np.array(travel) * MM)

    assert found == pytest.approx(np.array(shift) * MM, abs=HALF_DIGIT)


@by_row
def test_linkage_of_one_rod(length, height, travel, shift):
    """The moving end on two slides, upright and across."""
    end = np.array([0.0, np.sqrt(length**2 - height**2), height]) * MM
    bodies = (
        Body("lift", Freedom.SLIDE, end, Z),
        Body("end", Freedom.SLIDE, end, Y, parent="lift"),
    )
    rod = Distance(Point(GROUND, np.zeros(3)), Point("end", end))
    measures = {"travel": CoordinateSum({"lift": 1.0}), "across": CoordinateSum({"end": 1.0})}
    mechanism = Mechanism(bodies, {"rod": rod}, measures)
    placed = place(mechanism, {"travel": np.array(travel) * MM})

    assert placed.reached.all()
    assert -mechanism.taken(["across"]).values(placed.pose)[:, 0] == pytest.approx(np.array(shift) * MM, abs=HALF_DIGIT)


def long_armed(length, height, out):
    """A beam on four like links of 200 m, level and along the car, which lead it straight up and down.

    The rod's body end is on the left for ``out`` +1, on the right for -1; its axle end is ``height`` [mm] higher.
    """
    points = dict(FOUR_LINKS)
    for link, (y, z) in {"lower_link": (480, 220), "upper_link": (320, 400)}.items():
        points |= {f"{link}_front": (-2380 + 200_000, y, z), f"{link}_rear": (-2380, y, z)}
    span = np.sqrt(length**2 - height**2)
    rod = {
        "body_end": np.array([-2400, out * span / 2, 300]) * MM,
        "axle_end": np.array([-2400, -out * span / 2, 300 + height]) * MM,
    }
    layout = LAYOUTS["beam-four-link"]
    given = layout_given(layout, pivots=both(points), axle_pivots={"panhard": rod})
    return layout_axle(layout, given, wheels=wheels(camber=-0.7, toe=0.0, loaded_radius=0.27))


@pytest.mark.parametrize("out", [1.0, -1.0], ids=["body end left", "body end right"])
@by_row
def test_beam_axle_that_goes_straight_up_and_down(length, height, travel, shift, out):
    """Over 0.1 m the links' arc leaves the upright by 0.025 mm, which stretches the rod by less than a nanometre."""
    _, stand = long_armed(length, height, out)
    rise = np.array(travel) * MM
    placed = place_axle(stand, "axle", AxleStates(left=rise, right=rise))
    found = stand.taken(["axle.shift", "axle.axle_steer", "axle.inner_bar_twist"]).values(placed.pose)
    start = stand.reference_values(["axle.shift"])[0, 0]

    assert placed.reached.all()
    assert out * (found[:, 0] - start) == pytest.approx(np.array(shift) * MM, abs=2e-9)
    assert np.abs(found[:, 1:]).max() < 1e-6


@pytest.mark.parametrize("out", [1.0, -1.0], ids=["body end left", "body end right"])
def test_a_level_rod_puts_the_roll_centre_at_its_own_height(out):
    """Of wheels without toe: with it, a side force has a part along the rolling wheel, and microns come of it."""
    linkage, stand = long_armed(900, 0, out)
    columns = column_map(states_table(stand, linkage, AxleStates(), (1.0, 1.0)))

    ground = columns["left_contact_z"][0]
    assert columns["roll_centre_height"][0] + ground == pytest.approx(0.3, abs=1e-9)
    assert columns["roll_centre_construction_height"][0] + ground == pytest.approx(0.3, abs=1e-9)


def test_a_rod_off_the_middle_holds_where_it_crosses_the_centre_plane():
    """By construction: 500 mm of its 800 mm lie left of the centre plane, over which it falls by 50 of 80 mm."""
    layout = LAYOUTS["beam-panhard"]
    rod = {"body_end": np.array([-2400, 500, 340]) * MM, "axle_end": np.array([-2400, -300, 260]) * MM}
    given = layout_given(layout, axle_pivots={"panhard": rod})
    linkage, stand = layout_axle(layout, given, wheels=wheels(camber=0.0, toe=0.0, loaded_radius=0.27))
    columns = column_map(states_table(stand, linkage, AxleStates(), (1.0, 1.0)))

    assert columns["roll_centre_construction_height"][0] == pytest.approx(0.290, abs=1e-12)

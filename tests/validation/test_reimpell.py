"""Reimpell, The Automotive Chassis, 2nd ed., section 3.4.3: instant centre and roll centre height in closed form.

The formulas are from memory, their numbers were computed again by intersecting the lines. The axles are built in three
dimensions from the book's angles, all pivot lines along the car.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import pytest

from jounce.behaviour.axle.motions import AxleStates, place_axle
from jounce.behaviour.axle.travel import column_map, states_table
from jounce.layouts.axle_input import AxleInput, WheelInput
from jounce.layouts.catalogue import LAYOUTS
from tests.demo_axles import MIRROR, layout_axle
from tests.published import Published

X = np.eye(3)[0]
MM = 1e-3
SECTION = {"source": "reimpell", "where": "section 3.4.3", "status": "F"}
STRUT_ROLL_CENTRE = Published(quantity="roll centre height, strut", printed="107.6518", unit=MM, **SECTION)
STRUT_POLE = Published(quantity="height of the instant centre, strut", printed="339.1904", unit=MM, **SECTION)
STRUT_DISTANCE = Published(quantity="instant centre to lower ball joint, strut", printed="1.995375", **SECTION)
ARMS_ROLL_CENTRE = Published(quantity="roll centre height, two arms", printed="115.2322", unit=MM, **SECTION)
ARMS_POLE = Published(quantity="height of the instant centre, two arms", printed="290.2061", unit=MM, **SECTION)
ARMS_DISTANCE = Published(quantity="instant centre to lower ball joint, two arms", printed="1.723597", **SECTION)


@dataclass(frozen=True)
class Axle:
    """The book's letters: angles [deg], lengths [m]."""

    sigma: float
    alpha: float
    beta: float
    c: float
    d: float
    r_sigma: float
    b: float

    @property
    def k(self):
        """Instant centre to lower ball joint [m]; with alpha = sigma, the strut's own formula."""
        sigma, alpha, beta = np.radians((self.sigma, self.alpha, self.beta))
        return self.c * np.sin(np.pi / 2 + sigma - alpha) / np.sin(alpha + beta)

    @property
    def pole_height(self):
        """Height of the instant centre [m]."""
        return self.k * np.sin(np.radians(self.beta)) + self.d

    @property
    def roll_centre_height(self):
        """Height of the roll centre [m]."""
        sigma, beta = np.radians((self.sigma, self.beta))
        across = self.k * np.cos(beta) + self.d * np.tan(sigma) + self.r_sigma
        return self.pole_height * 0.5 * self.b / across

    @property
    def lower_ball(self):
        """On the steering axis, which meets the ground inboard of the contact point by the scrub radius [m]."""
        return np.array([0.0, self.b / 2 - self.r_sigma - self.d * np.tan(np.radians(self.sigma)), self.d])

    @property
    def upper_ball(self):
        """Up the steering axis, which leans inward [m]."""
        sigma = np.radians(self.sigma)
        return self.lower_ball + self.c * np.array([0.0, -np.sin(sigma), np.cos(sigma)])

    @property
    def lower_inner(self):
        """The lower arm rises inward [m]."""
        beta = np.radians(self.beta)
        return self.lower_ball + 0.35 * np.array([0.0, -np.cos(beta), np.sin(beta)])

    def upper_inner(self, length):
        """The upper arm falls inward [m]."""
        alpha = np.radians(self.alpha)
        return self.upper_ball + length * np.array([0.0, -np.cos(alpha), -np.sin(alpha)])


STRUT = Axle(sigma=12, alpha=12, beta=4, c=0.55, d=0.20, r_sigma=0.015, b=1.30)
ARMS = Axle(sigma=9, alpha=6, beta=3, c=0.27, d=0.20, r_sigma=0.01, b=1.40)


def laid_out(name, pivots, axle):
    tie_rod = {"tie_rod_inner": axle.lower_inner - 0.1 * X, "tie_rod_outer": axle.lower_ball - 0.1 * X}
    left = {"wheel_centre": np.array([0.0, axle.b / 2, 0.3]), **tie_rod, **pivots}
    left |= dict.fromkeys(("spring_upper", "damper_upper"), axle.upper_ball)
    left |= dict.fromkeys(("spring_lower", "damper_lower"), axle.lower_ball)
    sides = {"left": left, "right": {pivot: at * MIRROR for pivot, at in left.items()}}
    words = {choice.name: choice.words[0] for choice in LAYOUTS[name].choices} | {"steering": "none"}
    wheels = dict.fromkeys(sides, WheelInput(0.0, 0.0, 0.3))
    return layout_axle(LAYOUTS[name], AxleInput(pivots=sides, wheels=wheels, choices=words))


def on_line(pivot, at):
    """Front and rear pivot of a line along the car."""
    return {f"{pivot}_front": at + 0.2 * X, f"{pivot}_rear": at - 0.2 * X}


def strut_axle(axle):
    pivots = {"ball_joint": axle.lower_ball, "strut_top": axle.upper_ball, **on_line("arm", axle.lower_inner)}
    pivots["strut_foot"] = axle.lower_ball + 0.3 * (axle.upper_ball - axle.lower_ball)
    return laid_out("strut-coil", pivots, axle)


def arms_axle(axle, upper_length=0.25):
    balls = {"lower_ball": axle.lower_ball, "upper_ball": axle.upper_ball}
    lines = on_line("lower", axle.lower_inner) | on_line("upper", axle.upper_inner(upper_length))
    return laid_out("double-wishbone", balls | lines, axle)


def design(axle):
    """All columns at the height as found."""
    linkage, stand = axle
    return {n: v[0] for n, v in column_map(states_table(stand, linkage, AxleStates(), (1.0, 1.0))).items()}


def distance_to_ball(columns, axle):
    """From the left wheel's instant centre to its lower ball joint [m]."""
    pole = np.array([columns["left_front_view_centre_y"], columns["left_front_view_centre_z"]])
    return np.linalg.norm(pole - axle.lower_ball[1:])


def test_strut_of_the_book():
    columns = design(strut_axle(STRUT))

    assert columns["roll_centre_height"] == STRUT_ROLL_CENTRE.match()
    assert columns["roll_centre_construction_height"] == STRUT_ROLL_CENTRE.match()
    assert columns["left_front_view_centre_z"] == STRUT_POLE.match()
    assert distance_to_ball(columns, STRUT) == STRUT_DISTANCE.match()
    assert columns["left_kingpin_inclination"] == pytest.approx(np.radians(STRUT.sigma), abs=1e-12)
    assert columns["left_scrub_radius"] == pytest.approx(STRUT.r_sigma, abs=1e-12)


def test_two_arms_of_the_book():
    columns = design(arms_axle(ARMS))

    assert columns["roll_centre_height"] == ARMS_ROLL_CENTRE.match()
    assert columns["roll_centre_construction_height"] == ARMS_ROLL_CENTRE.match()
    assert columns["left_front_view_centre_z"] == ARMS_POLE.match()
    assert distance_to_ball(columns, ARMS) == ARMS_DISTANCE.match()
    assert columns["left_kingpin_inclination"] == pytest.approx(np.radians(ARMS.sigma), abs=1e-12)


@pytest.mark.parametrize("beta", [-6.0, 0.0, 9.0])
@pytest.mark.parametrize("r_sigma", [-0.02, 0.03])
@pytest.mark.parametrize("sigma", [7.0, 15.0])
def test_formulas_hold_for_other_axles(beta, r_sigma, sigma):
    strut = replace(STRUT, beta=beta, r_sigma=r_sigma, sigma=sigma, alpha=sigma)
    arms = replace(ARMS, beta=beta, r_sigma=r_sigma, sigma=sigma, alpha=11.0)
    for axle, columns in ((strut, design(strut_axle(strut))), (arms, design(arms_axle(arms)))):
        assert columns["roll_centre_height"] == pytest.approx(axle.roll_centre_height, abs=1e-10)
        assert columns["roll_centre_construction_height"] == pytest.approx(axle.roll_centre_height, abs=1e-10)
        assert columns["left_front_view_centre_z"] == pytest.approx(axle.pole_height, abs=1e-10)


@pytest.mark.parametrize("upper_length", [0.25, 1000.0], ids=["short", "a kilometre"])
def test_a_strut_is_two_arms_whose_upper_one_is_square_to_its_rod(upper_length):
    """Exact to first order whatever the upper arm's length: both lead the top of the knuckle along the rod.

    Only to first order, even with a kilometre of arm, since the rod leans with the knuckle and the arm does not.
    """
    strut, arms = strut_axle(STRUT), arms_axle(STRUT, upper_length)
    one, two = design(strut), design(arms)
    same = ["roll_centre_height", "roll_centre_construction_height"]
    same += [f"left_front_view_centre_{letter}" for letter in "yz"]

    assert [one[name] for name in same] == pytest.approx([two[name] for name in same], abs=1e-9)
    assert camber_gain(strut) == pytest.approx(camber_gain(arms), abs=1e-9)


def camber_gain(axle):
    """Camber per travel at the height as found [rad/m]."""
    stand = axle[1]
    placed = place_axle(stand, "axle", AxleStates())
    motion = placed.motion({"axle.left.travel": 1.0, "axle.right.travel": 1.0})
    return motion.rates(stand.taken(["axle.left.camber"]).linearised(placed.pose))[0][0, 0]

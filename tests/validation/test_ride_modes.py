"""Bounce and pitch of a rigid car on two springs, one mass on a spring, wheel hop: printed frequencies.

Thomson (also an older finite-element verification case) and Rao from memory, their arithmetic done again.
"""

from __future__ import annotations

import numpy as np
import pytest

from jounce.behaviour.ride.vibration import Vibration, damped_modes, undamped_modes
from tests.published import Published

THOMSON = {"source": "thomson", "where": "p. 181, automobile on two springs", "status": "M"}
THOMSON_FIRST = Published(quantity="first frequency of bounce and pitch", printed="1.0981", **THOMSON)
THOMSON_SECOND = Published(quantity="second frequency of bounce and pitch", printed="1.4406", **THOMSON)
RAO = {"source": "rao", "where": "Example 5.7", "status": "M"}
RAO_FIRST = Published(quantity="first angular frequency of bounce and pitch", printed="5.8593", **RAO)
RAO_SECOND = Published(quantity="second angular frequency of bounce and pitch", printed="9.4341", **RAO)
RAO_SHAPES = (
    Published(quantity="bounce per pitch, first mode", printed="-2.6461", **RAO),
    Published(quantity="bounce per pitch, second mode", printed="0.3061", **RAO),
)
OPENSTAX = Published(
    quantity="frequency of a car on its springs", source="openstax", where="Example 16.4", printed="1.36", status="P"
)
BARTON = {"source": "barton-fieldhouse", "where": "chapter 3, p. 213", "status": "P"}
HOP = Published(quantity="wheel hop", printed="14.25", **BARTON)
COBBLES = Published(quantity="speed over 0.2 m cobbles that meets wheel hop", printed="2.85", **BARTON)


def bounce_and_pitch(mass, radius, ahead, behind, front, rear):
    """Body on a spring ahead of and one behind its centre; freedoms bounce and pitch."""
    stiffness = np.array(
        [
            [front + rear, rear * behind - front * ahead],
            [rear * behind - front * ahead, front * ahead**2 + rear * behind**2],
        ]
    )
    return Vibration(np.diag([mass, mass * radius**2]), np.zeros((2, 2)), stiffness, np.zeros((2, 0)))


def one_mass(mass, rate):
    return Vibration(np.array([[mass]]), np.zeros((1, 1)), np.array([[rate]]), np.zeros((1, 0)))


def test_bounce_and_pitch_of_thomson() -> None:
    found = undamped_modes(bounce_and_pitch(3220 / 32.2, 4.0, 4.5, 5.5, 2400.0, 2600.0))  # in feet and slugs

    assert found.frequency[0] == THOMSON_FIRST.match()
    assert found.frequency[1] == THOMSON_SECOND.match()
    assert found.shape[0] / found.shape[1] == pytest.approx([-14.596, 1.0962], abs=6e-4)


def test_bounce_and_pitch_of_rao() -> None:
    found = undamped_modes(bounce_and_pitch(1000.0, 0.9, 1.0, 1.5, 18e3, 22e3))
    turning = found.frequency * 2 * np.pi

    assert turning[0] == RAO_FIRST.match()
    assert turning[1] == RAO_SECOND.match()
    assert [found.shape[0, 0] / found.shape[1, 0], found.shape[0, 1] / found.shape[1, 1]] == [
        shape.match() for shape in RAO_SHAPES
    ]


def test_one_mass() -> None:
    assert undamped_modes(one_mass(900.0, 65.3e3)).frequency[0] == OPENSTAX.match()


def test_wheel_hop_and_cobbles() -> None:
    hop = undamped_modes(one_mass(40.0, 20.63e3 + 300e3)).frequency[0]

    assert hop == HOP.match()
    assert hop * 0.2 == COBBLES.match()


def test_the_gobbi_mastinu_car_swings_as_worked_out_twice() -> None:
    """Eigenvalues of the quarter car of the random-road test, from an independent program."""
    body, wheel, spring, tyre, damper = 240.0, 36.0, 16e3, 160e3, 980.0
    coupled = np.array([[1.0, -1.0], [-1.0, 1.0]])
    stiffness = spring * coupled + np.diag([0.0, tyre])
    system = Vibration(np.diag([body, wheel]), damper * coupled, stiffness, np.array([[0.0], [tyre]]))

    assert undamped_modes(system).frequency == pytest.approx([1.238243, 11.135189], abs=5e-7)
    assert damped_modes(system).frequency == pytest.approx([1.250654, 11.024689], abs=5e-7)
    assert damped_modes(system).ratio == pytest.approx([0.217823, 0.201257], abs=5e-7)

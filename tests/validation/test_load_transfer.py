"""Barton and Fieldhouse, Automotive Chassis Engineering, 2018, ch. 3, p. 174: lateral load transfer and roll.

The book's front total of 1919 N does not add up from its own parts (1909 N) and is not tested against.
The elastic parts rest on a split of roll stiffness on a page that was not seen; they are not here either.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from jounce.behaviour.axle.motions import AxleStates
from jounce.behaviour.axle.static import axle_sits
from jounce.behaviour.axle.travel import column_map, states_table
from jounce.behaviour.road.corner import corner
from jounce.behaviour.road.equal_slip import EqualSlip
from jounce.behaviour.road.of_document import car_of
from jounce.conventions.unit_table import DEG
from jounce.elements.tyres.magic_formula import MagicShape
from tests.demo_car import demo_axle, demo_document
from tests.published import Published
from tests.reference.hand_formulas import (
    characteristic_speed,
    geometric_transfer,
    roll_gradient,
    understeer,
    unsprung_transfer,
)

GRAVITY = 9.81  # the book's
ACROSS = 0.6 * GRAVITY
TRACK = 1.46


def of_book(quantity, printed, unit=1.0):
    return Published(
        quantity=quantity, source="barton-fieldhouse", where="ch. 3, p. 174", printed=printed, unit=unit, status="P"
    )


TRANSFERS = {
    "front, through the roll centre": (
        of_book("load transfer through the front roll centre", "195"),
        lambda: geometric_transfer(1280 * 0.54, ACROSS, 0.07, TRACK),
    ),
    "rear, through the roll centre": (
        of_book("load transfer through the rear roll centre", "760"),
        lambda: geometric_transfer(1280 * 0.46, ACROSS, 0.32, TRACK),
    ),
    "front, unsprung": (
        of_book("load transfer by the front unsprung mass", "158"),
        lambda: unsprung_transfer(140.0, ACROSS, 0.280, TRACK),
    ),
    "rear, unsprung": (
        of_book("load transfer by the rear unsprung mass", "218"),
        lambda: unsprung_transfer(180.0, ACROSS, 0.300, TRACK),
    ),
}
ROLL_PER_ACCELERATION = of_book("roll per lateral acceleration", "0.0194")
ROLL_GRADIENT = of_book("roll gradient per g", "10.9", DEG)


@pytest.mark.parametrize("part", TRANSFERS)
def test_load_transfer(part):
    printed, compute = TRANSFERS[part]

    assert float(compute()) == printed.match()


def test_roll_gradient():
    gradient = float(roll_gradient(1280.0, 0.365, 28650.0))

    assert gradient == ROLL_PER_ACCELERATION.match()
    assert gradient * GRAVITY == ROLL_GRADIENT.match()
    assert gradient == pytest.approx(0.01941266, rel=1e-6)  # the same arithmetic, done apart


def of_wong(quantity, printed, *, rel=0.0):
    note = "the book rounds the coefficient before it takes the speed from it" if rel else ""
    return Published(
        quantity=quantity,
        source="wong",
        where="Example 5.1",
        printed=printed,
        unit=1.0,
        status="M",
        rel=rel,
        tolerance_note=note,
    )


UNDERSTEER = of_wong("understeer coefficient", "0.016")
CHARACTERISTIC_SPEED = of_wong("characteristic speed", "41.5")
OVERSTEER = of_wong("understeer coefficient with stiffer front tyres", "-0.0098", rel=0.007)
CRITICAL_SPEED = of_wong("critical speed with stiffer front tyres", "52.9", rel=0.005)
WEIGHT, WHEELBASE = 20105.0, 2.8


def test_understeer_of_the_two_wheel_car():
    front, rear = 0.535 * WEIGHT, 0.465 * WEIGHT
    soft, stiff = (float(understeer(front, rear, c, 38250.0)) for c in (38920.0, 47820.0))

    assert soft == UNDERSTEER.match()
    assert float(characteristic_speed(soft, WHEELBASE)) == CHARACTERISTIC_SPEED.match()
    assert stiff == OVERSTEER.match()
    assert float(characteristic_speed(stiff, WHEELBASE)) == CRITICAL_SPEED.match()


def on_hard_tyres(name):
    axle = demo_axle(name)
    return replace(axle, tyre_rate={side: np.array([1e9]) for side in ("left", "right")})


def test_the_whole_car_rolls_and_moves_its_load_as_the_formulas_say_while_little_happens():
    """The exact car on hard tyres at 0.05 g beside the formulas: within 3 %.

    Formulas have one roll axis and masses on it; the car has its real paths. A slip of sign, of a factor two or of a
    missing term is far outside.
    """
    document = demo_document()
    axles = {name: on_hard_tyres(name) for name in ("front", "rear")}
    car = car_of(document, axles["front"], axles["rear"])
    across = 0.05 * 9.80665
    told = corner(car, np.array([across]))
    tables = {n: column_map(states_table(a.stand, a.linkage, AxleStates(), (1.0, 1.0))) for n, a in axles.items()}
    sits = {name: axle_sits(axle, look_for_slack=False) for name, axle in axles.items()}
    centres = {name: float(table["roll_centre_height"][0]) for name, table in tables.items()}
    wheelbase = (document.front.left.pivots.wheel_centre.xyz - document.rear.left.pivots.wheel_centre.xyz)[0]
    to_rear = -car.sprung_centre[0] / wheelbase
    arm = car.sprung_centre[2] - (1 - to_rear) * centres["front"] - to_rear * centres["rear"]
    stiffness = sum(one.roll_stiffness for one in sits.values())
    by_hand = float(roll_gradient(car.sprung_mass, arm, stiffness, 9.80665)) * across
    track = sits["rear"].track

    assert float(told.roll[0]) == pytest.approx(by_hand, rel=0.03)
    assert float(told.transfer.unsprung[0, 1]) == pytest.approx(
        float(unsprung_transfer(2 * car.unsprung[1, 0], across, 0.265, track)), rel=0.03
    )
    assert float(told.transfer.geometric[0, 1]) == pytest.approx(
        float(geometric_transfer(car.sprung_mass * to_rear, across, centres["rear"], track)), rel=0.03
    )


class LinearTyre:
    """A tyre whose lateral force knows no load: the two-wheel car's."""

    def __init__(self, stiffness):
        self.per_slip = stiffness

    def curve(self, load):
        far = 1e9  # of a peak so far away that the curve is straight [N]
        return MagicShape(far + 0 * load, np.array(1.0), self.per_slip / far + 0 * load, 0 * load)


def test_slip_angles_of_the_whole_car_differ_as_the_two_wheel_car_s():
    """With tyres that know no load the difference of the slip angles is the textbook's understeer coefficient."""
    document = demo_document()
    car = car_of(document, demo_axle("front"), demo_axle("rear"))
    front, rear = 38920.0, 30000.0
    car = replace(car, sharing=(EqualSlip(LinearTyre(front)), EqualSlip(LinearTyre(rear))))
    across = np.array([0.5])
    told = corner(car, across)
    load = told.standing.acted.load[0].sum(axis=1)
    coefficient = float(understeer(load[0], load[1], front, rear))

    assert told.slip is not None
    assert float(told.slip[0, 0] - told.slip[0, 1]) == pytest.approx(coefficient * 0.5 / 9.80665, rel=2e-3)

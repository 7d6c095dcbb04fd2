"""Braking and ride tell in words what the car does at its limits."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from importlib.resources import files

import numpy as np
import pytest

from jounce.behaviour.ride.inertia import body_inertia, whole_inertia
from jounce.behaviour.ride.small_motions import held, small_motions
from jounce.behaviour.road.equilibrium import at_rest
from jounce.behaviour.road.followed import PathEnd
from jounce.behaviour.road.forces import FREEDOMS, TRAVELS, acted
from jounce.behaviour.road.lift import Manner, TurnLimit
from jounce.behaviour.road.loading import steady
from jounce.behaviour.road.of_document import car_as_found
from jounce.car.file.reading import parse_car
from jounce.questions.braking import _locking
from jounce.questions.ridden import ridden
from jounce.questions.ride_tables import road_table
from jounce.search.whole_car_check import _stays_down

TEXT = files("jounce.demo").joinpath("brisk-14.toml").read_text("utf-8")
GAP = "gap = 25\ncurve = [[0, 0], [20, 400], [40, 2000]]"


@cache
def document(text=TEXT):
    return parse_car(text, "brisk-14")


def test_braking_says_which_axle_locks_first_from_where_and_what_share_would_be_even():
    car = car_as_found(document())
    behind = replace(car, driveline=replace(car.driveline, brake_front_share=0.72))
    first, from_there, even = _locking(behind, "on a road")

    assert first == "The rear wheels lock first, from 0.74 g, on a road."
    assert "less than 0.50 g of braking the front locks first" in from_there
    assert even.startswith("With 80 % in front both would lock together")
    assert _locking(replace(car, driveline=replace(car.driveline, brake_front_share=0.9)), "on a road")[0].startswith(
        "The front wheels lock first"
    )


def test_ride_says_that_comfort_does_not_hold_on_a_car_near_its_rubbers():
    for text, told in ((TEXT, False), (TEXT.replace(GAP, GAP.replace("25", "4")), True)):
        assert told is (text != TEXT)
        car = document(text)
        remarks = road_table([ridden("found", car, car_as_found(car), ("B", 80 / 3.6), None)], "B", 80 / 3.6).remarks
        near = [remark for remark in remarks if "from its bump rubbers" in remark]
        assert bool(near) is told
        assert all("does not hold" in remark and "A road bump of" in remark for remark in near)


def test_held_tyres_add_the_whole_car_s_swing_over_its_feet_to_the_inertia():
    """Steiner: twice the kinetic energy held, less that free, is mass times the speed squared of the centre over the feet.

    Both speeds are taken from positions a little to each side, not from the slopes that the program uses.
    """
    car = car_as_found(document())
    own = body_inertia(car, whole_inertia(document()))
    motions = small_motions(car, own)
    more = held(motions, own).mass - motions.undamped.mass
    rest = at_rest(car, steady()).freedoms
    size = 1e-5
    for k in range(FREEDOMS):
        ways = []
        for sense in (1.0, -1.0):
            at = rest + sense * size * np.eye(FREEDOMS)[k]
            paths = tuple(
                one.at(at[:, travels], np.zeros(1))[0] for one, travels in zip(car.axles, TRAVELS, strict=True)
            )
            now = acted(car, at, paths, steady())
            mass = float(car.body_masses()[0].sum())
            hanging = (car.unsprung * now.centre[0, ..., 1]).sum()
            ways.append((mass * now.body_centre[0, 1] + hanging) / car.mass - now.foot[0, ..., 1].mean())
        speed = (ways[0] - ways[1]) / (2 * size)
        assert more[k, k] == pytest.approx(car.mass * speed**2, rel=1e-4, abs=1e-6)


@pytest.mark.parametrize(
    ("front", "rear", "farthest", "told"), [(None, 8.0, 9.0, 8.0), (8.5, None, 9.0, 9.0), (None, None, 7.0, 7.0)]
)
def test_a_car_that_tips_or_jacks_before_its_rear_wheel_lifts_goes_no_further_than_there(front, rear, farthest, told):
    assert _stays_down(TurnLimit(front, rear, farthest, PathEnd.NO_REST, Manner.TIPS)) == told

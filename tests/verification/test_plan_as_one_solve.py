"""A plan settled a second way: every wish at once, by the whole car as one mechanism put to rest by multipliers.

The settings that a plan tells are put on the car, the car is let down by the second method, and all wishes are read of the
mechanism there: what is missed of each is less than the steps of what is set are worth. Where more is wished than springs
can give, the seats are those of a bounded search (SciPy's `least_squares`) over whole cars let down so.
"""

from __future__ import annotations

import math
from functools import cache
from importlib.resources import files
from itertools import product
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import least_squares

from jounce.car.file.quantity import Measured
from jounce.case.case import Case
from jounce.conventions.axes import CORNERS, End, Side
from jounce.conventions.units import DEG, MM
from jounce.job.file import read_job
from jounce.job.spring_moved import spring_moved
from jounce.layouts.naming import SIDES, named, outward
from tests.reference.whole_car import car_on_tyres, settle

DEMO = Path(str(files("jounce.demo")))
JOBS = ["burnet-17", "comfrey-20", "tansy-11", "yarrow-12"]
"""A four-link beam with its rod; wishbones and five links; trailing arms on bars; wishbones on bars, a beam on its rod."""
AS_GOOD = 0.05 * DEG  # teeth this near to the best are chosen by the fewest that are moved
CROSS = 0.001 / MM  # of the cross weight counts as much as a length


@cache
def case(name):
    job, car = read_job(DEMO / f"{name}-lower.toml")
    return Case(car, job)


def stood(one, more=None):
    """The planned car at rest by the second method, each spring displaced by so much more."""
    planned, by = one.plan.planned, dict(more or {})
    joints = {name: value for state in planned.states.values() for name, value in (state.settings or {}).items()}
    whole = car_on_tyres(*planned.models, one.planned.document.mass.centre_of_gravity_height.value)
    elements = {**planned.models[0].elements, **planned.models[1].elements}
    for corner, way in by.items():
        name = named(*corner, "main_spring")
        elements[name] = spring_moved(elements[name], way)
    return whole, settle(whole, elements, joints, planned.sits.travel)


def missed(one, sits):
    """Heights and cross weight, as lengths."""
    lower = [sits.travel[corner] - one.wishes.lower[corner] for corner in CORNERS]
    return np.array([*lower, (sits.cross_share - one.wishes.cross_share) / CROSS])


def half_steps(one):
    """How far a spring may be from where it would be set anywhere: to the next of its places."""
    found = {}
    for axle, settings in one.plan.settings.items():
        for side, seat in settings.seats.items():
            thread = one.planned.document.axle(End(axle)).side(Side(side)).perch
            if seat.turns is not None:
                found[axle, side] = thread.pitch.value / 4  # the second nearest where both together miss less
        for side in settings.bars:
            bar = one.planned.document.axle(End(axle)).side(Side(side)).torsion_bar
            found[axle, side] = math.pi / math.lcm(bar.splines_arm, bar.splines_anchor) + AS_GOOD
    return found


@pytest.mark.parametrize("name", JOBS)
def test_every_wish_is_met_within_the_steps_by_a_second_method(name):
    one = case(name)
    whole, sits = stood(one)
    room = np.zeros(5)
    for corner, step in half_steps(one).items():
        room += np.abs(missed(one, stood(one, {corner: step})[1]) - missed(one, sits))

    assert np.all(np.abs(missed(one, sits)) <= room)
    for axle, wishes in one.wishes.axles.items():
        for side in SIDES:
            if wishes.angles.toe is not None:
                told = whole.mechanism.taken([named(axle, side, "toe")]).values(sits.pose)[0, 0]
                assert told == pytest.approx(wishes.angles.toe[side], abs=1e-9)
            if wishes.angles.camber is not None:
                told = whole.mechanism.taken([named(axle, side, "road_cosine")]).values(sits.pose)[0, 0]
                assert told == pytest.approx(-outward(side) * math.sin(wishes.angles.camber[side]), abs=1e-9)
        rod = one.plan.settings[axle].rod
        if rod is not None:
            told = whole.mechanism.taken([named(axle, "shift")]).values(sits.pose)[0, 0]
            quarter = one.planned.document.axle(End(axle)).panhard.thread_pitch.value / 4
            assert abs(told) <= quarter / 2


@cache
def over_wished():
    """One axle of a car on threaded seats is to lean and the other not: heights and cross weight contradict each other."""
    job, car = read_job(DEMO / "campion-22-lower.toml")
    asked = {
        f"{side}_height": Measured(car.heights.corner("front", Side(side)).value - (25 + 6 * (side == "right")) * MM)
        for side in SIDES
    }
    wanted = job.wanted.model_copy(update={"front": job.wanted.front.model_copy(update={"lower": None, **asked})})
    return Case(car, job.model_copy(update={"wanted": wanted}))


def test_what_is_over_wished_is_missed_least_by_a_bounded_search_of_whole_cars():
    one = over_wished()
    seats = {(axle, side): seat for axle, own in one.plan.settings.items() for side, seat in own.seats.items()}
    threads = [one.planned.document.axle(End(axle)).side(Side(side)).perch for axle, side in seats]
    set_to = np.array([seat.seat for seat in seats.values()])

    def of(places):
        return missed(one, stood(one, zip(seats, places - set_to, strict=True))[1]) / MM

    ends = tuple(np.array([getattr(thread, end).value for thread in threads]) for end in ("lowest", "highest"))
    best = least_squares(of, np.clip(set_to, *ends), bounds=ends, x_scale=MM, xtol=1e-9, ftol=1e-9, diff_step=1e-3)

    assert np.sqrt(2 * best.cost) > 2  # mm: the wishes contradict each other
    assert [seat.wanted for seat in seats.values()] == pytest.approx(best.x, abs=2e-5)
    assert [*one.plan.at_odds.lower_by.values()] == pytest.approx(of(best.x)[:4] * MM, abs=2e-6)
    around = [
        of(set_to + np.array(way))
        for way in product((-0.5 * MM, 0.0, 0.5 * MM), repeat=len(seats))
        if sum(map(bool, way)) == 1
    ]
    assert np.sum(of(set_to) ** 2) <= min(np.sum(other**2) for other in around)

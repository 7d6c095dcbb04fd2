"""A whole plan against one bounded search over everything that is set on a car, on cars that are no demo cars.

Springs, slots, links, rods, shims and brackets are unknowns together; SciPy's `least_squares` starts from the joints as
found and from springs that are millimetres off. What can be met exactly counts so much that nobody trades it for a height:
a wheel steered by twenty degrees would shift weight too. An angle whose slots end is missed where the car stands; it bends
no height, so all plates and rods are searched once more with the springs as they are.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from scipy.optimize import least_squares

from jounce.behaviour.axle.motions import AxleStates
from jounce.behaviour.axle.travel import column_map, states_table
from jounce.behaviour.road.of_document import car_of
from jounce.behaviour.road.static_car import settle
from jounce.behaviour.road.weigh import with_settings
from jounce.checks.set_up import height_steps
from jounce.conventions.axes import CORNERS, ENDS, End
from jounce.conventions.units import DEG, MM
from jounce.job.apply import planned_document, wishes_of
from jounce.job.document import Change
from jounce.job.plan import car_before, make_plan
from jounce.job.settings import joints_set, trailing_of
from jounce.job.step_worth import half_steps_worth
from jounce.layouts.adjusters import is_shim
from jounce.layouts.naming import SIDES, named, outward
from tests.odd_cars import AT_ODDS, RAISED, odd_case
from tests.without_steps import without_steps

pytestmark = pytest.mark.validation_long

CROSS = 0.001  # of the weight counts as much as a millimetre
FIRST = 300.0  # that a degree, or a millimetre of the axle's middle, counts beside a millimetre of height
MET = 0.01 * DEG
HELD = 0.005  # mm by which springs may stand elsewhere: their slopes in a plan hold what sets the angles
SHIMS = 0.001  # degrees by which hub shims move a thrust line that was set before them


def job_of(case):
    """Its change list without wishes that turn on another round of plans: bump steer, drop links."""
    job = case.change_list
    changes, wanted = {}, {}
    for end in ENDS:
        changes[str(end)] = job.change.of(end).model_copy(update={"rack": None, "tie_rod_spacer": None})
        wanted[str(end)] = job.wanted.of(end).model_copy(update={"bump_steer": None, "free_bars": None})
    change = Change(mass=job.change.mass, **changes)
    return job.model_copy(update={"change": change, "wanted": job.wanted.model_copy(update=wanted)})


@cache
def planned(car, *, stepless):
    case = odd_case(car)
    job = job_of(case)
    job = without_steps(job) if stepless else job
    document = planned_document(case.car, job)
    wishes = wishes_of(document, job)
    return document, wishes, make_plan(case.car, document, wishes, car_before(case.car))


class Searched:
    """Everything that is set on a car: names, ends and what a setting misses."""

    def __init__(self, car, *, at_ends):
        self.at_ends = at_ends
        self.document, self.wishes, self.plan = planned(car, stepless=True)
        self.models = self.plan.planned.models
        self.short = {(lack.axle, lack.wish) for lack in self.plan.short}
        self.values = {k: v for s in self.plan.planned.states.values() for k, v in (s.settings or {}).items()}
        found = {
            name: float(model.stand.reference_values([name])[0, 0])
            for model in self.models
            for name in self.values
            if name.startswith(model.name + ".")
        }
        self.joints, ends, self.start, self.springs = [], [], [], []
        for number, axle in enumerate(("front", "rear")):
            wish, settings = self.wishes.axles[axle], self.plan.settings[axle]
            for aim, word in joints_set(self.document.axle(End(axle)), wish.angles).items():
                if aim in ("camber", "caster", "toe") and wish.angles.of(aim) is not None:
                    for side in SIDES if at_ends or (axle, aim) not in self.short else ():
                        name = named(axle, side, word)
                        self.joints.append({name: 1.0})
                        ends.append(self.ends_of(aim, word, side, wish.angles))
                        self.start.append(found[name] - self.values[name])
            if settings.bracket is not None:
                name = named(axle, "watt_bracket")
                self.joints.append({name: 1.0})
                ends.append((-(wish.bracket.right or 1.0), wish.bracket.left or 1.0))
                self.start.append(found[name] - self.values[name])
            if settings.trailing is not None:
                links = trailing_of(self.document.axle(End(axle)))
                both = {
                    name: way
                    for side, way in zip(SIDES, (1.0, -1.0), strict=True)
                    for name in links.of_side(axle, side)
                }
                self.joints.append(both)
                ends.append((-wish.trailing.most, wish.trailing.most))
                self.start.append(0.003)
            for side in () if at_ends else SIDES:
                low, high = -1.0, 1.0
                if (seat := settings.seats.get(side)) is not None:
                    perch = self.document.axle(End(axle)).side("left").perch
                    low, high = perch.lowest.value - seat.seat, perch.highest.value - seat.seat
                self.springs.append((number, SIDES.index(side), low, high))
        place = [self.values[next(iter(one))] - found[next(iter(one))] for one in self.joints]
        self.ends = np.array([(low - at, high - at) for (low, high), at in zip(ends, place, strict=True)])
        self.ends = np.vstack((self.ends, np.reshape([one[2:] for one in self.springs], (-1, 2))))

    @staticmethod
    def ends_of(aim, word, side, angles):
        """Least and most that a joint's value grows from as found [m or rad]."""
        if aim in angles.links:
            link = angles.links[aim]
            return -(link.shorter or 1.0), link.longer or 1.0
        if is_shim(word):
            most = angles.shims.end_before(1.0)
            return (-1.0, 1.0) if most is None else (-most, most)
        if aim == "toe":
            return -(angles.rods.shorter or 1.0), angles.rods.longer or 1.0
        ways = np.clip(angles.slots.ends(aim), -1.0, 1.0)
        return tuple(sorted((-outward(side) if aim == "camber" else -1.0) * ways))

    def missed(self, more):
        joints = dict(self.values)
        for one, by in zip(self.joints, more, strict=False):
            joints |= {name: joints[name] + way * by for name, way in one.items()}
        springs = np.zeros((2, 2))
        for (axle, side, *_), by in zip(self.springs, more[len(self.joints) :], strict=True):
            springs[axle, side] = by
        stands = settle(
            with_settings(car_of(self.document, *self.models, joints), springs), self.plan.planned.sits.travel
        )
        miss = [(stands.travel[corner] - self.wishes.lower[corner]) / MM for corner in CORNERS]
        miss.append((stands.cross_share - self.wishes.cross_share) / CROSS)
        for model in self.models:
            own = {name: value for name, value in joints.items() if name.startswith(model.name + ".")}
            at = {side: stands.travel[model.name, side] for side in SIDES}
            states = AxleStates(**at, settings=own, attitude=(stands.pitch, stands.roll))
            table = column_map(states_table(model.stand, model.linkage, states, (1.0, 1.0)))
            angles = self.wishes.axles[model.name].angles
            for aim in ("camber", "caster", "toe"):
                short = (model.name, aim) in self.short
                for side, wanted in (angles.of(aim) or {}).items() if self.at_ends or not short else ():
                    weight = 1.0 if self.at_ends and aim != "toe" else FIRST
                    miss.append(weight * (table[f"{side}_{aim}"][0] - wanted) / DEG)
            if self.plan.settings[model.name].bracket is not None:
                miss.append(FIRST * table["axle_shift"][0] / MM)
            if self.plan.settings[model.name].trailing is not None and angles.toe is None:
                points = (table["right_toe"][0] - table["left_toe"][0]) / 2
                miss.append(FIRST * (points - self.wishes.axles[model.name].trailing.thrust) / DEG)
        return np.array(miss)


def best_of(searched, start):
    low, high = (searched.ends + np.array([-1e-9, 1e-9])).T
    begun = np.clip(start, low, high)
    found = least_squares(searched.missed, begun, bounds=(low, high), x_scale=MM, xtol=1e-10, ftol=1e-12, gtol=1e-12)
    assert found.cost < 0.9 * np.sum(searched.missed(begun) ** 2) / 2
    return found


@pytest.mark.parametrize("car", [RAISED, AT_ODDS])
def test_no_other_settings_of_everything_at_once_miss_less(car):
    searched = Searched(car, at_ends=False)
    ours = searched.missed(np.zeros(len(searched.ends)))
    off = [0.004, -0.003, 0.002, 0.005]
    best = best_of(searched, np.array([*searched.start, *off]))

    assert np.sum(ours[:5] ** 2) <= np.sum(best.fun[:5] ** 2) * (1 + 1e-3) + 1e-6
    assert ours[:5] == pytest.approx(best.fun[:5], abs=HELD)  # mm, tenths of a per cent
    assert ours[5:] == pytest.approx(best.fun[5:], abs=FIRST * SHIMS)  # degrees, mm


def test_slots_at_their_ends_miss_as_little_as_any_place_of_all_plates_and_rods():
    searched = Searched(RAISED, at_ends=True)
    ours = searched.missed(np.zeros(len(searched.ends)))[5:]
    best = best_of(searched, np.array(searched.start)).fun[5:]

    assert {("front", "camber"), ("front", "caster")} <= searched.short
    short = 2 * len(searched.short)  # camber and caster of both wheels come first
    assert np.sum(ours[:short] ** 2) <= np.sum(best[:short] ** 2) * (1 + 1e-4)
    assert ours[short:] == pytest.approx(0.0, abs=FIRST * SHIMS)


@pytest.mark.parametrize("car", [RAISED, AT_ODDS])
def test_real_steps_end_within_half_a_step_of_what_could_be_reached(car):
    document, wishes, real = planned(car, stepless=False)
    _, _, exact = planned(car, stepless=True)
    bars, seats = height_steps(document, real, wishes)
    for corner in CORNERS:
        apart = real.planned.sits.travel[corner] - exact.planned.sits.travel[corner]
        assert abs(apart) <= bars + seats, corner
    for corner in CORNERS:
        axle, side = corner
        angles = wishes.axles[axle].angles
        joints = joints_set(document.axle(End(axle)), angles)
        worth = half_steps_worth(real, corner, joints, angles, MET)
        for aim, half in worth.items():
            both = [
                next(float(c.values[0]) for c in plan.planned.geometry[axle].columns if c.name == f"{side}_{aim}")
                for plan in (real, exact)
            ]
            assert abs(both[0] - both[1]) <= half + 0.02 * DEG, (corner, aim)  # where the rounded springs put it

"""Every demo job planned as one solve: no other setting of its adjusters, within their ends, misses less."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from importlib.resources import files
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import least_squares

from jounce.behaviour.axle.travel import column_map, states_table
from jounce.behaviour.road.of_document import car_of
from jounce.behaviour.road.weigh import on_scales, with_settings
from jounce.car.file.quantity import Measured
from jounce.car.parts.changed import JointSlots
from jounce.conventions.axes import CORNERS, ENDS
from jounce.conventions.units import DEG, MM
from jounce.job.apply import planned_document, wishes_of
from jounce.job.file import read_job
from jounce.job.fitting import parts_taken
from jounce.job.plan import make_plan
from jounce.layouts.naming import SIDES, named

pytestmark = pytest.mark.validation_long

JOBS = sorted(Path(str(files("jounce.demo"))).glob("*-lower.toml"))
BY_NAME = [path.stem for path in JOBS]
WAY = 0.6 * MM  # that is left in slots: too little for what is wanted
MORE = {"camber": -2.5 * DEG, "caster": 5 * DEG}
RODS = 20 * MM  # that is left on the threads of tie rods: enough
TOE_FIRST = 1e4  # a rod always sets the toe, and nobody gives it up for a little camber


@cache
def read(path):
    return read_job(path)


def squeezed(path):
    """A demo job whose slots are nearly at their ends, and which wants more of every angle that can be set."""
    job, found = read(path)
    changes, wanted = {}, {}
    for end in ENDS:
        taken, change, asked = parts_taken(found.axle(end)), job.change.of(end), job.wanted.of(end)
        new, angles = {}, {}
        way = Measured(WAY)
        for key in ("top_plate", "upper_joint"):
            if key in taken:
                new[key] = JointSlots(reach_inward=way, reach_outward=way, reach_fore=way, reach_rear=way)
                aims = {one.sets for one in found.axle(end).as_layout().adjusters}
                angles |= {aim: Measured(most) for aim, most in MORE.items() if aim in aims}
        if "toe_rod" in taken:
            angles["toe"] = Measured(0.3 * DEG)
        changes[str(end)] = change.model_copy(update=new)
        wanted[str(end)] = asked.model_copy(update=angles)
    return job.model_copy(
        update={"change": job.change.model_copy(update=changes), "wanted": job.wanted.model_copy(update=wanted)}
    ), found


@pytest.mark.parametrize("path", JOBS, ids=BY_NAME)
def test_plates_and_rods_at_their_ends_miss_no_more_than_a_bounded_search_over_all_of_them(path):
    """The axle held where the planned car stands; the search sets every plate and rod of the axle at once."""
    job, found = squeezed(path)
    plan = make_plan(found, planned_document(found, job), wishes_of(found, job))
    looked = 0
    for number, end in enumerate(ENDS):
        adjusters = [one for one in found.axle(end).as_layout().adjusters if one.sets in ("camber", "caster", "toe")]
        adjusters = [one for one in adjusters if not one.joint.startswith("shim")]
        if not adjusters:
            continue
        looked += 1
        model, states = plan.planned.models[number], plan.planned.states[str(end)]
        joints = [named(str(end), side, one.joint) for side in SIDES for one in adjusters]
        start = model.stand.reference_values(joints)[0]
        aims = [(side, one.sets) for side in SIDES for one in adjusters]

        def missed(more, model=model, states=states, joints=joints, start=start, aims=aims, end=end):
            put = {**states.settings, **dict(zip(joints, start + more, strict=True))}
            table = column_map(states_table(model.stand, model.linkage, replace(states, settings=put), (1.0, 1.0)))
            return np.array(
                [
                    (TOE_FIRST if aim == "toe" else 1.0)
                    * (table[f"{side}_{aim}"][0] - job.wanted.of(end).of_wheel(aim, side).value)
                    / DEG
                    for side, aim in aims
                ]
            )

        ends = np.array([RODS if aim == "toe" else WAY for _, aim in aims])
        zero = np.zeros(len(joints))
        best = least_squares(missed, zero, bounds=(-ends, ends), x_scale=MM, xtol=1e-13, ftol=1e-13, gtol=1e-13)
        ours = np.array([states.settings[joint] for joint in joints]) - start

        assert np.all(np.abs(ours) <= ends + 1e-12)
        assert np.sum(missed(ours) ** 2) <= 2 * best.cost * (1 + 1e-6) + 1e-6  # a toe off by 1e-7 deg
    assert looked


def without_steps(path):
    """A demo job whose seats go anywhere and whose bars are marked out to any turn."""
    job, found = read(path)
    changes = {}
    for end in ENDS:
        change, new = job.change.of(end), {}
        if change.perch is not None:
            new["perch"] = change.perch.model_copy(update={"pitch": Measured(4e-9)})
        if change.torsion_bar is not None:
            new["torsion_bar"] = change.torsion_bar.model_copy(update={"splines_arm": None, "splines_anchor": None})
        changes[str(end)] = change.model_copy(update=new)
    return job.model_copy(update={"change": job.change.model_copy(update=changes)}), found


@pytest.mark.parametrize("path", JOBS, ids=BY_NAME)
def test_springs_without_steps_miss_what_a_general_search_over_all_of_them_at_once_misses(path):
    """Heights and cross weight of the car let down with all that the plan set at the wheels, its springs moved."""
    job, found = without_steps(path)
    document, wishes = planned_document(found, job), wishes_of(found, job)
    plan = make_plan(found, document, wishes)
    joints = {name: value for state in plan.planned.states.values() for name, value in (state.settings or {}).items()}
    car = car_of(document, *plan.planned.models, joints)
    settings = [plan.settings[axle] for axle, _ in CORNERS]
    can = np.array(
        [bool(own.bars) or own.seats[side].turns is not None for own, (_, side) in zip(settings, CORNERS, strict=True)]
    )
    wanted = np.array([wishes.lower[corner] for corner in CORNERS])

    def missed(setting):
        stands = on_scales(with_settings(car, setting.reshape(2, 2)))
        return np.append((stands.travel.ravel() - wanted) / MM, (stands.cross_share - wishes.cross_share) / 0.001)

    ours = missed(np.zeros(4))
    best = (
        least_squares(lambda more: missed(_spread(more, can)), np.zeros(can.sum()), x_scale=MM) if can.any() else None
    )

    assert ours == pytest.approx(ours if best is None else best.fun, abs=1e-3)  # mm, tenths of a per cent


def _spread(values, where):
    every = np.zeros(len(where))
    every[where] = values
    return every

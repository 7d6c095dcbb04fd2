"""A job with a helper spring: settings and checks speak of the whole stack."""

from __future__ import annotations

from functools import cache

import pytest

from jounce.behaviour.axle.static import spring_wound
from jounce.car.parts.spring import Spring
from jounce.checks import Verdict, run_checks
from jounce.job.apply import planned_document, wishes_of
from jounce.job.file import read_job
from jounce.job.plan import make_plan
from tests.job.test_plan import JOB

HELPER = {"rate": 4, "free_length": 70, "solid_length": 22}


@cache
def planned(free_length: float, *, helper: bool):
    job, car = read_job(JOB)
    keys = {"rate": 25, "free_length": free_length, "solid_length": 110}
    spring = Spring.model_validate(keys | ({"helper": HELPER} if helper else {}))
    rear = job.change.rear.model_copy(update={"spring": spring})
    job = job.model_copy(update={"change": job.change.model_copy(update={"rear": rear})})
    document = planned_document(car, job)
    plan = make_plan(car, document, wishes_of(car, job))
    return plan, {(check.code, check.question): check for check in run_checks(job, document, plan)}


def of_code(checks, code):
    return [check for (found, _), check in checks.items() if found == code]


def test_a_helper_that_is_solid_at_rest_moves_the_seat_by_its_block_alone():
    """Solid it is a spacer of 22 mm: a main spring shorter by that stands on the same seat."""
    alone, _ = planned(262, helper=False)
    stacked, _ = planned(240, helper=True)

    for side in ("left", "right"):
        assert stacked.settings["rear"].seats[side].wanted == pytest.approx(
            alone.settings["rear"].seats[side].wanted, abs=1e-9
        )
        assert stacked.planned.axles["rear"].wheels[side].wheel_rate == pytest.approx(
            alone.planned.axles["rear"].wheels[side].wheel_rate, rel=1e-9
        )


def test_it_stays_seated_until_the_main_spring_alone_would_be_loose_by_the_helper_s_travel():
    alone, _ = planned(262, helper=False)
    stacked, _ = planned(240, helper=True)
    for side in ("left", "right"):
        loose = stacked.planned.axles["rear"].wheels[side].loose_at
        states = alone.planned.states["rear"]
        beyond = spring_wound(alone.planned.models[1], side, states, loose)

        assert beyond == pytest.approx(-0.048, abs=1e-6)


def test_checks_tell_the_stack_s_solid_length_and_whether_the_helper_works():
    _, alone = planned(262, helper=False)
    _, stacked = planned(240, helper=True)

    assert of_code(alone, "SPR-03") == []
    assert {check.verdict for check in of_code(stacked, "SPR-03")} == {Verdict.PASS}
    assert all("rest: main spring open, helper solid" in check.sentence for check in of_code(stacked, "SPR-03"))
    assert [check.limit for check in of_code(stacked, "SPR-02")] == pytest.approx([0.132, 0.132])
    for one, other in zip(of_code(alone, "SPR-02"), of_code(stacked, "SPR-02"), strict=True):
        assert other.value == pytest.approx(one.value, abs=1e-6)


def test_a_helper_too_stiff_to_close_fails():
    job, car = read_job(JOB)
    helper = {"rate": 60, "free_length": 90, "solid_length": 22}
    spring = Spring.model_validate({"rate": 25, "free_length": 240, "solid_length": 110, "helper": helper})
    rear = job.change.rear.model_copy(update={"spring": spring})
    job = job.model_copy(update={"change": job.change.model_copy(update={"rear": rear})})
    document = planned_document(car, job)
    checks = run_checks(job, document, make_plan(car, document, wishes_of(car, job)))

    assert {check.verdict for check in checks if check.code == "SPR-03"} == {Verdict.FAIL}

"""What tests share of a case is what the case tells by itself, and nothing that a test put into one is handed on."""

from __future__ import annotations

from dataclasses import replace

from jounce.car.file.reading import parse_car
from jounce.case.case import Case
from jounce.job.file import parse_job
from tests.case.jobs_beside import CAR, JOB
from tests.worked_once import each_on_its_own


def read(job: str = JOB) -> Case:
    return Case(parse_car(CAR, "the car"), parse_job(job, "the job"))


def test_cases_of_the_same_documents_share_what_each_tells_by_itself():
    one, other = read(), read()
    shared = one.found, one.plan, one.checks
    with each_on_its_own():
        alone = read()
        assert alone.found is not shared[0]
        assert alone.plan is not shared[1]
        told = [(row.key, row.planned) for row in alone.rows]

    assert other.found is shared[0]
    assert other.plan is shared[1]
    assert other.checks is shared[2]
    assert [(row.key, row.planned) for row in other.rows] == told
    assert [check.sentence for check in other.checks] == [check.sentence for check in alone.checks]
    assert read(JOB.replace("lower = 35", "lower = 34")).plan is not shared[1]


def test_what_a_test_puts_into_a_case_is_not_handed_on():
    own = read()
    vars(own)["plan"] = replace(read().plan)

    assert own.planned is not read().planned
    assert own.checks is not read().checks
    assert own.planned.plan is own.plan

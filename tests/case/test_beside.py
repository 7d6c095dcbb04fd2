"""Jobs beside each other: every number is that of the job worked out by itself, and none of them spoils another."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from jounce.car.file.reading import parse_car
from jounce.case.beside import LETTERS, BesideRow, beside
from jounce.case.case import Case
from jounce.checks import Verdict
from jounce.conventions.constants import GRAVITY
from jounce.conventions.errors import InputError
from jounce.job.file import parse_job
from jounce.questions.side_by_side import (
    alike,
    beside_tables,
    beside_values,
    both,
    check_rows,
    failing,
    furthest_apart,
    parts_apart,
    refusals,
)
from tests.case.jobs_beside import CAR, JOB, SOFTER, TOO_LOW, WITHOUT_BAR, job_on, set_beside
from tests.workbench import demo_text

NO_RUBBERS = re.sub(r"(?ms)^\[rear\.bump_stop\].*?(?=^\[)", "", CAR)
WITHOUT_RUBBERS = re.sub(r"(?ms)^\[change\.rear\.bump_stop\].*?(?=^\[)", "", JOB)


def alone(job: str, car: str = CAR) -> Case:
    """A job that shares nothing with another one."""
    return Case(parse_car(car, "the car"), parse_job(job, "the job"))


def by_key(rows: tuple[BesideRow, ...]) -> dict[str, BesideRow]:
    return {row.key: row for row in rows}


@pytest.mark.usefixtures("worked_anew")
def test_the_table_is_what_each_job_alone_says():
    """Second method: the same jobs worked out one by one, each with a car as found of its own."""
    jobs = (JOB, SOFTER, WITHOUT_BAR)
    found = set_beside(*jobs)

    for k, job in enumerate(jobs):
        case = alone(job)
        assert [row.key for row in case.rows] == [row.key for row in found.rows]
        for row, own in zip(found.rows, case.rows, strict=True):
            assert (row.found, row.planned[k]) == (own.found, own.planned), row.key
            assert (row.found_band, row.planned_bands[k]) == (own.found_band, own.planned_band), row.key
            assert (row.label, row.kind) == (own.label, own.kind)
        assert [check.verdict for check in found.variants[k].checks] == [one.verdict for one in case.every_check]
    assert [one.letter for one in found.variants] == ["A", "B", "C"]


@pytest.mark.usefixtures("worked_anew")
def test_the_car_as_found_is_worked_out_once():
    car = Case(parse_car(CAR, "the car"))
    found = beside([car.with_job(parse_job(job, "the job")) for job in (JOB, SOFTER)])

    assert found.variants[0].case.found is found.variants[1].case.found is found.car.found


def test_a_job_beside_itself_shows_no_difference():
    found = set_beside(JOB, JOB, JOB, JOB)

    assert {row.spread for row in found.rows} <= {0.0, None}
    assert sum(row.spread == 0.0 for row in found.rows) > 50
    assert furthest_apart(found, "metric") == "The jobs differ in none of these numbers."
    assert len(parts_apart(found, "metric")) == 1  # all of them are parts of all


def test_what_differs_most_is_told_where_it_is():
    """The bar in the tube stiffens the rear in roll alone: by its rate at the wheels, and with it the front's share."""
    found = set_beside(JOB, WITHOUT_BAR)
    row = by_key(found.rows)["rear.roll_stiffness"]
    told = furthest_apart(found, "metric")

    assert row.spread == abs(row.planned[0] - row.planned[1]) > 0
    assert f"{row.spread * 0.0174533:.2f} N·m/deg (rear)" in told
    assert "front share of roll stiffness" in told.lower()
    assert "ride frequency" not in told  # less than a tenth of what the jobs change
    assert parts_apart(found, "metric")[1:] == [
        "Parts of A besides: bar inside the rear tube, 19.0 mm, active length 1100.0 mm, code IB-19."
    ]


@pytest.mark.parametrize(("share", "opens"), [(0.09, "The jobs differ by less"), (0.11, "Where the jobs differ most")])
def test_differences_of_less_than_a_tenth_of_what_is_changed_are_called_small(share, opens):
    """The same job, and one that changes every number a little less."""
    one = set_beside(JOB, JOB)
    less = [
        replace(row, planned=row.planned - share * row.difference) for row in one.variants[1].rows if row.difference
    ]
    found = replace(one, variants=(replace(one.variants[0], rows=tuple(less)), one.variants[1]))

    assert furthest_apart(found, "metric").startswith(opens)


def test_rows_are_alike_where_every_job_that_can_be_shows_the_same():
    found = set_beside(JOB, TOO_LOW, WITHOUT_BAR)
    rows = by_key(found.rows)

    assert alike(found, rows["front.left.toe"], "metric")
    assert not alike(found, rows["rear.roll_stiffness"], "metric")
    one = set_beside(JOB, TOO_LOW)
    assert not any(alike(one, row, "metric") for row in one.rows)


def test_a_plan_that_cannot_be_says_so_in_its_column_and_leaves_the_others():
    found, without = set_beside(JOB, TOO_LOW, SOFTER), set_beside(JOB, SOFTER)

    for row, other in zip(found.rows, without.rows, strict=True):
        assert (row.found, row.planned[0], row.planned[2]) == (other.found, *other.planned)
        assert row.planned[1] is None
        assert row.spread == other.spread
    assert found.variants[1].checks == ()
    assert refusals(found)[0].startswith("B cannot be. wanted.front: The front cannot be lowered by 149.0 mm")
    assert check_rows(found)[0] == ("the plan", ["can be", "cannot be", "can be"])
    assert {cells[1] for _, cells in check_rows(found)[1:]} == {"–"}
    told = [row for table in beside_tables(found, "metric") for row in table.rows]
    assert all(isinstance(row.values[2], str) and row.band(2) == 0.0 for row in told)


def test_where_no_plan_can_be_the_car_as_found_is_still_told():
    found = set_beside(TOO_LOW, TOO_LOW)
    told = {row.key: (row.found, row.found_band) for row in job_on(JOB).rows}

    assert {row.key: (row.found, row.found_band) for row in found.rows} == told
    assert {row.planned for row in found.rows} == {(None, None)}
    assert furthest_apart(found, "metric") == ""


@pytest.mark.parametrize("jobs", [(JOB, WITHOUT_RUBBERS), (WITHOUT_RUBBERS, JOB)], ids=["first", "second"])
def test_a_row_that_one_job_lacks_stands_in_its_place(jobs):
    """A car without bump rubbers behind, and one job of two that fits some."""
    found = set_beside(*jobs, car=NO_RUBBERS)
    row = by_key(found.rows)["rear.left.rubber_at"]
    fitted = jobs.index(JOB)

    assert (row.found, row.planned[1 - fitted], row.spread) == (None, None, None)
    assert row.planned[fitted] == job_on(JOB, NO_RUBBERS).row("rear.left.rubber_at").planned
    assert [one.key for one in found.rows] == [one.key for one in job_on(JOB, NO_RUBBERS).rows]


def test_loads_are_told_as_the_scales_do_where_a_shop_reads_them():
    found = set_beside(JOB, SOFTER)
    force, mass = by_key(found.rows)["rear.left.load"], by_key(found.weighed)["rear.left.load"]

    assert mass.values == pytest.approx([value / GRAVITY for value in force.values if value is not None], rel=1e-12)
    assert mass.kind is not force.kind


def test_checks_that_fail_are_named_by_their_job():
    found = set_beside(JOB, SOFTER)
    counts = dict(check_rows(found))

    assert len(failing(found, "metric")) == 1
    assert failing(found, "metric")[0].startswith("B fails LDN-01: ")
    assert counts["checks that fail"] == ["0", "1"]
    for k, one in enumerate(found.variants):
        assert sum(int(cells[k]) for cells in counts.values()) == len(one.checks)


def test_what_several_jobs_fail_is_said_once_with_what_each_misses_by():
    """Two alike say the same; two that miss by other numbers say the question once."""
    told = failing(set_beside(JOB, SOFTER, SOFTER), "metric")

    assert [line.split(":")[0] for line in told] == ["B and C fail LDN-01"]
    low, lower = (SOFTER.replace("lower = 35", f"lower = {mm}") for mm in (58, 61))
    apart = [
        line for line in failing(set_beside(low, lower), "metric") if line.startswith("A and B fail") and " A: " in line
    ]
    assert apart
    assert all(line.count("?") == 1 and " B: " in line for line in apart)


def test_cars_that_say_the_same_are_one_car_and_others_are_refused():
    same = Case(parse_car(f"# another file\n{CAR}", "the car"), parse_job(SOFTER, "the job"))
    heavier = Case(parse_car(CAR.replace("290 kg ± 1 kg", "291 kg ± 1 kg"), "the car"), same.job)
    other = Case(parse_car(demo_text("sedge-13.toml"), "the car"), same.job)

    assert len(beside([job_on(JOB), same]).variants) == 2
    with pytest.raises(InputError, match='"Softer behind" of Sedge 13'):
        beside([job_on(JOB), other])
    assert heavier.car != job_on(JOB).car
    with pytest.raises(InputError, match="of another Brisk 14"):
        beside([job_on(JOB), heavier])


@pytest.mark.parametrize("count", [0, 1, 5])
def test_two_to_four_stand_beside_each_other(count):
    with pytest.raises(InputError, match=f"found {count}; allowed: 2 to 4"):
        beside([job_on(JOB)] * count)

    assert len(LETTERS) == 4


def test_the_values_for_programs_are_those_of_the_rows():
    found = set_beside(JOB, TOO_LOW, SOFTER)
    told = beside_values(found)

    assert [one["worst"] for one in told["jobs"]] == ["unknown", None, "FAIL"]
    assert [row["planned"] for row in told["rows"]] == [list(row.planned) for row in found.rows]
    failed = [check["code"] for check in told["jobs"][2]["checks"] if check["verdict"] == Verdict.FAIL.value]
    assert failed == ["LDN-01"]


def test_letters_are_listed_as_a_sentence_does():
    assert [both(one) for one in ("A", "AB", "ABD")] == ["A", "A and B", "A, B and D"]

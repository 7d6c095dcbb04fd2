"""Thousands of files with slips in them: no error but the program's own, nothing without an end, no NaN in what is told."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest

from jounce.car.file.reading import parse_car
from tests import mutants
from tests.mutants import (
    CARS,
    JOB,
    AxleSpec,
    as_toml,
    demo,
    moved,
    planned,
    quick_look,
    tried_car,
    tried_job,
    with_slips,
)

FIRST, MANY, AT_A_TIME = 120, 5000, 100
JOBS, MANY_JOBS = 4, 100


@pytest.fixture(scope="module", autouse=True)
def compiled(tmp_path_factory: pytest.TempPathFactory) -> None:
    """What is compiled at its first use ever after an installation takes a minute, which is no work without an end."""
    folder = tmp_path_factory.mktemp("sound")
    for name in ("brisk-14", JOB):
        (folder / f"{name}.toml").write_text(as_toml(demo(name)), encoding="utf-8")
    for car in ("brisk-14", "sorrel-21"):
        quick_look(parse_car(as_toml(demo(car)), car))
    moved(folder / "brisk-14.toml")
    planned(folder / f"{JOB}.toml")


def faults_of_cars(seeds: range, folder: Path) -> tuple[list[str], Counter[str]]:
    """What went wrong with the cars of these seeds, and how many were refused and worked."""
    wrong, counted = [], Counter[str]()
    for seed in seeds:
        car = CARS[seed % len(CARS)]
        slips, written = with_slips(car, seed)
        answer = tried_car(as_toml(written), folder / "car.toml")
        counted[answer.how] += 1
        if answer.how == "fault":
            wrong.append(f"{car}, seed {seed}: {slips[:300]}: {answer.what}")
    return wrong, counted


def answer_to_job(seed: int, folder: Path, *, whole: bool) -> tuple[str, AxleSpec]:
    """A job with slips on a sound car, or a sound job on a car with slips; its plan alone, or all that is told of it."""
    slips, written = with_slips(JOB if seed % 2 else "brisk-14", seed)
    job, car = (written, demo("brisk-14")) if seed % 2 else (demo(JOB), written)
    (folder / "brisk-14.toml").write_text(as_toml(car), encoding="utf-8")
    return slips, tried_job(as_toml(job), folder / "job.toml", whole=whole)


@pytest.mark.validation_long
def test_some_cars_with_slips_are_refused_or_worked_out(tmp_path: Path) -> None:
    wrong, counted = faults_of_cars(range(FIRST), tmp_path)
    assert not wrong, "\n".join(wrong)
    assert min(counted["refused"], counted["worked"]) > FIRST // 5, counted


def test_some_jobs_with_slips_are_refused_or_worked_out(tmp_path: Path) -> None:
    answers = [(seed, *answer_to_job(seed, tmp_path, whole=False)) for seed in range(JOBS)]
    assert not [(seed, slips, answer.what) for seed, slips, answer in answers if answer.how == "fault"]


@pytest.mark.validation_long
@pytest.mark.parametrize("first", range(0, MANY, AT_A_TIME))
def test_thousands_of_cars_with_slips_are_refused_or_worked_out(first: int, tmp_path: Path) -> None:
    wrong, _ = faults_of_cars(range(first, first + AT_A_TIME), tmp_path)
    assert not wrong, "\n".join(wrong)


@pytest.mark.validation_long
@pytest.mark.parametrize("first", range(0, MANY_JOBS, 5))
def test_hundreds_of_jobs_with_slips_are_refused_or_worked_out(first: int, tmp_path: Path) -> None:
    answers = [(seed, *answer_to_job(seed, tmp_path, whole=True)) for seed in range(first, first + 5)]
    assert not [(seed, slips, answer.what) for seed, slips, answer in answers if answer.how == "fault"]


def test_what_is_counted_would_be_seen() -> None:
    """The counter itself: each kind of fault, made on purpose."""

    def fail() -> None:
        raise ZeroDivisionError

    assert mutants.told(fail).how == "fault"
    assert mutants.told(lambda: print("rate nan N/mm")).how == "fault"  # noqa: T201
    assert mutants.told(lambda: print("nanometres of finance")).how == "worked"  # noqa: T201
    assert mutants.told(lambda: [None for _ in iter(int, 1)], longest=0.2).what.startswith("no end")

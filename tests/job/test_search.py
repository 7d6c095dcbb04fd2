"""The package search: the quick way against the whole car, limits, goals, budget, executors, stop."""

from __future__ import annotations

from concurrent.futures import ProcessPoolExecutor
from functools import cache
from importlib.resources import files
from multiprocessing import get_context
from pathlib import Path

import numpy as np
import pytest

from jounce.cli.search import USUAL_PLACES
from jounce.conventions.errors import Impossible, InputError
from jounce.job.apply import planned_document, wishes_of
from jounce.job.checks import Verdict, run_checks
from jounce.job.file import read_job
from jounce.job.plan import make_plan
from jounce.job.search.build import search_space
from jounce.job.search.full import metrics_of
from jounce.job.search.goals import METRICS, Goal, usual_goals
from jounce.job.search.run import Wanted, search
from jounce.job.search.shown import packages_table, price_front_table
from jounce.job.search.slots import SLOTS, USUAL, Choosy, job_of, reasons_against, slot_named
from jounce.job.search.why_not import why_not
from jounce.job.shelf.file import read_shelf

DEMO = Path(str(files("jounce.demo").joinpath("brisk-14-lower.toml"))).parent
FEW = ("front bars", "second front roll bar", "rear dampers", "inner bar")


@cache
def shelf():
    return read_shelf(DEMO / "shelf.toml")


@cache
def space():
    job, document = read_job(DEMO / "brisk-14-lower.toml")
    return search_space(document, job, shelf(), [slot_named(name) for name in FEW])


@cache
def result():
    return search(space(), Wanted(usual_goals(), kept=30))


def test_the_quick_way_agrees_with_the_whole_car():
    """A random sample of packages, good and bad: each number of the search against exact linkages and one equilibrium.

    Frequencies to 1e-4, roll gradient to 3e-4; load transfer's share, read between rolls 0.7 degrees apart over rubbers
    that touch, to 0.2 of a hundredth; wheel lift, read between accelerations 1 m/s² apart, to 0.2 m/s².
    """
    poor = search(space(), Wanted((Goal("front_share", 0.0, 1.0),), kept=400))
    chosen = np.random.default_rng(7).choice(len(poor.found.score), 12, replace=False)
    for number in chosen:
        exact = metrics_of(space(), poor.package(int(number)))
        quick = {name: float(values[number]) for name, values in poor.found.metrics.items()}
        for name in ("front_frequency", "rear_frequency", "frequency_ratio"):
            assert quick[name] == pytest.approx(exact[name], rel=1e-4), name
        assert quick["roll_gradient"] == pytest.approx(exact["roll_gradient"], rel=3e-4)
        assert quick["front_share"] == pytest.approx(exact["front_share"], abs=2e-3)
        assert quick["rear_lift"] == pytest.approx(exact["rear_lift"], abs=0.2)


def test_every_combination_is_counted_and_the_best_are_told():
    found = result()
    sizes = [np.prod([len(group) for group in axle.choices]) for axle in space().axles]

    assert found.combinations == sizes[0] * sizes[1]
    assert found.found.looked <= found.combinations
    assert found.found.met > 0
    assert (np.diff(found.found.score) >= 0).all()
    three = found.three()
    assert found.found.price[three["good"]] <= found.found.price[three["better"]] <= found.found.price[three["best"]]
    assert found.found.fineness[three["best"]] <= found.found.fineness[three["good"]]


def test_nothing_cheaper_is_as_good_as_what_stands_on_the_price_front():
    found, front = result().found, result().price_front()

    assert (np.diff(found.price[front]) >= 0).all()
    assert (np.diff(found.score[front]) < 0).all()
    for k in front:
        cheaper = found.price < found.price[k]
        assert not (found.score[cheaper] <= found.score[k]).any()


def test_no_package_breaks_a_hard_limit():
    for axle in result().axles:
        kept = {tuple(row) for row in axle.all.chosen[axle.limits.kept]}

        assert {tuple(row) for row in axle.left.chosen} <= kept


def test_a_budget_is_kept():
    poor = search(space(), Wanted(usual_goals(), budget=300.0))

    assert len(poor.found.price)
    assert (poor.found.price <= 300.0).all()


def test_another_executor_finds_the_same():
    with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as processes:
        other = search(space(), Wanted(usual_goals(), kept=30), executor=processes)

    assert np.array_equal(other.found.front, result().found.front)
    assert np.array_equal(other.found.score, result().found.score)


def test_a_distributed_engine_finds_the_same():
    distributed = pytest.importorskip("distributed")
    with (
        distributed.LocalCluster(n_workers=1, threads_per_worker=1, processes=False, dashboard_address=None) as cluster,
        distributed.Client(cluster) as client,
    ):
        other = search(space(), Wanted(usual_goals(), kept=30), executor=client.get_executor())

    assert np.array_equal(other.found.rear, result().found.rear)


def test_a_search_that_is_stopped_tells_what_it_found():
    asked = iter([False] * 40 + [True] * 1000)
    told = []
    stopped = search(space(), Wanted(usual_goals()), progress=told.append, stop=lambda: next(asked))

    assert told == sorted(told)
    assert stopped.stopped or len(told) < 41
    with pytest.raises(Impossible, match="stopped before"):
        search(space(), Wanted(usual_goals()), stop=lambda: True)


def test_limits_that_nothing_keeps_are_told_with_their_counts():
    with pytest.raises(Impossible, match=r"No choice of front parts .* too little bump travel \(\d+\)"):
        search(space(), Wanted(usual_goals(), least_bump=0.5))


def test_why_not_a_thicker_bar():
    reasons = why_not(result(), shelf(), ["TB-27"], USUAL)

    assert any("spline diameter at the arm" in reason for reason in reasons)
    assert why_not(result(), shelf(), ["TB-25"], USUAL) != reasons
    with pytest.raises(InputError, match="No part has this code"):
        why_not(result(), shelf(), ["TB-99"], USUAL)
    with pytest.raises(InputError, match="Two parts for the front bars"):
        why_not(result(), shelf(), ["TB-23", "TB-24"], USUAL)


def test_a_part_that_is_not_looked_at_says_why():
    slot = slot_named("front bars")
    bars = list(shelf().of_kind(slot.kind))
    _, document = read_job(DEMO / "brisk-14-lower.toml")
    against = {bar.code: reasons_against(bar, slot, document, Choosy(in_stock=True)) for bar in bars}

    assert any("not in stock" in reason for reasons in against.values() for reason in reasons)
    assert any("needs" in reason for reasons in against.values() for reason in reasons)
    assert any(not reasons for reasons in against.values())


def test_a_package_is_a_job_that_can_be_worked_out():
    package = result().package(result().three()["best"])
    job = job_of(space().base, package)

    assert job.change.front.torsion_bar is not None or "front bars" not in package
    assert packages_table(result()).columns == ("good", "better", "best")
    assert price_front_table(result()).rows[0].values[-1] == pytest.approx(float(result().found.score.min()))


@pytest.mark.validation_slow
def test_the_three_packages_of_the_demo_shelf_keep_every_check_when_worked_out():
    job, document = read_job(DEMO / "brisk-14-lower.toml")
    wide = search_space(document, job, shelf(), [slot_named(name) for name in USUAL_PLACES])
    found = search(wide, Wanted(usual_goals()))
    three = found.three()

    assert found.combinations > 1_000_000
    assert len(set(three.values())) == 3
    for number in three.values():
        assert found.found.score[number] == 0.0
        packaged = job_of(wide.base, found.package(number))
        planned = planned_document(document, packaged)
        checks = run_checks(packaged, planned, make_plan(document, planned, wishes_of(document, packaged)))
        assert [check.code for check in checks if check.verdict is Verdict.FAIL] == []


@pytest.mark.parametrize(("metric", "low", "high"), [("comfort", 0.0, 1.0), ("roll_gradient", 2.0, 1.0)])
def test_goals_that_say_nothing_are_refused(metric, low, high):
    with pytest.raises(InputError):
        Goal(metric, low, high)


def test_every_usual_goal_is_a_number_that_is_known():
    assert {goal.metric for goal in usual_goals()} <= METRICS.keys()
    assert len({slot.name for slot in SLOTS}) == len(SLOTS)
    with pytest.raises(InputError, match="no such place"):
        slot_named("roof rack")

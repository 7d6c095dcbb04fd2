"""Who works on a search decides nothing: any order, any number, processes, a real scheduler, a worker that is killed."""

from __future__ import annotations

import os
import pickle
import signal
import sys
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass, field
from functools import cache
from importlib.resources import files
from pathlib import Path
from threading import Barrier
from time import sleep

import numpy as np
import pytest

from jounce.conventions.errors import Impossible, InputError
from jounce.job.file import read_job
from jounce.search.build import search_space
from jounce.search.goals import usual_goals
from jounce.search.on_cluster import OnCluster, cluster_at
from jounce.search.pairs import judge_pairs
from jounce.search.result import SearchWishes
from jounce.search.run import search
from jounce.search.slots import slot_named
from jounce.search.tasks import AHEAD, Run
from jounce.search.workers import GivenExecutor, own_processes
from jounce.shelf.file import read_shelf
from tests.search.ending import ended
from tests.search.test_pairs import half, judge

DEMO = Path(str(files("jounce.demo")))
PLACES = ("front bars", "second front roll bar", "rear dampers", "inner bar")
WANTED = SearchWishes(usual_goals(), kept=30, proofs=3)


@cache
def space():
    job, document = read_job(DEMO / "brisk-14-lower.toml")
    return search_space(document, job, read_shelf(DEMO / "shelf.toml"), [slot_named(name) for name in PLACES])


@cache
def alone():
    return search(space(), WANTED)


def told(result):
    """Every package that is told with its numbers and its proof."""
    return [
        (result.package(k), result.found.price[k], result.found.score[k], result.numbers(k), result.worked(k))
        for k in result.told()
    ]


def same(result):
    assert told(result) == told(alone())
    assert (result.found.looked, result.found.met) == (alone().found.looked, alone().found.met)
    for name in ("front", "rear", "score", "fineness", "price"):
        assert getattr(result.found, name).tolist() == getattr(alone().found, name).tolist(), name
    return True


@dataclass
class Token:
    number: int


@dataclass
class Noted:
    """Workers that put out values under tokens and note how large tasks are, and how many are out."""

    count: int = 3
    values: list = field(default_factory=list)
    sizes: list = field(default_factory=list)
    functions: set = field(default_factory=set)

    def put(self, value):
        self.values.append(pickle.dumps(value))
        return Token(len(self.values) - 1)

    def submit(self, function, /, *arguments):
        self.sizes.append(len(pickle.dumps((function, arguments))))
        self.functions.add(function.__name__)
        done = Future()
        held = (pickle.loads(self.values[one.number]) if isinstance(one, Token) else one for one in arguments)  # noqa: S301
        done.set_result(pickle.loads(pickle.dumps(function(*held))))  # noqa: S301
        return done

    def renew(self):
        return False


@pytest.mark.usefixtures("worked_anew")
def test_everything_that_takes_long_is_among_the_work_of_the_workers():
    workers = Noted()

    assert same(search(space(), WANTED, workers))
    assert workers.functions == {"both_turns", "judge_pairs", "worked_out_on"}
    assert len(workers.values) == 5  # both axles for the curves, both for the pairs, the car for the proofs
    assert max(workers.sizes) < 50_000


def test_a_task_is_small_however_many_variants_there_are():
    workers = Noted()
    front, rear = (workers.put(one) for one in (half(40, 1), half(6000, 2)))
    run = Run(workers, lambda _: None, lambda: False)
    found = list(run.results(((judge_pairs, (front, rear, range(k, k + 4), judge())) for k in range(0, 40, 4)), 10))

    assert sum(part.looked for _, part in found) == 240_000
    assert max(workers.sizes) < 20_000
    assert len(workers.values[1]) > 30e6  # what would go with each of them


def late(function, *arguments):
    sleep(float(np.random.default_rng().uniform(0, 0.05)))
    return function(*arguments)


class Late(ThreadPoolExecutor):
    """Threads that begin when they like."""

    def submit(self, function, /, *arguments):
        return super().submit(late, function, *arguments)


@pytest.mark.usefixtures("worked_anew")
def test_the_order_in_which_results_come_decides_nothing():
    with Late(8) as threads:
        assert same(search(space(), WANTED, GivenExecutor(threads, 8)))


def test_sixteen_workers_are_kept_busy():
    """Each task waits until sixteen are at work together; no more than twice as many are out."""
    together, drawn = Barrier(16), []
    with ThreadPoolExecutor(16) as threads:
        run = Run(GivenExecutor(threads, 16), lambda _: None, lambda: False)
        tasks = ((together.wait, (drawn.append(k) or 20.0,)) for k in range(64))
        for done, _ in enumerate(run.results(tasks, 64)):
            assert len(drawn) <= done + 1 + AHEAD * 16

    assert len(drawn) == 64


def test_a_task_that_fails_is_told_and_the_others_are_left():
    with ThreadPoolExecutor(2) as threads:
        run = Run(GivenExecutor(threads, 2), lambda _: None, lambda: False)
        with pytest.raises(ZeroDivisionError):
            list(run.results(((divmod, (1, 0)) for _ in range(9)), 9))


@pytest.mark.validation_long
def test_processes_of_this_machine_find_the_same():
    """In the gate by that of which one process is killed."""
    with own_processes(2) as workers:
        assert workers.count == 2
        assert same(search(space(), WANTED, workers))


@pytest.mark.skipif(sys.platform == "win32", reason="needs a signal that kills")
def test_a_process_of_this_machine_that_is_killed_takes_nothing_with_it():
    with own_processes(2) as workers:
        assert workers.count == 2
        killed = []

        def kill(share):
            if share > 0.71 and not killed:  # among the proofs, which take longest
                killed.append(next(iter(workers.executor._processes)))
                os.kill(killed[0], signal.SIGKILL)

        assert same(search(space(), WANTED, workers, progress=kill))
        assert killed


def test_processes_that_are_ended_again_and_again_are_told_in_words(monkeypatch):
    monkeypatch.setattr("jounce.search.workers._OFTEN", 2)  # each replacement takes seconds to start
    with own_processes(2) as workers, pytest.raises(Impossible, match="memory is short"):
        list(Run(workers, lambda _: None, lambda: False).results(((ended, (k,)) for k in range(3)), 3))


@pytest.fixture(scope="module")
def cluster():
    distributed = pytest.importorskip("distributed")
    with distributed.LocalCluster(n_workers=2, threads_per_worker=1, processes=True, dashboard_address=":0") as made:
        yield made


@pytest.mark.validation_long
def test_a_scheduler_with_workers_of_its_own_finds_the_same(cluster):
    """In the gate by that of which one worker is killed."""
    with cluster_at(cluster.scheduler_address) as workers:
        assert isinstance(workers, OnCluster)
        assert workers.count == 2
        assert same(search(space(), WANTED, workers))


@pytest.mark.skipif(sys.platform == "win32", reason="needs a signal that kills")
def test_a_worker_that_is_killed_takes_nothing_with_it(cluster):
    with cluster_at(cluster.scheduler_address) as workers:
        assert isinstance(workers, OnCluster)
        assert workers.count == 2
        killed = []

        def kill(share):
            if share > 0.71 and not killed:  # among the proofs, which take longest
                killed.append(next(iter(workers.client.run(os.getpid).values())))
                os.kill(killed[0], signal.SIGKILL)

        assert same(search(space(), WANTED, workers, progress=kill))
        assert killed


def test_an_address_at_which_nobody_answers_is_told(monkeypatch):
    pytest.importorskip("distributed")
    monkeypatch.setattr("jounce.search.on_cluster.ANSWERS_WITHIN", "1s")
    with pytest.raises(InputError, match="No scheduler answers"), cluster_at("tcp://127.0.0.1:9"):
        pass

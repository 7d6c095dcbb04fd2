"""The package search: compiled against whole arrays, how many packages in a second, and whole searches on a scheduler.

Wall times, on all processors, but for the two compiled functions, which are given by the processor's own time.
"""

from __future__ import annotations

import json
import pickle
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from importlib.resources import files
from pathlib import Path
from typing import Any

import numpy as np
from distributed import LocalCluster
from tests.reference.pair_metrics import pair_metrics
from tests.reference.roll_solver import roll_curves
from tests.search.test_pairs import half, judge

from jounce.job.file import read_job
from jounce.search.build import SearchSpace, search_space
from jounce.search.goals import usual_goals
from jounce.search.on_cluster import cluster_at
from jounce.search.pairs import judge_pairs
from jounce.search.result import SearchWishes
from jounce.search.roll_curves import both_turns, rolling_axle
from jounce.search.run import search
from jounce.search.slots import USUAL, USUAL_PLACES, slot_named
from jounce.search.summary import Order, summarised
from jounce.search.tasks import Run
from jounce.search.variants import variants_of
from jounce.search.workers import InPlace, Pending
from jounce.shelf.file import read_shelf
from jounce.shelf.shelf import Shelf
from jounce.shelf.toml import toml_text

DEMO = Path(str(files("jounce.demo").joinpath("brisk-14-lower.toml"))).parent
FEW = ("front bars", "rear dampers", "inner bar")
JOBS, SMALL_TASKS, SOME, PAIRS = 8, 400, 16, 200
MORE = {"torsion_bar": ("diameter", 0.15), "coil": ("rate", 0.4), "inner_bar": ("diameter", 0.15)}  # mm, N/mm


def search_table(seconds: Callable[..., float]) -> str:
    """The table as Markdown.

    Args:
        seconds: best processor time of a few runs
    """
    shelf = read_shelf(DEMO / "shelf.toml")
    rows = [
        *_kernels(seconds),
        *_whole(toml_text(shelf), "the demo shelf"),
        *_whole(_wider(shelf), "a wider shelf"),
        *_cluster(shelf),
    ]
    return "\n".join(["| the package search | |", "| --- | --- |", *(f"| {name} | {value} |" for name, value in rows)])


def _space(shelf: Shelf, places: tuple[str, ...] = USUAL_PLACES) -> SearchSpace:
    job, document = read_job(DEMO / "brisk-14-lower.toml")
    return search_space(document, job, shelf, [slot_named(name) for name in places])


def _wider(shelf: Shelf) -> str:
    """The shelf with a second one of each torsion bar and coil, a little stiffer."""
    text, more = toml_text(shelf), []
    for kind, (key, step) in MORE.items():
        for part in shelf.parts:
            value = getattr(part, key, None)
            if kind != part.KIND or value is None:
                continue
            own = toml_text(Shelf((part,)))
            shown = value.value * (1e3 if key == "diameter" else 1e-3)
            lines = [
                f"{key} = {shown + step:.9g}" if line.startswith(f"{key} = ") else line for line in own.splitlines()
            ]
            more.append("\n".join(lines).replace(part.code, f"{part.code}-X"))
    return "\n\n".join((text, *more))


def _kernels(seconds: Callable[..., float]) -> Iterator[tuple[str, str]]:
    """Curves and pairs, compiled and as whole arrays."""
    space = _space(read_shelf(DEMO / "shelf.toml"), FEW)
    some, frame = variants_of(space.axles[0]), space.frame(0)
    some = some.take(np.arange(min(len(some), SOME)))
    axle = rolling_axle(some.space.elastic, frame)
    ours = seconds(lambda: both_turns(axle, some.chosen, some.wound())) / len(some)
    arrays = seconds(lambda: [roll_curves(some, frame, turn) for turn in (1.0, -1.0)]) / len(some)
    yield "how a choice of front parts rolls, both turns, 224 states [ms]", f"{ours * 1e3:.3g}"
    yield "**whole arrays / that**", f"× {arrays / ours:.3g}"
    front, rear = half(PAIRS, 1), half(PAIRS, 2)
    own = seconds(lambda: judge_pairs(front, rear, range(PAIRS), judge())) / PAIRS**2
    whole = seconds(lambda: pair_metrics(front, rear, judge())) / PAIRS**2
    yield "a pair of choices judged [µs]", f"{own * 1e6:.3g}"
    yield "**whole arrays, numbers alone / that**", f"× {whole / own:.3g}"


def _whole(text: str, name: str) -> Iterator[tuple[str, str]]:
    """A whole search, everything included, as a command."""
    with tempfile.TemporaryDirectory() as folder:
        shelf = Path(folder) / "shelf.toml"
        shelf.write_text(text, "utf-8")
        words = ["search", str(DEMO / "brisk-14-lower.toml"), "--shelf", str(shelf), "--json", "-"]
        start = time.perf_counter()
        told = subprocess.run([sys.executable, "-m", "jounce", *words], check=True, capture_output=True)  # noqa: S603  # ours
        took = time.perf_counter() - start
    count = json.loads(told.stdout)["combinations"]
    yield f"packages of {name}", f"{count:,}"
    yield "judged, and the best worked out as jobs, in [s]", f"{took:.3g}"
    yield "**packages per second**", f"{count / took:,.0f}"


@dataclass
class _Sizes:
    """Workers in this process that note how large tasks are."""

    count: int = 1
    tasks: list[int] = field(default_factory=list)

    def put(self, value: object) -> object:
        """A value by its handle; its size is no task's."""
        return _Handle(value)

    def submit(self, function: Callable[..., Any], /, *arguments: Any) -> Pending:
        """Work at once."""
        self.tasks.append(
            len(pickle.dumps((function, tuple(None if isinstance(a, _Handle) else a for a in arguments))))
        )
        return InPlace().submit(function, *(a.value if isinstance(a, _Handle) else a for a in arguments))

    def renew(self) -> bool:
        """Nobody is lost."""
        return False


@dataclass
class _Handle:
    value: Any


def _cluster(shelf: Shelf) -> Iterator[tuple[str, str]]:
    """Bytes of a task, what a task costs besides its work, and whole searches by 1, 2 and 4 worker processes."""
    sizes = _Sizes()
    search(_space(shelf, FEW), SearchWishes(usual_goals(), proofs=4), sizes)
    yield "largest task of a search, what was put out once left out [kB]", f"{max(sizes.tasks) / 1e3:.3g}"
    job, document = read_job(DEMO / "brisk-14-lower.toml")
    wanted = SearchWishes(usual_goals(), proofs=2)
    orders = [Order(str(k), job, document, wanted, FEW, USUAL) for k in range(JOBS)]
    yield "a whole search as a task, the shelf put out once [kB]", f"{len(pickle.dumps(orders[0])) / 1e3:.3g}"
    took = {}
    for count in (1, 2, 4):
        with (
            LocalCluster(n_workers=count, threads_per_worker=1, dashboard_address=":0") as cluster,
            cluster_at(cluster.scheduler_address) as workers,
        ):
            put, run = workers.put(shelf), Run(workers, lambda _: None, lambda: False)
            list(run.results(((summarised, (order, put)) for order in orders[:count]), count))  # all is loaded
            start = time.perf_counter()
            list(run.results(((summarised, (order, put)) for order in orders), JOBS))
            took[count] = time.perf_counter() - start
            if count == 1:
                start = time.perf_counter()
                list(run.results(((abs, (1,)) for _ in range(SMALL_TASKS)), SMALL_TASKS))
                yield (
                    "a task on a scheduler besides its work [ms]",
                    (f"{(time.perf_counter() - start) / SMALL_TASKS * 1e3:.3g}"),
                )
    yield f"{JOBS} whole searches of few places, one worker process [s]", f"{took[1]:.3g}"
    for count in (2, 4):
        yield f"**one worker process / {count}**", f"× {took[1] / took[count]:.3g}"

"""How long a command takes from nothing, beside the bare import of the libraries that every calculation stands on.

Whole processes by their own processor time, the best of several: others on the machine have little part in it. Beside them
the same commands answered by a process that stays: its own time and that of the copy that it forks are counted in. Python
keeps what it compiled, as it does where nobody forbids it.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from jounce.cli.staying.handing_over import connected
from jounce.cli.staying.place import ALONE
from jounce.cli.staying.talk import peer

DEMO = Path(__file__).resolve().parents[1] / "src" / "jounce" / "demo"
CAR, JOB = str(DEMO / "brisk-14.toml"), str(DEMO / "brisk-14-lower.toml")
BARE = ("-c", "import numpy, scipy, numba")
STARTS = {
    "`import jounce`": ("-c", "import jounce"),
    "one compiled function, already on disk": ("-m", "bench.one_kernel"),
    "`jounce --help`": ("-m", "jounce", "--help"),
    "`jounce settle CAR`": ("-m", "jounce", "settle", CAR),
    "`jounce travel CAR`": ("-m", "jounce", "travel", CAR),
    "`jounce job JOB`": ("-m", "jounce", "job", JOB),
}
TIMES = 5
_TICK = os.sysconf("SC_CLK_TCK")


def start_table() -> str:
    """The first table, as Markdown."""
    rows = []
    usual = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    with _stays(usual) as (staying, of_staying):
        bare = best(BARE, usual)
        rows = [f'| `python -c "{BARE[1]}"` | {bare[0]:.2f} | {bare[1]:.2f} | | | | |']
        for name, words in STARTS.items():
            own, wall = best(words, usual | {ALONE: "1"})
            row = f"| {name} | {own:.2f} | {wall:.2f} | × {own / bare[0]:.1f} |"
            if "jounce" in words:
                own, wall = best(words, staying, of_staying)
                row += f" {own:.2f} | {wall:.2f} | × {own / bare[0]:.1f} |"
            else:
                row += " | | |"
            rows.append(row)
    return "\n".join(
        [
            "| from nothing | processor [s] | wall [s] | beside bare | staying: processor [s] | wall [s] | beside bare |",
            "| --- | --- | --- | --- | --- | --- | --- |",
            *rows,
        ]
    )


@contextmanager
def _stays(usual: dict[str, str]) -> Iterator[tuple[dict[str, str], Callable[[], float]]]:
    """A process that stays: the environment in which it is asked; what it and its ended copies spent so far [s]."""
    with tempfile.TemporaryDirectory(prefix="jounce-") as folder:
        asking = {name: value for name, value in usual.items() if name != ALONE} | {"XDG_RUNTIME_DIR": folder}
        subprocess.run([sys.executable, "-m", "jounce", "stay"], check=True, stdout=subprocess.DEVNULL, env=asking)
        try:
            (socket,) = Path(folder).glob("jounce/*.socket")
            connection = connected(str(socket))
            assert connection is not None  # noqa: S101  # it was started above
            with connection:
                stat = Path(f"/proc/{peer(connection)[0]}/stat")
            yield (
                asking,
                lambda: sum(int(ticks) for ticks in stat.read_text("utf-8").rpartition(")")[2].split()[11:15]) / _TICK,
            )
        finally:
            end = [sys.executable, "-m", "jounce", "stay", "--end"]
            subprocess.run(end, check=True, stdout=subprocess.DEVNULL, env=asking)  # noqa: S603


def best(
    words: tuple[str, ...], environment: dict[str, str], besides: Callable[[], float] = lambda: 0.0
) -> tuple[float, float]:
    """Least processor time of a process and its threads, and least time on the wall [s].

    The first run is left out: it may compile or write caches.

    Args:
        words: what Python is given
        environment: of the process
        besides: processor time that another process spent so far [s]
    """
    own, wall = [], []
    for _ in range(TIMES + 1):
        before, spent, begun = os.times(), besides(), time.perf_counter()
        subprocess.run([sys.executable, *words], check=True, stdout=subprocess.DEVNULL, env=environment)  # noqa: S603
        wall.append(time.perf_counter() - begun)
        after = os.times()
        used = after.children_user + after.children_system - before.children_user - before.children_system
        own.append(used + besides() - spent)
    return min(own[1:]), min(wall[1:])

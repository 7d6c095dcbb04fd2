"""How long a command takes from nothing, beside the bare import of the libraries that every calculation stands on.

Whole processes by their own processor time, the best of several: others on the machine have little part in it. Python
keeps what it compiled, as it does where nobody forbids it.
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

DEMO = Path(__file__).resolve().parents[1] / "src" / "jounce" / "demo"
CAR, JOB = str(DEMO / "brisk-14.toml"), str(DEMO / "brisk-14-lower.toml")
BARE = ("-c", "import numpy, scipy, numba")
STARTS = {
    "`import jounce`": ("-c", "import jounce"),
    "`jounce --help`": ("-m", "jounce", "--help"),
    "one compiled function, already on disk": ("-m", "bench.one_kernel"),
    "`jounce settle CAR`": ("-m", "jounce", "settle", CAR),
    "`jounce travel CAR`": ("-m", "jounce", "travel", CAR),
    "`jounce job JOB`": ("-m", "jounce", "job", JOB),
}
TIMES = 5


def start_table() -> str:
    """The first table, as Markdown."""
    bare = best(BARE)
    rows = [f'| `python -c "{BARE[1]}"` | {bare:.2f} | |']
    for name, words in STARTS.items():
        took = best(words)
        rows.append(f"| {name} | {took:.2f} | × {took / bare:.1f} |")
    return "\n".join(["| from nothing | processor [s] | beside the bare import |", "| --- | --- | --- |", *rows])


def best(words: tuple[str, ...]) -> float:
    """Least processor time of a process and its threads, the first run left out: it may compile or write caches [s].

    Args:
        words: what Python is given
    """
    times = []
    usual = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    for _ in range(TIMES + 1):
        before = os.times()
        subprocess.run([sys.executable, *words], check=True, stdout=subprocess.DEVNULL, env=usual)  # noqa: S603
        after = os.times()
        times.append(after.children_user + after.children_system - before.children_user - before.children_system)
    return min(times[1:])

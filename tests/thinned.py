"""The gate's share of long sweeps: of a test that is only the same over many cars or pages, a few cases.

Each test function stays, with all its cases where they are few or where each is a check of its own. A sweep is

- what is parametrised by the demo cars: the names of its cases begin with one or have one in them;
- what says so itself, by the marker ``sweep``.

Of a test that has quick and slow cases (``validation_slow``), the gate takes quick ones.

Which cases stay is settled by the names of test and case alone: another function keeps other cars, so that over the whole
suite each car and page is met many times, and the same gate runs the same cases every time. A case is the same work in
each run; the rest runs in `make validate`. A test whose every case has to be in the gate is marked ``every_case``.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Sequence
from hashlib import sha256
from importlib.resources import files

import pytest

__all__ = ["FEW", "chosen", "is_sweep", "kept"]

FEW = 2
"""Cases of a sweep that stay in the gate."""
_CARS = sorted(
    entry.name.removesuffix("-lower.toml")
    for entry in files("jounce.demo").iterdir()
    if entry.name.endswith("-lower.toml")
)
_CAR = re.compile(rf"(?<!\w)({'|'.join(map(re.escape, _CARS))})(?!\d)")


def chosen(function: str, cases: Sequence[str], few: int = FEW) -> set[str]:
    """Names of the cases that stay, in no order: always as many as there are, up to a few.

    Args:
        function: name of the test, with its file
        cases: names of its cases
        few: how many stay at most
    """
    return set(sorted(cases, key=lambda case: sha256(f"{function} {case}".encode()).digest())[:few])


def is_sweep(cases: Sequence[str]) -> bool:
    """Whether cases are the same over the demo cars, by their names."""
    return len({found[1] for case in cases if (found := _CAR.search(case))}) > FEW


def kept(items: Iterable[pytest.Item]) -> list[pytest.Item]:
    """The gate's share of tests, in their order."""
    functions: dict[str, list[pytest.Item]] = defaultdict(list)
    for item in items:
        functions[item.nodeid.partition("[")[0]].append(item)
    stay: set[str] = set()
    for name, cases in functions.items():
        quick = [case for case in cases if not case.get_closest_marker("validation_slow")] or cases
        names = [case.nodeid for case in quick]
        marked = cases[0].get_closest_marker("sweep")
        whole = cases[0].get_closest_marker("every_case") or not (marked or is_sweep(names))
        stay |= set(names) if whole else chosen(name, names, *(marked.args if marked else ()))
    return [item for name in functions for item in functions[name] if item.nodeid in stay]

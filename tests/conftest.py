"""What all tests share: Hypothesis repeats itself and keeps no clock; the same car and job are worked out once."""

from __future__ import annotations

import gc
import os
from collections.abc import Iterator
from contextlib import nullcontext

import pytest
from hypothesis import settings

from tests.in_memory import files_in_memory
from tests.thinned import kept
from tests.worked_once import each_on_its_own, few_proofs, several_processes, worked_once

files_in_memory()
os.environ["JOUNCE_ALONE"] = "tests"  # no command of theirs is answered by a process that somebody lets stay
gc.set_threshold(
    50_000, 20, 20
)  # ten thousand tests are collected, and looked through anew took a quarter of that time
settings.register_profile("whole", deadline=None, derandomize=True, print_blob=True)
settings.register_profile("gate", settings.get_profile("whole"), max_examples=25)


def pytest_addoption(parser: pytest.Parser) -> None:
    """`--thinned`, which the gate gives: of each long sweep over demo cars or pages a few cases."""
    parser.addoption("--thinned", action="store_true", help="of each sweep over demo cars or pages a few cases")


def pytest_configure(config: pytest.Config) -> None:
    """Of Hypothesis the gate takes a quarter of the examples, the same at each run."""
    settings.load_profile("gate" if config.getoption("--thinned") else "whole")


def pytest_collection_finish() -> None:
    """What was collected stays: the collector of garbage need not look through it again."""
    gc.collect()
    gc.freeze()


@pytest.hookimpl(trylast=True)
def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Leave the gate's share of what was collected."""
    if config.getoption("--thinned"):
        stay = kept(items)
        config.hook.pytest_deselected(items=[item for item in items if item not in set(stay)])
        items[:] = stay


@pytest.fixture(scope="session", autouse=True)
def shared_work(pytestconfig: pytest.Config) -> Iterator[None]:
    """What follows from the same documents is worked out once for all tests of a process."""
    with worked_once(), few_proofs() if pytestconfig.getoption("--thinned") else nullcontext():
        yield


@pytest.fixture
def worked_anew() -> Iterator[None]:
    """Each case works out its own: for a test of two ways to one thing, or of how work goes on."""
    with each_on_its_own():
        yield


@pytest.fixture
def in_processes() -> Iterator[None]:
    """A search starts processes, as it does on this machine: for a test of what they do."""
    with several_processes():
        yield

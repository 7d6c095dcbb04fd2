"""Who works on a search: threads, processes of this machine, or what somebody else's executor has.

What many tasks need is put out once and named in each of them by its handle, so that a task is small however large that
is. Tasks are functions of their arguments alone: one that is lost with its worker can be done again by another.
"""

from __future__ import annotations

import os
import pickle
import signal
from collections.abc import Callable, Iterator
from concurrent.futures import Executor, Future, ProcessPoolExecutor, ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass, field
from multiprocessing import connection, get_context, parent_process
from pathlib import Path
from tempfile import TemporaryDirectory
from threading import Thread
from typing import Any, Protocol

from jounce.car.file.writing import write_whole
from jounce.numerics.compiled import processors, work_alone

__all__ = [
    "GivenExecutor",
    "InPlace",
    "OwnProcesses",
    "Pending",
    "Workers",
    "own_processes",
    "own_threads",
    "workers_of",
]


class Pending(Protocol):
    """A task that was given out: a future of `concurrent.futures`, or of an engine that has the same three."""

    def result(self) -> Any:
        """What came out, once it is there."""
        ...

    def cancel(self) -> Any:
        """Do not begin it any more."""
        ...

    def add_done_callback(self, told: Callable[[Any], Any]) -> None:
        """Tell when it has ended, with this."""
        ...


class Workers(Protocol):
    """Who works."""

    @property
    def count(self) -> int:
        """How many tasks are at work at the same time [-]."""
        ...

    def put(self, value: object) -> Any:
        """Put out what many tasks need; the handle is given to `submit` in its place.

        Args:
            value: anything that can be pickled
        """
        ...

    def submit(self, function: Callable[..., Any], /, *arguments: Any) -> Pending:
        """Give out a task.

        Args:
            function: of its arguments alone
            arguments: values, and handles of what was put out
        """
        ...

    def renew(self) -> bool:
        """Replace workers that ended by themselves; whether that could be done, so that lost tasks are given out again."""
        ...


@dataclass(frozen=True, slots=True)
class GivenExecutor:
    """An executor that was given: what is put out goes with each task, since an executor knows of nothing else."""

    executor: Executor
    count: int

    def put(self, value: object) -> object:
        """See `Workers`."""
        return value

    def submit(self, function: Callable[..., Any], /, *arguments: Any) -> Pending:
        """See `Workers`."""
        return self.executor.submit(function, *arguments)

    def renew(self) -> bool:
        """See `Workers`: it is somebody else's."""
        return False


@dataclass(frozen=True, slots=True)
class InPlace:
    """Nobody else: a task is done when it is given out, by who gives it."""

    count: int = 1

    def put(self, value: object) -> object:
        """See `Workers`."""
        return value

    def submit(self, function: Callable[..., Any], /, *arguments: Any) -> Pending:
        """See `Workers`."""
        done: Future[Any] = Future()
        done.set_result(function(*arguments))
        return done

    def renew(self) -> bool:
        """See `Workers`: there is nobody."""
        return False


@dataclass(frozen=True, slots=True)
class _Kept:
    """Where a value lies."""

    file: str


@dataclass(slots=True)
class OwnProcesses:
    """Processes of this machine; what is put out lies in a file that each reads once."""

    folder: Path
    count: int
    executor: ProcessPoolExecutor = field(init=False)
    _puts: int = field(default=0)
    _lost: int = field(default=0)

    def __post_init__(self) -> None:
        self._start()

    def put(self, value: object) -> _Kept:
        """See `Workers`."""
        file = self.folder / str(self._puts)
        self._puts += 1
        write_whole(file, pickle.dumps(value, pickle.HIGHEST_PROTOCOL), private=True)
        return _Kept(str(file))

    def submit(self, function: Callable[..., Any], /, *arguments: Any) -> Pending:
        """See `Workers`."""
        with _interrupts_held():  # the first task starts the processes: Ctrl-C is for this one alone
            return self.executor.submit(_with_kept, function, arguments)

    def renew(self) -> bool:
        """See `Workers`: a few times; a machine without memory would end them for ever."""
        self._lost += 1
        if self._lost > _OFTEN:
            return False
        self.executor.shutdown(wait=False)
        self._start()
        return True

    def _start(self) -> None:
        self.executor = ProcessPoolExecutor(self.count, mp_context=get_context("spawn"), initializer=_begin)
        for _ in range(self.count):
            self.submit(_ready)  # they start while the first tasks are still made


_OFTEN = 5
"""So often processes that ended by themselves are replaced."""
_HELD: dict[str, object] = {}
"""What a worker process has read."""


def _with_kept(function: Callable[..., Any], arguments: tuple[Any, ...]) -> Any:
    return function(*(_held(one) if isinstance(one, _Kept) else one for one in arguments))


def _held(kept: _Kept) -> object:
    if kept.file not in _HELD:
        _HELD[kept.file] = pickle.loads(Path(kept.file).read_bytes())  # noqa: S301  # written by the process that asks
    return _HELD[kept.file]


@contextmanager
def _interrupts_held() -> Iterator[None]:
    """Processes started meanwhile do not hear Ctrl-C, which the terminal sends to all of a group."""
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _begin() -> None:
    """A worker process works on one processor, and ends when the one that asks does."""
    work_alone()
    above = parent_process()
    if above is not None:
        Thread(target=_end_with, args=(above.sentinel,), daemon=True).start()


def _end_with(sentinel: int) -> None:
    connection.wait([sentinel])
    os._exit(1)


@contextmanager
def own_processes(count: int | None = None) -> Iterator[Workers]:
    """Processes of this machine, ended at the end; threads where there is only one processor.

    Args:
        count: how many; as many as there are processors when left out
    """
    number = count or processors()
    if number == 1:
        with own_threads() as threads:
            yield threads
        return
    with TemporaryDirectory(prefix="jounce-") as folder:
        workers = OwnProcesses(Path(folder), number)
        try:
            yield workers
        finally:
            workers.executor.shutdown(cancel_futures=True)


def _ready() -> None:
    """Nothing: a process that has started."""


@contextmanager
def own_threads() -> Iterator[Workers]:
    """Threads of this process, ended at the end."""
    number = processors()
    threads = ThreadPoolExecutor(number)
    try:
        yield GivenExecutor(threads, number)
    finally:
        threads.shutdown(cancel_futures=True)


@contextmanager
def workers_of(given: Executor | Workers | None) -> Iterator[Workers]:
    """What was given, which stays open; else threads of this process.

    Args:
        given: an executor, or workers
    """
    if given is None:
        with own_threads() as threads:
            yield threads
    elif hasattr(given, "put"):
        yield given  # type: ignore[misc]  # an executor has none
    else:
        yield GivenExecutor(given, _COUNT)


_COUNT = 4
"""How many tasks a given executor is thought to have at work: it does not tell."""

"""Work in tasks on any executor: few wait at a time, results come in order, and a stop leaves the rest."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Executor, Future, ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

AHEAD = 8
"""Tasks that wait at most: memory stays bounded, however many there are."""


@dataclass(frozen=True, slots=True)
class Run:
    """Who works, who is told of progress, who is asked for a stop."""

    workers: Executor
    tell: Callable[[float], None]
    stop: Callable[[], bool]

    def results(self, tasks: Iterable[tuple[Callable[..., Any], tuple[Any, ...]]], count: int) -> Iterator[Any]:
        """The results, in the order of the tasks, up to where a stop was asked for.

        Args:
            tasks: a function with its arguments for each; drawn only as they are given out
            count: how many there are
        """
        waiting: deque[Future[Any]] = deque()
        more = iter(tasks)
        done = 0
        try:
            while True:
                while len(waiting) < AHEAD and (task := next(more, None)) is not None:
                    waiting.append(self.workers.submit(task[0], *task[1]))
                if not waiting:
                    return
                yield waiting.popleft().result()
                done += 1
                self.tell(done / count)
                if self.stop():
                    return
        finally:
            for future in waiting:
                future.cancel()


@contextmanager
def own_or_given(executor: Executor | None) -> Iterator[Executor]:
    """An executor that was given, which stays open; else threads of this process, ended at the end.

    Args:
        executor: what was given
    """
    if executor is not None:
        yield executor
        return
    threads = ThreadPoolExecutor()
    try:
        yield threads
    finally:
        threads.shutdown(cancel_futures=True)

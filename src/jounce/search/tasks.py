"""Work in tasks: twice as many are out as are at work, results come as they are there, and a stop leaves the rest."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import BrokenExecutor, Future
from dataclasses import dataclass
from queue import SimpleQueue
from typing import Any

from jounce.conventions.errors import Impossible
from jounce.search.workers import OwnProcesses, Pending, Workers

__all__ = ["AHEAD", "Run", "Task"]

AHEAD = 2
"""Tasks that are out for each one at work: memory stays bounded, and nobody waits for the next."""

Task = tuple[Callable[..., Any], tuple[Any, ...]]
"""A function with its arguments."""


@dataclass(frozen=True, slots=True)
class Run:
    """Who works, who is told of progress, who is asked for a stop."""

    workers: Workers
    tell: Callable[[float], None]
    stop: Callable[[], bool]

    def results(self, tasks: Iterable[Task], count: int) -> Iterator[tuple[int, Any]]:
        """Number of each task and its result, in the order in which they are there, up to where a stop was asked for.

        Args:
            tasks: a function with its arguments for each; drawn only as they are given out
            count: how many there are
        """
        out: dict[int, tuple[Pending, Task]] = {}
        ended: SimpleQueue[tuple[int, object]] = SimpleQueue()
        more = enumerate(tasks)
        done = 0

        def give(number: int, task: Task) -> None:
            pending = self._given(task)
            out[number] = pending, task
            pending.add_done_callback(lambda own: ended.put((number, own)))

        try:
            while True:
                while len(out) < AHEAD * self.workers.count and (drawn := next(more, None)) is not None:
                    give(*drawn)
                if not out:
                    return
                number, told = ended.get()
                if number not in out or out[number][0] is not told:
                    continue  # of a worker that was lost, and whose task was given out again
                try:
                    result = out[number][0].result()
                except BrokenExecutor as lost:
                    self._renewed(lost)
                    for again, (_, task) in list(out.items()):
                        give(again, task)
                    continue
                del out[number]
                yield number, result
                done += 1
                self.tell(done / count)
                if self.stop():
                    return
        finally:
            for pending, _ in out.values():
                pending.cancel()

    def _given(self, task: Task) -> Pending:
        """A task that was given out; one that failed at once where the workers are lost just now."""
        try:
            return self.workers.submit(task[0], *task[1])
        except BrokenExecutor as lost:
            failed: Future[Any] = Future()
            failed.set_exception(lost)
            return failed

    def _renewed(self, lost: BrokenExecutor) -> None:
        """Have lost workers replaced.

        Raises:
            Impossible: they are lost again and again
            BrokenExecutor: they are somebody else's
        """
        if self.workers.renew():
            return
        if isinstance(self.workers, OwnProcesses):
            raise Impossible(
                "The processes that search are ended from outside again and again, as happens where memory is short: close "
                "other programs, or look in fewer places."
            ) from lost
        raise lost

"""Work in tasks: twice as many are out as are at work, results come as they are there, and a stop leaves the rest."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from queue import SimpleQueue
from typing import Any

from jounce.search.workers import Pending, Workers

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
        out: dict[int, Pending] = {}
        ended: SimpleQueue[int] = SimpleQueue()
        more = enumerate(tasks)
        done = 0
        try:
            while True:
                while len(out) < AHEAD * self.workers.count and (drawn := next(more, None)) is not None:
                    number, (function, arguments) = drawn
                    out[number] = self.workers.submit(function, *arguments)
                    out[number].add_done_callback(_telling(ended, number))
                if not out:
                    return
                number = ended.get()
                yield number, out.pop(number).result()
                done += 1
                self.tell(done / count)
                if self.stop():
                    return
        finally:
            for pending in out.values():
                pending.cancel()


def _telling(ended: SimpleQueue[int], number: int) -> Callable[[Any], None]:
    return lambda _: ended.put(number)

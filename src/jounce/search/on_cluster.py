"""Workers of a distributed engine: values go once to every worker machine, and a task of a lost worker to another.

The engine (Dask's `distributed`) is an extra of its own; what is here needs its client alone.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from importlib import import_module
from typing import Any

from jounce.conventions.errors import InputError
from jounce.numerics.compiled import work_alone
from jounce.search.workers import Pending, Workers

__all__ = ["OnCluster", "cluster_at"]

ANSWERS_WITHIN = "10s"
"""A scheduler that does not answer within this is taken for none."""


@dataclass(frozen=True, slots=True)
class OnCluster:
    """Workers behind a client of the engine.

    Attributes:
        client: the client

    """

    client: Any

    @property
    def count(self) -> int:
        """See `Workers`: threads of all workers that are there now."""
        return max(1, sum(int(threads) for threads in self.client.nthreads().values()))

    def put(self, value: object) -> Any:
        """See `Workers`: a copy lies on each worker, so that none that is lost takes the last one with it."""
        return self.client.scatter(value, broadcast=True, hash=False)

    def submit(self, function: Callable[..., Any], /, *arguments: Any) -> Pending:
        """See `Workers`."""
        pending: Pending = self.client.submit(function, *arguments, pure=False)
        return pending

    def renew(self) -> bool:
        """See `Workers`: the engine does that by itself."""
        return False


@contextmanager
def cluster_at(address: str) -> Iterator[Workers]:
    """The workers of a scheduler.

    Args:
        address: where it listens, `tcp://10.0.0.5:8786`

    Raises:
        InputError: the engine is not installed, or nothing answers there, or no worker is there
    """
    try:
        engine = import_module("distributed")
    except ImportError:
        raise InputError(
            "Searching on several machines needs an extra of this program",
            todo="Install it on every machine: pip install 'jounce[cluster]'.",
        ) from None
    try:
        client = engine.Client(address, timeout=ANSWERS_WITHIN, set_as_default=False)
    except (OSError, ValueError) as problem:
        raise InputError(
            "No scheduler answers at this address",
            found=address,
            allowed="tcp://NAME:8786, as the scheduler tells it when it starts",
            todo="Start it with dask scheduler, or mend the address.",
        ) from problem
    with client:
        if not client.nthreads():
            raise InputError(
                "No worker has come to this scheduler",
                found=address,
                todo="Start one on each machine: dask worker with this address, --nthreads 1.",
            )
        client.run(work_alone)
        yield OnCluster(client)

"""Progress on the terminal for what takes longer than a moment; nothing where the output is not a terminal."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager

from rich.console import Console
from rich.progress import Progress


@contextmanager
def shown_progress(what: str, steps: int = 1) -> Iterator[Callable[[float], None]]:
    """A progress bar on standard error, told the share done of each of some equal steps in turn.

    Args:
        what: what is being done
        steps: how often the told share runs from 0 to 1
    """
    if not sys.stderr.isatty():
        yield _nothing
        return

    with Progress(console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task(what, total=float(steps))
        done = [0.0, 0.0]  # whole steps, last share

        def tell(share: float) -> None:
            if share < done[1]:
                done[0] += 1
            done[1] = share
            bar.update(task, completed=done[0] + share)

        yield tell


def _nothing(share: float) -> None:
    """Nobody is looking."""

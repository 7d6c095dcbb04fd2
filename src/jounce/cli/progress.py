"""Progress on the terminal for what takes longer than a moment; nothing where the output is not a terminal."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager

import typer

_PARTS = 1000  # of a step


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

    with typer.progressbar(length=steps * _PARTS, label=what, file=sys.stderr) as bar:
        whole, last = 0, 0.0

        def tell(share: float) -> None:
            nonlocal whole, last
            if share < last:
                whole += 1
            last = share
            bar.update(round((whole + share) * _PARTS) - bar.pos)

        yield tell


def _nothing(share: float) -> None:
    """Nobody is looking."""

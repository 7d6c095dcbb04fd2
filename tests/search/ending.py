"""A task that takes its process with it; a module of its own, so that the process need not read anything else first."""

from __future__ import annotations

import os

__all__ = ["ended"]


def ended(_: int) -> None:
    """End the process."""
    os._exit(1)

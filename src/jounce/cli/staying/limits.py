"""What the caller's system lets one process use (`ulimit`): a command that is run for it may use no more."""

from __future__ import annotations

import resource
from collections.abc import Sequence

__all__ = ["may_be_taken", "own_limits", "take"]

_KINDS = tuple(sorted({getattr(resource, name) for name in dir(resource) if name.startswith("RLIMIT_")}))
"""Time, memory, size of files and the like, by the system's numbers."""


def own_limits() -> list[list[int]]:
    """Limits of this process: of each kind the one that holds, and the one up to which it may be raised."""
    return [list(resource.getrlimit(kind)) for kind in _KINDS]


def may_be_taken(own: Sequence[Sequence[int]], wanted: Sequence[Sequence[int]]) -> bool:
    """Whether a process may take other limits: none may be raised beyond where it may be raised to.

    Args:
        own: its `own_limits`
        wanted: those of another
    """
    ends = [(have[1], want[1]) for have, want in zip(own, wanted, strict=True)]
    return all(have in (resource.RLIM_INFINITY, want) or 0 <= want < have for have, want in ends)


def take(limits: Sequence[Sequence[int]]) -> None:
    """Let this process use no more than another may.

    Args:
        limits: `own_limits` of the other
    """
    for kind, (holds, most) in zip(_KINDS, limits, strict=True):
        resource.setrlimit(kind, (holds, most))

"""Where the tests' own files lie: in memory where this machine has room for them there.

Hundreds of tests make a shop book, which waits at each change until the disk has it; a disk in memory has it at once.
"""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

__all__ = ["files_in_memory"]

_MEMORY = Path("/dev/shm")  # noqa: S108  # only a root: who makes files there gives them names of their own
_ROOM = 4 << 30
"""What has to be free [bytes]: the tests leave some hundred megabytes, browsers and databases take more at times."""


def _may_be_used(folder: Path) -> bool:
    """Whether there is room, and whether programs may be run from there, as some tests do."""
    if not os.access(folder, os.W_OK):
        return False
    found = os.statvfs(folder)
    return found.f_bavail * found.f_frsize >= _ROOM and not found.f_flag & os.ST_NOEXEC


def files_in_memory(folder: Path = _MEMORY) -> None:
    """Let this process and those that it starts make their passing files in memory, unless somebody said where.

    Args:
        folder: where memory is a disk
    """
    if "TMPDIR" not in os.environ and _may_be_used(folder):
        os.environ["TMPDIR"] = str(folder)
        tempfile.tempdir = None  # looked up anew

"""The state of everything that a staying process has read: when it changes, what is kept in memory is no longer so."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator

from jounce.cli.staying.place import PACKAGE

__all__ = ["state_of_source"]


def state_of_source() -> frozenset[tuple[str, int, int]]:
    """Every file of the program, and every folder that libraries are installed in.

    Of each its path, the time of its last change [ns] and its size [byte], or no size. What Python and the compiler write
    for themselves is left out. A few milliseconds for a thousand files.
    """
    return frozenset((*_files(PACKAGE), *_folders()))


def _files(folder: str) -> Iterator[tuple[str, int, int]]:
    with os.scandir(folder) as entries:
        for entry in entries:
            if entry.is_dir(follow_symlinks=False):
                if entry.name != "__pycache__":
                    yield from _files(entry.path)
            else:
                told = entry.stat()
                yield entry.path, told.st_mtime_ns, told.st_size


def _folders() -> Iterator[tuple[str, int, int]]:
    """Folders of the search path inside the installed Python: installing a library changes its folder's time."""
    for folder in sys.path:
        if folder.startswith(sys.prefix) and os.path.isdir(folder):
            yield folder, os.stat(folder).st_mtime_ns, 0

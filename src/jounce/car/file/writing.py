"""Writing a file whole or not at all, through links, and straight into what is no plain file."""

from __future__ import annotations

import os
import secrets
import stat
import sys
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path

from jounce.conventions.errors import InputError

__all__ = ["make_folder", "sync_folder", "taken", "write_new", "write_whole"]


def write_whole(path: Path | str, content: str | bytes, *, private: bool = False) -> None:
    """Write a file so that a reader finds the old content or the new one, never a part.

    A symbolic link stays and what it leads to is written. A pipe, a device and what this program's own output goes to
    are written straight into. An old file keeps its permissions and its owner.

    Args:
        path: the file; its folder must exist
        content: the new content, text or bytes
        private: whether a new file may be read by its owner only

    Raises:
        InputError: the folder is missing or the file cannot be written; an old file is then unchanged
    """
    data = content.encode() if isinstance(content, str) else content
    try:
        found = _found(path)
        stream = None if found is None else _own_stream(found)
        if stream is not None:
            with os.fdopen(os.dup(stream), "wb") as file:
                file.write(data)
        elif found is not None and not stat.S_ISREG(found.st_mode):
            with Path(path).open("wb") as file:
                file.write(data)
        else:
            _replace(Path(os.path.realpath(path)), found, data, 0o600 if private else 0o666)
    except OSError as error:
        reason = error.strerror or "unknown reason"
        todo = "Check that the folder exists and may be written to, and that the disk has room."
        raise InputError(f"The file cannot be written ({reason})", todo=todo, place=str(path)) from None


def make_folder(path: Path) -> None:
    """Make a folder, with those above it, where there is none.

    Args:
        path: the folder

    Raises:
        InputError: it cannot be made
    """
    try:
        path.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        todo = "Choose a folder that may be written to."
        raise InputError(f"The folder cannot be made ({error.strerror})", todo=todo, place=str(path)) from None


def taken(path: Path) -> bool:
    """Whether a new file cannot have this name: a file or a folder is there; a pipe or a device takes what comes."""
    return path.is_file() or path.is_dir()


def write_new(texts: Mapping[Path, str], *, private: bool = False) -> None:
    """Write new files, all or none: one that is there already is never replaced.

    Args:
        texts: content of each file
        private: whether they may be read by their owner only

    Raises:
        InputError: a file is there already, or cannot be written; then none was made
    """
    for path in texts:
        if taken(path):
            raise InputError("There is a file of this name already", todo="Choose another name.", place=str(path))
    made: list[Path] = []
    try:
        for path, text in texts.items():
            is_new = not path.exists()
            write_whole(path, text, private=private)
            made += [path] if is_new else []
    except BaseException:
        for path in made:
            path.unlink(missing_ok=True)
        raise


def sync_folder(folder: Path) -> None:
    """Have the names in a folder written to the disk, so that a new one outlives a power failure.

    Args:
        folder: the folder; one whose kind of disk cannot do this is left as it is
    """
    with suppress(OSError):
        opened = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(opened)
        finally:
            os.close(opened)


def _found(path: Path | str) -> os.stat_result | None:
    """What a name leads to; None where nothing is."""
    try:
        return os.stat(path)  # noqa: PTH116 - a path of text too
    except FileNotFoundError:
        return None


def _own_stream(found: os.stat_result) -> int | None:
    """The output of this program that a name leads to, as "/dev/stdout" does, with all that was said there before."""
    for number, stream in ((1, sys.stdout), (2, sys.stderr)):
        with suppress(OSError):  # it may be closed
            if os.path.samestat(found, os.fstat(number)):
                stream.flush()
                return number
    return None


def _replace(target: Path, found: os.stat_result | None, data: bytes, mode: int) -> None:
    """Write beside under a name of its own, then take the place of what was there."""
    if found is not None and not os.access(target, os.W_OK):
        raise PermissionError(13, "it may not be written to")
    unfinished = target.with_name(f".{secrets.token_hex(8)}.unfinished")
    opened = os.open(unfinished, os.O_WRONLY | os.O_CREAT | os.O_EXCL, mode)
    try:
        with os.fdopen(opened, "wb") as file:
            file.write(data)
            file.flush()
            if found is not None:
                with suppress(PermissionError):  # only the superuser may give a file to somebody else
                    os.chown(file.fileno(), found.st_uid, found.st_gid)
                os.fchmod(file.fileno(), stat.S_IMODE(found.st_mode))
            os.fsync(file.fileno())
        unfinished.replace(target)
        sync_folder(target.parent)
    except BaseException:
        unfinished.unlink(missing_ok=True)
        raise

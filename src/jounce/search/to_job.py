"""A package becomes a job file: its parts in the change list, their codes beside them, every other word as it was."""

from __future__ import annotations

import os
from pathlib import Path

from jounce.car.file.rewriting import rewritten, with_tables
from jounce.conventions.errors import InputError
from jounce.job.document import JobDocument
from jounce.job.file import parse_job
from jounce.search.slots import SLOTS
from jounce.shelf.toml import section_text

__all__ = ["from_folder", "job_text"]

_LIKE = ("change", "shelf", "wanted", "goals")


def job_text(text: str, packaged: JobDocument) -> str:
    """The text of a job file with the parts of a package.

    Args:
        text: the job file from which the package was searched
        packaged: the job that the package is

    Returns:
        The new text; tables of parts that are the same stay as they are written, with their comments

    Raises:
        InputError: the file is written in a form in which its tables cannot be exchanged
    """
    written = parse_job(text, "")
    tables: dict[str, str] = {}
    gone: dict[str, None] = {}
    codes: dict[str, str | None] = {}
    for slot in SLOTS:
        if slot.key != "helper":  # it is told with the spring
            name = f"change.{slot.end}.{slot.key}"
            new, old = packaged.part(str(slot.end), slot.key), written.part(str(slot.end), slot.key)
            if new is None and old is not None:
                gone[name] = None
            elif new is not None and new != old:
                tables[name] = section_text(name, new)
        code = getattr(getattr(packaged.shelf, str(slot.end)), slot.key)
        if code != getattr(getattr(written.shelf, str(slot.end)), slot.key):
            codes[f"shelf.{slot.end}.{slot.key}"] = code
    new_text = rewritten(with_tables(rewritten(text, gone), tables), codes)
    if any(getattr(parse_job(new_text, ""), name) != getattr(packaged, name) for name in _LIKE):
        raise InputError(
            "The package cannot be written into this job file as its tables are laid out",
            todo="Write each part as a table of its own, as in [change.front.damper], and search again.",
        )
    return new_text


def from_folder(text: str, folder: Path, other: Path) -> str:
    """The text of a job file for another folder: the car file is still found.

    Args:
        text: the job file
        folder: where it lies
        other: where it shall lie
    """
    if folder.resolve() == other.resolve():
        return text
    car = Path(parse_job(text, "").job.car)
    if car.is_absolute():
        return text
    way = os.path.relpath(folder.resolve() / car, other.resolve())
    return rewritten(text, {"job.car": Path(way).as_posix()})

"""Reading a shelf from TOML or CSV."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from jounce.car.file.reading import read_text
from jounce.conventions.errors import InputError, at
from jounce.shelf.csv_in import csv_entries
from jounce.shelf.kinds import KINDS
from jounce.shelf.parse import PartEntry, Reading, read_entries
from jounce.shelf.shelf import Shelf
from jounce.shelf.toml import parse_toml

__all__ = ["read_csv_files", "read_shelf", "reading_of"]


def read_shelf(path: Path | str) -> Shelf:
    """Read a shelf file, TOML or CSV.

    Args:
        path: the file, in UTF-8

    Raises:
        InputError: the file cannot be read
        InputProblems: all that is wrong with its parts
    """
    return reading_of(Path(path)).whole(str(path))


def reading_of(path: Path) -> Reading:
    """Read a shelf file, TOML or CSV, as far as it is sound.

    Args:
        path: the file, in UTF-8

    Raises:
        InputError: the file cannot be read
    """
    if path.suffix.lower() == ".csv":
        return read_csv_files([path])
    return parse_toml(read_text(path), str(path))


def read_csv_files(paths: Sequence[Path], kind: str = "") -> Reading:
    """Read several CSV files as one shelf.

    Args:
        paths: the files; one without a column ``kind`` is named after the kind of its parts, as in ``coil.csv``
        kind: kind of the parts, whatever the files are called

    Raises:
        InputError: a file cannot be read
    """
    if kind and kind not in KINDS:
        raise InputError("This kind of part is not known", found=f'"{kind}"', allowed=", ".join(KINDS))
    entries: list[PartEntry] = []
    problems: list[InputError] = []
    for path in paths:
        named = kind or (path.stem if path.stem in KINDS else "")
        text = read_text(path)
        with at(str(path)):
            found, wrong = csv_entries(text, named)
        if len(paths) > 1:
            found = [_in_file(entry, path.name) for entry in found]
            for problem in wrong:
                problem.place = f"{path.name}, {problem.place}"
        entries += found
        problems += wrong
    return read_entries(entries, problems)


def _in_file(entry: PartEntry, name: str) -> PartEntry:
    """The entry with its file's name before its places."""
    for problem in entry.broken:
        problem.place = f"{name}, {problem.place}"
    places = {key: f"{name}, {place}" for key, place in entry.places.items()}
    return PartEntry(entry.kind, entry.code, entry.written, f"{name}, {entry.place}", places, entry.broken)

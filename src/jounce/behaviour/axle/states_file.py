"""A list of states from a file: one row a state, one column a drive, its unit in the column's name."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from pathlib import Path

import numpy as np

from jounce.behaviour.axle.drives import Drive
from jounce.car.file.reading import read_text
from jounce.conventions.errors import InputError
from jounce.conventions.unit_table import UNITS
from jounce.conventions.units import column
from jounce.numerics.arrays import Array

__all__ = ["parse_states", "read_states"]


def read_states(path: Path, drives: Mapping[str, Drive]) -> dict[str, Array]:
    """Read a CSV file of states.

    Args:
        path: the file
        drives: what may be given

    Raises:
        InputError: the file cannot be read, or is no list of states
    """
    return parse_states(read_text(path), str(path), drives)


def parse_states(text: str, place: str, drives: Mapping[str, Drive]) -> dict[str, Array]:
    """A list of states from the text of its file.

    Args:
        text: CSV; its first row names the columns as ``heave_mm``, ``roll_deg``, ``rack_in``
        place: what the file is called in messages
        drives: what may be given

    Returns:
        Values by drive, each (states,) [m; angles: rad]

    Raises:
        InputError: a column that is none, or a cell that is no number, with its line
    """
    known = {
        f"{name}_{unit.suffix}": (name, unit.factor)
        for name, drive in drives.items()
        for unit in UNITS[drive.quantity.kind]
    }
    rows = [row for row in csv.reader(io.StringIO(text)) if row]
    head = [name.strip() for name in rows[0]] if rows else []
    wrong = [name for name in head if name not in known]
    if not head or wrong or len({known[name][0] for name in head}) < len(head):
        raise InputError(
            "The first row names a drive and its unit for each column, each drive once",
            found=", ".join(wrong or head) or "nothing",
            allowed=", ".join(column(name, drive.quantity.kind) for name, drive in drives.items()),
            todo="Other units may stand there too, as heave_in.",
            place=f"{place}, line 1",
        )
    return {
        known[name][0]: known[name][1]
        * np.array([_cell(row, k, f"{place}, state {n}, {name}") for n, row in enumerate(rows[1:], start=1)])
        for k, name in enumerate(head)
    }


def _cell(row: list[str], k: int, place: str) -> float:
    try:
        return float(row[k])
    except (ValueError, IndexError):
        found = repr(row[k]) if k < len(row) else "nothing"
        raise InputError(
            "This is no number", found=found, allowed="a number with a decimal point", place=place
        ) from None

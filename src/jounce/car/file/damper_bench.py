"""Tests of dampers on a bench as CSV: columns of speed and force with their units, one or several runs."""

from __future__ import annotations

import csv
import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import count

import numpy as np

from jounce.conventions.errors import InputError, at
from jounce.conventions.units import Kind, read
from jounce.elements.dampers.bench_rows import BenchPoints

__all__ = ["BenchFile", "parse_bench"]

_WORDS = {
    "speed": ("speed", "velocity", "vel", "v"),
    "force": ("force", "load", "f"),
    "run": ("run", "test", "repeat", "cycle"),
}
_UNIT = re.compile(
    r"^(?P<name>.*?)\s*"
    r"(?:\[(?P<a>[^\[\]]*)\]|\((?P<b>[^()]*)\)|[,/]\s*(?P<c>\S+)|\s(?P<d>[^\s/]+/\S+|N|kN|lbf|lb|kgf|daN))?$"
)
_LOOKED_FOR_HEAD = 60
_LONGEST_NAME = 80  # of a column with its unit [characters]
_RELATED = 0.2  # force and speed of a damper go together at least so well [-]


@dataclass(frozen=True, slots=True)
class BenchFile:
    """A test as read: its points, bump positive, and what had to be turned or guessed."""

    points: BenchPoints
    remarks: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Head:
    """Where the columns are: number of the line, and place and unit of each column by its meaning."""

    line: int
    places: dict[str, int]
    units: dict[str, str]


def parse_bench(text: str, *, bump_negative: bool = False, speed_unit: str = "", force_unit: str = "") -> BenchFile:
    """A test from the text of its file.

    Args:
        text: content of the file
        bump_negative: the bench counts the speed of a shortening damper negative
        speed_unit: unit of the speeds if the head names none
        force_unit: unit of the forces if the head names none

    Raises:
        InputError: no such columns, no units, a cell that is no number, or force that does not go with speed
    """
    delimiter = _delimiter(text)
    lines = [[cell.strip() for cell in row] for row in csv.reader(text.splitlines(), delimiter=delimiter)]
    head = _head(lines)
    units = {"speed": head.units.get("speed") or speed_unit, "force": head.units.get("force") or force_unit}
    for name, unit in units.items():
        if not unit:
            raise InputError(
                f"The {name} column has no unit",
                found=lines[head.line][head.places[name]],
                allowed=f'a head such as "{name} [{"mm/s" if name == "speed" else "N"}]"',
                todo="Name the unit in the head, or tell it with the file.",
            )
    speed, force, run = _columns(lines, head, units, decimal_comma=delimiter != ",")
    return _turned(-speed if bump_negative else speed, force, run)


def _turned(speed: np.ndarray, force: np.ndarray, run: np.ndarray) -> BenchFile:
    """Force in the sense in which a damper resists: it takes energy, never gives any."""
    remarks = []
    moving = force - force.mean()
    together = float(np.sum(moving * speed) / max(np.sqrt(np.sum(moving**2) * np.sum(speed**2)), 1e-300))
    if abs(together) < _RELATED:
        raise InputError(
            "Force and speed do not go together as those of a damper do",
            found=f"a correlation of {together:.2f}",
            todo="Check which columns are speed and force, and whether rows are shifted against each other.",
        )
    if together < 0:
        force = -force
        remarks.append("The bench counts force against speed: its sign was turned, so that the damper takes energy.")
    return BenchFile(BenchPoints(speed, force, run), tuple(remarks))


def _columns(
    lines: Sequence[list[str]], head: _Head, units: dict[str, str], *, decimal_comma: bool
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    kinds = {"speed": Kind.SPEED, "force": Kind.FORCE}
    values: dict[str, list[float]] = {"speed": [], "force": []}
    runs: list[int] = []
    names: dict[str, int] = {}
    following = count()
    for number, cells in enumerate(lines[head.line + 1 :], start=head.line + 2):
        if not any(cells) or cells[0].startswith("#") or _is_units(cells, head):
            continue
        with at(f"line {number}"):
            for name, column in values.items():
                cell = cells[head.places[name]] if head.places[name] < len(cells) else ""
                column.append(_number(cell, kinds[name], units[name], decimal_comma=decimal_comma))
        place = head.places.get("run")
        run = cells[place] if place is not None and place < len(cells) else ""
        if run not in names:
            names[run] = next(following)
        runs.append(names[run])
    if len(runs) < 2:
        raise InputError("A test needs two points or more", found=f"{len(runs)}", todo="Check the file.")
    return np.array(values["speed"]), np.array(values["force"]), np.array(runs, dtype=np.intp)


def _number(cell: str, kind: Kind, unit: str, *, decimal_comma: bool) -> float:
    text = cell.replace(",", ".") if decimal_comma else cell
    try:
        plain = float(text)
    except ValueError:
        raise InputError(
            "This cell is no number", found=f'"{cell}"', todo="Correct the line or leave it out."
        ) from None
    return read(plain, kind, unit)


def _is_units(cells: Sequence[str], head: _Head) -> bool:
    """A line of units below the head, as some benches write it; its units were taken with the head."""
    place = head.places["speed"]
    return place < len(cells) and cells[place].strip("[]() ") == head.units.get("speed") and bool(cells[place])


def _head(lines: Sequence[list[str]]) -> _Head:
    for number, cells in enumerate(lines[:_LOOKED_FOR_HEAD]):
        places: dict[str, int] = {}
        units: dict[str, str] = {}
        for place, cell in enumerate(cells):
            match = _UNIT.match(" ".join(cell[:_LONGEST_NAME].split()))
            name = "" if match is None else match["name"].strip().lower().strip('"')
            meaning = next((meaning for meaning, words in _WORDS.items() if name in words), "")
            if match is not None and meaning and meaning not in places:
                places[meaning] = place
                units[meaning] = next((u for u in (match["a"], match["b"], match["c"], match["d"]) if u), "")
        if {"speed", "force"} <= places.keys():
            return _Head(number, places, _with_line_below(units, places, lines[number + 1 : number + 2]))
    raise InputError(
        "No head names a speed and a force",
        found="; ".join(", ".join(cells) for cells in lines[:2])[:80] or "an empty file",
        allowed='columns such as "speed [mm/s]" and "force [N]", further ones are left out',
        todo="Add a head above the numbers.",
    )


def _with_line_below(units: dict[str, str], places: dict[str, int], below: Sequence[list[str]]) -> dict[str, str]:
    """Units from the line under the head, where the head itself has none."""
    for cells in below:
        for name, place in places.items():
            word = cells[place].strip("[]() ") if place < len(cells) else ""
            if not units.get(name) and word and not re.fullmatch(r"[-+\d.,eE]+", word):
                units[name] = word
    return units


def _delimiter(text: str) -> str:
    """The sign that parts most of the file: semicolon and tab go before comma, which may be a decimal sign."""
    for sign in (";", "\t"):
        if text.count(sign) >= max(1, len(text.splitlines()) // 2):
            return sign
    return ","

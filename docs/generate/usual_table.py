"""The table of what a car usually is as a whole, from `jounce.car.file.usual`."""

from __future__ import annotations

from jounce.car.file.usual import USUAL


def usual_table() -> str:
    """Every range with what it is of and where it comes from."""
    rows = [f"| {usual.words} | {usual.range} | {usual.origin} |" for usual in USUAL.values()]
    return "\n".join(("| what | usual | origin |", "| --- | --- | --- |", *rows))

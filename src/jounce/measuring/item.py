"""A number to measure: where it stands in the file, how it is taken, with which tool."""

from __future__ import annotations

from dataclasses import dataclass

from jounce.conventions.units import Kind

__all__ = ["ORIGINS", "Item"]

ORIGINS = ("tape", "scales", "calliper", "angle gauge", "counted", "bench", "catalogue", "guess")
"""Where a number can come from; a guess counts as measured by whoever dares to write it down."""


@dataclass(frozen=True, slots=True)
class Item:
    """A number to measure.

    Attributes:
        key: its place in the car file, or its own word where it goes into several places
        label: what it is called
        kind: what it measures; None for a whole number that is counted
        how: where the tape goes
        tool: with what it is measured, one of `ORIGINS`
        usual: ± that the tool usually has, as text with a unit
        letter: mark in the step's drawing
        choices: words of which one is chosen in place of a number
        must: whether without it the answers would be of another car

    """

    key: str
    label: str
    kind: Kind | None
    how: str
    tool: str
    usual: str = ""
    letter: str = ""
    choices: tuple[str, ...] = ()
    must: bool = False

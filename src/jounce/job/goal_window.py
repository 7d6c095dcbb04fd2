"""A window for a number, as somebody writes it: ``3.5 to 4.5 deg/g``."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from pydantic import GetCoreSchemaHandler
from pydantic_core import CoreSchema, core_schema

from jounce.car.file.fields import refuse
from jounce.conventions.errors import InputError, at
from jounce.conventions.units import Kind, read, show, tidied, unit_of

__all__ = ["Window", "WindowField", "read_window"]

_BETWEEN = re.compile(r"\.\.|\bto\b|–")
_NUMBER = re.compile(r"[+-]?[\d.]+(?:[eE][+-]?\d+)?")


@dataclass(frozen=True, slots=True)
class Window:
    """Least and most that is wanted [SI]."""

    low: float
    high: float


def read_window(written: object, kind: Kind, default_unit: str = "") -> Window:
    """A window in SI.

    Args:
        written: a text ``3.5 to 4.5 deg/g`` or ``3.5..4.5``, or two numbers; a lower end without a unit has that of the
            upper one
        kind: what it measures
        default_unit: unit of numbers without one; that of the kind if empty

    Raises:
        InputError: no window, an end that cannot be read, or the ends in the wrong order

    >>> read_window("1.45 to 1.75 Hz", Kind.FREQUENCY)
    Window(low=1.45, high=1.75)
    """
    ends = [end.strip() for end in _BETWEEN.split(tidied(written))] if isinstance(written, str) else written
    if not isinstance(ends, (list, tuple)) or len(ends) != 2 or "" in ends:
        unit = unit_of(kind).symbol
        example = f'"low to high{"" if unit == "-" else f" {unit}"}"'
        raise InputError("This is no window", found=repr(written), allowed=example, todo="Give its two ends.")
    low, high = ends
    if isinstance(low, str) and isinstance(high, str) and _NUMBER.fullmatch(low):
        low = f"{low} {_NUMBER.sub('', high, count=1).strip()}".strip()
    with at("lower end"):
        least = read(low, kind, default_unit)
    with at("upper end"):
        most = read(high, kind, default_unit)
    if most < least:
        raise InputError(
            "The window is empty",
            found=f"{show(least, kind)} to {show(most, kind)}",
            todo="Give the smaller number first.",
        )
    return Window(least, most)


@dataclass(frozen=True, slots=True)
class WindowField:
    """A window in a file.

    Attributes:
        kind: what it measures
        hard: least and most accepted of both ends, in the default unit

    """

    kind: Kind
    hard: tuple[float, float]

    def read(self, written: object) -> Window:
        """Read a window and refuse it outside the hard limits.

        Args:
            written: as in :func:`read_window`

        Raises:
            InputError: not readable, or outside the hard limits
        """
        if isinstance(written, Window):
            return written
        window = read_window(written, self.kind)
        factor, (low, high) = unit_of(self.kind).factor, self.hard
        if window.low < low * factor * (1 - _ROUNDED) or window.high > high * factor * (1 + _ROUNDED):
            unit = unit_of(self.kind).symbol
            raise InputError(
                "The window is out of range",
                found=repr(written),
                allowed=f"{low:g} to {high:g}{'' if unit == '-' else f' {unit}'}",
                todo="Check the numbers and their unit.",
            )
        return window

    @property
    def json_form(self) -> dict[str, object]:
        """How it is written, as a JSON Schema."""
        end = {"type": ["number", "string"]}
        return {
            "x-kind": self.kind.value,
            "x-unit": unit_of(self.kind).symbol,
            "x-accepted": list(self.hard),
            "anyOf": [{"type": "string"}, {"type": "array", "items": end, "minItems": 2, "maxItems": 2}],
        }

    def __get_pydantic_core_schema__(self, source: object, handler: GetCoreSchemaHandler) -> CoreSchema:
        """Read with :meth:`read` whatever the file gives."""
        return core_schema.no_info_plain_validator_function(self._told)

    def _told(self, written: object) -> Window:
        try:
            return self.read(written)
        except InputError as problem:
            problem.place = ""  # which end is clear from what was found
            refuse(problem)


_ROUNDED = math.ulp(1.0) * 8

"""Errors that a person can act on.

::

    JounceError                 anything the program refuses or cannot do, in plain words
    ├── InputError              what was given cannot be used: found, allowed, what to do
    │   └── InputProblems       several of them from one file, reported together
    ├── Impossible              the input is sound, but no such position, part or setting exists
    └── NotConverged            a calculation stopped before its own tolerance was met

The layer that fails says *what* is wrong; the layers outside it add *where* with :func:`at`.
The texts are complete sentences for the person who has to do something about them.
They are shown as they are and never taken apart again by a program.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

__all__ = ["Impossible", "InputError", "InputProblems", "JounceError", "NotConverged", "at", "check_range"]


class JounceError(Exception):
    """Something the program refuses or cannot do; ``str(error)`` is fit to be shown to a user.

    Args:
        message: what is wrong, as a sentence
        place: where it is wrong, outermost place first, joined by ", "

    """

    def __init__(self, message: str, *, place: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.place = place

    def __str__(self) -> str:
        """Place and message in one line."""
        return f"{self.place}: {self.message}" if self.place else self.message


class InputError(JounceError):
    """What was given cannot be used.

    Args:
        message: what is wrong
        found: what was given, with its unit
        allowed: what would be accepted, with unit
        todo: the next step, as a sentence
        place: where it is wrong, outermost place first

    >>> str(InputError("The bar is too thick", found="225 mm", allowed="8 to 60 mm", todo="Check the unit."))
    'The bar is too thick; found 225 mm; allowed: 8 to 60 mm. Check the unit.'

    """

    def __init__(self, message: str, *, found: str = "", allowed: str = "", todo: str = "", place: str = "") -> None:
        parts = [message.rstrip(".") if found or allowed or todo else message]
        if found:
            parts.append(f"found {found}")
        if allowed:
            parts.append(f"allowed: {allowed}")
        text = "; ".join(parts)
        super().__init__(f"{text}. {todo}" if todo else text, place=place)
        self.found = found
        self.allowed = allowed
        self.todo = todo
        self.line: int | None = None
        """Line of the text that was read on which it is wrong, from 1; None where there is none to name."""


class InputProblems(InputError):
    """All the problems of one input, reported together so that one round of correction is enough.

    Args:
        problems: the single problems, each with its own place
        place: what they have in common, the file name as a rule

    """

    def __init__(self, problems: Sequence[InputError], *, place: str = "") -> None:
        count = len(problems)
        lines = [f"{count} problem{'s' if count != 1 else ''} found."]
        lines += [f"  {number}. {problem}" for number, problem in enumerate(problems, start=1)]
        super().__init__("\n".join(lines), place=place)
        self.problems = tuple(problems)


class Impossible(JounceError):
    """The input is sound, but physics says no: the linkage does not reach, no setting exists.

    It is a result, not a failure of the program, and it is told in plain words.
    """


class NotConverged(JounceError):
    """A calculation stopped before it met its tolerance; its numbers must not be used."""


@contextmanager
def at(place: str) -> Iterator[None]:
    """Add a place to any :class:`JounceError` that passes on its way up.

    >>> try:
    ...     with at("front left"), at("bump"):
    ...         check_range("wheel travel", 87, -60, 75, "mm", "Lower the travel.")
    ... except JounceError as error:
    ...     print(error)
    front left, bump: wheel travel is out of range; found 87 mm; allowed: -60 to 75 mm. Lower the travel.
    """
    try:
        yield
    except JounceError as error:
        error.place = ", ".join(filter(None, (place, error.place)))
        raise


def check_range(name: str, value: float | NDArray[np.float64], low: float, high: float, unit: str, todo: str) -> None:
    """Refuse a value outside ``low .. high`` (both ends belong to the range); NaN is always outside.

    Args:
        name: what the value is, in the words of the trade
        value: number, or array of numbers, in ``unit``
        low: smallest value accepted, in ``unit``; minus infinity for none
        high: largest value accepted, in ``unit``; infinity for none
        unit: unit in which value and limits are given and shown
        todo: the next step, as a sentence

    Raises:
        InputError: with the first value that lies outside

    """
    if isinstance(value, (int, float)):
        outside = [] if low <= value <= high else [float(value)]
    else:
        outside = value[~((value >= low) & (value <= high))].ravel()[:1].tolist()
    if not outside:
        return
    raise InputError(
        f"{name} is out of range", found=_with_unit(outside[0], unit), allowed=_range(low, high, unit), todo=todo
    )


def _with_unit(value: float, unit: str) -> str:
    return f"{value:.6g}" if unit in ("", "-") else f"{value:.6g} {unit}"


def _range(low: float, high: float, unit: str) -> str:
    infinity = float("inf")
    if low == -infinity:
        return f"up to {_with_unit(high, unit)}"
    if high == infinity:
        return f"{_with_unit(low, unit)} or more"
    return f"{low:.6g} to {_with_unit(high, unit)}"

"""Load cases: a small table of forces under the wheels, as multiples of each wheel's static load.

Which factors to take is common practice without a source; the table is a file that a workshop edits.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from importlib.resources import files
from typing import Any, Literal

import numpy as np

from jounce.behaviour.axle.loads import WheelForces
from jounce.car.file.reading import read_toml
from jounce.car.mechanics.model import AXLES, AxleModel, AxleName
from jounce.conventions.errors import InputError, at
from jounce.layouts.naming import SIDES, SideName
from jounce.numerics.arrays import Array

_KEYS = ("name", "axle", "left", "right", "x_at")
_STANDING = (0.0, 0.0, 1.0)
_LARGEST = 20.0
"""No factor is larger: a wheel load of twenty times the static one is a mistake in typing [-]."""

Factors = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class LoadCase:
    """One load case.

    Attributes:
        name: its name
        factors: forces forward, to the left and up on each wheel per static load of that wheel [-]
        x_at: where the forward force takes hold: the contact point, or the wheel centre
        axle: axle that it is for; None for both

    """

    name: str
    factors: Mapping[SideName, Factors]
    x_at: Literal["contact", "centre"] = "contact"
    axle: AxleName | None = None


def common_cases() -> tuple[LoadCase, ...]:
    """The table that comes with the program (common practice, no source)."""
    return parse_cases(files("jounce.demo").joinpath("load-cases.toml").read_text("utf-8"), "load-cases.toml")


def parse_cases(text: str, name: str) -> tuple[LoadCase, ...]:
    """Read the text of a table of load cases.

    Args:
        text: the content of the file
        name: name of the file, for messages

    Raises:
        InputError: the first entry that is wrong

    """
    with at(name):
        written = read_toml(text, "")
        cases = written.get("case")
        unknown = sorted(set(written) - {"case"})
        if not isinstance(cases, list) or not cases or unknown:
            raise InputError(
                "This is no table of load cases",
                found=", ".join(unknown) or "no case",
                allowed="entries [[case]]",
                todo="The command example writes a table to start from.",
            )
        return tuple(_case(entry, number) for number, entry in enumerate(cases, start=1))


def forces_of(
    cases: tuple[LoadCase, ...], axle: AxleModel, carried: Mapping[SideName, Array] | None = None
) -> WheelForces:
    """Forces of the cases that are for an axle.

    Args:
        cases: load cases
        axle: the axle
        carried: static load of each wheel [N]; as it was weighed when left out

    Raises:
        InputError: no case is for this axle

    """
    chosen = [case for case in cases if case.axle in (None, axle.name)]
    if not chosen:
        raise InputError(f"No load case is for the {axle.name} axle", todo="Add one, or leave its axle out.")
    loads = axle.corner_load if carried is None else carried
    static = np.array([loads[side][0] for side in SIDES])
    force = np.array([[case.factors[side] for side in SIDES] for case in chosen]) * static[:, None]
    at_centre = np.array([[case.x_at == "centre"] for case in chosen])
    hub = np.where(at_centre, force[..., 0], 0.0)
    force[..., 0] -= hub
    return WheelForces(tuple(case.name for case in chosen), force, hub, np.zeros_like(hub))


def _case(entry: Any, number: int) -> LoadCase:
    with at(f"case {number}"):
        if not isinstance(entry, dict):
            raise InputError("This is no load case", found=repr(entry), allowed="[[case]] with name, left, right")
        name = entry.get("name")
        if not isinstance(name, str) or not name.strip():
            raise InputError("The case has no name", todo='Write name = "…".')
    with at(f'case {number} "{name}"'):
        unknown = [key for key in entry if key not in _KEYS]
        if unknown:
            raise InputError("Unknown key", found=unknown[0], allowed=", ".join(_KEYS))
        return LoadCase(
            name.strip(),
            {side: _factors(entry.get(side, _STANDING), side) for side in SIDES},
            "centre" if _word(entry, "x_at", ("contact", "centre")) == "centre" else "contact",
            next((axle for axle in AXLES if axle == _word(entry, "axle", AXLES)), None),
        )


def _word(entry: Mapping[str, Any], key: str, words: tuple[str, ...]) -> str | None:
    word = entry.get(key)
    if word is not None and word not in words:
        raise InputError("Unknown word", found=repr(word), allowed=", ".join(words), place=key)
    return word


def _factors(written: Any, side: str) -> Factors:
    row = list(written) if isinstance(written, (list, tuple)) else []
    numbers = [float(x) for x in row if isinstance(x, (int, float)) and not isinstance(x, bool)]
    if len(row) != 3 or len(numbers) != 3 or not all(abs(x) <= _LARGEST for x in numbers) or numbers[2] < 0:
        raise InputError(
            "A wheel needs three factors",
            found=repr(written),
            allowed=f"[x, y, z], multiples of the static load up to {_LARGEST:g} either way; z not below 0",
            place=side,
        )
    x, y, z = numbers
    return x, y, z

"""Toe that was measured as a length across a diameter, turned into an angle before its section is read."""

from __future__ import annotations

import re
from typing import Any

from jounce.car.file.fields import refuse
from jounce.car.file.quantity import Measured, read_measured, read_toe_across
from jounce.conventions.errors import InputError
from jounce.conventions.units import Kind

__all__ = ["is_length", "toe_as_angle"]

NO_TOE = Measured(0.0)


def toe_as_angle(written: Any, keys: tuple[str, ...] = ("toe",)) -> Any:
    """A section as written, its toe turned into an angle where it was given as a length.

    Args:
        written: the section, with ``toe`` and perhaps ``toe_diameter``
        keys: its keys that are toes

    """
    if not isinstance(written, dict):
        return written
    for key in keys:
        if is_length(written.get(key)):
            written = written | {key: _across(written, key)}
    return written


def _across(written: dict[str, Any], key: str) -> Measured:
    """A toe that is a length as an angle [rad]."""
    if written.get("toe_diameter") is None:
        refuse(
            InputError(
                "Toe is given as a length",
                found=repr(written[key]),
                todo='Add "toe_diameter", the diameter across which it was measured, or give toe in degrees.',
                place=key,
            )
        )
    try:
        diameter = read_measured(written["toe_diameter"], Kind.LENGTH)
    except InputError:
        return NO_TOE  # the diameter's own field tells what is wrong with it
    if diameter.value <= 0:
        return NO_TOE
    try:
        return read_toe_across(written[key], diameter)
    except InputError as problem:
        problem.place = key
        refuse(problem)


def is_length(toe: object) -> bool:
    """Whether toe was written with a unit of length, in any form of a measured number.

    Args:
        toe: as written
    """
    written = toe.get("value") if isinstance(toe, dict) else toe
    if not isinstance(written, str):
        return False
    if re.search('["″]', written) and not re.search("[°º'′]", written):
        return True  # 1/16" of toe is inches: nobody measures it in seconds of arc alone
    try:
        read_measured(written, Kind.ANGLE)
    except InputError:
        try:
            read_measured(written, Kind.LENGTH)
        except InputError:
            return False
        return True
    return False

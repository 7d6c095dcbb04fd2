"""Measured values: a number is never without how well it is known and where it comes from.

A number in a car file may be written as

- ``22.5``: in the default unit of its key
- ``"22.5 mm"``: with its unit
- ``"22.5 mm ± 0.1 mm"`` or ``"22.5 ± 0.1 mm"``: with how far it may be off
- ``{ value = "22.5 mm", plus_minus = "0.1 mm", from = "calliper" }``: with its origin

and a point as ``[x, y, z]`` or ``{ at = [x, y, z], plus_minus = 1.0, from = "trammel" }``.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from difflib import get_close_matches
from typing import Any

import numpy as np
from numpy.typing import NDArray

from jounce.conventions.axes import Side, mirrored
from jounce.conventions.errors import InputError, check_range
from jounce.conventions.units import Kind, read, tidied

__all__ = ["Measured", "MeasuredPoint", "PointEntry", "read_measured", "read_point", "suggestion"]

_PLUS_MINUS = re.compile(r"±|\+/-|\+-")
_ENDS_WITH_UNIT = re.compile(r"(?:[^\W\d_]|[%°'\"′″²³])$")
FARTHEST = 6.0
"""No point of a car lies farther than this from the origin along any axis [m]."""
RIGHT_WAY = "Left-hand points have y > 0 and right-hand points have y < 0 (y points to the left)."


@dataclass(frozen=True, slots=True)
class Measured:
    """A value with how far it may be off and where it comes from.

    Attributes:
        value: the value [SI]
        plus_minus: half width of the band in which the true value lies [SI]; 0 where none was stated
        origin: measured how and when, maker's data, estimate; "" where it was not stated

    """

    value: float
    plus_minus: float = 0.0
    origin: str = ""

    def __float__(self) -> float:
        """The bare value [SI]."""
        return self.value


@dataclass(frozen=True, slots=True)
class MeasuredPoint:
    """A point in the body's axes with how far each coordinate may be off and where it comes from.

    Attributes:
        x: forward of the front wheel centres [m]
        y: to the left of the centre plane [m]
        z: above the ground as the car was measured [m]
        plus_minus: half width of the band of each coordinate [m]; 0 where none was stated
        origin: where the coordinates come from; "" where it was not stated

    """

    x: float
    y: float
    z: float
    plus_minus: float = 0.0
    origin: str = ""

    @property
    def xyz(self) -> NDArray[np.float64]:
        """The coordinates, body frame, shape (3,), or (variants, 3) of a document that stands for many [m]."""
        return np.stack(np.broadcast_arrays(self.x, self.y, self.z), axis=-1)

    def mirrored(self) -> MeasuredPoint:
        """The same point on the other side of the car."""
        x, y, z = mirrored((self.x, self.y, self.z))
        return replace(self, x=x, y=y, z=z)

    def distance(self, other: MeasuredPoint) -> float:
        """Distance to another point [m]."""
        return float(np.linalg.norm(self.xyz - other.xyz))


@dataclass(frozen=True, slots=True)
class PointEntry:
    """A point as written, with what its place in the file says about it.

    Attributes:
        written: the entry itself
        side: the side to which it belongs; None where either sign of y is right
        from_left: it is written for the left and stands for the right as well
        plus_minus: entry for a point that states none of its own
        origin: origin of a point that states none of its own

    """

    written: Any
    side: Side | None = None
    from_left: bool = False
    plus_minus: Measured = Measured(0.0)
    origin: str = ""


def read_measured(written: object, kind: Kind) -> Measured:
    """Read a measured number in any of its forms.

    Args:
        written: number, text, or mapping with ``value``, ``plus_minus``, ``from``
        kind: what it measures

    Returns:
        The value with its band and origin [SI]

    Raises:
        InputError: none of the accepted forms, or a negative band

    >>> read_measured("22.5 ± 0.1 mm", Kind.LENGTH)
    Measured(value=0.0225, plus_minus=0.0001, origin='')

    """
    if isinstance(written, Measured):
        return written
    if isinstance(written, dict):
        _check_keys(written, {"value", "plus_minus", "from"}, needs="value")
        if isinstance(written["value"], dict):
            raise InputError("A value must be a number or a text", found=repr(written["value"]))
        inner = read_measured(written["value"], kind)
        band = _read_band(written["plus_minus"], kind) if "plus_minus" in written else inner.plus_minus
        return Measured(inner.value, band, _text(written.get("from", "")))
    if isinstance(written, str):
        number, *bands = (part.strip() for part in _PLUS_MINUS.split(tidied(written)))
        if len(bands) == 1:
            value = read(_with_unit_of(number, bands[0]), kind)
            return Measured(value, _read_band(_with_unit_of(bands[0], number), kind))
    return Measured(read(written, kind))


def read_point(written: object) -> MeasuredPoint:
    """Read a point in any of its forms, mirrored and completed as its place in the file demands.

    Args:
        written: ``[x, y, z]``, a mapping with ``at``, ``plus_minus``, ``from``, or a ``PointEntry`` around these

    Returns:
        The point in true coordinates [m]

    Raises:
        InputError: not three coordinates, too far away, or on the wrong side of the car

    """
    if isinstance(written, MeasuredPoint):
        return written
    entry = written if isinstance(written, PointEntry) else PointEntry(written)
    form = entry.written if isinstance(entry.written, dict) else {"at": entry.written}
    _check_keys(form, {"at", "plus_minus", "from"}, needs="at")
    coordinates = form["at"]
    if not isinstance(coordinates, (list, tuple)) or len(coordinates) != 3:
        raise InputError(
            "A point needs three coordinates", found=repr(coordinates), allowed="[x, y, z], in mm or with units"
        )
    x, y, z = (_read_coordinate(name, value) for name, value in zip("xyz", coordinates, strict=True))
    point = MeasuredPoint(
        x,
        y,
        z,
        _read_band(form.get("plus_minus", entry.plus_minus), Kind.LENGTH),
        _text(form.get("from", entry.origin)),
    )
    _check_side(point, Side.LEFT if entry.from_left else entry.side)
    return point.mirrored() if entry.from_left and entry.side is Side.RIGHT else point


def read_toe_across(written: object, diameter: Measured) -> Measured:
    """Read toe that was measured as a length across a diameter.

    ``toe = asin(length / diameter)``; the bands of both go into the band of the angle.

    Args:
        written: the length in any form of a measured number, positive for toe-in
        diameter: across which it was measured [m]

    Returns:
        Toe of the wheel [rad]

    Raises:
        InputError: the length is not shorter than the diameter

    """
    length = read_measured(written, Kind.LENGTH)
    sine = length.value / diameter.value
    if abs(sine) >= 1:
        raise InputError("The toe is not shorter than the diameter across which it was measured", found=str(written))
    slope = 1 / np.sqrt(1 - sine**2)
    band = slope * np.hypot(length.plus_minus / diameter.value, sine * diameter.plus_minus / diameter.value)
    return Measured(float(np.arcsin(sine)), float(band), length.origin)


def suggestion(unknown: str, known: Iterable[str]) -> str:
    """A sentence that helps with a misspelt key.

    >>> suggestion("ball_jiont", ["ball_joint", "arm_front"])
    'Did you mean "ball_joint"?'
    """
    known = sorted(known)
    near = get_close_matches(unknown, known, n=1)
    return f'Did you mean "{near[0]}"?' if near else f"Known here: {', '.join(known)}."


def _check_keys(form: Mapping[str, Any], known: set[str], needs: str) -> None:
    for key in form:
        if key not in known:
            raise InputError("Unknown key", found=f'"{key}"', todo=suggestion(key, known))
    if needs not in form:
        raise InputError(f'The key "{needs}" is missing', found=", ".join(form) or "nothing", allowed=", ".join(known))


def _with_unit_of(number: str, other: str) -> str:
    """In ``22.5 ± 0.1 mm`` and in ``22.5 mm ± 0.1`` one unit stands for both numbers."""
    if _ENDS_WITH_UNIT.search(number):
        return number
    unit = re.sub(r"^[ \d./−+-]*(?:[eE][+-]?\d+)?", "", other)
    return f"{number} {unit.strip()}"


def _read_band(written: object, kind: Kind) -> float:
    if isinstance(written, Measured):
        return written.value
    band = read(written, kind)
    if band < 0:
        raise InputError('"plus_minus" is negative', found=repr(written), allowed="0 or more")
    return band


def _read_coordinate(name: str, written: Any) -> float:
    value = read(written, Kind.LENGTH)
    millimetres = value * 1000
    check_range(f"{name} of the point", millimetres, -FARTHEST * 1000, FARTHEST * 1000, "mm", "Check the unit.")
    return value


def _check_side(point: MeasuredPoint, side: Side | None) -> None:
    if side is not None and point.y * side.outward < 0:
        raise InputError(
            f"This point of the {side} side lies on the other side of the car (mirrored side)",
            found=f"y = {point.y * 1000:.6g} mm",
            allowed=f"y {'>=' if side is Side.LEFT else '<='} 0",
            todo=f"Turn the sign of y round, or move the entry to the {side.other} side. {RIGHT_WAY}",
        )


def _text(written: object) -> str:
    if not isinstance(written, str):
        raise InputError('"from" is not a text', found=repr(written), todo="Put it in quotation marks.")
    return written

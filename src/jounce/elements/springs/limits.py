"""Dimensions and moduli that no real part has are refused at the door of the part."""

from __future__ import annotations

import numpy as np

from jounce.conventions.errors import InputError, check_range
from jounce.conventions.units import GPA, MM
from jounce.numerics.arrays import Array

_CHECK_UNIT = "Check the number and its unit."


def check_length(name: str, length: float | Array, low: float, high: float) -> None:
    """Refuse a length outside a range; NaN is always outside.

    Args:
        name: what the length is, in the words of the trade
        length: one value or one per variant [m]
        low: smallest length accepted [m]
        high: largest length accepted [m]

    Raises:
        InputError: with the first length outside, in mm

    """
    check_range(name, np.asarray(length) / MM, low / MM, high / MM, "mm", _CHECK_UNIT)


def check_modulus(name: str, modulus: float | Array) -> None:
    """Refuse a modulus that no metal has: a missing or doubled power of ten is found here.

    Args:
        name: which modulus
        modulus: one value or one per variant [Pa]

    Raises:
        InputError: with the first modulus outside 1 to 500 GPa

    """
    check_range(name, np.asarray(modulus) / GPA, 1, 500, "GPa", _CHECK_UNIT)


def check_not_negative(name: str, value: float | Array, unit: str) -> None:
    """Refuse a negative value and NaN; infinity stands for rigid or for no limit.

    Args:
        name: what the value is
        value: one value or one per variant, in ``unit`` [any]
        unit: SI unit of the value, for the message

    Raises:
        InputError: with the first negative value

    """
    check_range(name, np.asarray(value) * 1.0, 0.0, float("inf"), unit, _CHECK_UNIT)


def check_bore(part: str, outer: float | Array, inner: float | Array) -> None:
    """Refuse a bore that is negative or leaves no wall.

    Args:
        part: name of the part
        outer: outer diameter [m]
        inner: diameter of the bore, zero for a solid part [m]

    Raises:
        InputError: with the first pair that leaves no wall

    """
    check_not_negative(f"bore of the {part}", inner, "m")
    outer, inner = np.broadcast_arrays(np.asarray(outer).real, np.asarray(inner).real)
    bad = np.flatnonzero(~(inner < outer))
    if bad.size:
        raise InputError(
            f"The bore of the {part} must be smaller than the {part}",
            found=f"{inner.flat[bad[0]] / MM:.6g} mm in {outer.flat[bad[0]] / MM:.6g} mm",
            todo="Check both diameters.",
        )

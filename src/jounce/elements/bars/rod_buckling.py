"""Slender rods with a joint at each end, pressed along their length: the load at which they buckle."""

from __future__ import annotations

import numpy as np

from jounce.conventions.errors import check_range
from jounce.elements.springs.limits import check_bore
from jounce.numerics.arrays import Array

__all__ = ["buckling_load"]


def buckling_load(
    length: float | Array,
    outer: float | Array,
    inner: float | Array,
    youngs_modulus: float | Array,
    yield_stress: float | Array,
) -> Array:
    """Load at which a straight round rod or tube with pinned ends buckles.

    Euler ``pi² E I / L²`` as long as the stress under it stays below half of the yield stress, else the parabola of
    J. B. Johnson ``A S (1 - S A L² / (4 pi² E I))``, which meets Euler's curve there with the same slope.

    Args:
        length: between the joints [m]
        outer: outer diameter [m]
        inner: bore, 0 for a solid rod [m]
        youngs_modulus: E of the rod [Pa]
        yield_stress: S of the rod in compression [Pa]

    Returns:
        The load [N]

    Valid for: a straight rod loaded along its axis; a bent one, or one knocked crooked, bears less.
    Source: Budynas and Nisbett, Shigley's Mechanical Engineering Design, 10th edition, sections 4-12 and 4-13; quoted
    from memory.

    >>> round(float(buckling_load(1.0, 0.02, 0.0, 206e9, 235e6)))
    15968

    """
    check_bore("rod", outer, inner)
    check_range("length of the rod", np.asarray(length) * 1.0, 1e-3, 1e2, "m", "Check the length.")
    outer, inner, length = (np.asarray(one) * 1.0 for one in (outer, inner, length))
    area = np.pi / 4 * (outer**2 - inner**2)
    second = np.pi / 64 * (outer**4 - inner**4)
    euler = np.pi**2 * np.asarray(youngs_modulus) * second / length**2
    squash = area * np.asarray(yield_stress)
    johnson = squash * (1 - squash / (4 * euler))
    return np.asarray(np.where(euler <= squash / 2, euler, johnson))

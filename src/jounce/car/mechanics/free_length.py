"""How long a spring between two seats is without load: what tells where a new one holds the car."""

from __future__ import annotations

from typing import Any

from jounce.car.mechanics.coil_stack import coil_stack
from jounce.car.mechanics.layout_input import number
from jounce.numerics.arrays import Array

__all__ = ["free_length"]


def free_length(one: Any) -> Array | None:
    """Free length of a coil with its helpers, or free camber of a leaf, on the scale of the axle's spring measure [m].

    Args:
        one: one side of an axle's document

    Returns:
        Of shape (variants,); None where it is not told, or where a torsion bar springs the wheel

    """
    coil, leaf = getattr(one, "spring", None), getattr(one, "leaf", None)
    if coil is not None:
        return coil_stack(coil).free_length
    return None if leaf is None or leaf.free_camber is None else number(leaf.free_camber)

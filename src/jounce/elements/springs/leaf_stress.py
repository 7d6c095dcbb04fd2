"""Bending stress of a leaf spring of several leaves, clamped at its seat and carried by its two eyes."""

from __future__ import annotations

import numpy as np

from jounce.numerics.arrays import Array

__all__ = ["leaf_bending_stress"]


def leaf_bending_stress(
    force: float | Array, halves: tuple[float, float], leaves: int, width: float, thickness: float
) -> Array:
    """Largest bending stress at the seat, all leaves alike thick and bent alike there.

    ``6 F a b / ((a + b) n w t²)``, by the moment ``F a b / (a + b)`` that a force at the seat has there. What the clamp
    keeps straight is counted as bending too, which is on the safe side.

    Args:
        force: force at the seat F [N]
        halves: from the seat to each eye, a and b [m]
        leaves: number of leaves n
        width: their width w [m]
        thickness: thickness of one t [m]

    Returns:
        Bending stress [Pa], the sign of the force

    Source: Bhandari, Design of Machine Elements, chapter 10 (nipped leaves, ``6 P L / (n b t²)`` with half the force P and
    half the length L; read in a public transcription); halves of unlike length by statics.

    """
    front, rear = halves
    moment = np.asarray(force) * front * rear / (front + rear)
    return np.asarray(6 * moment / (leaves * width * thickness**2))

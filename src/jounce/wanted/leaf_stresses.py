"""Bending stress of leaves with the wheels at the end of their bump travel, beside what such leaves may see."""

from __future__ import annotations

import numpy as np

from jounce.car.mechanics.leaf_halves import leaf_halves
from jounce.car.mechanics.model import AxleName
from jounce.car.parts import LeafSpring
from jounce.checks.limits import USUAL
from jounce.conventions.errors import Impossible
from jounce.conventions.units import Kind
from jounce.elements.springs.leaf_stress import leaf_bending_stress
from jounce.layouts.naming import SIDES
from jounce.wanted.coil_wires import force_at_full_bump
from jounce.wanted.seek import Figure
from jounce.wanted.stood import Stood
from jounce.wanted.work_car import WorkCar

__all__ = ["leaf_figures"]


def leaf_figures(work: WorkCar, stood: Stood, axle: AxleName, leaf: LeafSpring) -> list[Figure]:
    """Stress of the leaves at full bump, of the side whose halves give more; none where something is not known.

    Args:
        work: the car, whose eyes tell the halves
        stood: the same at rest with two such leaves
        axle: front or rear
        leaf: what the leaves are made of
    """
    if leaf.missing:
        return []
    try:
        force = force_at_full_bump(stood, axle)
    except Impossible:
        return []
    halves = (leaf_halves(work.section(axle), side) for side in SIDES)
    stress = max(float(np.ravel(leaf_bending_stress(force, each, *leaf.section_of_leaves))[0]) for each in halves)
    limit = USUAL["most_leaf_stress"].value
    return [
        Figure("stress of the leaves at full bump", Kind.STRESS, stress),
        Figure("stress that such leaves may see", Kind.STRESS, limit),
    ]

"""How many ways an axle has to move, and what is loose or held twice where they are not the two wheels' travels."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jounce.layouts.axle import AxleLinkage
from jounce.layouts.naming import SIDES, named
from jounce.linkage.mechanism import Mechanism
from jounce.numerics.arrays import Array, BoolArray

WAYS_OF_AN_AXLE = 2
"""Heave and roll, or the travel of either wheel."""

_SINGULAR = 1e-7
"""A direction in which all joints together give way to less than this share of the stiffest one is free."""

_TAKES_PART = 1e-6
"""Share of the largest motion (or pull) from which a body (or joint) counts as taking part."""


@dataclass(frozen=True, slots=True)
class Freedoms:
    """What the joints leave, as found.

    ``ways`` counts coordinates less joints; ``loose`` are the bodies that can still move with both wheels held;
    ``repeated`` are the joints that hold what the others hold already.
    """

    ways: int
    loose: tuple[str, ...]
    repeated: tuple[str, ...]

    @property
    def sound(self) -> bool:
        """Whether the wheels' travels and nothing else move the axle."""
        return self.ways == WAYS_OF_AN_AXLE and not self.loose and not self.repeated


def freedoms(linkage: AxleLinkage) -> Freedoms:
    """Count the ways that an axle has to move in the car's body held still, its steering gear held.

    Looks at the gradients of all joints and of the two wheels' travels as found: directions in which none of them
    changes are loose, combinations of them that always cancel are held twice.

    Args:
        linkage: an axle laid out on the ground

    """
    mechanism = Mechanism(linkage.bodies, linkage.joints, linkage.measures)
    rows = (*mechanism.joints, *(named(linkage.axle, side, "travel") for side in SIDES))
    gradient = mechanism.taken(rows).linearised(mechanism.tree.reference_pose(1)).gradient[0].real
    across, sizes, along = np.linalg.svd(gradient)
    rank = int(np.sum(sizes > _SINGULAR * sizes[0]))
    coordinates = mechanism.tree.size
    loose = _taking_part(along[rank:].T)
    repeated = _taking_part(across[:, rank:])
    first = {body.name: mechanism.tree.coordinate(body.name) for body in linkage.bodies}
    bodies = [
        body.name
        for body in linkage.bodies
        if loose[first[body.name] : first[body.name] + body.freedom.coordinates].any()
    ]
    names = {row: site.title for site in linkage.sites.values() for row in site.rows}
    held_twice = [names.get(row, row) for row, twice in zip(mechanism.joints, repeated, strict=False) if twice]
    return Freedoms(
        ways=coordinates - len(mechanism.joints),
        loose=tuple(name.removeprefix(f"{linkage.axle}.") for name in bodies),
        repeated=tuple(dict.fromkeys(name.removeprefix(f"{linkage.axle}.") for name in held_twice)),
    )


def _taking_part(vectors: Array) -> BoolArray:
    """Which rows of a set of column vectors are not zero, shape (rows,)."""
    sizes = np.sqrt(np.sum(vectors * vectors, axis=1))
    return np.asarray(sizes > _TAKES_PART * max(float(sizes.max(initial=0.0)), 1e-300), dtype=bool)

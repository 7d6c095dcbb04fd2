"""How many ways an axle has to move, and what is loose or held twice where they are not the two wheels' travels."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import numpy as np

from jounce.layouts.axle import AxleLinkage
from jounce.layouts.naming import SIDES, SideName, named
from jounce.linkage.mechanism import Mechanism
from jounce.numerics.arrays import Array, BoolArray

WAYS_OF_AN_AXLE = 2
"""Heave and roll, or the travel of either wheel."""

_SINGULAR = 1e-4
"""A direction in which all joints together give way to less than this share of the stiffest one is free: no pivot is
measured so well that such a linkage could be told from one that does not hold at all; those of real cars give 0.02."""

_TAKES_PART = 1e-6
"""Share of the largest motion (or pull) from which a body (or joint) counts as taking part."""


@dataclass(frozen=True, slots=True)
class Freedoms:
    """What the joints leave, as found.

    ``ways`` counts coordinates less joints; ``loose`` are the bodies that can still move with both wheels held;
    ``repeated`` are the joints that hold what the others hold already. ``leverage`` is how fast the measure of each side's
    main spring grows as its own wheel rises, where the linkage is sound [m/m or rad/m].
    """

    ways: int
    loose: tuple[str, ...]
    repeated: tuple[str, ...]
    leverage: Mapping[SideName, float] = field(default_factory=dict)

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
    springs = tuple(linkage.springs.values())
    with np.errstate(all="ignore"):
        gradients = mechanism.taken((*rows, *springs)).linearised(mechanism.tree.reference_pose(1)).gradient[0].real
    gradient = gradients[: len(rows)]
    if not np.isfinite(gradient).all():
        return Freedoms(mechanism.tree.size - len(mechanism.joints), _directionless(linkage, rows, gradient), ())
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
    found = Freedoms(
        ways=coordinates - len(mechanism.joints),
        loose=tuple(name.removeprefix(f"{linkage.axle}.") for name in bodies),
        repeated=tuple(dict.fromkeys(name.removeprefix(f"{linkage.axle}.") for name in held_twice)),
    )
    if not found.sound:
        return found
    ways = np.linalg.solve(gradient, np.eye(len(rows))[:, -len(SIDES) :])  # by each wheel's travel, the other held
    grown = gradients[len(rows) :] @ ways
    by_side = {side: float(grown[springs.index(linkage.springs[side]), k]) for k, side in enumerate(SIDES) if springs}
    return replace(found, leverage=by_side)


def _directionless(linkage: AxleLinkage, rows: tuple[str, ...], gradient: Array) -> tuple[str, ...]:
    """Joints whose gradients are no numbers, since points that should give a direction give none."""
    names = [row for row, slopes in zip(rows, gradient, strict=True) if not np.isfinite(slopes).all()]
    return tuple(name.removeprefix(f"{linkage.axle}.") for name in names)


def _taking_part(vectors: Array) -> BoolArray:
    """Which rows of a set of column vectors are not zero, shape (rows,)."""
    sizes = np.sqrt(np.sum(vectors * vectors, axis=1))
    return np.asarray(sizes > _TAKES_PART * max(float(sizes.max(initial=0.0)), 1e-300), dtype=bool)

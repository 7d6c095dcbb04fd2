"""What readings can tell apart: directions that were learned, and unknowns of which only a combination is known.

With every unknown counted in its former deviation and every reading in its own, the singular values s of the slopes say
how much more than before is known along each direction: nothing for s = 0, half of the deviation left at s = √3. The
number of directions learned is ``Σ s²/(1 + s²)``.
Source: C. D. Rodgers, Inverse Methods for Atmospheric Sounding, 2000, section 2.4 (quoted from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from jounce.fit.least_squares import Posterior
from jounce.numerics.arrays import Array

__all__ = ["Learned", "LearnedDirection", "learned"]

_LEARNED = 1.0  # singular value from which more is learned than was known
_SHOWN = 0.25  # of the direction's largest part: smaller ones are not named
_MOST_NAMED = 4
_PARALLEL = 0.995  # cosine of two unknowns' slopes at which readings cannot tell them apart
_FELT = 1.0  # length of an unknown's scaled slopes from which readings feel it at all


@dataclass(frozen=True, slots=True)
class LearnedDirection:
    """A combination of unknowns that the readings know better than before.

    ``singular`` says how much more than was known; ``parts`` are the unknowns in it, by number, with their shares in
    former deviations, the largest first.
    """

    singular: float
    parts: tuple[tuple[int, float], ...]


@dataclass(frozen=True, slots=True)
class Learned:
    """What readings teach.

    Attributes:
        count: number of directions learned [-]
        directions: those of which more was learned than was known, the best known first
        alike: unknowns in groups, by number, each felt by the readings in the same way as the others of its group

    """

    count: float
    directions: tuple[LearnedDirection, ...]
    alike: tuple[tuple[int, ...], ...]


def learned(fit: Posterior) -> Learned:
    """What the readings of a fit teach.

    Args:
        fit: the fit
    """
    slopes = fit.scaled_slopes
    _, singular, ways = np.linalg.svd(slopes, full_matrices=False)
    directions = [
        LearnedDirection(float(size), _parts(way)) for size, way in zip(singular, ways, strict=True) if size > _LEARNED
    ]
    count = float((singular**2 / (1 + singular**2)).sum())
    return Learned(count, tuple(directions), _alike(slopes))


def _parts(way: Array) -> tuple[tuple[int, float], ...]:
    order: Sequence[int] = np.argsort(-np.abs(way), kind="stable")[:_MOST_NAMED].tolist()
    largest = abs(way[order[0]])
    sign = np.sign(way[order[0]])
    return tuple((k, float(sign * way[k])) for k in order if abs(way[k]) >= _SHOWN * largest)


def _alike(slopes: Array) -> tuple[tuple[int, ...], ...]:
    """Groups of unknowns whose slopes are parallel."""
    size = np.linalg.norm(slopes, axis=0)
    left = [int(k) for k in np.flatnonzero(size > _FELT)]
    groups = []
    while left:
        first, *others = left
        cosines = {k: abs(slopes[:, first] @ slopes[:, k]) / (size[first] * size[k]) for k in others}
        group = (first, *(k for k in others if cosines[k] > _PARALLEL))
        left = [k for k in others if k not in group]
        if len(group) > 1:
            groups.append(group)
    return tuple(groups)

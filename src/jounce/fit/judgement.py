"""Whether readings suit a car and one another: each one's miss against all the others, and all of them together.

``H = A (1 + AᵀA)⁻¹ Aᵀ`` says how far each reading pulls the fit to itself. Left out, it would miss by
``z = (y - h) / (σ √(1 - H))`` of its own deviations, which is one in sound readings; beyond 3.3 (one in a thousand) it is
suspect. An error of ``4.13 σ / √(1 - H)`` is flagged in four of five cases (3.29 + 0.84 deviations); smaller ones pass.
The sum of squares has as many degrees of freedom as there are readings; above its 99.9 % point something does not belong.
Source: W. Baarda, A testing procedure for use in geodetic networks, 1968 (quoted from memory).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.special import chdtri

from jounce.fit.least_squares import Posterior
from jounce.numerics.arrays import Array

__all__ = ["FLAGGED", "Judgement", "judged"]

FLAGGED = 3.3
"""A reading that misses the others by more of its deviations is suspect [-]."""

_SEEN = 4.13
_CHANCE = 0.001
_OWN = 1e-12


@dataclass(frozen=True, slots=True)
class Judgement:
    """How readings suit the fit.

    Attributes:
        apart: by how many deviations each reading misses what all others say of it, (readings,)
        pull: share of each reading's error that the fit follows, H, (readings,) [-]
        smallest_seen: error of each that would be flagged in four of five cases, in its deviations, (readings,)
        chi_square: sum of squares of readings and former knowledge
        most: what it stays below in 999 of 1000 sound cars

    """

    apart: Array
    pull: Array
    smallest_seen: Array
    chi_square: float
    most: float

    @property
    def suspect(self) -> int | None:
        """The reading that misses the others most, if it misses them by too much."""
        if not len(self.apart):
            return None
        worst = int(np.argmax(np.abs(self.apart)))
        return worst if abs(self.apart[worst]) > FLAGGED else None

    @property
    def belongs(self) -> bool:
        """Whether readings and car belong together."""
        return self.chi_square <= self.most


def judged(fit: Posterior) -> Judgement:
    """Judge each reading by the others, and all of them.

    Args:
        fit: what the readings gave
    """
    scaled = fit.scaled_slopes @ (fit.root / fit.known.deviations[:, None])
    pull = np.asarray((scaled**2).sum(axis=1))
    free = np.sqrt(np.maximum(1 - pull, _OWN))
    count = len(pull)
    most = float(chdtri(count, _CHANCE)) if count else 0.0
    return Judgement(fit.misses / free, pull, _SEEN / free, fit.chi_square, most)

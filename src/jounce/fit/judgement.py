"""Whether readings suit a car and one another: each one's miss against all the others, and all of them together.

``H = A (1 + AᵀA)⁻¹ Aᵀ`` says how far each reading pulls the fit to itself. Left out, it would miss by
``z = (y - h) / (σ √(1 - H))`` of its own deviations, which is one in sound readings; beyond 3.3 (one in a thousand) it is
suspect. Another reading may be off in its stead: two of one number that disagree accuse each other. Misses of two go
together by ``ρ = -H_ij / √((1 - H_ii) (1 - H_jj))``; with ``j`` left out, ``i`` misses by ``(z_i - ρ z_j) / √(1 - ρ²)``.
Where that suits, ``j`` explains all that ``i`` does, and which one is off cannot be told; of culprits 95 in 100 are among
those named so. An error of ``4.13 σ / √(1 - H)`` is flagged in four of five cases (3.29 + 0.84 deviations); smaller ones
pass. The sum of squares has as many degrees of freedom as there are readings; above its 99.9 % point something does not
belong. Source: W. Baarda, A testing procedure for use in geodetic networks, 1968; errors told apart by ``ρ``: W. Förstner,
Reliability and discernability of extended Gauss-Markov models, 1983 (both quoted from memory).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.special import chdtri

from jounce.conventions.certainty import DEVIATIONS_TYPED
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
        together: how the misses of two go together, ρ, (readings, readings) [-]
        smallest_seen: error of each that would be flagged in four of five cases, in its deviations, (readings,)
        chi_square: sum of squares of readings and former knowledge
        most: what it stays below in 999 of 1000 sound cars

    """

    apart: Array
    pull: Array
    together: Array
    smallest_seen: Array
    chi_square: float
    most: float

    @property
    def suspects(self) -> tuple[int, ...]:
        """The reading that misses the others most, if by too much, and those that may be off in its stead."""
        if not len(self.apart):
            return ()
        worst = int(np.argmax(np.abs(self.apart)))
        if abs(self.apart[worst]) <= FLAGGED:
            return ()
        rho = np.delete(self.together[worst], worst)
        others = np.delete(np.arange(len(self.apart)), worst)
        without = np.abs(self.apart[worst] - rho * self.apart[others])
        suits = without <= DEVIATIONS_TYPED * np.sqrt(np.maximum(1 - rho**2, _OWN))
        return (worst, *map(int, others[suits]))

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
    follows = scaled @ scaled.T
    pull = np.diag(follows).copy()
    free = np.sqrt(np.maximum(1 - pull, _OWN))
    together = -follows / np.outer(free, free)
    np.fill_diagonal(together, 1.0)
    count = len(pull)
    most = float(chdtri(count, _CHANCE)) if count else 0.0
    return Judgement(fit.misses / free, pull, together, _SEEN / free, fit.chi_square, most)

"""Whether readings suit a car and one another: each one's miss against all the others, and all of them together.

``H = A (1 + AᵀA)⁻¹ Aᵀ`` says how far each reading pulls the fit to itself. Left out, it would miss by
``z = (y - h) / (σ √(1 - H))`` of its own deviations, in the square 1 in sound readings; where a slip of ``s`` of them lies
in it ``1 + r``, ``r = s² (1 - H)``. So ``½ z² r / (1 + r) - ½ ln(1 + r)`` is the logarithm of how many times better a slip
explains the miss than chance does. Beyond 20 times the reading is suspect: a clear one from ``z = 3.3`` on, one that the
others hardly check, where no slip makes much of a miss, from 3.1 on; one that they check not at all never is.

Another reading may be off in its stead: two of one number that disagree accuse each other. Misses of two go
together by ``ρ = -H_ij / √((1 - H_ii) (1 - H_jj))``; with ``j`` left out, ``i`` misses by ``(z_i - ρ z_j) / √(1 - ρ²)``.
Where that suits, ``j`` explains all that ``i`` does, and which one is off cannot be told; of culprits 95 in 100 are among
those named so. The sum of squares has as many degrees of freedom as there are readings; above its 99.9 % point something
does not belong. An error that readings share (`jounce.fit.shared`) is one more unknown in all of this, and σ what errs in
a reading alone. Sources: W. Baarda, A testing procedure for use in geodetic networks, 1968; a slip against chance: G. E. P.
Box and G. C. Tiao, A Bayesian approach to some outlier problems, Biometrika 55 (1968) 119; errors told apart by ``ρ``:
W. Förstner, Reliability and discernability of extended Gauss-Markov models, 1983 (all quoted from memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import log

import numpy as np
from scipy.special import chdtri

from jounce.conventions.certainty import DEVIATIONS_TYPED
from jounce.fit.least_squares import Posterior
from jounce.numerics.arrays import Array

__all__ = ["Judgement", "judged"]

_SLIP = 12.0  # deviations, root of the mean square: six times the ± as typed; the program's own
_ODDS = log(20.0)  # of 12 to 30 readings of sound cars one is suspect in 2 to 3 of 100 cars
_IN_FOUR_OF_FIVE = 0.8416  # deviations, a quantile of the normal distribution
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
        """The reading of which a slip explains most, if it explains enough, and those that may be off in its stead."""
        if not len(self.apart):
            return ()
        odds = _log_odds(self.apart, self.pull)
        worst = int(np.argmax(odds))
        if odds[worst] <= _ODDS:
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
    follows = fit.felt @ fit.felt.T
    pull = np.diag(follows).copy()
    free = np.sqrt(np.maximum(1 - pull, _OWN))
    together = -follows / np.outer(free, free)
    np.fill_diagonal(together, 1.0)
    count = len(pull)
    most = float(chdtri(count, _CHANCE)) if count else 0.0
    seen = (_least_flagged(pull) + _IN_FOUR_OF_FIVE) / free
    return Judgement(fit.misses / free, pull, together, seen, fit.chi_square, most)


def _power(pull: Array) -> Array:
    """By how much a slip widens the square of a reading's miss, r."""
    return np.asarray(_SLIP**2 * np.maximum(1 - pull, _OWN))


def _log_odds(apart: Array, pull: Array) -> Array:
    """Logarithm of how many times better a slip of each reading explains its miss than chance does, (readings,)."""
    power = _power(pull)
    return np.asarray(apart**2 * power / (1 + power) / 2 - np.log1p(power) / 2)


def _least_flagged(pull: Array) -> Array:
    """Deviations by which each reading has to miss the others to be suspect, (readings,)."""
    power = _power(pull)
    return np.asarray(np.sqrt((2 * _ODDS + np.log1p(power)) * (1 + power) / power))

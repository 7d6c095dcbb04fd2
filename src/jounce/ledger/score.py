"""The interval score: one number that is smallest for bands that are as narrow as they may be and no narrower.

``(u − l) + (2/α)(l − x)₊ + (2/α)(x − u)₊`` for a band from l to u that is to hold a share 1 − α, and x found.
Source: T. Gneiting and A. E. Raftery, Strictly proper scoring rules, prediction, and estimation, Journal of the American
Statistical Association 102 (2007) 359, equation 43 (quoted from memory).
"""

from __future__ import annotations

from jounce.conventions.certainty import SHOWN_SHARE

__all__ = ["BEST", "interval_score"]

BEST = 4.1254
"""Mean score, in deviations, of normal bands of nine of ten that are right: ``4 φ(1.6449)/0.1``; a test works it out."""


def interval_score(difference: float, half_width: float, share: float = SHOWN_SHARE) -> float:
    """Score of a band about a prediction [as the difference].

    Args:
        difference: found less predicted [any]
        half_width: of the band [as the difference]
        share: of cases that it is to hold [-]
    """
    return 2 * half_width + 2 / (1 - share) * max(0.0, abs(difference) - half_width)

"""What chance does to a count: exact binomial tails, and the exact interval of a share.

Between whole counts the tails go on as the incomplete beta function does, which they are (Abramowitz and Stegun, Handbook
of Mathematical Functions, 26.5.24, quoted from memory), so that numbers that stand together may count in part.

Source: C. J. Clopper and E. S. Pearson, The use of confidence or fiducial limits illustrated in the case of the binomial,
Biometrika 26 (1934) 404 (quoted from memory); the tails are sums of the binomial law.
"""

from __future__ import annotations

from collections.abc import Callable

from scipy.special import betainc

__all__ = ["at_least", "at_most", "share_interval"]

_HALVINGS = 60


def at_most(count: float, of: float, share: float) -> float:
    """Probability that at most ``count`` of ``of`` come true, each with probability ``share`` [-].

    Args:
        count: how many came true
        of: how many there were
        share: probability of one, 0 to 1 [-]

    >>> round(at_most(14, 20, 0.9), 5)
    0.01125
    """
    if count < 0:
        return 0.0
    if count >= of or share <= 0:
        return 1.0
    if share >= 1:
        return 0.0
    return float(betainc(of - count, count + 1, 1 - share))


def at_least(count: float, of: float, share: float) -> float:
    """Probability that at least ``count`` of ``of`` come true [-].

    Args:
        count: how many came true
        of: how many there were
        share: probability of one, 0 to 1 [-]
    """
    return at_most(of - count, of, 1 - share)  # so many at most did not come true


def share_interval(count: float, of: float, confidence: float = 0.9) -> tuple[float, float]:
    """The exact interval of a share of which a count is known, by Clopper and Pearson [-].

    Args:
        count: how many came true
        of: how many there were; at least one
        confidence: how often the interval holds the share, at least [-]

    >>> tuple(round(end, 3) for end in share_interval(14, 20))
    (0.492, 0.86)
    """
    outside = (1 - confidence) / 2
    low = 0.0 if count == 0 else _crossing(lambda share: at_least(count, of, share) > outside)
    high = 1.0 if count == of else _crossing(lambda share: at_most(count, of, share) < outside)
    return low, high


def _crossing(beyond: Callable[[float], bool]) -> float:
    """The share from which something holds that does not hold below."""
    low, high = 0.0, 1.0
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        low, high = (low, middle) if beyond(middle) else (middle, high)
    return (low + high) / 2

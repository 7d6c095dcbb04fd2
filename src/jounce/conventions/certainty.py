"""What a ± means: one meaning where it is typed and one where it is shown.

A typed ± holds the true value in 95 of 100 cases: it is two standard deviations. A band that is shown holds it in nine of
ten, 1.645 standard deviations. Errors are taken as normal and independent. Quantiles of the normal distribution (1.960 and
1.645 for 95 and 90 % between both ends): NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.1; that a typed ± is two
and not 1.960 of them is the rounding in use: JCGM 100:2008 (GUM), 6.3.3.
"""

from __future__ import annotations

from statistics import NormalDist

SHOWN_SHARE = 0.9
"""Share of cases in which the true value lies within a band that is shown [-]."""

DEVIATIONS_TYPED = 2.0
"""Standard deviations in a typed ± [-]."""

DEVIATIONS_SHOWN = NormalDist().inv_cdf((1 + SHOWN_SHARE) / 2)
"""Standard deviations in a band that is shown [-]."""

SHOWN_PER_TYPED = DEVIATIONS_SHOWN / DEVIATIONS_TYPED
"""What a band that is shown makes of a typed ± [-]."""

MEANING = "± holds the true value in 9 of 10 cases"
"""What stands beside bands that are shown."""

MEANING_OF_SOME = f"{MEANING}; where there is no ±, none was worked out."
"""The same where only some numbers carry a band."""


def agrees(difference: float, typed: float, shown: float) -> bool:
    """Whether a measurement and a prediction agree: their difference lies inside both bands together.

    Args:
        difference: measured less predicted [any]
        typed: ± of the measurement, as typed [as the difference]
        shown: band of the prediction, as shown [as the difference]
    """
    return abs(difference) <= together(typed, shown)


def together(typed: float, shown: float) -> float:
    """Half width of the band in which the difference of a measurement and a prediction lies in nine of ten cases.

    Args:
        typed: ± of the measurement, as typed [any]
        shown: band of the prediction, as shown [as the measurement]
    """
    return float(((SHOWN_PER_TYPED * typed) ** 2 + shown**2) ** 0.5)

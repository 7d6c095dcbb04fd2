"""What shaking a person feels: the weighting Wk of ISO 2631-1 for vertical shaking through the seat, and words for it.

The standard itself was not read; weighting and words follow public transcriptions.
"""

from __future__ import annotations

import numpy as np

from jounce.numerics.arrays import Array

BAND = (0.5, 80.0)
"""Frequencies over which comfort is counted [Hz]."""

WORDS = (
    (0.315, 0.0, "not uncomfortable"),
    (0.63, 0.315, "a little uncomfortable"),
    (1.0, 0.5, "fairly uncomfortable"),
    (1.6, 0.8, "uncomfortable"),
    (2.5, 1.25, "very uncomfortable"),
    (np.inf, 2.0, "extremely uncomfortable"),
)
"""Reactions of ISO 2631-1 Annex C: up to, from, words [m/s², m/s², -]; the bands overlap as they do there."""


def seat_weighting(frequency: Array) -> Array:
    """Size of the weighting Wk of vertical acceleration of a seated person.

    Band limits 0.4 and 100 Hz (Butterworth), transition at 12.5 Hz (Q 0.63), step at 2.37 and 3.35 Hz (Q 0.91).

    Args:
        frequency: above zero [Hz]

    Returns:
        Weight of an acceleration at that frequency [-]

    Source: ISO 2631-1:1997, Table 3 and the transfer functions of its Annex A, by public transcription.

    >>> seat_weighting(np.array([1.0, 5.0, 20.0])).round(3)
    array([0.482, 1.039, 0.636])

    """
    s = 2j * np.pi * np.asarray(frequency, float)
    w1, w2, w3, w5, w6 = (2 * np.pi * f for f in (0.4, 100.0, 12.5, 2.37, 3.35))
    high = 1 / (1 + np.sqrt(2) * w1 / s + (w1 / s) ** 2)
    low = 1 / (1 + np.sqrt(2) * s / w2 + (s / w2) ** 2)
    transition = (1 + s / w3) / (1 + s / (0.63 * w3) + (s / w3) ** 2)
    step = (1 + s / (0.91 * w5) + (s / w5) ** 2) / (1 + s / (0.91 * w6) + (s / w6) ** 2) * (w5 / w6) ** 2
    return np.asarray(np.abs(high * low * transition * step))


def reactions(weighted: float) -> tuple[str, ...]:
    """Words of the Annex for a weighted RMS acceleration: one, or two where its bands overlap.

    Args:
        weighted: RMS of the weighted acceleration [m/s²]

    >>> reactions(0.55)
    ('a little uncomfortable', 'fairly uncomfortable')

    """
    return tuple(words for below, above, words in WORDS if above <= weighted < below)

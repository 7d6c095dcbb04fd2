"""NIST Statistical Reference Datasets, nonlinear regression: Roszman1; certified values as published.

The dataset has no prior knowledge: the solver is told deviations beforehand so wide that they weigh nothing.
"""

from __future__ import annotations

import numpy as np

from jounce.fit.least_squares import KnownBefore, Readings, SeenValues, fitted
from tests.published import Published

SOURCE = "nist-strd"
WHERE = "Roszman1"

RESPONSE = [
    0.252429, 0.252141, 0.251809, 0.297989, 0.296257, 0.295319, 0.339603, 0.337731, 0.333820, 0.389510, 0.386998, 0.438864,
    0.434887, 0.427893, 0.471568, 0.461699, 0.461144, 0.513532, 0.506641, 0.505062, 0.535648, 0.533726, 0.568064, 0.612886,
    0.624169,
]  # fmt: skip
PREDICTOR = [
    -4868.68, -4868.09, -4867.41, -3375.19, -3373.14, -3372.03, -2473.74, -2472.35, -2469.45, -1894.65, -1893.40, -1497.24,
    -1495.85, -1493.41, -1208.68, -1206.18, -1206.04, -997.92, -996.61, -996.31, -834.94, -834.66, -710.03, -530.16,
    -464.17,
]  # fmt: skip
STARTS = ([0.1, -1e-5, 1000.0, -100.0], [0.2, -5e-6, 1200.0, -150.0])


def certified(quantity: str, printed: str) -> Published:
    """A certified value; the last three of its eleven digits are left to the rounding of the arithmetic."""
    return Published(
        quantity=quantity,
        source=SOURCE,
        where=WHERE,
        printed=printed,
        rel=1e-7,
        tolerance_note="Certified to eleven digits by arithmetic of many more; seven are asked of double precision.",
    )


PARAMETERS = [
    certified("parameter b1", "2.0196866396e-01"),
    certified("parameter b2", "-6.1953516256e-06"),
    certified("parameter b3", "1.2044556708e+03"),
    certified("parameter b4", "-1.8134269537e+02"),
]
DEVIATIONS = [
    certified("standard deviation of b1", "1.9172666023e-02"),
    certified("standard deviation of b2", "3.2058931691e-06"),
    certified("standard deviation of b3", "7.4050983057e+01"),
    certified("standard deviation of b4", "4.9573513849e+01"),
]
RESIDUALS = certified("residual sum of squares", "4.9484847331e-04")


def roszman(at: np.ndarray) -> SeenValues:
    """``y = b1 - b2 x - arctan(b3 / (x - b4)) / π`` with its derivatives."""
    x = np.array(PREDICTOR)
    away = x - at[3]
    whole = np.pi * (away**2 + at[2] ** 2)
    slopes = np.column_stack((np.ones_like(x), -x, -away / whole, -at[2] / whole))
    return SeenValues(at[0] - at[1] * x - np.arctan(at[2] / away) / np.pi, slopes)


def test_parameters_deviations_and_residuals_are_the_certified_ones() -> None:
    for start in STARTS:
        beginning = np.array(start)
        known = KnownBefore(beginning, 1e6 * np.abs(beginning))
        # The deviation of a reading is not known beforehand either: it follows from the residuals, 21 degrees of freedom.
        first = fitted(roszman, known, Readings(np.array(RESPONSE), np.ones(25)), close=1e-12)
        squares = float((first.misses**2).sum())
        fit = fitted(roszman, known, Readings(np.array(RESPONSE), np.full(25, np.sqrt(squares / 21))), close=1e-9)

        assert squares == RESIDUALS.match()
        assert [*fit.values] == [one.match() for one in PARAMETERS]
        assert [*np.sqrt(np.diag(fit.covariance))] == [one.match() for one in DEVIATIONS]

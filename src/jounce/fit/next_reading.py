"""Which reading to take next: what each would make of one answer's band, and of all that is not known yet.

With covariance C of the unknowns, a further reading with slopes j and deviation σ takes ``(g C j)² / (σ² + j C jᵀ)`` from
the variance of an answer with slopes g (c-optimal), and brings ``ln(1 + j C jᵀ/σ²)`` of all knowledge (D-optimal); both are
exact where the model is linear.
Source: K. Chaloner and I. Verdinelli, Bayesian experimental design: a review, Statistical Science 10 (1995) 273 (quoted
from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from jounce.numerics.arrays import Array

__all__ = ["Candidates", "ReadingStep", "after", "knowledge_gains", "next_steps", "variance_gains"]


@dataclass(frozen=True, slots=True)
class Candidates:
    """Readings that might be taken: ``slopes`` (readings, unknowns); ``deviations`` and ``minutes`` of work (readings,)."""

    slopes: Array
    deviations: Array
    minutes: Array


@dataclass(frozen=True, slots=True)
class ReadingStep:
    """A reading taken next: its ``number`` among the candidates, and the answer's standard ``deviation`` after it."""

    number: int
    deviation: float


def variance_gains(root: Array, answer: Array, candidates: Candidates) -> Array:
    """What each further reading would take from the variance of an answer, shape (readings,).

    Args:
        root: matrix R with covariance R Rᵀ of the unknowns (unknowns, unknowns)
        answer: slopes of the answer (unknowns,)
        candidates: what might be read
    """
    felt = candidates.slopes @ root
    return np.asarray((felt @ (root.T @ answer)) ** 2 / (candidates.deviations**2 + (felt**2).sum(axis=1)))


def knowledge_gains(root: Array, candidates: Candidates) -> Array:
    """What each further reading would bring to all knowledge [-], shape (readings,).

    Args:
        root: as for one answer
        candidates: what might be read
    """
    felt = candidates.slopes @ root
    return np.asarray(np.log1p((felt**2).sum(axis=1) / candidates.deviations**2))


def next_steps(
    root: Array, answer: Array, candidates: Candidates, count: int, least: float = 0.0, often: Array | None = None
) -> Sequence[ReadingStep]:
    """Readings one after the other, each the one that brings most per minute of work after those before it.

    A reading may be named again: taken once more it tells more.

    Args:
        root: as for one answer
        answer: slopes of the answer (unknowns,); for all knowledge together an empty array
        candidates: what might be read
        count: how many
        least: share of an answer's variance that a reading has to take [-]; as little as one likes when left out
        often: how often each may be named, (readings,); as often as it helps when left out
    """
    steps: list[ReadingStep] = []
    left = np.full(len(candidates.minutes), np.inf) if often is None else often.astype(float)
    for _ in range(count if len(candidates.minutes) else 0):
        gains = variance_gains(root, answer, candidates) if len(answer) else knowledge_gains(root, candidates)
        if len(answer):
            gains = np.where(gains < least * np.linalg.norm(answer @ root) ** 2, 0.0, gains)
        gains = np.where(left > 0, gains, 0.0)
        if not (gains > 0).any():
            break
        number = int(np.argmax(gains / candidates.minutes))
        left[number] -= 1
        root = after(root, candidates.slopes[number], float(candidates.deviations[number]))
        steps.append(ReadingStep(number, float(np.linalg.norm(answer @ root)) if len(answer) else 0.0))
    return steps


def after(root: Array, slopes: Array, deviation: float) -> Array:
    """The covariance's root after one more reading, by the square-root form of the update.

    Source: J. E. Potter's form, in G. J. Bierman, Factorization Methods for Discrete Sequential Estimation, 1977, II.4
    (quoted from memory).

    Args:
        root: matrix R with covariance R Rᵀ (unknowns, unknowns)
        slopes: of the reading (unknowns,)
        deviation: of the reading
    """
    felt = root.T @ slopes
    whole = deviation**2 + float(felt @ felt)
    share = 1 / (whole + deviation * np.sqrt(whole))
    return np.asarray(root - share * np.outer(root @ felt, felt))

"""Bayesian least squares: unknowns known to some ± beforehand, and readings that tell more of them.

Minimised is ``Σ ((y - h(θ))/σ)² + Σ ((θ - θ₀)/s₀)²`` by Gauss and Newton. Everything is scaled by its own deviation,
``x = (θ - θ₀)/s₀``, ``A = (∂h/∂x)/σ``; each round solves ``[A; 1] δ = [(y - h)/σ; -x]`` by an orthogonal decomposition, so
that the normal equations' squares are never formed. What is left afterwards has the covariance ``(1 + AᵀA)⁻¹`` [scaled].
Source: C. D. Rodgers, Inverse Methods for Atmospheric Sounding, 2000, chapters 4 and 5 (quoted from memory).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from scipy.linalg import qr, solve_triangular

from jounce.conventions.errors import JounceError, NotConverged
from jounce.numerics.arrays import Array

__all__ = ["CLOSE", "KnownBefore", "Posterior", "Readings", "SeenValues", "fitted"]

CLOSE = 1e-4
"""A step this small, in the deviations that are left, is the last: no band shows it [-]."""

_ROUNDS = 25
_HALVINGS = 8


@dataclass(frozen=True, slots=True)
class SeenValues:
    """What a model says about a place: ``values`` (readings,) and their ``slopes`` by each unknown (readings, unknowns)."""

    values: Array
    slopes: Array


@dataclass(frozen=True, slots=True)
class KnownBefore:
    """What was known beforehand: the ``values`` of the unknowns and the standard ``deviations`` of each, (unknowns,)."""

    values: Array
    deviations: Array


@dataclass(frozen=True, slots=True)
class Readings:
    """What was read: ``values`` and the standard ``deviations`` of each, (readings,)."""

    values: Array
    deviations: Array


@dataclass(frozen=True, slots=True)
class Posterior:
    """The unknowns after the readings.

    Attributes:
        values: of the unknowns, shape (unknowns,)
        root: matrix R with covariance R Rᵀ, shape (unknowns, unknowns)
        seen: the model there
        known: what was known beforehand
        readings: what was read
        rounds: rounds that it took

    """

    values: Array
    root: Array
    seen: SeenValues
    known: KnownBefore
    readings: Readings
    rounds: int

    @property
    def covariance(self) -> Array:
        """Of the unknowns, shape (unknowns, unknowns)."""
        return np.asarray(self.root @ self.root.T)

    @property
    def scaled_slopes(self) -> Array:
        """Slopes of the readings in their own deviations per deviation of each unknown beforehand, (readings, unknowns)."""
        return np.asarray(self.seen.slopes * self.known.deviations / self.readings.deviations[:, None])

    @property
    def misses(self) -> Array:
        """Readings less the model in the readings' deviations, shape (readings,)."""
        return np.asarray((self.readings.values - self.seen.values) / self.readings.deviations)

    @property
    def moved(self) -> Array:
        """By how many of their former deviations the unknowns have moved, shape (unknowns,)."""
        return np.asarray((self.values - self.known.values) / self.known.deviations)

    @property
    def chi_square(self) -> float:
        """Sum of the squares that was made least; as many degrees of freedom as there are readings."""
        return float((self.misses**2).sum() + (self.moved**2).sum())

    def deviation(self, slopes: Array) -> Array:
        """Standard deviation of answers after the readings.

        Args:
            slopes: of each answer by each unknown, shape (..., unknowns)
        """
        return np.asarray(np.linalg.norm(np.asarray(slopes) @ self.root, axis=-1))


def fitted(
    model: Callable[[Array], SeenValues],
    known: KnownBefore,
    readings: Readings,
    close: float = CLOSE,
    start: Array | None = None,
) -> Posterior:
    """The unknowns that suit readings and former knowledge best, and how sure they are then.

    A step that leads where the model cannot be, or to a larger sum of squares, is halved.

    Args:
        model: what is read, with slopes, for given unknowns (unknowns,)
        known: the unknowns beforehand, each deviation above zero
        readings: what was read, each deviation above zero
        close: a step this small, in the deviations that are left, is the last [-]
        start: where to begin (unknowns,); at what was known when left out

    Raises:
        Impossible: the model cannot be at what was known beforehand
        NotConverged: no least sum of squares was found
    """
    at = known.values if start is None else start
    seen = model(at)
    least = _sum(at, seen, known, readings)
    for rounds in range(1, _ROUNDS + 1):
        upper, step = _step(at, seen, known, readings)
        size = float(np.linalg.norm(upper @ step))
        root = known.deviations[:, None] * solve_triangular(upper, np.eye(len(at)))
        if size <= close:
            return Posterior(at, root, seen, known, readings, rounds - 1)
        moved = _nearer(model, (at, least), known.deviations * step, known, readings)
        if moved is None:
            # Rounding alone is left between two sums this near; else the slopes do not belong to the values.
            if size < 4 * np.sqrt(np.finfo(float).eps * max(least, 1.0)):
                return Posterior(at, root, seen, known, readings, rounds)
            break
        at, seen, least = moved
    raise NotConverged(
        "No values of the unknowns were found that suit the readings best; look for a slip in one of them."
    )


def _step(at: Array, seen: SeenValues, known: KnownBefore, readings: Readings) -> tuple[Array, Array]:
    """Triangle of the decomposition, and the step in the unknowns' former deviations."""
    scaled = seen.slopes * known.deviations / readings.deviations[:, None]
    right = np.concatenate(
        ((readings.values - seen.values) / readings.deviations, (known.values - at) / known.deviations)
    )
    across, upper = qr(np.concatenate((scaled, np.eye(len(at)))), mode="economic")
    return np.asarray(upper), np.asarray(solve_triangular(upper, across.T @ right))


def _nearer(
    model: Callable[[Array], SeenValues], now: tuple[Array, float], step: Array, known: KnownBefore, readings: Readings
) -> tuple[Array, SeenValues, float] | None:
    """The first of ever shorter steps that lowers the sum of squares; None where none does."""
    at, least = now
    for halved in range(_HALVINGS):
        there = at + step / 2**halved
        try:
            seen = model(there)
        except JounceError:  # a number beyond what physics allows, or a place out of reach
            continue
        found = _sum(there, seen, known, readings)
        if found < least:
            return there, seen, found
    return None


def _sum(at: Array, seen: SeenValues, known: KnownBefore, readings: Readings) -> float:
    misses = (readings.values - seen.values) / readings.deviations
    return float((misses**2).sum() + (((at - known.values) / known.deviations) ** 2).sum())

"""Bayesian least squares: unknowns known to some ± beforehand, and readings that tell more of them.

Minimised is ``Σ ((y - h(θ))/σ)² + Σ ((θ - θ₀)/s₀)²`` by Gauss and Newton. Everything is scaled by its own deviation,
``x = (θ - θ₀)/s₀``, ``A = (∂h/∂x)/σ``; each round solves ``[A; 1] δ = [(y - h)/σ; -x]`` by an orthogonal decomposition, so
that the normal equations' squares are never formed. What is left afterwards has the covariance ``(1 + AᵀA)⁻¹`` [scaled].

An error that several readings share is an unknown of its own, known beforehand to be nothing within its deviation: an
offset. It is sought with the others and is none of the car's numbers.
Source: C. D. Rodgers, Inverse Methods for Atmospheric Sounding, 2000, chapters 4 and 5 (quoted from memory).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.linalg import qr, solve_triangular

from jounce.conventions.errors import JounceError, NotConverged
from jounce.numerics.arrays import Array

__all__ = ["CLOSE", "KnownBefore", "Posterior", "Readings", "SeenValues", "fitted"]

CLOSE = 1e-4
"""A step this small, in the deviations that are left, is the last: no band shows it [-]."""

_UNSEEN = 0.02
"""A step this small, in the deviations that are left, may be left undone where the model has a kink [-]."""
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
    """What was read: ``values`` and the standard ``deviations`` of what errs in each alone, (readings,).

    ``shared`` is what one deviation of each offset adds to each reading, (readings, offsets); none when left out.
    """

    values: Array
    deviations: Array
    shared: Array | None = None

    @property
    def offsets(self) -> Array:
        """What each offset adds, none among them."""
        return np.zeros((len(self.values), 0)) if self.shared is None else self.shared

    @property
    def whole_deviations(self) -> Array:
        """Standard deviation of each reading, its own error and what it shares, (readings,)."""
        return np.asarray(np.sqrt(self.deviations**2 + (self.offsets**2).sum(axis=1)))

    def take(self, numbers: Sequence[int]) -> Readings:
        """Some of them.

        Args:
            numbers: which
        """
        own = list(numbers)
        return Readings(self.values[own], self.deviations[own], None if self.shared is None else self.shared[own])


@dataclass(frozen=True, slots=True)
class Posterior:
    """The unknowns after the readings.

    Attributes:
        values: of the unknowns, shape (unknowns,)
        whole_root: matrix R with covariance R Rᵀ of the unknowns and of the offsets after them, as many each way
        seen: the model there, offsets left out
        known: what was known beforehand
        readings: what was read
        rounds: rounds that it took
        offsets: what readings share, in its deviations, (offsets,)

    """

    values: Array
    whole_root: Array
    seen: SeenValues
    known: KnownBefore
    readings: Readings
    rounds: int
    offsets: Array

    @property
    def root(self) -> Array:
        """Matrix R with covariance R Rᵀ of the unknowns, shape (unknowns, unknowns and offsets)."""
        return self.whole_root[: len(self.values)]

    @property
    def covariance(self) -> Array:
        """Of the unknowns, shape (unknowns, unknowns)."""
        return np.asarray(self.root @ self.root.T)

    @property
    def scaled_slopes(self) -> Array:
        """Slopes of the readings per deviation of each unknown beforehand, (readings, unknowns).

        In deviations of the readings; where they share errors, of what of them errs independently, one after the other.
        """
        read = self.readings
        slopes = np.asarray(self.seen.slopes * self.known.deviations)
        if read.shared is None:
            return np.asarray(slopes / read.deviations[:, None])
        spread = np.diag(read.deviations**2) + read.shared @ read.shared.T
        return np.asarray(solve_triangular(np.linalg.cholesky(spread), slopes, lower=True))

    @property
    def felt(self) -> Array:
        """What is left of the unknowns and offsets as each reading feels it, in its own deviations, (readings, all)."""
        slopes = np.concatenate((self.seen.slopes, self.readings.offsets), axis=1)
        return np.asarray(slopes @ self.whole_root / self.readings.deviations[:, None])

    @property
    def misses(self) -> Array:
        """Readings less the model and what they share, in the readings' own deviations, shape (readings,)."""
        seen = self.seen.values + self.readings.offsets @ self.offsets
        return np.asarray((self.readings.values - seen) / self.readings.deviations)

    @property
    def moved(self) -> Array:
        """By how many of their former deviations the unknowns have moved, shape (unknowns,)."""
        return np.asarray((self.values - self.known.values) / self.known.deviations)

    @property
    def chi_square(self) -> float:
        """Sum of the squares that was made least; as many degrees of freedom as there are readings."""
        return float((self.misses**2).sum() + (self.moved**2).sum() + (self.offsets**2).sum())

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
    count = len(known.values)
    whole = KnownBefore(
        np.concatenate((known.values, np.zeros(readings.offsets.shape[1]))),
        np.concatenate((known.deviations, np.ones(readings.offsets.shape[1]))),
    )
    begin = known.values if start is None else start
    found = _sought(_with_offsets(model, readings, begin), whole, readings, close, begin)
    seen, offsets = found.seen, found.values[count:]
    alone = SeenValues(seen.values - readings.offsets @ offsets, seen.slopes[:, :count])
    return Posterior(found.values[:count], found.whole_root, alone, known, readings, found.rounds, offsets)


def _with_offsets(
    model: Callable[[Array], SeenValues], readings: Readings, begin: Array
) -> Callable[[Array], SeenValues]:
    """The model with what readings share added; where it begins it is asked for that very place."""
    count, shared = len(begin), readings.offsets

    def with_offsets(at: Array) -> SeenValues:
        own = at[:count]
        seen = model(begin if np.array_equal(own, begin) else own)
        return SeenValues(seen.values + shared @ at[count:], np.concatenate((seen.slopes, shared), axis=1))

    return with_offsets


def _sought(
    model: Callable[[Array], SeenValues], known: KnownBefore, readings: Readings, close: float, begin: Array
) -> Posterior:
    """The same with the offsets among the unknowns."""
    none = np.zeros(0)
    at = np.concatenate((begin, np.zeros(len(known.values) - len(begin))))
    seen = model(at)
    least = _sum(at, seen, known, readings)
    for rounds in range(1, _ROUNDS + 1):
        upper, step = _step(at, seen, known, readings)
        size = float(np.linalg.norm(upper @ step))
        root = known.deviations[:, None] * solve_triangular(upper, np.eye(len(at)))
        if size <= close:
            return Posterior(at, root, seen, known, readings, rounds - 1, none)
        moved = _nearer(model, (at, least), known.deviations * step, known, readings)
        if moved is None:
            # At a kink of the model, where a rubber is just met, no step lowers the sum any more; a step that no band
            # would show is not worth one. A longer one: the slopes do not belong to the values.
            if size < _UNSEEN:
                return Posterior(at, root, seen, known, readings, rounds, none)
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

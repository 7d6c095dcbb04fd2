"""A vibrating system with few freedoms on an uneven road, linear: modes, frequency response, response to white noise.

``M q'' + C q' + K q = B z`` with the heights z of the ground under the wheels.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import scipy  # its rooms open on use

from jounce.behaviour.solving import solved
from jounce.numerics.arrays import Array, BoolArray

_STILL = 1e-9  # share of a root that counts as no swinging [-]


@dataclass(frozen=True, slots=True)
class Vibration:
    """The system.

    Attributes:
        mass: M, shape (freedoms, freedoms)
        damping: C, same shape
        stiffness: K, same shape
        push: B, generalised force per height of the ground, shape (freedoms, wheels)

    """

    mass: Array
    damping: Array
    stiffness: Array
    push: Array

    def with_damping(self, damping: Array) -> Vibration:
        """The same with other dampers."""
        return replace(self, damping=damping)

    def response(self, frequency: Array) -> Array:
        """Freedoms per height of the ground at frequencies [Hz], complex, shape (frequencies, freedoms, wheels)."""
        w = 2 * np.pi * np.asarray(frequency, float)[:, None, None]
        return np.asarray(solved(self.stiffness - w**2 * self.mass + 1j * w * self.damping, self.push + 0j))

    def state_matrix(self) -> Array:
        """Matrix of ``d(q, q')/dt``, shape (2 freedoms, 2 freedoms)."""
        n = len(self.mass)
        bent = solved(self.mass, np.concatenate((self.stiffness, self.damping), axis=1))
        return np.block([[np.zeros((n, n)), np.eye(n)], [-bent]])


@dataclass(frozen=True, slots=True)
class Output:
    """A quantity that depends linearly on the system: on freedoms, their accelerations and the ground's heights.

    Each has one number per freedom or wheel; units are those of the quantity per unit of it.
    """

    name: str
    by_freedom: Array
    by_acceleration: Array
    by_ground: Array

    def response(self, frequency: Array, freedoms: Array) -> Array:
        """The quantity per height of the ground, shape (frequencies, wheels).

        Args:
            frequency: frequencies [Hz]
            freedoms: the system's response there, see `Vibration.response`
        """
        w = 2 * np.pi * np.asarray(frequency, float)[:, None]
        row = self.by_freedom - w**2 * self.by_acceleration
        return np.asarray(np.einsum("ni,nij->nj", row, freedoms) + self.by_ground)


@dataclass(frozen=True, slots=True)
class UndampedModes:
    """Modes without damping, slowest first: frequencies [Hz] and shapes, unit modal mass, (freedoms, modes)."""

    frequency: Array
    shape: Array


@dataclass(frozen=True, slots=True)
class DampedModes:
    """Modes with damping, slowest first.

    Attributes:
        frequency: natural frequency, the root's distance from zero, shape (modes,) [Hz]
        ratio: damping ratio; one where it creeps back without swinging, shape (modes,) [-]
        swings: whether it swings, shape (modes,)
        shape: complex shapes of the freedoms, (freedoms, modes)

    """

    frequency: Array
    ratio: Array
    swings: BoolArray
    shape: Array

    @property
    def damped_frequency(self) -> Array:
        """Frequency with which it is seen to swing, shape (modes,) [Hz]."""
        return np.asarray(self.frequency * np.sqrt(np.maximum(1 - self.ratio**2, 0.0)))


def undamped_modes(system: Vibration) -> UndampedModes:
    """Modes of ``M q'' + K q = 0`` in scaled freedoms: with ``M = L Lᵀ`` the symmetric ``L⁻¹ K L⁻ᵀ`` is diagonalised.

    Args:
        system: mass and stiffness are used, both symmetric
    """
    lower = np.linalg.cholesky(system.mass)
    half = solved(lower, system.stiffness)
    square, scaled = np.linalg.eigh(solved(lower, half.T))
    shape = solved(lower.T, scaled)
    return UndampedModes(np.sqrt(np.maximum(square, 0.0)) / (2 * np.pi), shape)


def damped_modes(system: Vibration) -> DampedModes:
    """Modes of the damped system from the roots of its state matrix.

    A pair of conjugate roots is one mode; two real roots that belong together are told as two creeping modes.

    Args:
        system: the system
    """
    roots, vectors = scipy.linalg.eig(system.state_matrix())
    kept = roots.imag >= -_STILL * np.abs(roots)
    roots, vectors = roots[kept], vectors[:, kept]
    order = np.argsort(np.abs(roots))
    roots, vectors = roots[order], vectors[: len(system.mass), order]
    size = np.abs(roots)
    swings = roots.imag > _STILL * size
    return DampedModes(size / (2 * np.pi), np.where(swings, -roots.real / size, 1.0), swings, vectors)


def spectra(system: Vibration, outputs: tuple[Output, ...], frequency: Array, ground: Array) -> Array:
    """One-sided spectral densities of quantities, shape (frequencies, outputs) [squares of their units per Hz].

    Args:
        system: the system
        outputs: the quantities
        frequency: rising, shape (frequencies,) [Hz]
        ground: one-sided cross spectra of the heights, shape (frequencies, wheels, wheels) [m²/Hz]
    """
    freedoms = system.response(frequency)
    rows = np.stack([output.response(frequency, freedoms) for output in outputs], axis=1)
    return np.asarray(np.einsum("noi,nij,noj->no", rows, ground, rows.conj()).real)

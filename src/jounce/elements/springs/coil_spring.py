"""One coil spring between two seats: linear, or of two rates because some of its turns lie on one another first."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jounce.conventions.errors import InputError, check_range
from jounce.conventions.units import MM
from jounce.elements.law import OneSided
from jounce.elements.springs.limits import check_length, check_not_negative
from jounce.numerics.arrays import Array

__all__ = ["CoilSpring", "Turns", "two_rates"]


@dataclass(frozen=True, slots=True)
class CoilSpring:
    """A linear coil between two seats that hold it by pushing only; fields one value or one per variant.

    ``rate`` in N/m, ``free_length`` and ``solid_length`` in m. Without a solid length it is not known where the turns
    touch. Compression is positive from the free length. Below the solid length the law goes on at the same rate: it
    is no longer true there, and :meth:`is_solid` says so.

    >>> spring = CoilSpring(rate=20e3, free_length=0.300, solid_length=0.120)
    >>> spring.force_at_length(np.array([0.310, 0.250]))
    array([   0., 1000.])
    """

    rate: float | Array
    free_length: float | Array
    solid_length: float | Array | None = None

    def __post_init__(self) -> None:
        check_range("spring rate", np.asarray(self.rate) / 1e3, 1e-3, 1e6, "N/mm", "Check the number and its unit.")
        check_length("free length", self.free_length, 0.001, 5.0)
        if self.solid_length is not None:
            _check_solid(self.free_length, self.solid_length)

    @property
    def travel(self) -> Array:
        """Compression from free to solid; infinite where the solid length is not known [m]."""
        if self.solid_length is None:
            return np.full(np.shape(self.free_length), np.inf)
        return np.asarray(np.asarray(self.free_length) - self.solid_length)

    @property
    def law(self) -> OneSided:
        """The spring over its compression from free; loose when it is longer [m]."""
        return OneSided(rate=self.rate)

    def compression(self, length: float | Array) -> Array:
        """Compression at a length between the seats [m]; negative: the spring is loose by so much."""
        return np.asarray(np.asarray(self.free_length) - length)

    def force_at_length(self, length: float | Array) -> Array:
        """Force at a length between the seats [m], zero when the spring is loose, in N."""
        return self.law.force(self.compression(length))

    def is_solid(self, length: float | Array) -> Array:
        """Whether the turns touch at a length between the seats [m]; never where the solid length is not known."""
        return np.asarray(self.compression(length) >= self.travel)


@dataclass(frozen=True, slots=True)
class Turns:
    """Turns that move together: their own rate [N/m], and how far they go until they are solid [m].

    ``travel`` is infinite where it is not known. One value or one per variant each.
    """

    rate: float | Array
    travel: float | Array = np.inf

    def __post_init__(self) -> None:
        check_range("spring rate", np.asarray(self.rate) / 1e3, 1e-3, 1e6, "N/mm", "Check the number and its unit.")
        check_not_negative("travel of the turns", self.travel, "m")


def two_rates(first: float | Array, second: float | Array, change: float | Array) -> tuple[Turns, Turns]:
    """A spring of two rates as two groups of turns of one wire, of which the closer ones go solid first.

    ``1/k1 = 1/ka + 1/k2``; the closer turns have travelled ``k1 change / ka`` when they are solid.

    Args:
        first: rate k1 as long as all turns move [N/m]
        second: rate k2 with the closer turns solid, larger than the first [N/m]
        change: compression from free at which the rate changes [m]

    Returns:
        The closer turns, and those that move on

    Raises:
        InputError: a second rate that is not larger

    """
    rates = np.broadcast_arrays(np.asarray(first).real, np.asarray(second).real)
    bad = np.flatnonzero(~(rates[1] > rates[0]))
    if bad.size:
        raise InputError(
            "The second rate of a spring must be larger than the first",
            found=f"{rates[1].flat[bad[0]] / 1e3:.6g} N/mm after {rates[0].flat[bad[0]] / 1e3:.6g} N/mm",
            todo="A turn that lies on its neighbour leaves fewer that move: exchange the two rates.",
        )
    closer = 1 / (1 / np.asarray(first) - 1 / np.asarray(second))
    return Turns(closer, np.asarray(first) * change / closer), Turns(second)


def _check_solid(free: float | Array, solid: float | Array) -> None:
    check_not_negative("solid length", solid, "m")
    free, solid = np.broadcast_arrays(np.asarray(free).real, np.asarray(solid).real)
    bad = np.flatnonzero(~(solid < free))
    if bad.size:
        raise InputError(
            "The solid length must be smaller than the free length",
            found=f"{solid.flat[bad[0]] / MM:.6g} mm solid, {free.flat[bad[0]] / MM:.6g} mm free",
            todo="Exchange the two lengths or measure again.",
        )

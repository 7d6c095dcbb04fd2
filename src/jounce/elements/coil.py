"""Round-wire helical compression springs, alone and stacked."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

import numpy as np

from jounce.conventions.errors import InputError, check_range
from jounce.conventions.units import MM
from jounce.elements.law import OneSided, Parallel
from jounce.elements.limits import check_length, check_modulus, check_not_negative
from jounce.elements.series import series_rate
from jounce.numerics.arrays import Array

__all__ = [
    "CoilSpring",
    "Ends",
    "Stack",
    "active_turns",
    "bergstraesser_factor",
    "coil_shear_stress",
    "helical_rate",
    "rate_from_wire",
    "solid_length",
    "spring_index",
    "wahl_factor",
]


def helical_rate(
    shear_modulus: float | Array, wire: float | Array, coil: float | Array, active_turns: float | Array
) -> Array:
    """Rate of a helical compression spring.

    ``k = G d⁴ / (8 D³ n)``

    Args:
        shear_modulus: G of the wire [Pa]
        wire: wire diameter d [m]
        coil: mean coil diameter D, centre of wire to centre of wire [m]
        active_turns: n, without the dead end turns [-]

    Returns:
        Rate k [N/m]

    Valid for: 4 <= D/d <= 20, no coil contact.
    Source: EN 13906-1, rate equation (from a public transcription; also Shigley's Mechanical Engineering Design).

    >>> round(float(helical_rate(81.5e9, wire=0.012, coil=0.100, active_turns=8)))
    26406

    """
    _check_wire(shear_modulus, wire, coil)
    check_range("active turns", np.asarray(active_turns) * 1.0, 0.5, 100, "", "Count the turns that move.")
    return np.asarray(shear_modulus * np.asarray(wire) ** 4 / (8 * np.asarray(coil) ** 3 * active_turns))


def active_turns(shear_modulus: float | Array, wire: float | Array, coil: float | Array, rate: float | Array) -> Array:
    """Active turns that give a rate: to order a spring, or to find the dead turns of one whose rate was measured.

    ``n = G d⁴ / (8 D³ k)``

    Args:
        shear_modulus: G of the wire [Pa]
        wire: wire diameter d [m]
        coil: mean coil diameter D [m]
        rate: k [N/m]

    Returns:
        Active turns n [-]

    Source: EN 13906-1, rate equation solved for n.

    >>> round(float(active_turns(81.5e9, wire=0.012, coil=0.100, rate=26406.0)), 4)
    8.0

    """
    _check_wire(shear_modulus, wire, coil)
    check_range("spring rate", np.asarray(rate) * 1.0, 1.0, 1e9, "N/m", "Check the number and its unit.")
    return np.asarray(shear_modulus * np.asarray(wire) ** 4 / (8 * np.asarray(coil) ** 3 * rate))


def rate_from_wire(
    shear_modulus: float | Array,
    wire: float | Array,
    outer_diameter: float | Array,
    total_turns: float | Array,
    dead_turns: float | Array,
) -> Array:
    """Rate of a spring on the bench from what a calliper and a finger can find.

    ``helical_rate`` with ``D = D_e - d`` and ``n = n_t - n_dead``. The wire counts with its fourth power: 1 % of it
    (paint, a worn calliper) is 4 % of rate plus 3 % of its share in the coil diameter.

    Args:
        shear_modulus: G of the wire [Pa]
        wire: wire diameter d, bare [m]
        outer_diameter: outside diameter of the coil D_e [m]
        total_turns: n_t, end to end [-]
        dead_turns: turns that lie on their neighbour or on the seat, both ends together [-]

    Returns:
        Rate [N/m]

    Raises:
        InputError: a dimension no spring has, no turns left that move

    Source: EN 13906-1, rate equation.

    >>> round(float(rate_from_wire(81.5e9, wire=0.012, outer_diameter=0.112, total_turns=9.5, dead_turns=1.5)))
    26406

    """
    check_not_negative("dead turns", dead_turns, "turns")
    coil = np.asarray(outer_diameter) - np.asarray(wire)
    return helical_rate(shear_modulus, wire, coil, np.asarray(total_turns) - np.asarray(dead_turns))


def spring_index(wire: float | Array, coil: float | Array) -> Array:
    """Mean coil diameter per wire diameter, ``C = D / d``.

    Args:
        wire: wire diameter d [m]
        coil: mean coil diameter D [m]

    Returns:
        Spring index C [-]

    """
    return np.asarray(np.asarray(coil) / np.asarray(wire))


def wahl_factor(index: float | Array) -> Array:
    """Stress factor for curvature and direct shear after Wahl.

    ``(4C - 1) / (4C - 4) + 0.615 / C``

    Args:
        index: spring index C = D/d [-]

    Returns:
        Factor on the plain torsion stress [-]

    Source: Wahl, as given in Shigley's Mechanical Engineering Design.

    """
    c = _index(index)
    return np.asarray((4 * c - 1) / (4 * c - 4) + 0.615 / c)


def bergstraesser_factor(index: float | Array) -> Array:
    """Stress factor after Bergsträsser, the one of EN 13906-1.

    ``(C + 0.5) / (C - 0.75)``

    Args:
        index: spring index C = D/d [-]

    Returns:
        Factor on the plain torsion stress [-]

    Source: EN 13906-1 (from a public transcription); the same as (4C + 2)/(4C - 3) of Shigley's.

    """
    c = _index(index)
    return np.asarray((c + 0.5) / (c - 0.75))


def coil_shear_stress(force: float | Array, wire: float | Array, coil: float | Array) -> Array:
    """Plain torsion stress of the wire, to be multiplied by a stress factor.

    ``8 F D / (pi d³)``

    Args:
        force: spring force F [N]
        wire: wire diameter d [m]
        coil: mean coil diameter D [m]

    Returns:
        Shear stress [Pa]

    Source: EN 13906-1 (from a public transcription); also Shigley's Mechanical Engineering Design.

    """
    return np.asarray(8 * force * np.asarray(coil) / (np.pi * np.asarray(wire) ** 3))


class Ends(Enum):
    """How the ends of a spring are made; ``value`` is the number of wire diameters its solid length has besides n_t.

    ``CLOSED_GROUND`` and ``CLOSED`` are the plain geometry of Shigley's Table 10-1 (squared and ground; squared).
    ``HOT_FORMED_GROUND`` is the shorter length of EN 13906-1 for hot-formed springs (from a public transcription).
    """

    CLOSED_GROUND = 0.0
    CLOSED = 1.0
    HOT_FORMED_GROUND = -0.3


def solid_length(total_turns: float | Array, wire: float | Array, ends: Ends) -> Array:
    """Length of a spring pressed until its turns touch.

    ``L_c = (n_t + e) d_max``, e by the form of the ends

    Args:
        total_turns: n_t, dead end turns included [-]
        wire: largest wire diameter d_max, coating and tolerance included [m]
        ends: form of the ends

    Returns:
        Solid length [m]

    Source: ``Ends`` names the source of each form.

    >>> round(float(solid_length(10, 0.007, Ends.CLOSED_GROUND)) * 1e3, 3)
    70.0

    """
    check_range("total turns", np.asarray(total_turns) * 1.0, 1, 100, "", "Count the turns from end to end.")
    check_length("wire diameter", wire, 0.0001, 0.1)
    return np.asarray((np.asarray(total_turns) + ends.value) * wire)


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
class Stack:
    """Springs one on the other between two seats: a main spring with a helper or tender spring.

    All carry the same force; each gives until it goes solid, the softest first as a rule, and the rate rises by steps.
    The last one still moving sets the rate from there on, as in :class:`CoilSpring`.

    >>> main = CoilSpring(rate=30e3, free_length=0.200)
    >>> helper = CoilSpring(rate=5e3, free_length=0.080, solid_length=0.020)
    >>> force = Stack((main, helper)).law.force(np.array([0.0, 0.070, 0.080]))
    >>> [round(float(newton), 6) for newton in force]
    [0.0, 300.0, 600.0]
    """

    springs: tuple[CoilSpring, ...]

    def __post_init__(self) -> None:
        if not self.springs:
            raise InputError("A stack has no springs", todo="Give at least one.")

    @property
    def free_length(self) -> Array:
        """Sum of the free lengths [m]."""
        return np.asarray(sum(np.asarray(spring.free_length) for spring in self.springs))

    @property
    def law(self) -> Parallel:
        """The stack over its compression from free [m]: one rise of the rate at the first touch and at each block."""
        rates, travels = self._table()
        order = np.argsort(rates * travels, axis=0)  # in which order they go solid as the force grows
        blocked_at = np.take_along_axis(rates * travels, order, axis=0)
        by_order = np.take_along_axis(rates, order, axis=0)
        rises: list[OneSided] = []
        before = np.zeros(())
        for stage in range(len(self.springs)):
            rate = series_rate(*by_order[stage:])
            force = np.zeros_like(blocked_at[0]) if stage == 0 else blocked_at[stage - 1]
            start = np.minimum(force / rates, travels).sum(axis=0)
            # A spring that goes solid together with the one before adds its rise at the same place.
            rises.append(OneSided(rate=rate - before, start=start))
            before = rate
        return Parallel(tuple(rises))

    def force_at_length(self, length: float | Array) -> Array:
        """Force at a length between the seats [m], zero when the stack is loose, in N."""
        return self.law.force(np.asarray(self.free_length - length))

    def compressions(self, force: float | Array) -> Array:
        """Compression of each spring under a force [N], not beyond solid, shape (springs, ...) [m]."""
        rates, travels = self._table()
        shape = np.broadcast_shapes(rates.shape[1:], np.shape(force))
        rates, travels = (_spread(table, shape) for table in (rates, travels))
        return np.asarray(np.minimum(np.asarray(force) / rates, travels))

    def solid(self, force: float | Array) -> Array:
        """Which springs are solid under a force [N], shape (springs, ...)."""
        rates, travels = self._table()
        shape = np.broadcast_shapes(rates.shape[1:], np.shape(force))
        return np.asarray(np.asarray(force) >= _spread(rates * travels, shape))

    def _table(self) -> tuple[Array, Array]:
        rates = [np.asarray(spring.rate, dtype=np.float64) for spring in self.springs]
        travels = [spring.travel for spring in self.springs]
        table = np.broadcast_arrays(*rates, *travels)
        return np.stack(table[: len(rates)]), np.stack(table[len(rates) :])


def _spread(table: Array, shape: tuple[int, ...]) -> Array:
    lead = table.reshape(table.shape[0], *(1,) * (len(shape) + 1 - table.ndim), *table.shape[1:])
    return np.broadcast_to(lead, (table.shape[0], *shape))


def _index(index: float | Array) -> Array:
    c = np.asarray(index) * 1.0
    check_range("spring index D/d", c, 2, 50, "", "Check wire and mean coil diameter.")
    return np.asarray(c)


def _check_wire(shear_modulus: float | Array, wire: float | Array, coil: float | Array) -> None:
    check_modulus("shear modulus of the wire", shear_modulus)
    check_length("wire diameter", wire, 0.0001, 0.1)
    check_length("mean coil diameter", coil, 0.0005, 1.0)
    _index(spring_index(wire, coil))


def _check_solid(free: float | Array, solid: float | Array) -> None:
    check_not_negative("solid length", solid, "m")
    free, solid = np.broadcast_arrays(np.asarray(free, float), np.asarray(solid, float))
    bad = np.flatnonzero(~(solid < free))
    if bad.size:
        raise InputError(
            "The solid length must be smaller than the free length",
            found=f"{solid.flat[bad[0]] / MM:.6g} mm solid, {free.flat[bad[0]] / MM:.6g} mm free",
            todo="Exchange the two lengths or measure again.",
        )

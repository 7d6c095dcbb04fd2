"""Round-wire helical compression springs: rate, turns and lengths from what a calliper and a finger find.

Stresses are in `coil_stress`, buckling and surge in `coil_limits`, springs one on the other in `coil_stack`.
"""

from __future__ import annotations

from enum import Enum
from typing import Final

import numpy as np

from jounce.conventions.errors import check_range
from jounce.elements.springs.limits import check_length, check_modulus, check_not_negative
from jounce.numerics.arrays import Array

__all__ = [
    "ENDS_OF_WORD",
    "Ends",
    "Winding",
    "active_turns",
    "check_index",
    "coil_mass",
    "helical_rate",
    "least_gaps",
    "rate_from_wire",
    "solid_length",
    "spring_index",
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


class Ends(Enum):
    """How the ends of a spring are made: its word, wire diameters of solid length besides n_t, dead turns of both ends.

    All but the last are the plain geometry of Shigley's Table 10-1 (squared and ground; squared; plain and ground;
    plain). ``HOT_FORMED_GROUND`` is the shorter length of EN 13906-1 for hot-formed springs, and its n_t = n + 1.5 (from
    a public transcription).
    """

    CLOSED_GROUND = ("closed-ground", 0.0, 2.0)
    CLOSED = ("closed", 1.0, 2.0)
    PLAIN_GROUND = ("plain-ground", 0.0, 1.0)
    PLAIN = ("plain", 1.0, 0.0)
    HOT_FORMED_GROUND = ("hot-formed-ground", -0.3, 1.5)

    @property
    def word(self) -> str:
        """What a file or an option calls it."""
        return self.value[0]

    @property
    def more_wires(self) -> float:
        """Wire diameters of the solid length besides one for each turn [-]."""
        return self.value[1]

    @property
    def dead_turns(self) -> float:
        """Turns that do not move, both ends together [-]."""
        return self.value[2]


ENDS_OF_WORD: Final = {ends.word: ends for ends in Ends}
"""Forms of ends by their word."""


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
    return np.asarray((np.asarray(total_turns) + ends.more_wires) * wire)


class Winding(Enum):
    """How a spring is wound; ``value`` says how its turns must stay apart."""

    COLD = "cold"
    HOT = "hot"


def least_gaps(
    wire: float | Array, coil: float | Array, active_turns: float | Array, winding: Winding, *, moving: bool = False
) -> Array:
    """Sum of the gaps that must be left between the active turns at the shortest length.

    cold-coiled ``n (0.0015 D²/d + 0.1 d)``, half as much again under moving load; hot-coiled ``0.02 n (D + d)``, twice
    as much under moving load

    Args:
        wire: wire diameter d [m]
        coil: mean coil diameter D [m]
        active_turns: n [-]
        winding: cold or hot
        moving: the load comes and goes, as in a suspension

    Returns:
        Sum of the gaps S_a [m]

    Source: EN 13906-1 (from public transcriptions; the cold-coiled line from memory).

    >>> round(float(least_gaps(0.012, 0.100, 6, Winding.HOT)) * 1e3, 2)
    13.44

    """
    _check_wire_and_coil(wire, coil)
    d, mean, n = np.asarray(wire), np.asarray(coil), np.asarray(active_turns)
    if winding is Winding.COLD:
        return np.asarray(n * (0.0015 * mean**2 / d + 0.1 * d) * (1.5 if moving else 1.0))
    return np.asarray(0.02 * n * (mean + d) * (2.0 if moving else 1.0))


def coil_mass(wire: float | Array, coil: float | Array, total_turns: float | Array, density: float | Array) -> Array:
    """Mass of a spring by the length of its wire, the slope of the turns left out.

    ``rho (pi d² / 4) pi D n_t``

    Args:
        wire: wire diameter d [m]
        coil: mean coil diameter D [m]
        total_turns: n_t, dead end turns included [-]
        density: rho of the wire [kg/m³]

    Returns:
        Mass [kg]

    Source: geometry; the slope adds less than one per cent where the pitch is below 0.4 D.

    """
    _check_wire_and_coil(wire, coil)
    return np.asarray(np.asarray(density) * np.pi**2 / 4 * np.asarray(wire) ** 2 * coil * total_turns)


def check_index(index: float | Array) -> Array:
    """Refuse a spring index that no coil has.

    Args:
        index: C = D/d [-]

    Returns:
        The same

    Raises:
        InputError: below 2 or above 50

    """
    c = np.asarray(index) * 1.0
    check_range("spring index D/d", c, 2, 50, "", "Check wire and mean coil diameter.")
    return np.asarray(c)


def _check_wire(shear_modulus: float | Array, wire: float | Array, coil: float | Array) -> None:
    check_modulus("shear modulus of the wire", shear_modulus)
    _check_wire_and_coil(wire, coil)


def _check_wire_and_coil(wire: float | Array, coil: float | Array) -> None:
    check_length("wire diameter", wire, 0.0001, 0.1)
    check_length("mean coil diameter", coil, 0.0005, 1.0)
    check_index(spring_index(wire, coil))

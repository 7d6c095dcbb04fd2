"""Stress along a bent bar under forces at its ends: bending, torsion, what both together come to, and where."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jounce.elements.bars.bent_bar import BentBar
from jounce.elements.bars.round_section import RoundSection
from jounce.numerics.arrays import Array
from jounce.numerics.curves import Arc, Piece
from jounce.numerics.space_frame import section_loads

_SHARES_STRAIGHT = np.linspace(0, 1, 3)  # moments are straight lines along a straight piece: its ends have the largest
_SHARES_ARC = np.linspace(0, 1, 65)
_ROUND = np.linspace(0, 2 * np.pi, 181)


@dataclass(frozen=True, slots=True)
class BarStress:
    """Stresses in sections along a bar, one after the other from its left end, each (sections,) [Pa].

    Attributes:
        distance: along the centre line from the left end [m]
        point: on the centre line, (sections, 3) [m]
        bending: largest bending stress of the section, as in a straight bar
        torsion: shear stress at the surface
        von_mises: largest ``sqrt(sigma² + 3 tau²)`` of the section, as in a straight bar
        inside_bend: the same with the stress of a curved bar in the bends

    """

    distance: Array
    point: Array
    bending: Array
    torsion: Array
    von_mises: Array
    inside_bend: Array

    @property
    def peak(self) -> int:
        """Number of the section with the largest equivalent stress, as in a straight bar."""
        return int(np.argmax(self.von_mises))


def bar_stress(bar: BentBar, left: Array, right: Array) -> BarStress:
    """Stresses along one bar.

    Transverse shear (largest where bending is zero) is left out; the bushes and the drop links are taken as points. The
    torsion of a bend is that of a straight bar.

    Args:
        bar: of one variant
        left: force on the left end, shape (3,) [N]
        right: force on the right end [N]

    """
    state = bar.loaded(np.asarray(left)[None], np.asarray(right)[None])
    rows: list[tuple[Array, ...]] = []
    begun = 0.0
    for member in bar.frame().members:
        for number, piece in enumerate(member.line):
            share = _SHARES_ARC if isinstance(piece, Arc) else _SHARES_STRAIGHT
            loads = section_loads(member, state, number, share)
            force, moment = (np.reshape(load, (-1, 3)) for load in loads)
            stresses = _stresses(piece, bar.section, share, force, moment)
            reach = _one(piece.length)
            rows.append((begun + share * reach, np.reshape(piece.points(share), (-1, 3)), *stresses))
            begun += reach
    return BarStress(*(np.concatenate(column) for column in zip(*rows, strict=True)))


def _stresses(
    piece: Piece, section: RoundSection, share: Array, force: Array, moment: Array
) -> tuple[Array, Array, Array, Array]:
    """Bending, torsion, equivalent stress as in a straight bar and as in a curved one, each (shares,) [Pa]."""
    along = np.reshape(piece.tangents(share), (-1, 3))
    outer = _one(section.diameter) / 2
    second = _one(section.second_moment)
    pull = np.sum(force * along, axis=-1) / _one(section.area)
    twist = np.sum(moment * along, axis=-1)
    bent = moment - twist[:, None] * along
    bending = np.sqrt(np.sum(bent**2, axis=-1)) * outer / second
    torsion = np.abs(twist) * outer / (2 * second)
    straight = np.sqrt((bending + np.abs(pull)) ** 2 + 3 * torsion**2)
    if not isinstance(piece, Arc):
        return bending, torsion, straight, straight
    curved = _curved(piece, section, along, bent) + pull[:, None]
    return bending, torsion, straight, np.sqrt(np.max(curved**2, axis=-1) + 3 * torsion**2)


def _curved(arc: Arc, section: RoundSection, along: Array, bent: Array) -> Array:
    """Bending stress round the surface of a bend, (shares, places round the section) [Pa].

    In the plane of the bend as in Winkler's curved bar, square to it as in a straight one.
    """
    outer = _one(section.diameter) / 2
    second, area = _one(section.second_moment), _one(section.area)
    radius = _one(arc.radius)
    offset = _one(section.neutral_offset(radius))
    axis = np.reshape(arc.axis, 3)
    outward = np.cross(along, axis)
    place = radius + outer * np.cos(_ROUND)
    # A moment about the bend's axis straightens or tightens it; the sign falls out of the straight bar's limit.
    about_axis, about_out = bent @ axis, np.sum(bent * outward, axis=-1)
    tighter = (place - radius + offset) / (area * offset * place)
    return np.asarray(about_axis[:, None] * tighter + about_out[:, None] * outer * np.sin(_ROUND) / second)


def _one(value: float | Array) -> float:
    """The value of the one variant."""
    return float(np.ravel(value)[0])

"""Frames of slender members in space: six freedoms at each node; members stretch, shear, bend and twist.

A member follows a line of straight pieces and circular arcs exactly: its flexibility is the strain energy of the section
forces along it, integrated, and its stiffness the inverse of that. So a bend needs no chain of short chords, and nodes
stand only where loads and supports act. Sections are alike in every direction across (round bars and tubes), which is
why no member needs axes of its own: all is written in the global axes.

Displacements are small. A node's six numbers are its displacement [m] and its turn [rad], the loads on it force [N] and
moment [N m]. Points, stiffnesses and compliances may carry a leading axis of variants, and complex perturbations.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from jounce.numerics.arrays import Array, IntArray, common_dtype
from jounce.numerics.curves import Arc, Piece
from jounce.numerics.rotations import cross, cross_matrix

FREEDOMS = 6
_STATIONS_STRAIGHT = 3  # the integrand is quadratic along a straight member: exact
_STATIONS_ARC = 16  # to rounding for any arc up to a full turn


@dataclass(frozen=True, slots=True)
class BeamSection:
    """What a cross-section resists with, each one value or one per variant.

    Attributes:
        axial: E A [N]
        shear: G A with the shear coefficient, infinite where shear is left out [N]
        bending: E I [N m²]
        torsion: G J [N m²]

    """

    axial: float | Array
    shear: float | Array
    bending: float | Array
    torsion: float | Array


@dataclass(frozen=True, slots=True)
class Member:
    """A member from one node to another along pieces of line, each beginning where the one before ends."""

    first: int
    last: int
    line: tuple[Piece, ...]
    section: BeamSection


@dataclass(frozen=True, slots=True)
class Support:
    """Something that holds one combination of freedoms: a fixed freedom, a spring, a mean of two nodes.

    Attributes:
        weights: by node, the factors of its six freedoms, shape (6,) or (variants, 6) [- or as the freedom asks]
        compliance: give per load in the support, 0 where it is rigid [m/N or rad/(N m)]

    """

    weights: Mapping[int, Array]
    compliance: float | Array = 0.0


@dataclass(frozen=True, slots=True)
class FrameState:
    """What a frame does under its load cases.

    Attributes:
        displacement: shape (..., cases, nodes, 6) [m, rad]
        reaction: load that each support puts on the frame along its combination, shape (..., cases, supports) [N, N m]

    """

    displacement: Array
    reaction: Array


@dataclass(frozen=True, slots=True)
class SpaceFrame:
    """A frame: ``nodes`` of them, joined by members, held by supports."""

    nodes: int
    members: Sequence[Member]
    supports: Sequence[Support]

    def solved(self, loads: Array) -> FrameState:
        """Displacements and reactions under load cases.

        ``K u - B^T r = f`` with ``B u + C r = 0``: rigid and elastic supports in one system.

        Args:
            loads: on each node, shape (cases, nodes, 6) or (variants, cases, nodes, 6) [N, N m]

        Raises:
            numpy.linalg.LinAlgError: a frame that can move without straining

        """
        matrix, variants = self._system()
        size, held = FREEDOMS * self.nodes, len(self.supports)
        cases = loads.shape[-3]
        right = np.zeros((*np.broadcast_shapes(variants, loads.shape[:-3]), size + held, cases), loads.dtype)
        right[..., :size, :] = loads.reshape(*loads.shape[:-2], size).swapaxes(-1, -2)
        found = np.linalg.solve(np.broadcast_to(matrix, (*right.shape[:-2], *matrix.shape[-2:])), right)
        found = found.swapaxes(-1, -2)
        displacement = found[..., :size].reshape(*found.shape[:-1], self.nodes, FREEDOMS)
        return FrameState(np.asarray(displacement), np.asarray(found[..., size:]))

    def _system(self) -> tuple[Array, tuple[int, ...]]:
        """Stiffness bordered by the supports, shape (..., n, n), and the shape of its variants."""
        stiffness = [member_stiffness(member) for member in self.members]
        rows = [w for support in self.supports for w in support.weights.values()]
        gives = [np.asarray(support.compliance) for support in self.supports]
        variants = np.broadcast_shapes(
            *(k.shape[:-2] for k in stiffness), *(np.shape(w)[:-1] for w in rows), *(g.shape for g in gives)
        )
        size = FREEDOMS * self.nodes
        total = size + len(self.supports)
        matrix = np.zeros((*variants, total, total), common_dtype(*stiffness, *rows, *gives))
        for member, k in zip(self.members, stiffness, strict=True):
            at = np.r_[_freedoms(member.first), _freedoms(member.last)]
            matrix[..., at[:, None], at] += k
        for i, support in enumerate(self.supports, start=size):
            for node, weights in support.weights.items():
                at = _freedoms(node)
                matrix[..., at, i] -= weights
                matrix[..., i, at] += weights
            matrix[..., i, i] = support.compliance
        return matrix, variants


def member_stiffness(member: Member) -> Array:
    """Stiffness of a member over its two nodes, global axes, shape (..., 12, 12) [N/m, N, N m].

    Args:
        member: along pieces of line

    """
    end = np.linalg.inv(member_flexibility(member.line, member.section))
    carry = _carry(member.line)
    first, across = carry @ end @ carry.swapaxes(-1, -2), -(carry @ end)
    above = np.concatenate(np.broadcast_arrays(first, across), axis=-1)
    below = np.concatenate(np.broadcast_arrays(across.swapaxes(-1, -2), end), axis=-1)
    return np.asarray(np.concatenate((above, below), axis=-2))


def member_flexibility(line: Sequence[Piece], section: BeamSection) -> Array:
    """How the last end of a member moves under loads on it while its first end is clamped, shape (..., 6, 6).

    The force and moment in a section strain it; the strains, carried to the end, are integrated along the line.
    In [m/N], [rad/N] and [rad/(N m)].

    Args:
        line: the pieces of the member, one after the other
        section: alike all along

    """
    end = _end(line)
    return np.asarray(sum(_give(piece, section, end) for piece in line))


def _give(piece: Piece, section: BeamSection, end: Array) -> Array:
    """What one piece adds to the flexibility of the member's end."""
    share, weight = np.polynomial.legendre.leggauss(_STATIONS_ARC if isinstance(piece, Arc) else _STATIONS_STRAIGHT)
    share, weight = (1 + share) / 2, weight / 2
    along = piece.tangents(share)
    lever = cross_matrix(end[..., None, :] - piece.points(share))
    line = along[..., :, None] * along[..., None, :]
    stretch = _by_direction(1 / np.asarray(section.axial), 1 / np.asarray(section.shear), line)
    bend = _by_direction(1 / np.asarray(section.torsion), 1 / np.asarray(section.bending), line)
    corner = lever.swapaxes(-1, -2) @ bend
    above = np.concatenate(np.broadcast_arrays(stretch + corner @ lever, corner), axis=-1)
    below = np.concatenate(np.broadcast_arrays(bend @ lever, bend), axis=-1)
    strain = np.concatenate((above, below), axis=-2)
    return np.asarray(np.einsum("s,...sij->...ij", weight, strain) * np.asarray(piece.length)[..., None, None])


def section_loads(member: Member, state: FrameState, number: int, share: Array) -> tuple[Array, Array]:
    """Force and moment in sections of a member: what the part beyond does to the part before.

    Args:
        member: one of the frame's
        state: the frame under its loads
        number: which piece of the member's line, from 0 [-]
        share: where along that piece, 0 at its beginning, shape (shares,) [-]

    Returns:
        Force [N] and moment [N m] in global axes, each (..., cases, shares, 3)

    """
    end = np.linalg.inv(member_flexibility(member.line, member.section))
    carried = _carry(member.line).swapaxes(-1, -2)
    first, last = (state.displacement[..., node, :] for node in (member.first, member.last))
    load = np.einsum("...ij,...cj->...ci", end, last - np.einsum("...ij,...cj->...ci", carried, first))
    lever = (_end(member.line)[..., None, :] - member.line[number].points(share))[..., None, :, :]
    force = load[..., None, :3] * np.ones((len(share), 1))
    return np.asarray(force), np.asarray(load[..., None, 3:] + cross(lever, force))


def _end(line: Sequence[Piece]) -> Array:
    return np.asarray(line[-1].points(np.ones(1))[..., 0, :])


def _carry(line: Sequence[Piece]) -> Array:
    """Loads at the last end as loads about the first, shape (..., 6, 6); transposed, it carries motions."""
    lever = cross_matrix(_end(line) - line[0].points(np.zeros(1))[..., 0, :])
    carry = np.zeros((*lever.shape[:-2], FREEDOMS, FREEDOMS), lever.dtype)
    carry[..., range(FREEDOMS), range(FREEDOMS)] = 1
    carry[..., 3:, :3] = lever
    return carry


def _by_direction(along: Array, across: Array, line: Array) -> Array:
    """A compliance that differs between along and across the member; values (), or (variants,), at (..., stations)."""
    lengthwise, crosswise = (np.asarray(value)[..., None, None, None] for value in (along, across))
    return np.asarray(crosswise * np.eye(3) + (lengthwise - crosswise) * line)


def _freedoms(node: int) -> IntArray:
    return np.arange(FREEDOMS * node, FREEDOMS * (node + 1))

"""The centre line of a bent part: points joined by straight lines, each corner rounded by its bend radius."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from jounce.conventions.errors import InputError
from jounce.conventions.units import MM
from jounce.numerics.arrays import Array
from jounce.numerics.complex_step import bearing
from jounce.numerics.curves import Arc, Piece, Straight
from jounce.numerics.rotations import cross
from jounce.numerics.vectors import length, unit

STRAIGHT_ON = 1e-6
"""A corner that turns by less is none [rad]."""
_SHARPEST = np.deg2rad(175.0)
NO_LENGTH = 1e-7
"""A piece shorter than this is left out [m]."""


@dataclass(frozen=True, slots=True)
class Spot:
    """A place on a centre line: number of its piece, share of that piece's length, distance of what was sought [m]."""

    piece: int
    share: Array
    away: Array


@dataclass(frozen=True, slots=True)
class CentreLine:
    """Straight pieces and arcs from one end to the other, each beginning where the one before ends."""

    pieces: tuple[Piece, ...]

    @property
    def start(self) -> Array:
        """First point [m]."""
        return self.pieces[0].points(np.zeros(1))[..., 0, :]

    @property
    def end(self) -> Array:
        """Last point [m]."""
        return self.pieces[-1].points(np.ones(1))[..., 0, :]

    @property
    def length(self) -> Array:
        """Length along the line [m]."""
        return np.asarray(sum(piece.length for piece in self.pieces))

    def nearest(self, point: Array) -> Spot:
        """The place on a straight piece nearest to a point.

        Args:
            point: shape (3,) or (variants, 3) [m]

        """
        spots = []
        for number, piece in enumerate(self.pieces):
            if isinstance(piece, Straight):
                way = piece.end - piece.start
                share = np.sum((point - piece.start) * way, axis=-1) / np.sum(way * way, axis=-1)
                share = np.where(np.real(share) < 0, 0.0, np.where(np.real(share) > 1, 1.0, share))
                away = length(point - (piece.start + share[..., None] * way))[..., 0].real
                spots.append(Spot(number, share, away))
        return min(spots, key=lambda spot: float(np.ravel(spot.away)[0]))

    def cut(self, spots: Sequence[Spot]) -> tuple[CentreLine, list[int]]:
        """The same line with pieces that end at given places.

        Args:
            spots: places in the order of the line, on different pieces or well apart on one

        Returns:
            The line, and for each place the number of the piece that begins there

        """
        pieces: list[Piece] = []
        begins: list[int] = []
        for number, piece in enumerate(self.pieces):
            cuts = [spot.share for spot in spots if spot.piece == number]
            bounds = [np.zeros(()), *cuts, np.ones(())]
            for first, last in pairwise(bounds):
                # A cut at a piece's very end (a bush at a corner) leaves nothing on that side of it.
                if np.all(np.real((last - first) * piece.length) > NO_LENGTH):
                    pieces.append(piece.part(first, last))
                begins.append(len(pieces))
            begins.pop()  # the end of the piece is no place of its own
        return CentreLine(tuple(pieces)), begins

    def in_chords(self, per_arc: int) -> CentreLine:
        """The line with every arc replaced by straight chords, as a mesh of straight members would have it.

        Args:
            per_arc: chords in place of each arc [-]

        """
        pieces: list[Piece] = []
        for piece in self.pieces:
            if isinstance(piece, Straight):
                pieces.append(piece)
                continue
            corners = piece.points(np.linspace(0, 1, per_arc + 1))
            pieces += [Straight(corners[..., i, :], corners[..., i + 1, :]) for i in range(per_arc)]
        return CentreLine(tuple(pieces))


def rounded(points: Sequence[Array], radii: Sequence[float | Array]) -> CentreLine:
    """A centre line through points, its corners rounded.

    Args:
        points: from one end to the other, each (3,) or (variants, 3) [m]
        radii: of the bend at each point but the first and the last, 0 for a sharp one [m]

    Raises:
        InputError: a point twice, or bends that do not fit between their points

    """
    legs = [last - first for first, last in pairwise(points)]
    for number, leg in enumerate(legs, start=1):
        if np.any(length(leg).real <= MM / 10):
            raise InputError(f"Points {number} and {number + 1} of the centre line are the same", todo="Leave one out.")
    corners = [_corner(*pair, radius) for pair, radius in zip(pairwise(legs), radii, strict=True)]
    setbacks = [np.zeros(()), *(setback for setback, _, _ in corners), np.zeros(())]
    pieces: list[Piece] = []
    for number, (leg, point) in enumerate(zip(legs, points, strict=False)):
        along, before, after = unit(leg), setbacks[number][..., None], setbacks[number + 1][..., None]
        left_over = length(leg) - before - after
        if np.any(left_over.real < -NO_LENGTH):
            raise InputError(
                f"The bends at points {number + 1} and {number + 2} of the centre line do not fit between them",
                found=f"{np.min(left_over.real) / -MM:.4g} mm too little",
                todo="Check both points and the bend radii (of the centre line, not of its inside).",
            )
        if np.all(left_over.real > NO_LENGTH):
            pieces.append(Straight(point + before * along, point + length(leg) * along - after * along))
        if number < len(corners) and corners[number][2].size:
            _, angle, axis = corners[number]
            corner = points[number + 1] - after * along
            centre = corner + np.asarray(radii[number])[..., None] * cross(axis, along)
            pieces.append(Arc(corner, centre, axis, angle))
    return CentreLine(tuple(pieces))


def _corner(before: Array, after: Array, radius: float | Array) -> tuple[Array, Array, Array]:
    """How far from the corner its bend begins, the angle of the bend, its axis (empty where nothing bends)."""
    first, second = unit(before), unit(after)
    turned = cross(first, second)
    sine, cosine = np.sqrt(np.sum(turned * turned, axis=-1)), np.sum(first * second, axis=-1)
    angle = bearing(sine, cosine)
    if np.any(np.real(angle) > _SHARPEST):
        raise InputError("The centre line doubles back on itself", todo="Check the order of its points.")
    if np.all(np.asarray(radius).real <= 0) or np.all(np.real(angle) < STRAIGHT_ON):
        return np.zeros(()), angle, np.zeros(0)
    # tan(angle / 2), written so that it stays finite at a right angle and analytic
    return np.asarray(radius * sine / (1 + cosine)), angle, unit(turned)

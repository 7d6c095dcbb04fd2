"""Pivots behind their tiles, each with its covariance; what checks them; and in words where they must not be trusted."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from jounce.conventions.certainty import DEVIATIONS_TYPED
from jounce.numerics.arrays import Array
from jounce.numerics.rotations import cross_matrix
from jounce.photographs.solving import Net
from jounce.photographs.survey import CheckDistance, Survey, TiledPivot

__all__ = [
    "FEWEST_PHOTOS",
    "LEAST_ANGLE",
    "Checked",
    "FoundPivot",
    "checked",
    "depth_deviation",
    "found_pivots",
    "remarks_on",
]

TILT = float(np.radians(0.3))
"""How far a tile's paper may stand off square to its bolt, one standard deviation [rad]: common practice, no source."""
FEWEST_PHOTOS = 3
"""In which a pivot is seen that may be trusted."""
LEAST_ANGLE = float(np.radians(15))
"""Between two photographs of a pivot that may be trusted [rad]."""
_WIDEST = 1.5e-3
"""Half width of the 95 % band, along its worst direction, above which a pivot is to be measured again [m]."""
_DIFFERS = 2.5  # deviations of a distance to check by
_FLAT = 0.03  # height of a scene over its width
_FOCAL_KNOWN = 0.005  # share, one deviation
_PRINTED_OFF = 0.006  # share
_CULPRIT = 9.0  # by so much less do the squares of all checks come to, if one offset is wrong


@dataclass(frozen=True, slots=True)
class FoundPivot:
    """A pivot where the photographs put it.

    Attributes:
        pivot: what it is
        place: in the axes of the net, shape (3,) [m]
        covariance: of that, the control tiles held together, shape (3, 3) [m²]
        out: direction out of its paper, shape (3,) [-]
        photos: in how many photographs its tile was seen
        angle: widest angle between two of them [rad]
        why_not: in words what to photograph or measure again; empty for one that may be trusted

    """

    pivot: TiledPivot
    place: Array
    covariance: Array
    out: Array
    photos: int
    angle: float
    why_not: str = ""

    @property
    def plus_minus(self) -> float:
        """Half width of the band that holds 95 % along its worst direction [m]."""
        return float(DEVIATIONS_TYPED * np.sqrt(np.linalg.eigvalsh(self.covariance)[-1]))


@dataclass(frozen=True, slots=True)
class Checked:
    """A distance that was measured and not used.

    Attributes:
        check: the distance
        found: by the photographs [m]
        deviation: of the difference, one standard deviation [m]

    """

    check: CheckDistance
    found: float
    deviation: float

    @property
    def deviations(self) -> float:
        """Photographs less tape, in standard deviations [-]."""
        return (self.found - self.check.length) / self.deviation


def offset_slopes(out: Array, behind: float) -> Array:
    """How a pivot moves with the turning and the centre of its tile, shape (3, 6) [m per rad, -].

    ``p = t - d z``; a turning dw moves z by ``dw x z``.

    Args:
        out: direction z out of the paper, shape (3,) [-]
        behind: how far the pivot lies behind it, d [m]
    """
    return np.concatenate([behind * cross_matrix(out), np.eye(3)], axis=1)


def offset_covariance(out: Array, behind: float, deviation: float) -> Array:
    """What the offset itself adds: its own length along the bolt, its tilt across, shape (3, 3) [m²].

    Args:
        out: direction out of the paper, shape (3,) [-]
        behind: how far the pivot lies behind it [m]
        deviation: of that, one standard deviation [m]
    """
    along = np.outer(out, out)
    return np.asarray(along * deviation**2 + (np.eye(3) - along) * (behind * TILT) ** 2)


def found_pivots(net: Net, survey: Survey) -> tuple[FoundPivot, ...]:
    """The pivots whose tiles were placed, in the order of the survey.

    Args:
        net: every tile where it is
        survey: what was stuck where
    """
    told = []
    for pivot in survey.pivots:
        if pivot.tile not in net.numbers:
            continue
        place = net.place(pivot.tile)
        out = net.state.tile_turned[place][:, 2]
        slopes = offset_slopes(out, pivot.behind)
        covariance = slopes @ net.covariance[place, :, place] @ slopes.T
        covariance = covariance + offset_covariance(out, pivot.behind, pivot.deviation)
        seen = net.views.photo[net.views.tile == place]
        angle = _widest_angle(net, place, seen)
        found = FoundPivot(
            pivot,
            net.state.tile_centre[place] - pivot.behind * out,
            covariance,
            out,
            len(seen),
            angle,
        )
        told.append(_doubted(found, net))
    return tuple(told)


def _widest_angle(net: Net, place: int, photos: Array) -> float:
    cameras = -np.einsum("pji,pj->pi", net.state.turned[photos], net.state.shift[photos])
    rays = cameras - net.state.tile_centre[place]
    rays = rays / np.linalg.norm(rays, axis=1, keepdims=True)
    return float(np.arccos(np.clip((rays @ rays.T).min(), -1, 1)))


def _doubted(found: FoundPivot, net: Net) -> FoundPivot:
    why = ""
    if found.pivot.tile in net.moved:
        why = net.moved[found.pivot.tile]
    elif found.photos < FEWEST_PHOTOS:
        why = f"seen in {found.photos} photographs only: take two more that show tile {found.pivot.tile}"
    elif found.angle < LEAST_ANGLE:
        why = (
            f"seen from one side only ({np.degrees(found.angle):.0f}° between the photographs): take two more of tile "
            f"{found.pivot.tile} from farther left, right or lower down"
        )
    elif found.plus_minus > _WIDEST:
        why = f"± {1e3 * found.plus_minus:.1f} mm: take two more of tile {found.pivot.tile} from nearer"
    return FoundPivot(found.pivot, found.place, found.covariance, found.out, found.photos, found.angle, why)


def checked(net: Net, survey: Survey, found: Sequence[FoundPivot]) -> tuple[Checked, ...]:
    """Distances that were measured and not used, beside what the photographs say.

    Args:
        net: every tile where it is
        survey: what was stuck where
        found: the pivots
    """
    named = {one.pivot.name: one for one in found}
    told = []
    for check in survey.checks:
        if any(name not in named for name in check.pivots):
            continue
        a, b = (named[name] for name in check.pivots)
        between = a.place - b.place
        length = float(np.linalg.norm(between))
        way = between / length
        row = np.zeros((len(net.numbers), 6))
        for one, sign in ((a, 1.0), (b, -1.0)):
            row[net.place(one.pivot.tile)] += sign * way @ offset_slopes(one.out, one.pivot.behind)
        flat = row.ravel()
        own = flat @ net.covariance.reshape(len(flat), len(flat)) @ flat
        for one in (a, b):
            own += way @ offset_covariance(one.out, one.pivot.behind, one.pivot.deviation) @ way
        told.append(Checked(check, length, float(np.sqrt(own + check.deviation**2))))
    return tuple(told)


def remarks_on(net: Net, survey: Survey, found: Sequence[FoundPivot], checks: Sequence[Checked]) -> tuple[str, ...]:
    """What a person has to know or do, in words.

    Args:
        net: every tile where it is
        survey: what was stuck where
        found: the pivots
        checks: distances that were not used
    """
    told = [f"{name}: {why}." for name, why in net.left_out.items()]
    told += net.moved.values()
    told += [
        f"Tile {one.tile} of {one.name} is in fewer than two photographs: it could not be placed."
        for one in survey.pivots
        if one.tile not in net.numbers
    ]
    told += _of_scale(net, survey)
    told += _of_lens(net)
    told += [
        (
            f"{one.check.pivots[0]} to {one.check.pivots[1]}: {1e3 * one.found:.1f} mm by the photographs, "
            f"{1e3 * one.check.length:.1f} mm measured, {abs(one.deviations):.1f} deviations apart. Measure it again."
        )
        for one in checks
        if abs(one.deviations) > _DIFFERS
    ]
    told += wrong_offset(found, checks)
    return tuple(told)


def _of_scale(net: Net, survey: Survey) -> list[str]:
    if not net.metric:
        return [
            (
                "No known length is among the tiles that were placed: nothing is told in mm. Lay a steel rule with two "
                "tiles into the picture, or measure between two tiles, and write the distance down."
            )
        ]
    told = []
    for one in survey.rulers:
        if one.tiles[0] in net.numbers and one.tiles[1] in net.numbers:
            a, b = (net.state.tile_centre[net.place(tile)] for tile in one.tiles)
            off = float(np.linalg.norm(a - b)) - one.length
            if abs(off) > _DIFFERS * one.deviation:
                told.append(
                    f"The known length between tiles {one.tiles[0]} and {one.tiles[1]} is {1e3 * abs(off):.1f} mm off the "
                    "other known lengths. Measure it again."
                )
    if len(survey.rulers) + len(survey.checks) < 2:
        told.append(
            "The scale rests on a single known length that nothing checks: measure one more distance between two pivots."
        )
    told += [
        f"The sheets came out of the printer {'larger' if scale > 1 else 'smaller'} than they should along {axis}: "
        f"{100 * scale:.1f} %. That is taken into account; print at 100 % the next time."
        for axis, scale in zip(("their width", "their height"), net.state.print_scale, strict=True)
        if abs(scale - 1) > _PRINTED_OFF
    ]
    return told


def _of_lens(net: Net) -> list[str]:
    centres = net.state.tile_centre - net.state.tile_centre.mean(axis=0)
    sizes = np.linalg.svd(centres, compute_uv=False)
    told = []
    if sizes[2] < _FLAT * sizes[0]:
        told.append(
            "All tiles lie nearly in one plane: what is in front of it or behind it is poorly known. Put tiles at other "
            "depths too, on the floor before the sill and on the wing, and take the photographs again."
        )
    if net.focal_share > _FOCAL_KNOWN:
        told.append(
            f"The lens is known to {100 * net.focal_share:.1f} % only. Take more photographs at a slant, some with the "
            "telephone on edge."
        )
    return told


def wrong_offset(found: Sequence[FoundPivot], checks: Sequence[Checked]) -> list[str]:
    """The pivot whose offset is wrong, if one explains by itself what the checks miss.

    Each pivot's offset is changed by what suits all checks best; named is the one that takes most of the misfit away.

    Args:
        found: the pivots
        checks: distances that were not used
    """
    missed = sum(one.deviations**2 for one in checks)
    if not any(abs(one.deviations) > _DIFFERS for one in checks):
        return []
    named = {one.pivot.name: one for one in found}
    tried = []
    for name, one in named.items():
        here = [check for check in checks if name in check.check.pivots]
        if len(here) < 2:
            continue
        slopes = []
        for check in here:
            a, b = (named[other] for other in check.check.pivots)
            way = (a.place - b.place) / np.linalg.norm(a.place - b.place)
            slopes.append(-(way if a is one else -way) @ one.out / check.deviation)
        row, off = np.array(slopes), np.array([check.deviations for check in here])
        if row @ row < 1e-12:
            continue
        change = -float(row @ off) / float(row @ row)
        tried.append((missed - float(np.sum((off + row * change) ** 2) + missed - np.sum(off**2)), name, change))
    if not tried:
        return []
    gain, name, change = max(tried)
    if gain < max(_CULPRIT, 0.5 * missed):
        return []
    behind = named[name].pivot.behind
    return [
        (
            f"{name}: {1e3 * behind:.1f} mm behind its paper does not fit the measured distances, "
            f"{1e3 * (behind + change):.1f} mm would. Measure it again."
        )
    ]


def depth_deviation(far: float, apart: float, focal: float, noise: float) -> float:
    """How well two photographs side by side tell how far off a point is: ``Z² √2 σ / (B f)`` [m].

    Args:
        far: distance Z of the point [m]
        apart: distance B of the two cameras, square to the view [m]
        focal: focal length f [px]
        noise: of a point in a photograph, one standard deviation σ [px]

    Source: from similar triangles; standard result of stereo photogrammetry.

    >>> round(1e3 * depth_deviation(1.5, 1.0, 3000.0, 0.1), 3)
    0.106
    """
    return far**2 * float(np.sqrt(2)) * noise / (apart * focal)

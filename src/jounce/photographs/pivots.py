"""Pivots behind their tiles, each with its covariance; what checks them; and in words where they must not be trusted."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from jounce.conventions.certainty import DEVIATIONS_TYPED
from jounce.numerics.arrays import Array, IntArray
from jounce.numerics.rotations import cross_matrix
from jounce.photographs.solving import Net
from jounce.photographs.survey import CheckDistance, PointerStand, Survey, TiledPivot

__all__ = [
    "FEWEST_PHOTOS",
    "LEAST_ANGLE",
    "SCALE",
    "WIDEST",
    "Checked",
    "FoundPivot",
    "checked",
    "depth_deviation",
    "doubted_by_checks",
    "found_pivots",
    "remarks_on",
    "spread_together",
    "suspect",
    "widest_angle",
]

TILT = float(np.radians(0.3))
"""How far a tile's paper may stand off square to its bolt, one standard deviation [rad]: common practice, no source."""
FEWEST_PHOTOS = 3
"""In which a pivot is seen that may be trusted."""
LEAST_ANGLE = float(np.radians(15))
"""Between two photographs of a pivot that may be trusted [rad]."""
WIDEST = 1.5e-3
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
        pivot: what it is: with a tile on it, or touched by the pointer
        place: in the axes of the net, shape (3,) [m]
        covariance: of that, the control tiles held together, shape (3, 3) [m²]
        slopes: how it moves with each tile's turning and centre, shape (3, tiles, 6) [m per rad, -]
        own: covariance of what is unsure of it alone: its offset, or how well the tip sat, shape (3, 3) [m²]
        shared: how it moves with what is unsure of the pointer, each one deviation, shape (3, unsure) [m]
        photos: in how many photographs its tile, or the pointer on it, was seen
        angle: widest angle between two of them [rad]
        out: direction out of its paper, shape (3,) [-]; zeros where it has none
        why_not: in words what to photograph or measure again; empty for one that may be trusted

    """

    pivot: TiledPivot | PointerStand
    place: Array
    covariance: Array
    slopes: Array
    own: Array
    shared: Array
    photos: int
    angle: float
    out: Array = field(default_factory=lambda: np.zeros(3))
    why_not: str = ""

    @property
    def label(self) -> str:
        """What marks it in a picture: the number of its tile, or that it was touched."""
        return str(self.pivot.tile) if isinstance(self.pivot, TiledPivot) else "tip"

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
        slopes = np.zeros((3, len(net.numbers), 6))
        slopes[:, place] = offset_slopes(out, pivot.behind)
        own = offset_covariance(out, pivot.behind, pivot.deviation)
        covariance = slopes[:, place] @ net.covariance[place, :, place] @ slopes[:, place].T + own
        seen = net.views.photo[net.views.tile == place]
        angle = widest_angle(net, net.state.tile_centre[place], seen)
        there = net.state.tile_centre[place] - pivot.behind * out
        found = FoundPivot(pivot, there, covariance, slopes, own, np.zeros((3, 0)), len(seen), angle, out)
        told.append(replace(found, why_not=_doubt(found, pivot, net)))
    return tuple(told)


def widest_angle(net: Net, place: Array, photos: Array | IntArray) -> float:
    """Widest angle between two photographs of a point [rad].

    Args:
        net: every tile where it is
        place: of the point, in its axes, shape (3,) [m]
        photos: places of the photographs, shape (photos,)
    """
    cameras = -np.einsum("pji,pj->pi", net.state.turned[photos], net.state.shift[photos])
    rays = cameras - place
    rays = rays / np.linalg.norm(rays, axis=1, keepdims=True)
    return float(np.arccos(np.clip((rays @ rays.T).min(), -1, 1)))


def _doubt(found: FoundPivot, pivot: TiledPivot, net: Net) -> str:
    if pivot.tile in net.moved:
        return net.moved[pivot.tile]
    if found.photos < FEWEST_PHOTOS:
        return f"seen in {found.photos} photographs only: take two more that show tile {pivot.tile}"
    if found.angle < LEAST_ANGLE:
        return (
            f"seen from one side only ({np.degrees(found.angle):.0f}° between the photographs): take two more of tile "
            f"{pivot.tile} from farther left, right or lower down"
        )
    if net.metric and found.plus_minus > WIDEST:
        return f"± {1e3 * found.plus_minus:.1f} mm: take two more of tile {pivot.tile} from nearer"
    return ""


def spread_together(net: Net, slopes: Array, shared: Sequence[Array]) -> Array:
    """Covariance of some points by what the tiles and the pointer are unsure of, shape (3 n, 3 n) [m²].

    Args:
        net: every tile where it is
        slopes: how each point moves with each tile's turning and centre, shape (n, 3, tiles, 6) [m per rad, -]
        shared: how each moves with what is unsure of the pointer, shapes (3, unsure); (3, 0) for one not touched [m]
    """
    flat = slopes.reshape(3 * len(slopes), -1)
    by_pointer = np.zeros((3 * len(slopes), max((one.shape[1] for one in shared), default=0)))
    for place, one in enumerate(shared):
        by_pointer[3 * place : 3 * place + 3, : one.shape[1]] = one
    by_tiles = flat @ net.covariance.reshape(flat.shape[1], flat.shape[1]) @ flat.T
    return np.asarray(by_tiles + by_pointer @ by_pointer.T)


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
        row = np.concatenate([way, -way])
        together = spread_together(net, np.stack([a.slopes, b.slopes]), [a.shared, b.shared])
        own = row @ together @ row + way @ (a.own + b.own) @ way
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
    told = [f"{', '.join(names)}: {why}." for why, names in _by_reason(net.left_out).items()]
    told += net.moved.values()
    told += _not_placed([one for one in survey.pivots if one.tile not in net.numbers])
    told += net.off_lengths.values()
    told += _of_scale(net, survey)
    told += _of_lens(net)
    culprit = suspect(found, checks)
    told += [
        (
            f"{one.check.pivots[0]} to {one.check.pivots[1]}: {1e3 * one.found:.1f} mm by the photographs, "
            f"{1e3 * one.check.length:.1f} mm measured, {abs(one.deviations):.1f} deviations apart. Measure it again."
        )
        for one in checks
        if abs(one.deviations) > _DIFFERS and (culprit is None or culprit[0] not in {SCALE, *one.check.pivots})
    ]
    told += [] if culprit is None else [culprit[1]]
    return tuple(told)


def _by_reason(left_out: Mapping[str, str]) -> dict[str, list[str]]:
    """Photographs that were left out, together where the reason is the same."""
    told: dict[str, list[str]] = {}
    for name, why in left_out.items():
        told.setdefault(why, []).append(name)
    return told


def _not_placed(pivots: Sequence[TiledPivot]) -> list[str]:
    if len(pivots) < 2:
        return [
            f"Tile {one.tile} of {one.name} is in fewer than two photographs and was not placed: take three that show it, "
            "from different sides."
            for one in pivots
        ]
    numbers = ", ".join(str(one.tile) for one in pivots)
    return [
        (
            f"Tiles {numbers} are in fewer than two photographs each and were not placed: take three "
            "that show each, from different sides."
        )
    ]


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
        if one.tiles in net.off_lengths:
            continue
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
    scales = [f"{100 * scale:.1f} %" for scale in net.state.print_scale if abs(scale - 1) > _PRINTED_OFF]
    if scales:
        told.append(
            f"By the known length the sheets came out of the printer at {' and '.join(scales)} "
            "of their size. If a rule on their line of 100 mm says the same, that is taken into account, and the next "
            "are printed at 100 %. If not, the known length is wrong: measure it again, and look which tiles it is between."
        )
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
            "telephone turned a quarter."
        )
    return told


SCALE = "scale"
"""What `suspect` names where it is the known length."""


def suspect(found: Sequence[FoundPivot], checks: Sequence[Checked]) -> tuple[str, str] | None:
    """What by itself explains what the checks miss: one pivot's offset, or the known length; None where neither does.

    Each pivot's offset, and the scale of all, is changed by what suits all checks best; named is the one that takes most
    of the misfit away.

    Args:
        found: the pivots
        checks: distances that were not used

    Returns:
        Name of the pivot, or `SCALE`; and a sentence
    """
    missed = sum(one.deviations**2 for one in checks)
    if not any(abs(one.deviations) > _DIFFERS for one in checks):
        return None
    named = {one.pivot.name: one for one in found}
    tried = []
    for name, one in named.items():
        if not isinstance(one.pivot, TiledPivot):
            continue
        here = [check for check in checks if name in check.check.pivots]
        slopes = []
        for check in here:
            a, b = (named[other] for other in check.check.pivots)
            way = (a.place - b.place) / np.linalg.norm(a.place - b.place)
            slopes.append(float(-(way if a is one else -way) @ one.out) / check.deviation)
        if (fitted := _taken_away(slopes, here)) is not None:
            change, gain = fitted
            sentence = (
                f"{name}: {1e3 * one.pivot.behind:.1f} mm behind its paper does not fit the measured distances, "
                f"{1e3 * (one.pivot.behind + change):.1f} mm would. Measure it again."
            )
            tried.append((gain, name, sentence))
    if (fitted := _taken_away([one.found / one.deviation for one in checks], checks)) is not None:
        share, gain = fitted
        sentence = (
            f"The measured distances are {100 * abs(share):.1f} % {'longer' if share > 0 else 'shorter'} than by the "
            "photographs, all of them: the known length does not fit them. Measure it again, and look which tiles it is "
            "between."
        )
        tried.append((gain, SCALE, sentence))
    gain, name, sentence = max(tried, default=(0.0, "", ""))
    return (name, sentence) if gain >= max(_CULPRIT, 0.5 * missed) else None


def _taken_away(slopes: Sequence[float], checks: Sequence[Checked]) -> tuple[float, float] | None:
    """By how much one number must change that checks fit best, and how much less their squares then come to.

    Args:
        slopes: of each check's misfit by that number, in deviations per unit
        checks: those that it bears on
    """
    row, off = np.array(slopes), np.array([one.deviations for one in checks])
    if len(row) < 2 or row @ row < 1e-12:
        return None
    change = -float(row @ off) / float(row @ row)
    return change, float(np.sum(off**2) - np.sum((off + row * change) ** 2))


def doubted_by_checks(found: Sequence[FoundPivot], checks: Sequence[Checked]) -> tuple[FoundPivot, ...]:
    """The pivots; those that a check speaks against are not to be used.

    Args:
        found: the pivots
        checks: distances that were not used
    """
    culprit = suspect(found, checks)
    why: dict[str, str] = {}
    for one in checks:
        if abs(one.deviations) > _DIFFERS:
            a, b = one.check.pivots
            why |= {a: f"the measured distance to {b} does not fit", b: f"the measured distance to {a} does not fit"}
    if culprit is not None and culprit[0] == SCALE:
        why = dict.fromkeys((one.pivot.name for one in found), "the known length does not fit the measured distances")
    elif culprit is not None:
        why = {culprit[0]: "how far it lies behind its paper does not fit the measured distances"}
    return tuple(
        replace(one, why_not="; ".join(filter(None, [one.why_not, why.get(one.pivot.name, "")]))) for one in found
    )


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

"""Pivots in the car's axes: ground from floor and wheels, centre plane from both sides, x from the front wheels."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace

import numpy as np

from jounce.conventions.certainty import DEVIATIONS_TYPED
from jounce.conventions.errors import Impossible
from jounce.numerics.arrays import Array
from jounce.photographs.ground import (
    FEWEST_FLOOR,
    GroundPoint,
    cameras_and_tiles,
    ground_plane,
    ground_points,
    ground_up,
    too_narrow,
)
from jounce.photographs.pivots import FoundPivot, spread_together
from jounce.photographs.solving import Net
from jounce.photographs.survey import Survey

__all__ = ["FRONT_WHEEL", "CarAxes", "CarPivot", "car_axes", "in_car_axes"]

FRONT_WHEEL = "front.pivots.wheel_centre"
"""The point that tells where x begins."""
_STEP = 1e-6  # m
_MIRROR = np.array([1.0, -1.0, 1.0])
_FEWEST_AGREE = 2  # pairs that bear each other out
_ACROSS = 0.03  # m beyond the centre plane, from which on a point lies on the other side than it was named for
_MOST_APART = 0.010
"""What two sides of a body may differ by [m]: common practice, no source.

Repaired bodies are held to some 3 mm at their pivots, and slots of an adjustment move a point by some 5 mm; wheels that
are steered, a wrong name or a wrong offset move one by a centimetre or more.
"""


@dataclass(frozen=True, slots=True)
class CarPivot:
    """A point of the car file by photographs, left and right taken together where both were seen.

    Attributes:
        point: place in the car file
        place: of the left-hand side, in the car's axes, shape (3,) [m]
        deviation: of each coordinate, one standard deviation, half of what the two sides differ by counted as its ±: the
            car file has one place for both, shape (3,) [m]
        sides: from how many sides it comes
        apart: right one mirrored less left one, shape (3,) [m]; zeros where one side was seen
        why_not: in words why it must not be used; empty for one that may

    """

    point: str
    place: Array
    deviation: Array
    sides: int
    apart: Array
    why_not: str

    @property
    def plus_minus(self) -> float:
        """Half width of the band that holds 95 %, of its worst coordinate [m]."""
        return float(DEVIATIONS_TYPED * self.deviation.max())


@dataclass(frozen=True, slots=True)
class CarAxes:
    """Where the car's axes lie in those of the net.

    Attributes:
        turned: the car's axes as rows, shape (3, 3) [-]
        ground: a point on the ground, in the net, shape (3,) [m]
        origin: of the car's axes, from that point in directions of the car, shape (3,) [m]

    """

    turned: Array
    ground: Array
    origin: Array

    def of_net(self, points: Array) -> Array:
        """Points of the net in the car's axes, shape (..., 3) [m].

        Args:
            points: shape (..., 3) [m]
        """
        return np.asarray((points - self.ground) @ self.turned.T - self.origin)

    def in_net(self, points: Array) -> Array:
        """Points in the car's axes, in those of the net, shape (..., 3) [m].

        Args:
            points: shape (..., 3) [m]
        """
        return np.asarray((points + self.origin) @ self.turned + self.ground)


def car_axes(net: Net, survey: Survey, found: Sequence[FoundPivot]) -> CarAxes:
    """Where the car's axes lie.

    Args:
        net: every tile where it is
        survey: what was stuck where
        found: the pivots

    Raises:
        Impossible: something that the axes need was not seen, or no length is known
    """
    known = _needed(net, survey, found)
    known = replace(known, pairs=_sound_pairs(found, known))
    return _axes(np.stack([one.place for one in found]), *known.ground_now, known)


@dataclass(frozen=True, slots=True)
class _Known:
    """What the axes are made of: points of the ground, pairs, front wheels, and about where up is."""

    ground: tuple[GroundPoint, ...]
    pairs: list[tuple[int, int]]
    wheels: list[int]
    up: Array

    @property
    def ground_now(self) -> tuple[Array, Array]:
        """Places of the ground's points and their heights over it, shapes (points, 3) and (points,) [m]."""
        return np.array([one.place for one in self.ground]).reshape(-1, 3), np.array([one.over for one in self.ground])

    @property
    def deviations(self) -> Array:
        """Of the heights, one standard deviation each, shape (points,) [m]."""
        return np.array([one.deviation for one in self.ground])


def _needed(net: Net, survey: Survey, found: Sequence[FoundPivot]) -> _Known:
    wheels = [place for place, one in enumerate(found) if one.pivot.point == FRONT_WHEEL]
    known = _Known(ground_points(net, survey), _pairs(found), wheels, np.zeros(3))
    if len(known.ground) >= FEWEST_FLOOR:
        known = replace(known, up=ground_up(*known.ground_now, known.deviations, cameras_and_tiles(net)))
    _need(net, known)
    return known


def in_car_axes(net: Net, survey: Survey, found: Sequence[FoundPivot]) -> tuple[CarPivot, ...]:
    """The pivots in the car's axes, with the uncertainty of the axes in them.

    Args:
        net: every tile where it is
        survey: what was stuck where
        found: the pivots

    Raises:
        Impossible: something that the axes need was not seen, or no length is known
    """
    known = _needed(net, survey, found)
    known = replace(known, pairs=_sound_pairs(found, known))
    ground, over = known.ground_now
    now = np.concatenate([*(one.place for one in found), ground.ravel(), over])
    pivots, ends = 3 * len(found), 3 * (len(found) + len(ground))

    def laid(values: Array) -> Array:
        points = values[:pivots].reshape(-1, 3)
        return _axes(points, values[pivots:ends].reshape(-1, 3), values[ends:], known).of_net(points)

    slopes = np.empty((pivots, len(now)))
    for one in range(len(now)):
        step = np.zeros(len(now))
        step[one] = _STEP
        slopes[:, one] = (laid(now + step) - laid(now - step)).ravel() / (2 * _STEP)
    covariance = slopes @ _covariance(net, found, known) @ slopes.T
    return _by_point(found, laid(now), covariance, known.pairs)


def _pairs(found: Sequence[FoundPivot]) -> list[tuple[int, int]]:
    """Places of the left and the right one of each point that was seen on both sides."""
    where = {(one.pivot.point, one.pivot.side): place for place, one in enumerate(found)}
    points = dict.fromkeys(one.pivot.point for one in found)
    return [
        (where[point, "left"], where[point, "right"])
        for point in points
        if (point, "left") in where and (point, "right") in where
    ]


def _sound_pairs(found: Sequence[FoundPivot], known: _Known) -> list[tuple[int, int]]:
    """The pairs on which the centre plane rests: without those that differ too much, where most of all pairs agree.

    One wrong name or offset is no reason to hold back what does not rest on it. Which pairs are wrong is told by the
    others alone: where fewer than two, or no more than half, agree, nobody knows, and all of them are returned.
    """
    places, sound = np.stack([one.place for one in found]), list(known.pairs)
    while len(sound) >= _FEWEST_AGREE and 2 * len(sound) > len(known.pairs):
        laid = _axes(places, *known.ground_now, replace(known, pairs=sound)).of_net(places)
        apart = [float(np.abs(laid[right] * _MIRROR - laid[left]).max()) for left, right in sound]
        worst = int(np.argmax(apart))
        if apart[worst] <= _MOST_APART:
            return sound
        del sound[worst]
    return known.pairs


def _need(net: Net, known: _Known) -> None:
    lacks = []
    if not net.metric:
        lacks.append("a known length: a rule with two tiles on it, or a taped distance between two tiles")
    if len(known.ground) < FEWEST_FLOOR:
        lacks.append(
            "the ground: three tiles or more on the floor, listed under [floor], or on wheels, each with its [[height]], "
            f"or three places of the floor touched by the pointer; {len(known.ground)} were placed"
        )
    elif too_narrow(known.ground_now[0], known.up):
        lacks.append(
            "the ground's tilt: what tells its height lies nearly in one line; one more on another axle or farther forward"
        )
    if not known.pairs:
        lacks.append("the centre plane: at least one pivot with a tile on the left and on the right")
    if not known.wheels:
        lacks.append(f"where x begins: a tile on a front hub, as {FRONT_WHEEL}")
    if lacks:
        raise Impossible("The pivots cannot be put into the car's axes. Missing is " + "; ".join(lacks) + ".")


def _axes(found: Array, ground: Array, over: Array, known: _Known) -> CarAxes:
    """Axes made of points of the ground and their heights over it, of the pairs and the front wheels."""
    up, below = ground_plane(ground, over, known.deviations, known.up)
    left = sum((found[a] - found[b] for a, b in known.pairs), np.zeros(3))
    left = left - (left @ up) * up
    left = left / np.linalg.norm(left)
    turned = np.stack([np.cross(left, up), left, up])
    laid = (found - below) @ turned.T
    centre = np.mean([(laid[a, 1] + laid[b, 1]) / 2 for a, b in known.pairs])
    return CarAxes(turned, below, np.array([laid[known.wheels, 0].mean(), centre, 0.0]))


def _covariance(net: Net, found: Sequence[FoundPivot], known: _Known) -> Array:
    """Covariance of all pivots, points of the ground and their heights together, shape (n, n) [m²]."""
    every: list[FoundPivot | GroundPoint] = [*found, *known.ground]
    count = 3 * len(every)
    together = np.zeros((count + len(known.ground),) * 2)
    together[:count, :count] = spread_together(
        net, np.stack([one.slopes for one in every]), [one.shared for one in every]
    )
    for place, one in enumerate(found):
        own = slice(3 * place, 3 * place + 3)
        together[own, own] += one.own
    heights = np.arange(count, len(together))
    together[heights, heights] = known.deviations**2
    return together


def _by_point(
    found: Sequence[FoundPivot], laid: Array, covariance: Array, sound: Sequence[tuple[int, int]]
) -> tuple[CarPivot, ...]:
    """Left and right put together: the middle of the left one and the right one mirrored."""
    told = []
    apart_of = {}
    for left, right in _pairs(found):
        apart_of[found[left].pivot.point] = laid[right] * _MIRROR - laid[left]
    bearing = {found[left].pivot.point for left, _ in sound}
    uneven = _unevenness([apart for point, apart in apart_of.items() if point in bearing])
    for point in dict.fromkeys(one.pivot.point for one in found):
        mine = [place for place, one in enumerate(found) if one.pivot.point == point]
        signs = [_MIRROR if found[place].pivot.side == "right" else np.ones(3) for place in mine]
        as_left = [laid[place] * sign for place, sign in zip(mine, signs, strict=True)]
        rows = np.zeros((3, covariance.shape[0]))
        for place, sign in zip(mine, signs, strict=True):
            rows[:, 3 * place : 3 * place + 3] = np.diag(sign) / len(mine)
        deviation = np.sqrt(
            np.maximum(np.diag(rows @ covariance @ rows.T), 0.0)
        )  # x of the wheels is none by definition
        apart = apart_of.get(point, np.zeros(3))
        deviation = np.hypot(deviation, np.abs(apart) / 2 / DEVIATIONS_TYPED if point in apart_of else uneven)
        why = [found[place].why_not for place in mine if found[place].why_not]
        why += _one_side_doubted(
            [(found[place].pivot.side, one) for place, one in zip(mine, as_left, strict=True)], apart
        )
        told.append(
            CarPivot(point, np.mean(as_left, axis=0), deviation, len(mine), apart, "; ".join(dict.fromkeys(why)))
        )
    return _with_sound_plane(told, bearing)


def _unevenness(apart: Sequence[Array]) -> Array:
    """What the centre plane, made of pairs that differ, adds to a point seen on one side: one standard deviation [m].

    Args:
        apart: what the two sides of each pair differ by, shapes (3,) [m]
    """
    if not apart:
        return np.zeros(3)
    whole = np.sqrt(np.mean(np.square(apart), axis=0) / len(apart)) / 2
    return np.array([whole[0], whole[1], 0.0])  # up is told by the ground


def _with_sound_plane(pivots: Sequence[CarPivot], bearing: Collection[str]) -> tuple[CarPivot, ...]:
    """The same; where what the axes rest on is wrong, so may be all that is told in them.

    Args:
        pivots: points of the car
        bearing: points on whose pairs the centre plane rests
    """
    wrong = [one for one in pivots if np.abs(one.apart).max() > _MOST_APART]
    spoils = {one.point: f"the centre plane rests on {one.point} too" for one in wrong if one.point in bearing}
    spoils |= {one.point: f"x begins at {one.point}" for one in wrong if one.point == FRONT_WHEEL}
    if not spoils:
        without = "; the centre plane was laid without it"
        doubted = {one.point for one in wrong}
        return tuple(replace(one, why_not=one.why_not + without) if one.point in doubted else one for one in pivots)
    worst = max((one for one in wrong if one.point in spoils), key=lambda one: float(np.abs(one.apart).max()))
    why = f"{spoils[worst.point]}, whose left and right do not fit"
    return tuple(
        one if one.point == worst.point else replace(one, why_not="; ".join(filter(None, [one.why_not, why])))
        for one in pivots
    )


def _one_side_doubted(as_left: Sequence[tuple[str, Array]], apart: Array) -> list[str]:
    """Why a point must not be used for what its two sides say of each other, in words.

    Args:
        as_left: side for which each was named, and where it lies, mirrored to the left, shape (3,) [m]
        apart: what they differ by, shape (3,) [m]
    """
    crossed = [side for side, place in as_left if place[1] < -_ACROSS]
    if crossed:
        return [
            (
                f"what was named {' and '.join(crossed)} lies on the other side of the car: look whether the names of its "
                "left and its right tile were changed over"
            )
        ]
    if np.abs(apart).max() > _MOST_APART:
        return [
            (
                f"left and right differ by {1e3 * np.abs(apart).max():.0f} mm, which no body does: look whether the wheels "
                "point straight ahead, whether each tile is named right, and how far the joint lies behind each paper"
            )
        ]
    return []

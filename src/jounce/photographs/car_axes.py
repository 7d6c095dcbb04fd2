"""Pivots in the car's axes: ground from tiles on the floor, centre plane from both sides, x from the front wheels."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from jounce.conventions.certainty import DEVIATIONS_TYPED
from jounce.conventions.errors import Impossible
from jounce.numerics.arrays import Array
from jounce.photographs.pivots import FoundPivot, offset_covariance, offset_slopes
from jounce.photographs.solving import Net
from jounce.photographs.survey import Survey

__all__ = ["FEWEST_FLOOR", "FRONT_WHEEL", "CarAxes", "CarPivot", "car_axes", "in_car_axes"]

FRONT_WHEEL = "front.pivots.wheel_centre"
"""The point that tells where x begins."""
FEWEST_FLOOR = 3
"""Tiles on the floor that tell the ground."""
_STEP = 1e-6  # m
_MIRROR = np.array([1.0, -1.0, 1.0])
_DIFFERS = 2.5  # deviations


@dataclass(frozen=True, slots=True)
class CarPivot:
    """A point of the car file by photographs, left and right taken together where both were seen.

    Attributes:
        point: place in the car file
        place: of the left-hand side, in the car's axes, shape (3,) [m]
        deviation: of each coordinate, one standard deviation, shape (3,) [m]
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
        ground: a point on the tiles of the floor, in the net, shape (3,) [m]
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
    floor, pairs, wheels = _needed(net, survey, found)
    places = _places(net, found, floor)
    return _axes(places, len(found), pairs, wheels, net.state.tile_centre.mean(axis=0), survey.over)


def _needed(
    net: Net, survey: Survey, found: Sequence[FoundPivot]
) -> tuple[list[int], list[tuple[int, int]], list[int]]:
    """What the axes are made of: tiles on the floor, pairs, front wheels."""
    floor = [tile for tile in survey.floor if tile in net.numbers]
    pairs = _pairs(found)
    wheels = [place for place, one in enumerate(found) if one.pivot.point == FRONT_WHEEL]
    _need(net, floor, pairs, wheels)
    return floor, pairs, wheels


def _places(net: Net, found: Sequence[FoundPivot], floor: Sequence[int]) -> Array:
    return np.stack([*(one.place for one in found), *(net.state.tile_centre[net.place(tile)] for tile in floor)])


def in_car_axes(net: Net, survey: Survey, found: Sequence[FoundPivot]) -> tuple[CarPivot, ...]:
    """The pivots in the car's axes, with the uncertainty of the axes in them.

    Args:
        net: every tile where it is
        survey: what was stuck where
        found: the pivots

    Raises:
        Impossible: something that the axes need was not seen, or no length is known
    """
    floor, pairs, wheels = _needed(net, survey, found)
    places = _places(net, found, floor)
    middle = net.state.tile_centre.mean(axis=0)

    def laid(points: Array) -> Array:
        return _axes(points, len(found), pairs, wheels, middle, survey.over).of_net(points[: len(found)])

    count = places.size
    slopes = np.empty((3 * len(found), count))
    for one in range(count):
        step = np.zeros(count)
        step[one] = _STEP
        change = laid(places + step.reshape(-1, 3)) - laid(places - step.reshape(-1, 3))
        slopes[:, one] = change.ravel() / (2 * _STEP)
    covariance = slopes @ _covariance(net, found, floor) @ slopes.T
    return _by_point(found, laid(places), covariance)


def _pairs(found: Sequence[FoundPivot]) -> list[tuple[int, int]]:
    """Places of the left and the right one of each point that was seen on both sides."""
    where = {(one.pivot.point, one.pivot.side): place for place, one in enumerate(found)}
    points = dict.fromkeys(one.pivot.point for one in found)
    return [
        (where[point, "left"], where[point, "right"])
        for point in points
        if (point, "left") in where and (point, "right") in where
    ]


def _need(net: Net, floor: Sequence[int], pairs: Sequence[tuple[int, int]], wheels: Sequence[int]) -> None:
    lacks = []
    if not net.metric:
        lacks.append("a known length: a rule with two tiles on it, or a taped distance between two tiles")
    if len(floor) < FEWEST_FLOOR:
        lacks.append(f"the ground: three tiles or more on the floor, listed under [floor]; {len(floor)} were placed")
    if not pairs:
        lacks.append("the centre plane: at least one pivot with a tile on the left and on the right")
    if not wheels:
        lacks.append(f"where x begins: a tile on a front hub, as {FRONT_WHEEL}")
    if lacks:
        raise Impossible("The pivots cannot be put into the car's axes. Missing is " + "; ".join(lacks) + ".")


def _axes(  # what axes are made of, each by itself
    points: Array, pivots: int, pairs: Sequence[tuple[int, int]], wheels: Sequence[int], middle: Array, over: float
) -> CarAxes:
    """Axes made of the floor, whose paper lies so far over the ground, the pairs and the front wheels."""
    found, floor = points[:pivots], points[pivots:]
    ground = floor.mean(axis=0)
    up = np.linalg.svd(floor - ground)[2][2]
    up = up * np.sign(up @ (middle - ground))
    left = sum((found[a] - found[b] for a, b in pairs), np.zeros(3))
    left = left - (left @ up) * up
    left = left / np.linalg.norm(left)
    turned = np.stack([np.cross(left, up), left, up])
    laid = (found - ground) @ turned.T
    centre = np.mean([(laid[a, 1] + laid[b, 1]) / 2 for a, b in pairs])
    return CarAxes(turned, ground, np.array([laid[list(wheels), 0].mean(), centre, -over]))


def _covariance(net: Net, found: Sequence[FoundPivot], floor: Sequence[int]) -> Array:
    """Covariance of all pivots and floor tiles together, shape (3 n, 3 n) [m²]."""
    rows = np.zeros((3 * (len(found) + len(floor)), 6 * len(net.numbers)))
    for place, one in enumerate(found):
        tile = net.place(one.pivot.tile)
        rows[3 * place : 3 * place + 3, 6 * tile : 6 * tile + 6] = offset_slopes(one.out, one.pivot.behind)
    for place, number in enumerate(floor, start=len(found)):
        tile = net.place(number)
        rows[3 * place : 3 * place + 3, 6 * tile + 3 : 6 * tile + 6] = np.eye(3)
    size = 6 * len(net.numbers)
    together = rows @ net.covariance.reshape(size, size) @ rows.T
    for place, one in enumerate(found):
        own = slice(3 * place, 3 * place + 3)
        together[own, own] += offset_covariance(one.out, one.pivot.behind, one.pivot.deviation)
    return np.asarray(together)


def _by_point(found: Sequence[FoundPivot], laid: Array, covariance: Array) -> tuple[CarPivot, ...]:
    """Left and right put together: the middle of the left one and the right one mirrored."""
    told = []
    for point in dict.fromkeys(one.pivot.point for one in found):
        mine = [place for place, one in enumerate(found) if one.pivot.point == point]
        signs = [_MIRROR if found[place].pivot.side == "right" else np.ones(3) for place in mine]
        as_left = [laid[place] * sign for place, sign in zip(mine, signs, strict=True)]
        rows = np.zeros((3, covariance.shape[0]))
        for place, sign in zip(mine, signs, strict=True):
            rows[:, 3 * place : 3 * place + 3] = np.diag(sign) / len(mine)
        deviation = np.sqrt(np.diag(rows @ covariance @ rows.T))
        apart = np.zeros(3)
        why = "; ".join(found[place].why_not for place in mine if found[place].why_not)
        if len(mine) == 2:
            left, right = sorted(range(2), key=lambda one: found[mine[one]].pivot.side)
            apart = as_left[right] - as_left[left]
        told.append(CarPivot(point, np.mean(as_left, axis=0), deviation, len(mine), apart, why))
    return tuple(told)

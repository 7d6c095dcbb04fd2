"""An anti-roll bar of the car file as mechanics: the shape of its steel, its links as fitted, its rate by parts.

The bar is free of load in the shape of its points. Its links hold its arms where their lengths put them: arms that were
measured with links of other lengths are turned about the bushes until the links fit, and what the two halves are then
turned against each other is the twist that the bar has as the car was found.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jounce.car.mechanics.anti_roll_bar_shape import (
    bent_bar,
    blade_of,
    half_points,
    is_plain,
    number,
    section_of,
    straight_arm_bar,
)
from jounce.car.parts import AntiRollBar
from jounce.car.parts.anti_roll_bar import AntiRollBarShape
from jounce.conventions.errors import InputError, at
from jounce.conventions.units import Kind, show
from jounce.elements.bars.bent_bar import BentBar
from jounce.elements.bars.bent_bar_stress import bar_stress
from jounce.elements.free_play import FreePlay
from jounce.elements.law import ElementLaw, Linear
from jounce.layouts.anti_roll_bar import AntiRollBarSide, turn_to_length, turned_about
from jounce.numerics.arrays import Array
from jounce.numerics.complex_step import size
from jounce.numerics.curves import Straight
from jounce.numerics.rotations import cross
from jounce.numerics.space_frame import member_flexibility
from jounce.numerics.vectors import Y, length, unit


@dataclass(frozen=True, slots=True)
class FittedSide:
    """One half of a bar with its link: the arm's end free of load and as fitted, (3,) or (variants, 3) [m].

    ``turn`` is the half's angle about the bushes from free to fitted, right-handed about the line from the right bush
    to the left [rad].
    """

    free_end: Array
    points: AntiRollBarSide
    turn: Array


@dataclass(frozen=True, slots=True)
class FittedBar:
    """A bar with its links.

    Attributes:
        left: its left half
        right: its right half
        steel: the bar itself
        gives: by part, angle between the arms per torque [rad/(N m)]; together they are the bar's give
        gap: half of the twist over which worn links let it alone [rad]

    """

    left: FittedSide
    right: FittedSide
    steel: BentBar
    gives: dict[str, Array]
    gap: Array

    @property
    def rate(self) -> Array:
        """Torque per twist of the whole, its parts in series [N m/rad]."""
        return np.asarray(1 / sum(self.gives.values()))

    @property
    def twist(self) -> Array:
        """Turn of the left half less the right half's as the car was found [rad]."""
        return np.asarray(self.left.turn - self.right.turn)

    @property
    def law(self) -> ElementLaw:
        """Torque over the twist from free: linear as the frame is, beyond the play of the links."""
        return FreePlay(self.rate, self.gap) if np.any(np.real(self.gap) > 0) else Linear(self.rate)

    @property
    def link_directions(self) -> tuple[Array, Array]:
        """From the far end of each link to the bar, free of load [m]."""
        left, right = (np.asarray(side.free_end - side.points.link_end) for side in (self.left, self.right))
        return left, right

    @property
    def stress_per_torque(self) -> float:
        """Largest equivalent stress of one car's bar per torque between its halves, links as free of load [Pa/(N m)]."""
        left, right = (np.reshape(force, 3) for force in self.steel.end_forces(*self.link_directions))
        return float(bar_stress(self.steel, left, right).von_mises.max())


def fitted_sides(left: AntiRollBar, right: AntiRollBar) -> tuple[FittedSide, FittedSide]:
    """Both halves with their links fitted.

    Args:
        left: the left half as told
        right: the right half

    Raises:
        InputError: a link too long or too short for its two ends
    """
    axis = unit(left.bush.xyz - right.bush.xyz)
    return _fitted(left, axis), _fitted(right, axis)


def fitted_bar(left: AntiRollBar, right: AntiRollBar) -> FittedBar:
    """A bar with its links.

    Args:
        left: the left half as told
        right: the right half

    Raises:
        InputError: a link that does not fit, a bush that is not on the bar, bends that do not fit between their points
    """
    steel = bent_bar(left, right)
    sides = fitted_sides(left, right)
    ways: list[Array] = [side.free_end - side.points.link_end for side in sides]
    if is_plain(left, right):
        straight = straight_arm_bar(left)
        bar, levers = 1 / straight.twist_rate, (straight.lever, straight.lever)
        ways = [cross(half[1] - half[0], Y) for half in map(half_points, (left, right))]
    else:
        bar = steel.twist_compliance(*ways)
        levers = steel.levers(*ways)
    gives, gap = {"bar": np.asarray(bar)}, np.zeros(1)
    for half, way, lever in zip((left, right), ways, levers, strict=True):
        for name, give in (("blades", blade_give(half, way)), ("links", link_give(half))):
            if give is not None:
                gives[name] = gives.get(name, 0.0) + give / np.asarray(lever) ** 2
        gap = gap + number(half.link_slack) / 2 / size(np.asarray(lever))
    return FittedBar(*sides, steel, gives, gap)


def _fitted(bar: AntiRollBar, axis: Array) -> FittedSide:
    """The half turned until its link has its length."""
    end, bush, far = half_points(bar)[0], bar.bush.xyz, bar.link_end.xyz
    if bar.link_length is None:
        return FittedSide(end, AntiRollBarSide(bush=bush, arm_end=end, link_end=far), np.zeros(1))
    wanted = number(bar.link_length)
    with at("link_length"):
        turn = turn_to_length(end, bush, axis, far, wanted)
    return FittedSide(end, AntiRollBarSide(bush=bush, arm_end=turned_about(end, bush, axis, turn), link_end=far), turn)


def link_give(bar: AntiRollBarShape) -> Array | None:
    """Give of one link along itself [m/N]; None where it is rigid.

    Args:
        bar: the half as told

    """
    return None if bar.link_rate is None else 1 / number(bar.link_rate)


def blade_give(bar: AntiRollBarShape, way: Array) -> Array | None:
    """What a blade gives along the link beyond the bar's own steel whose place it takes [m/N]; None without a blade.

    Args:
        bar: the half as told
        way: along the link, of any length [m]

    Raises:
        InputError: a blade longer than the straight end of the arm
    """
    blade = blade_of(bar)
    if blade is None:
        return None
    end, after = half_points(bar)[:2]
    reach = length(after - end)[..., 0]
    blade_length = np.asarray(blade.length)
    if np.any(blade_length.real > reach.real):
        raise InputError(
            "The blade is longer than the straight end of the arm",
            found=show(float(np.max(blade_length.real)), Kind.LENGTH),
            allowed=f"up to {show(float(np.min(reach.real)), Kind.LENGTH)}",
            todo="Measure it from the link to where it is clamped.",
            place="blade_length",
        )
    along, pull = unit(after - end), unit(way)
    across = 1 - np.sum(along * pull, axis=-1) ** 2
    piece = Straight(end + blade_length[..., None] * along, np.broadcast_to(end, along.shape))
    replaced = np.einsum(
        "...i,...ij,...j->...", pull, member_flexibility([piece], section_of(bar).resists)[..., :3, :3], pull
    )
    return np.asarray(across * blade.tip_compliance - replaced)

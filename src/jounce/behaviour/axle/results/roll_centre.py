"""The roll centre, by forces and by construction."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from jounce.behaviour.axle.results.analytic import divided
from jounce.behaviour.axle.results.centres import instant_centre
from jounce.behaviour.axle.results.reading import AxleKinematics
from jounce.behaviour.solving import solved
from jounce.layouts.naming import SIDES
from jounce.numerics.arrays import Array

_FARTHEST = 3.0
"""Lines that meet further above or below the road are as good as parallel: nothing turns about there [m]."""


@dataclass(frozen=True, slots=True)
class Contacts:
    """Contact points across the road and above it (states, wheels) [m], rates by both travels (states, wheels, 2) [-]."""

    across: Array
    above: Array
    d_across: Array
    d_above: Array

    @property
    def ground(self) -> Array:
        """Mean height of the contact points, shape (states,) [m]."""
        return np.asarray(self.above.mean(axis=1))


@dataclass(frozen=True, slots=True)
class LineOfAction:
    """Line of a lateral force of 1 to the left and the vertical forces that come with it, road axes.

    ``height`` (states,) [m] is that of the line over the mean contact height at y = 0, ``lift`` (states,) [-] the
    vertical force on the body: the line rises by ``lift`` per way to the left.
    """

    height: Array
    lift: Array

    def at(self, across: Array) -> Array:
        """Height of the line at a place across the road [m].

        Args:
            across: place, positive to the left, shape (states,) [m]

        """
        return self.height + across * self.lift


def contacts(reading: AxleKinematics) -> Contacts:
    """Contact points in the axes of the road."""
    cosine, sine = np.cos(reading.roll)[:, None], np.sin(reading.roll)[:, None]
    y, z = (np.stack([reading.value(s, f"contact_{a}") for s in SIDES], -1) for a in "yz")
    dy, dz = (np.stack([reading.by_travel(s, f"contact_{a}") for s in SIDES], 1) for a in "yz")
    c, s = cosine[..., None], sine[..., None]
    return Contacts(y * cosine - z * sine, y * sine + z * cosine, dy * c - dz * s, dy * s + dz * c)


def line_of_action(touch: Contacts, left_share: float) -> LineOfAction:
    """What the road does to the body, springs not deflecting, when it pushes by 1 to the left.

    The vertical forces V that keep both travels follow from virtual work: ``sum_k (f_k dy_k + V_k dz_k) = 0`` for
    each wheel's travel.

    Args:
        touch: the contact points
        left_share: share of the lateral force on the left contact point [-]

    """
    force = np.array([left_share, 1 - left_share])
    pull = np.einsum("nki,k->ni", touch.d_across, force)
    vertical = -solved(touch.d_above.transpose(0, 2, 1), pull[..., None])[..., 0]
    over_ground = touch.above - touch.ground[:, None]
    height = np.sum(over_ground * force - touch.across * vertical, axis=1)
    return LineOfAction(np.asarray(height), np.asarray(vertical.sum(axis=1)))


def roll_centre(reading: AxleKinematics) -> Mapping[str, Array]:
    """Heights above the mean contact height and the place across the body [m], the linkage's lift [-]."""
    touch = contacts(reading)
    middle = -touch.ground * np.tan(reading.roll)  # where the body's centre plane meets the road
    equal, left, right = (line_of_action(touch, share) for share in (0.5, 1.0, 0.0))
    values = {
        "roll_centre_height": _on_centre_plane(equal, middle, reading.roll),
        "roll_centre_height_by_left": _on_centre_plane(left, middle, reading.roll),
        "roll_centre_height_by_right": _on_centre_plane(right, middle, reading.roll),
        "jacking_ratio": equal.lift,
    }
    construction = _construction(reading, touch)
    if construction is not None:
        values["roll_centre_construction_height"] = construction
    if reading.linkage.beam is None:
        across = divided(right.height - left.height, left.lift - right.lift)
        height = left.at(across)
        values["roll_centre_point_y"] = across * np.cos(reading.roll) + (height + touch.ground) * np.sin(reading.roll)
        values["roll_centre_point_height"] = height
    return values


def _on_centre_plane(line: LineOfAction, middle: Array, roll: Array) -> Array:
    """Height at which a line of action crosses the body's centre plane, which leans over its foot on the road."""
    return np.asarray(line.at(middle) / (1 + line.lift * np.tan(roll)))


def _construction(reading: AxleKinematics, touch: Contacts) -> Array | None:
    if reading.linkage.held_sideways_by:
        height = _holding_height(reading)
        return np.asarray(height * np.cos(reading.roll) - touch.ground)
    return None if reading.linkage.beam is not None else _where_lines_meet(reading, touch)


def _holding_height(reading: AxleKinematics) -> Array:
    """Height in the body of what holds a beam sideways: a rod where it crosses the centre plane, or a pivot."""
    ends = [reading.position(point) for point in reading.linkage.held_sideways_by]
    if len(ends) == 1:
        return np.asarray(ends[0][:, 2])
    body, end = ends
    return np.asarray(body[:, 2] - divided(body[:, 1] * (end[:, 2] - body[:, 2]), end[:, 1] - body[:, 1]))


def _where_lines_meet(reading: AxleKinematics, touch: Contacts) -> Array:
    """Where the lines from the contact points through the front-view instant centres meet; NaN where nearly nowhere."""
    cosine, sine = np.cos(reading.roll), np.sin(reading.roll)
    slopes = []
    for k, side in enumerate(SIDES):
        y, z, _, _ = instant_centre(reading, side)
        slopes.append(
            divided((y * sine + z * cosine) - touch.above[:, k], (y * cosine - z * sine) - touch.across[:, k])
        )
    apart = touch.above[:, 1] - touch.above[:, 0] + slopes[0] * touch.across[:, 0] - slopes[1] * touch.across[:, 1]
    where = divided(apart, slopes[0] - slopes[1])
    height = touch.above[:, 0] + slopes[0] * (where - touch.across[:, 0]) - touch.ground
    return np.asarray(np.where(np.abs(height.real) < _FARTHEST, height, np.nan))

"""Every geometric quantity of an axle along a motion, in the car body's axes and SI."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from jounce.behaviour.motions import MODES, AxleStates, MotionName, WheelMotions, place_axle, wheel_motions
from jounce.conventions.units import Kind
from jounce.layouts.axle import AxleLinkage
from jounce.layouts.naming import SIDES, SideName, named, outward
from jounce.linkage.mechanism import Mechanism
from jounce.linkage.place import Placed
from jounce.numerics.arrays import Array, BoolArray

_STILL = 1e-9  # a body turning or travelling less than this per unit has no centre or ratio to speak of [rad/m or -]


@dataclass(frozen=True, slots=True)
class Column:
    """Values of one quantity along a motion, SI; NaN where the quantity does not exist (shown as an empty cell)."""

    name: str
    kind: Kind
    values: Array


@dataclass(frozen=True, slots=True)
class TravelTable:
    """Columns over a batch of states, which of them were reached and how far along their way the others came."""

    columns: tuple[Column, ...]
    reached: BoolArray
    share: Array


def motion_states(motion: MotionName, drive: Array) -> AxleStates:
    """What an axle is given for a motion's drive values [m; roll: rad; steer: m of rack, positive to the left]."""
    if motion == "roll":
        return AxleStates(roll=drive, heave=0.0)
    if motion == "steer":
        return AxleStates(rack=drive)
    return AxleStates(left=drive * (motion != "right"), right=drive * (motion != "left"))


def travel_table(stand: Mechanism, linkage: AxleLinkage, motion: MotionName, drive: Array) -> TravelTable:
    """Follow a motion and take every quantity.

    Args:
        stand: the axle on its stand
        linkage: how it was laid out
        motion: heave, roll, left, right or steer
        drive: values of the motion's drive, shape (states,) [m; roll: rad]

    Returns:
        The table; rows that were not reached hold NaN everywhere but in the drive.
    """
    table = states_table(stand, linkage, motion_states(motion, drive), MODES[motion])
    name = {"heave": "heave", "roll": "roll", "left": "left_drive", "right": "right_drive", "steer": "rack"}[motion]
    first = Column(name, Kind.ANGLE if motion == "roll" else Kind.LENGTH, drive)
    return TravelTable((first, *table.columns), table.reached, table.share)


def states_table(stand: Mechanism, linkage: AxleLinkage, states: AxleStates, mode: tuple[float, float]) -> TravelTable:
    """Take every quantity in any batch of states, without a drive column.

    Args:
        stand: the axle on its stand
        linkage: how it was laid out
        states: what the axle is given
        mode: rates of left and right wheel travel in which ratios and instant centres are taken [-]

    Returns:
        The table; rows that were not reached hold NaN.
    """
    placed = place_axle(stand, linkage.axle, states)
    reader = _Reader(stand, linkage, placed, wheel_motions(placed, linkage.axle), mode)
    columns = [c for side in SIDES for c in reader.wheel(side)] + reader.axle()
    kept = tuple(Column(c.name, c.kind, np.where(placed.reached, c.values, np.nan)) for c in columns)
    return TravelTable(kept, placed.reached, placed.share)


class _Reader:
    """Takes quantities in placed states, derivatives in the motion's mode."""

    def __init__(
        self,
        stand: Mechanism,
        linkage: AxleLinkage,
        placed: Placed,
        motions: WheelMotions,
        mode: tuple[float, float],
    ) -> None:
        self.stand, self.linkage, self.pose, self.mode = stand, linkage, placed.pose, mode
        self.velocity = motions.velocity(mode)
        names = tuple(n for n in stand.measures if n not in stand.joints or n.endswith((".panhard", ".roll")))
        self.line = stand.taken(names).linearised(self.pose)
        self.row = self.line.measured.row
        self.by_travel = motions.first(self.line)
        self.rate = self.by_travel @ np.array(mode)
        self.found = stand.reference_values(names)
        self.roll = self.value("roll")

    def has(self, *parts: str) -> bool:
        """Whether the layout takes this measure."""
        return named(self.linkage.axle, *parts) in self.row

    def value(self, *parts: str) -> Array:
        """Values of a measure of this axle."""
        values: Array = self.line.value[:, self.row[named(self.linkage.axle, *parts)]]
        return values

    def change(self, *parts: str) -> Array:
        """Change of a measure from as found."""
        return self.value(*parts) - self.found[:, self.row[named(self.linkage.axle, *parts)]]

    def speed(self, *parts: str) -> Array:
        """Rate of a measure in the motion's mode."""
        rates: Array = self.rate[:, self.row[named(self.linkage.axle, *parts)]]
        return rates

    def ratio(self, side: SideName, *parts: str) -> Array:
        """Rate of a measure per travel of one wheel, NaN where that wheel stands still."""
        travel = self.speed(side, "travel")
        return _divided(self.speed(*parts), travel)

    def wheel(self, side: SideName) -> list[Column]:
        """All columns of one wheel."""
        columns = [
            Column("travel", Kind.LENGTH, self.value(side, "travel")),
            *(Column(a, Kind.ANGLE, self.value(side, a)) for a in ("camber", "toe", "steer")),
            Column("camber_to_road", Kind.ANGLE, -outward(side) * np.arcsin(self.value(side, "road_cosine"))),
        ]
        if side in self.linkage.steering_axis:
            columns += self._steering(side)
        columns += [
            Column(f"{what}_{axis}", Kind.LENGTH, self.value(side, f"{point}_{axis}"))
            for what, point in (("wheel_centre", "wheel"), ("contact", "contact"))
            for axis in "xyz"
        ]
        forward = 1.0 if self.linkage.axle == "front" else -1.0
        columns.append(Column("wheelbase_change", Kind.LENGTH, forward * self.change(side, "wheel_x")))
        columns += self._instant_centres(side)
        columns += self._elements(side)
        if side in self.linkage.drive_shafts:
            columns += self._drive_shaft(side)
        return [Column(f"{side}_{c.name}", c.kind, c.values) for c in columns]

    def _steering(self, side: SideName) -> list[Column]:
        lower, upper = (self.stand.position(self.pose, p) for p in self.linkage.steering_axis[side])
        contact = np.stack([self.value(side, f"contact_{a}") for a in "xyz"], -1)
        normal = np.stack((np.zeros_like(self.roll), np.sin(self.roll), np.cos(self.roll)), -1)
        line = upper - lower
        share = np.sum((contact - lower) * normal, -1) / np.sum(line * normal, -1)
        offset = contact - (lower + share[:, None] * line)
        axle = self.stand.direction(self.pose, self.linkage.wheels[side].axis)
        ahead = np.cross(axle, normal)
        ahead /= np.linalg.norm(ahead, axis=-1, keepdims=True)
        across = np.cross(normal, ahead)
        return [
            Column("caster", Kind.ANGLE, self.value(side, "caster")),
            Column("kingpin_inclination", Kind.ANGLE, self.value(side, "kingpin_inclination")),
            Column("scrub_radius", Kind.LENGTH, outward(side) * np.sum(offset * across, -1)),
            Column("trail", Kind.LENGTH, -np.sum(offset * ahead, -1)),
        ]

    def _centre(self, side: SideName) -> tuple[Array, Array, Array, Array]:
        """Instant centre of the wheel carrier in front view (y, z) and side view (x, z)."""
        turn = self.stand.turning(self.pose, self.velocity, self.linkage.carriers[side])
        x, y, z = (self.value(side, f"wheel_{a}") for a in "xyz")
        vx, vy, vz = (self.speed(side, f"wheel_{a}") for a in "xyz")
        front_y, front_z = y - _divided(vz, turn[:, 0]), z + _divided(vy, turn[:, 0])
        return front_y, front_z, x + _divided(vz, turn[:, 1]), z - _divided(vx, turn[:, 1])

    def _instant_centres(self, side: SideName) -> list[Column]:
        names = ("front_view_centre_y", "front_view_centre_z", "side_view_centre_x", "side_view_centre_z")
        return [Column(n, Kind.LENGTH, v) for n, v in zip(names, self._centre(side), strict=True)]

    def _elements(self, side: SideName) -> list[Column]:
        columns = []
        for length in ("damper", "spring"):
            if self.has(side, length):
                columns.append(Column(f"{length}_length", Kind.LENGTH, self.value(side, length)))
                columns.append(Column(f"{length}_ratio", Kind.RATIO, -self.ratio(side, side, length)))
        for angle in ("torsion_bar", "roll_bar_angle", "roll_bar_2_angle"):
            if self.has(side, angle):
                name = angle.removesuffix("_angle")
                columns.append(Column(f"{name}_angle", Kind.ANGLE, self.value(side, angle)))
                columns.append(Column(f"{name}_ratio", Kind.RATIO_ANGLE, self.ratio(side, side, angle)))
        return columns

    def _drive_shaft(self, side: SideName) -> list[Column]:
        points = self.linkage.drive_shafts[side]
        inner, outer = (self.stand.position(self.pose, p) for p in points)
        length = np.linalg.norm(outer - inner, axis=-1)
        along = (outer - inner) / length[:, None]
        axis = self.stand.direction(self.pose, self.linkage.wheels[side].axis)
        found = np.linalg.norm(np.asarray(points[1].at) - np.asarray(points[0].at))
        return [
            Column("drive_shaft_outer_angle", Kind.ANGLE, _between(along, axis)),
            Column("drive_shaft_inner_angle", Kind.ANGLE, _between(along, np.array([[0.0, 1.0, 0.0]]))),
            Column("drive_shaft_plunge", Kind.LENGTH, length - found),
        ]

    def axle(self) -> list[Column]:
        """Columns of the axle as a whole."""
        track = self.value("left", "contact_y") - self.value("right", "contact_y")
        found = self.found[0]
        left, right = (found[self.row[named(self.linkage.axle, s, "contact_y")]] for s in SIDES)
        columns = [
            Column("track", Kind.LENGTH, track),
            Column("track_change", Kind.LENGTH, track - (left - right)),
            Column("roll_centre_height", Kind.LENGTH, self._roll_centre_by_forces()),
            Column("roll_centre_construction_height", Kind.LENGTH, self._roll_centre_by_construction()),
        ]
        for name, kind, label in (("shift", Kind.LENGTH, "axle_shift"), ("axle_steer", Kind.ANGLE, "axle_steer")):
            if self.has(name):
                columns.append(Column(label, kind, self.value(name)))
        twists = ("roll_bar_twist", "roll_bar_2_twist", "inner_bar_twist")
        columns.extend(Column(twist, Kind.ANGLE, self.value(twist)) for twist in twists if self.has(twist))
        return columns

    def _on_road(self) -> tuple[Array, Array, Array, Array]:
        """Contact points across the road and above it, and their rates by both travels, each with wheels in axis 1."""
        cosine, sine = np.cos(self.roll)[:, None], np.sin(self.roll)[:, None]
        rows = [[self.row[named(self.linkage.axle, s, f"contact_{a}")] for s in SIDES] for a in "yz"]
        y, z = (self.line.value[:, r] for r in rows)
        dy, dz = (self.by_travel[:, r] for r in rows)
        c, s = cosine[..., None], sine[..., None]
        return y * cosine - z * sine, y * sine + z * cosine, dy * c - dz * s, dy * s + dz * c

    def _roll_centre_by_forces(self) -> Array:
        """Height above the road at which a lateral force on the body, shared equally by the wheels, makes no roll."""
        across, above, d_across, d_above = self._on_road()
        force = np.full((len(across), 2), 0.5)
        side_pull = np.einsum("nki,nk->ni", d_across, force)
        vertical = -np.linalg.solve(d_above.transpose(0, 2, 1), side_pull[..., None])[..., 0]
        middle = -above.mean(axis=1, keepdims=True) * np.tan(self.roll)[:, None]
        return np.asarray(-np.sum((across - middle) * vertical, axis=1))

    def _holding_height(self) -> Array:
        """Height in the body of what holds a beam sideways: a rod where it crosses the centre plane, or a pivot."""
        ends = [self.stand.position(self.pose, point) for point in self.linkage.held_sideways_by]
        if len(ends) == 1:
            return np.asarray(ends[0][:, 2])
        body, end = ends
        return np.asarray(body[:, 2] - _divided(body[:, 1] * (end[:, 2] - body[:, 2]), end[:, 1] - body[:, 1]))

    def _roll_centre_by_construction(self) -> Array:
        """Independent: where the lines from contact points through front-view centres meet; beam: rod on centre plane."""
        across, above, _, _ = self._on_road()
        cosine, sine = np.cos(self.roll), np.sin(self.roll)
        ground = above.mean(axis=1)
        if self.linkage.held_sideways_by:
            return np.asarray(self._holding_height() * cosine - ground)
        if self.linkage.beam is not None:
            return np.full(len(ground), np.nan)
        slopes = []
        for k, side in enumerate(SIDES):
            y, z, _, _ = self._centre(side)
            slopes.append(_divided((y * sine + z * cosine) - above[:, k], (y * cosine - z * sine) - across[:, k]))
        where = _divided(
            above[:, 1] - above[:, 0] + slopes[0] * across[:, 0] - slopes[1] * across[:, 1], slopes[0] - slopes[1]
        )
        return np.asarray(above[:, 0] + slopes[0] * (where - across[:, 0]) - ground)


def _divided(top: Array, bottom: Array) -> Array:
    """Quotient, NaN where the divisor vanishes."""
    still = np.abs(bottom) < _STILL
    return np.asarray(np.where(still, np.nan, top / np.where(still, 1.0, bottom)))


def _between(one: Array, two: Array) -> Array:
    """Angle between two lines (not their senses) [rad]; by its tangent, which is exact near zero."""
    crossed = np.linalg.norm(np.cross(one, two), axis=-1)
    return np.asarray(np.arctan2(crossed, np.abs(np.sum(one * two, -1))))


def column_map(table: TravelTable) -> Mapping[str, Array]:
    """Columns by name, SI."""
    return {column.name: column.values for column in table.columns}

"""What a car usually is: one table of ranges outside which something is remarked upon, each with its origin.

The range of a single number stands with its key (`jounce.car.file.ranges`); these are of what several make together.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from jounce.conventions.units import DEG, MM, Kind, show

INFINITY = math.inf

__all__ = ["COMMON_PRACTICE", "USUAL", "Usual"]

COMMON_PRACTICE = "common practice, no source"


@dataclass(frozen=True, slots=True)
class Usual:
    """A range.

    Attributes:
        words: what it is the range of
        low: its lower end [SI]
        high: its upper end [SI]
        kind: what it measures
        origin: where it comes from

    """

    words: str
    low: float
    high: float
    kind: Kind = Kind.LENGTH
    origin: str = COMMON_PRACTICE

    def misses(self, value: float) -> bool:
        """Whether a value lies outside, or is no number.

        Args:
            value: the value [SI]

        """
        return not self.low <= value <= self.high

    def shown(self, value: float) -> str:
        """A value as a person reads it.

        Args:
            value: the value [SI]

        """
        return show(value, self.kind)

    @property
    def range(self) -> str:
        """Both ends as a person reads them."""
        if self.low == -self.high:
            return f"up to {self.most} either way"
        if self.low == -INFINITY:
            return f"{self.shown(self.high)} or less"
        if self.high == INFINITY:
            return f"{self.shown(self.low)} or more"
        return f"{self.shown(self.low)} to {self.shown(self.high)}"

    @property
    def most(self) -> str:
        """The upper end as a person reads it, of a range that is the same both ways."""
        return self.shown(self.high)


def _apart(words: str, most: float, kind: Kind = Kind.LENGTH) -> Usual:
    """How far apart two numbers usually are at most, either way."""
    return Usual(words, -most, most, kind)


USUAL: Mapping[str, Usual] = {
    "tyre_on_ground": _apart("lowest point of a tyre above the ground", 5 * MM),
    "origin_under_wheel": _apart("front wheel centre forward of the origin", 5 * MM),
    "track": Usual("track, between the wheel centres", 1200 * MM, 1600 * MM),
    "wheelbase": Usual("wheelbase", 2000 * MM, 2800 * MM),
    "wheelbase_sides": _apart("wheelbase left less right", 15 * MM),
    "front_share": Usual("share of the weight on the front wheels", 0.52, 0.68, Kind.SHARE),
    "cross_share": Usual("share of the weight on front right and rear left", 0.48, 0.52, Kind.SHARE),
    "weight_sides": _apart("difference of the two weights of an axle, as a share of both", 0.1, Kind.SHARE),
    "point_height": Usual("height of a pivot: between the ground and the bonnet", 60 * MM, 1000 * MM),
    "point_along": Usual("pivot ahead of its axle's wheel centre", -900 * MM, 900 * MM),
    "point_across": Usual("pivot farther out than the wheel centre", -INFINITY, 50 * MM),
    "order": Usual("how far an upper pivot is above the lower, an outer outside the inner", 20 * MM, INFINITY),
    "arm_line_in_plan": _apart(
        "arm's pivot line, or a trailing arm, from the car's own line in plan", 35 * DEG, Kind.ANGLE
    ),
    "coil_beside_rod": Usual("seat of a strut's coil beside the strut's rod", 0, 80 * MM),
    "bush_inside_bend": Usual("how far the bar's bush lies inside the bend of its arm", -50 * MM, 250 * MM),
    "drop_link": Usual("length of a drop link", 20 * MM, 500 * MM),
    "drop_link_tilt": Usual("tilt of a drop link from upright", 0, 15 * DEG, Kind.ANGLE),
    "suspension_frequency": Usual("frequency of the body on its springs, tyres rigid", 0.8, 3.0, Kind.FREQUENCY),
    "hop_frequency": Usual("frequency of a wheel between spring and tyre", 6.0, 25.0, Kind.FREQUENCY),
    "spring_ratio": Usual("spring's travel per wheel travel", 0.2, 1.3, Kind.RATIO),
    "damper_ratio": Usual("damper's travel per wheel travel", 0.2, 1.4, Kind.RATIO),
    "spring_tilt": _apart("spring's tilt from upright", 45 * DEG, Kind.ANGLE),
    "damper_tilt": _apart("damper's tilt from upright", 50 * DEG, Kind.ANGLE),
    "one_wheel": Usual("rate of a wheel that rises alone, as a share of that with both", 0.6, 3.0, Kind.RATIO),
    "roll_stiffness": Usual("roll stiffness", 50 / DEG, 1500 / DEG, Kind.ROLL_STIFFNESS),
    "roll_bar_ratio": _apart("anti-roll bar's turn per wheel travel", 8.0, Kind.RATIO_ANGLE),
    "bump_camber": Usual("change of camber with bump", -2.0, 0.3, Kind.RATIO_ANGLE),
    "bump_steer": _apart("change of toe with bump", 0.2, Kind.RATIO_ANGLE),
    "bump_caster": _apart("change of caster with bump", 1.0, Kind.RATIO_ANGLE),
    "half_track_gradient": _apart("wheel's way outward per travel", 0.55, Kind.RATIO),
    "recession_gradient": _apart("wheel's way rearward per travel", 0.3, Kind.RATIO),
    "roll_centre_height": Usual("height of the roll centre", -100 * MM, 400 * MM),
    "axle_roll_steer": _apart("axle's own steer per roll", 0.2, Kind.RATIO),
    "rod_slope": _apart("slope of the rod that holds the axle sideways", 20 * DEG, Kind.ANGLE),
    "drive_shaft_inner_angle": _apart("angle of the drive shaft's inner joint", 18 * DEG, Kind.ANGLE),
    "drive_shaft_outer_angle": _apart("angle of the drive shaft's outer joint", 18 * DEG, Kind.ANGLE),
    "caster": Usual("caster", -2 * DEG, 12 * DEG, Kind.ANGLE),
    "kingpin_inclination": Usual("inclination of the steering axis", 3 * DEG, 20 * DEG, Kind.ANGLE),
    "scrub_radius": Usual("scrub radius", -40 * MM, 90 * MM),
    "trail": Usual("trail", -10 * MM, 70 * MM),
    "hub_trail": Usual("trail at the hub", -40 * MM, 60 * MM),
    "coil_on_scales": Usual(
        "coil's or leaf's force by its own lengths, as a share of what the scale asks for", 0.75, 4 / 3, Kind.RATIO
    ),
    "trammel": _apart(
        "distance measured between two points less that of their coordinates, or their own ± if wider", 5 * MM
    ),
    "arch_sides": _apart("arch height left less right", 20 * MM),
}
"""Usual ranges by name."""

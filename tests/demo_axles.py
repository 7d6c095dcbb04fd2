"""Two invented axles for the tests, pivots in mm as a workshop would write them."""

from __future__ import annotations

import numpy as np

from jounce.layouts.axle import AxleLinkage, Setting, on_the_stand, road_body
from jounce.layouts.beam_panhard import AxleRollBar, BeamCorner, Panhard, beam_panhard
from jounce.layouts.roll_bar import RollBarSide
from jounce.layouts.strut_torsion_bar import FrontRollBar, StrutCorner, strut_torsion_bar
from jounce.linkage.mechanism import Mechanism

MIRROR = np.array([1.0, -1.0, 1.0])

STRUT = {
    "wheel_centre": (0, 690, 265),
    "arm_front": (110, 330, 215),
    "arm_rear": (-220, 330, 225),
    "ball_joint": (5, 655, 190),
    "strut_top": (-30, 520, 790),
    "strut_foot": (-5, 600, 330),
    "tie_rod_inner": (-130, 300, 260),
    "tie_rod_outer": (-125, 630, 250),
}
BEAM = {
    "wheel_centre": (-2380, 685, 270),
    "arm_bush": (-1960, 520, 300),
    "tube_end": (-2380, 600, 270),
    "spring_upper": (-2370, 500, 520),
    "spring_lower": (-2375, 500, 290),
    "damper_upper": (-2450, 560, 640),
    "damper_lower": (-2430, 590, 240),
}
FRONT_BAR = {"bush": (250, 300, 200), "arm_end": (40, 480, 230), "link_end": (40, 480, 200)}
REAR_BAR = {"bush": (-2440, 450, 260), "arm_end": (-2200, 480, 265), "link_end": (-2200, 480, 480)}


def metres(point, side="left"):
    """A point given on the left, in metres, on the wanted side."""
    return np.array(point, dtype=float) * 1e-3 * (1 if side == "left" else MIRROR)


def side_points(points, side):
    """All points of a side."""
    return {name: metres(point, side) for name, point in points.items()}


def strut_corners(changes=None):
    """Both corners of the strut axle; ``changes`` replaces left-hand pivots [mm] on both sides."""
    points = {**STRUT, **(changes or {})}
    return {
        side: StrutCorner(
            **side_points(points, side), camber=np.radians(-0.2), toe=np.radians(0.05), loaded_radius=0.265
        )
        for side in ("left", "right")
    }


def strut_axle(changes=None) -> tuple[AxleLinkage, Mechanism]:
    """The strut axle on its stand."""
    bar = FrontRollBar(*(RollBarSide(**side_points(FRONT_BAR, side)) for side in ("left", "right")), link_on="arm")
    linkage = strut_torsion_bar(Setting("front", road=road_body("front")), strut_corners(changes), {"roll_bar": bar})
    return linkage, on_the_stand(linkage)


def beam_axle(
    body_end=(-2400, 430, 330), axle_end=(-2400, -420, 290), turning="right"
) -> tuple[AxleLinkage, Mechanism]:
    """The beam axle on its stand, the rod rising from the axle (right) to the body (left)."""
    corners = {
        side: BeamCorner(
            **side_points(BEAM, side),
            camber=np.radians(-0.75),
            toe=np.radians(0.1),
            loaded_radius=0.270,
            bush_axis=np.array([0.0, 1.0, 0.0]),
        )
        for side in ("left", "right")
    }
    bar = AxleRollBar(*(RollBarSide(**side_points(REAR_BAR, side)) for side in ("left", "right")))
    rod = Panhard(np.array(body_end) * 1e-3, np.array(axle_end) * 1e-3)
    linkage = beam_panhard(Setting("rear", road=road_body("rear")), corners, rod, turning, {"roll_bar": bar})
    return linkage, on_the_stand(linkage)

"""Two invented axles for the tests, pivots in mm as a workshop would write them."""

from __future__ import annotations

import numpy as np

from jounce.layouts.axle import AxleLinkage, Setting, on_the_stand, road_body
from jounce.layouts.beam_panhard import BEAM_PANHARD
from jounce.layouts.builder import laid_out
from jounce.layouts.description import AxleGiven, RollBarGiven, WheelGiven
from jounce.layouts.naming import SIDES
from jounce.layouts.roll_bar import RollBarSide
from jounce.layouts.strut_torsion_bar import STRUT_TORSION_BAR
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


def wheels(camber, toe, loaded_radius):
    """Both wheels, angles in degrees."""
    return dict.fromkeys(SIDES, WheelGiven(np.radians(camber), np.radians(toe), loaded_radius))


def both(points, changes=None):
    """Both sides' pivots in metres; ``changes`` replaces left-hand pivots [mm] on both sides."""
    return {side: side_points({**points, **(changes or {})}, side) for side in SIDES}


def bar(points, link_on):
    """An anti-roll bar."""
    return RollBarGiven(*(RollBarSide(**side_points(points, side)) for side in SIDES), link_on=link_on)


def strut_given(changes=None, **more):
    """The strut axle as a layout takes it."""
    return AxleGiven(
        pivots=both(STRUT, changes),
        wheels=wheels(-0.2, 0.05, 0.265),
        choices={"steering": "rack"},
        spring="torsion bar",
        roll_bars={"roll_bar": bar(FRONT_BAR, "arm")},
        **more,
    )


def strut_axle(changes=None) -> tuple[AxleLinkage, Mechanism]:
    """The strut axle on its stand."""
    linkage = laid_out(STRUT_TORSION_BAR.build, Setting("front", road=road_body("front")), strut_given(changes))
    return linkage, on_the_stand(linkage)


def beam_given(body_end=(-2400, 430, 330), axle_end=(-2400, -420, 290), turning="right", **more):
    """The beam axle as a layout takes it, the rod rising from the axle (right) to the body (left)."""
    return AxleGiven(
        pivots=both(BEAM),
        wheels=wheels(-0.75, 0.1, 0.270),
        axle_pivots={"panhard": {"body_end": np.array(body_end) * 1e-3, "axle_end": np.array(axle_end) * 1e-3}},
        choices={"turning_side": turning, "spring_on": "arm", "damper_on": "arm", "steering": "none"},
        roll_bars={"roll_bar": bar(REAR_BAR, "body")},
        **more,
    )


def beam_axle(*ends, turning="right") -> tuple[AxleLinkage, Mechanism]:
    """The beam axle on its stand; ``ends`` are the rod's body and axle end [mm]."""
    given = beam_given(*ends, turning=turning)
    linkage = laid_out(BEAM_PANHARD.build, Setting("rear", road=road_body("rear")), given)
    return linkage, on_the_stand(linkage)

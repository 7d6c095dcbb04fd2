"""Two invented axles for the tests, pivots in mm as a workshop would write them."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from jounce.layouts.anti_roll_bar import AntiRollBarSide
from jounce.layouts.axle import AxleLinkage, Setting, on_the_rig, road_body
from jounce.layouts.axle_input import AntiRollBarInput, AxleInput, WheelInput
from jounce.layouts.beam_panhard import BEAM_PANHARD
from jounce.layouts.builder import laid_out
from jounce.layouts.naming import SIDES
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
    return dict.fromkeys(SIDES, WheelInput(np.radians(camber), np.radians(toe), loaded_radius))


def both(points, changes=None):
    """Both sides' pivots in metres; ``changes`` replaces left-hand pivots [mm] on both sides."""
    return {side: side_points({**points, **(changes or {})}, side) for side in SIDES}


def bar(points, link_on):
    """An anti-roll bar."""
    return AntiRollBarInput(*(AntiRollBarSide(**side_points(points, side)) for side in SIDES), link_on=link_on)


def strut_given(changes=None, **more):
    """The strut axle as a layout takes it."""
    return AxleInput(
        pivots=both(STRUT, changes),
        wheels=wheels(-0.2, 0.05, 0.265),
        choices={"steering": "rack"},
        spring="torsion bar",
        anti_roll_bars={"roll_bar": bar(FRONT_BAR, "arm")},
        **more,
    )


def strut_axle(changes=None) -> tuple[AxleLinkage, Mechanism]:
    """The strut axle on its stand."""
    linkage = laid_out(STRUT_TORSION_BAR.build, Setting("front", road=road_body("front")), strut_given(changes))
    return linkage, on_the_rig(linkage)


def beam_given(body_end=(-2400, 430, 330), axle_end=(-2400, -420, 290), turning="right", **more):
    """The beam axle as a layout takes it, the rod rising from the axle (right) to the body (left)."""
    return AxleInput(
        pivots=both(BEAM),
        wheels=wheels(-0.75, 0.1, 0.270),
        axle_pivots={"panhard": {"body_end": np.array(body_end) * 1e-3, "axle_end": np.array(axle_end) * 1e-3}},
        choices={"turning_side": turning, "spring_on": "arm", "damper_on": "arm", "steering": "none"},
        anti_roll_bars={"roll_bar": bar(REAR_BAR, "body")},
        **more,
    )


def beam_axle(*ends, turning="right") -> tuple[AxleLinkage, Mechanism]:
    """The beam axle on its stand; ``ends`` are the rod's body and axle end [mm]."""
    given = beam_given(*ends, turning=turning)
    linkage = laid_out(BEAM_PANHARD.build, Setting("rear", road=road_body("rear")), given)
    return linkage, on_the_rig(linkage)


STRUT_COIL = {**STRUT, "spring_upper": (-35, 530, 780), "spring_lower": (-10, 612, 480)}
STRUT_LINKS = {
    **{name: at for name, at in STRUT_COIL.items() if name.split("_")[0] in ("wheel", "strut", "spring")},
    "front_link_inner": (75, 190, 225),
    "front_link_outer": (55, 640, 205),
    "rear_link_inner": (-60, 185, 230),
    "rear_link_outer": (-65, 635, 208),
    "trailing_link_inner": (420, 590, 240),
    "trailing_link_outer": (20, 645, 200),
}
WISHBONES = {
    "wheel_centre": (0, 690, 280),
    "lower_front": (130, 330, 200),
    "lower_rear": (-190, 335, 210),
    "lower_ball": (10, 650, 180),
    "upper_front": (90, 420, 460),
    "upper_rear": (-120, 425, 445),
    "upper_ball": (-15, 620, 440),
    "tie_rod_inner": (-130, 330, 245),
    "tie_rod_outer": (-120, 640, 235),
    "spring_upper": (-10, 430, 640),
    "spring_lower": (0, 520, 230),
    "damper_upper": (20, 440, 660),
    "damper_lower": (15, 540, 225),
    "drive_shaft_inner": (-5, 200, 285),
}
FIVE_LINKS = {
    "wheel_centre": (0, 690, 280),
    "link_1_inner": (120, 330, 200),
    "link_1_outer": (15, 640, 175),
    "link_2_inner": (-200, 340, 215),
    "link_2_outer": (-30, 630, 185),
    "link_3_inner": (110, 430, 450),
    "link_3_outer": (10, 610, 440),
    "link_4_inner": (-140, 440, 430),
    "link_4_outer": (-35, 600, 445),
    "tie_rod_inner": (-150, 335, 255),
    "tie_rod_outer": (-140, 635, 245),
    **{name: WISHBONES[name] for name in ("spring_upper", "spring_lower", "damper_upper", "damper_lower")},
}
REAR_HANGING = {name: BEAM[name] for name in ("spring_upper", "spring_lower", "damper_upper", "damper_lower")}
TRAILING = {
    "wheel_centre": (-2380, 690, 275),
    "arm_inner": (-1980, 350, 300),
    "arm_outer": (-1980, 620, 300),
    **REAR_HANGING,
}
SEMI_TRAILING = {**TRAILING, "arm_inner": (-2080, 250, 310), "arm_outer": (-1930, 620, 295)}
TWIST = {
    "wheel_centre": (-2380, 690, 275),
    "arm_bush": (-1960, 560, 300),
    "twist_line": (-2080, 400, 320),
    **REAR_HANGING,
}
FOUR_LINKS = {
    **{name: BEAM[name] for name in ("wheel_centre", "tube_end")},
    "lower_link_front": (-1900, 480, 260),
    "lower_link_rear": (-2370, 490, 220),
    "upper_link_front": (-1950, 300, 420),
    "upper_link_rear": (-2360, 320, 400),
    **REAR_HANGING,
}
LEAVES = {
    **{name: BEAM[name] for name in ("wheel_centre", "tube_end", "damper_upper", "damper_lower")},
    "front_eye": (-1800, 510, 300),
    "rear_eye": (-2960, 510, 330),
    "leaf_seat": (-2380, 510, 240),
}
BAR_ON_KNUCKLE = {"bush": (250, 300, 200), "arm_end": (5, 600, 330), "link_end": (10, 605, 200)}
BAR_ON_UPPER_ARM = {"bush": (250, 300, 560), "arm_end": (20, 540, 570), "link_end": (20, 540, 450)}
BOX = {
    "pitman_pivot": (60, 330, 300),
    "pitman_end": (-120, 320, 250),
    "idler_pivot": (55, -340, 300),
    "idler_end": (-120, -320, 250),
}
PANHARD_ROD = {"body_end": (-2400, 430, 330), "axle_end": (-2400, -420, 290)}
WATT = {
    "rocker_pivot": (-2420, 8, 300),
    "left_rocker_end": (-2420, 18, 380),
    "left_rod_end": (-2420, 560, 375),
    "right_rocker_end": (-2420, -2, 220),
    "right_rod_end": (-2420, -560, 225),
}

LAYOUT_PIVOTS = {
    "strut-torsion-bar": STRUT,
    "strut-coil": STRUT_COIL,
    "strut-lateral-links": STRUT_LINKS,
    "double-wishbone": WISHBONES,
    "five-link": FIVE_LINKS,
    "trailing-arm": TRAILING,
    "semi-trailing-arm": SEMI_TRAILING,
    "twist-beam": TWIST,
    "beam-panhard": BEAM,
    "beam-watt": BEAM,
    "beam-four-link": FOUR_LINKS,
    "beam-leaf": LEAVES,
}
"""Left-hand pivots of an invented axle of every layout [mm]."""

AXLE_PIVOTS = {"panhard": PANHARD_ROD, "watt": WATT, "steering_box": BOX}
"""Pivots of an axle as a whole, by section [mm]."""


def layout_choices(layout, **chosen):
    """A word for every choice: the first one where nothing is chosen; steered axles have a rack."""
    words = {choice.name: choice.words[0] for choice in layout.choices}
    return words | {"steering": "rack" if layout.steered else "none"} | chosen


def layout_given(layout, *, pivots=None, axle_pivots=None, spring=None, link_on=None, uneven=0.0, **chosen):
    """An invented axle of any layout as it takes it, one anti-roll bar included.

    Args:
        layout: which layout
        pivots: both sides' pivots [m]; the invented ones when left out
        axle_pivots: by section [m]; the invented ones when left out
        spring: kind of main spring; the layout's first when left out
        link_on: what carries the links' far ends; the layout's first word when left out
        uneven: how far each right-hand pivot lies from the mirrored left one at most [mm]
        chosen: words chosen, as ``steering="box"``

    """
    sides = pivots or both(LAYOUT_PIVOTS[layout.name])
    scatter = np.random.default_rng(7)
    right = {name: at + 1e-3 * scatter.uniform(-uneven, uneven, 3) for name, at in sides["right"].items()}
    choices = layout_choices(layout, **chosen)
    sections = [*layout.axle_pivots, *(["steering_box"] if choices["steering"] == "box" else [])]
    whole = axle_pivots or {s: {name: metres(at) for name, at in AXLE_PIVOTS[s].items()} for s in sections}
    link_on = link_on or next(iter(layout.link_on))
    half = REAR_BAR if sides["left"]["wheel_centre"][0] < -1.0 else FRONT_BAR
    half = {"upper_arm": BAR_ON_UPPER_ARM, "knuckle": BAR_ON_KNUCKLE, "strut": BAR_ON_KNUCKLE}.get(link_on, half)
    angles = {
        "left": WheelInput(np.radians(-0.7), np.radians(0.15), 0.27),
        "right": WheelInput(np.radians(-0.7 + 0.1 * uneven), np.radians(0.15 - 0.05 * uneven), 0.27),
    }
    return AxleInput(
        pivots={"left": sides["left"], "right": right},
        wheels=angles,
        axle_pivots=whole,
        choices=choices,
        bush_axis={"left": np.array([0.1, 1.0, 0.05]), "right": np.array([-0.1, 1.0, -0.05])}
        if layout.bush_axes
        else {},
        spring=spring or layout.springs[0],
        anti_roll_bars={"roll_bar": bar(half, link_on)},
    )


def layout_axle(layout, given, axle="axle", **more) -> tuple[AxleLinkage, Mechanism]:
    """An axle of any layout on its stand, by its name; ``more`` are changes of what is given."""
    linkage = laid_out(layout.build, Setting(axle, road=road_body(axle)), replace(given, **more))
    return linkage, on_the_rig(linkage)

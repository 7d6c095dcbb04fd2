"""Quantities of what hangs on a wheel: spring, damper, bars, arms, drive shaft."""

from __future__ import annotations

from jounce.conventions.quantity import OURS, TRADE, Quantity
from jounce.conventions.unit_table import Kind

__all__ = ["ELEMENT_QUANTITIES"]

_ELEMENTS = "springs and dampers"
_SEATS = "spring seats"
_BARS = "bars"
_ARMS = "arms"
_SHAFTS = "drive shafts"


def _strut(name: str, ends: str) -> tuple[Quantity, ...]:
    return (
        Quantity(f"{name}_length", Kind.LENGTH, "wheel", _ELEMENTS, "always", f"Length of the {name}, {ends}.", TRADE),
        Quantity(
            f"{name}_ratio",
            Kind.RATIO,
            "wheel",
            _ELEMENTS,
            "the part shortens in bump",
            f"Shortening of the {name} per travel of this wheel.",
            TRADE,
        ),
        Quantity(
            f"{name}_roll_ratio",
            Kind.RATIO,
            "wheel",
            _ELEMENTS,
            "the part shortens in bump",
            f"Shortening of the {name} per travel of this wheel when the two wheels travel against each other.",
            TRADE,
        ),
        Quantity(
            f"{name}_tilt",
            Kind.ANGLE,
            "wheel",
            _ELEMENTS,
            "always",
            f"True angle between the line of the {name} and the body's vertical.",
            TRADE,
        ),
    )


def _anti_roll_bar(name: str) -> tuple[Quantity, ...]:
    half = "this side's half of the anti-roll bar about its bushes"
    return (
        Quantity(
            f"{name}_angle",
            Kind.ANGLE,
            "wheel",
            _BARS,
            "right-handed about the line from the right bush to the left",
            f"Turn of {half} from as found.",
            OURS,
        ),
        Quantity(
            f"{name}_ratio",
            Kind.RATIO_ANGLE,
            "wheel",
            _BARS,
            "right-handed about the line from the right bush to the left, in bump",
            f"Turn of {half} per travel of this wheel.",
            OURS,
        ),
    )


def _arm(name: str, which: str) -> Quantity:
    return Quantity(
        name, Kind.ANGLE, "wheel", _ARMS, "its outer end has risen", f"Turn of {which} from as found.", TRADE
    )


ELEMENT_QUANTITIES: tuple[Quantity, ...] = (
    *_strut("damper", "eye to eye (of a strut, from top mount to strut foot)"),
    *_strut("spring", "seat to seat (of a leaf, its seat's distance from the middle of its eyes)"),
    Quantity(
        "torsion_bar_angle",
        Kind.ANGLE,
        "wheel",
        _ELEMENTS,
        "the bar is wound up (bump)",
        "Twist of the torsion bar from as found.",
        TRADE,
    ),
    Quantity(
        "torsion_bar_ratio",
        Kind.RATIO_ANGLE,
        "wheel",
        _ELEMENTS,
        "the bar is wound up in bump",
        "Twist of the torsion bar per travel of this wheel.",
        TRADE,
    ),
    Quantity(
        "spring_seat_tilt",
        Kind.ANGLE,
        "wheel",
        _SEATS,
        "always",
        "Angle between the spring's line and the lower seat's own normal (as found along the spring, unless given).",
        OURS,
    ),
    Quantity(
        "spring_upper_seat_tilt",
        Kind.ANGLE,
        "wheel",
        _SEATS,
        "always",
        "Angle between the spring's line and where it ran from the upper seat as found.",
        OURS,
    ),
    Quantity(
        "spring_seat_offset",
        Kind.LENGTH,
        "wheel",
        _SEATS,
        "always",
        "Distance of the upper seat's centre from the lower seat's axis: how far the spring is bowed off it.",
        OURS,
    ),
    *_anti_roll_bar("roll_bar"),
    *_anti_roll_bar("roll_bar_2"),
    _arm("arm_angle", "the arm about its pivots"),
    _arm("lower_arm_angle", "the lower arm about its pivots"),
    _arm("upper_arm_angle", "the upper arm about its pivots"),
    Quantity(
        "trailing_arm_slope",
        Kind.ANGLE,
        "wheel",
        _ARMS,
        "the wheel centre lies above the bush",
        "Side-view angle, in the body, of the line from the arm's front bush to the wheel centre.",
        OURS,
    ),
    Quantity(
        "drive_shaft_outer_angle",
        Kind.ANGLE,
        "wheel",
        _SHAFTS,
        "always",
        "Angle between the drive shaft and the wheel axis.",
        TRADE,
        "outer shaft joint angle",
    ),
    Quantity(
        "drive_shaft_inner_angle",
        Kind.ANGLE,
        "wheel",
        _SHAFTS,
        "always",
        "Angle between the drive shaft and the body's y axis.",
        TRADE,
    ),
    Quantity(
        "drive_shaft_plunge",
        Kind.LENGTH,
        "wheel",
        _SHAFTS,
        "the shaft is pulled out",
        "Change of the distance between the shaft's joints from as found.",
        TRADE,
        "drive-shaft plunge",
    ),
)

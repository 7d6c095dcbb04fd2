"""Quantities of an axle as a whole: track, roll centre, the beam's place, what twists between the sides."""

from __future__ import annotations

from jounce.conventions.quantity import ISO_8855, OURS, REIMPELL, SAE_J670, TRADE, Quantity
from jounce.conventions.unit_table import Kind

__all__ = ["AXLE_QUANTITIES"]

_TRACK = "track"
_ROLL_CENTRE = "roll centre"
_BEAM = "beam"
_TWIST = "twist between the sides"
_BY_FORCES = (
    "at which a lateral force on the body makes no suspension roll, by virtual work, springs not deflecting, height "
    "above the mean contact height, square to the road"
)


def _twist(name: str, what: str, sense: str) -> tuple[Quantity, ...]:
    return (
        Quantity(name, Kind.ANGLE, "axle", _TWIST, sense, f"{what}.", OURS),
        Quantity(
            f"{name}_per_roll",
            Kind.RATIO,
            "axle",
            _TWIST,
            f"{sense}, as the body leans to its right",
            f"{what}, per roll angle, mean travel held.",
            OURS,
        ),
    )


def _anti_roll_bar(name: str) -> tuple[Quantity, ...]:
    return _twist(f"{name}_twist", "Turn of the anti-roll bar's left half less the right half's", "the left half leads")


AXLE_QUANTITIES: tuple[Quantity, ...] = (
    Quantity(
        "track",
        Kind.LENGTH,
        "axle",
        _TRACK,
        "always",
        "Distance of the contact points across the body.",
        ISO_8855,
        "track at the ground",
    ),
    Quantity("track_change", Kind.LENGTH, "axle", _TRACK, "wider", "Track less its value as found.", TRADE),
    Quantity(
        "total_toe",
        Kind.ANGLE,
        "axle",
        _TRACK,
        "the two wheels are closer together in front (toe-in)",
        "Toe of the left wheel plus toe of the right wheel.",
        ISO_8855,
    ),
    Quantity(
        "roll_centre_height",
        Kind.LENGTH,
        "axle",
        _ROLL_CENTRE,
        "above the road",
        f"Point on the body's centre plane {_BY_FORCES}; the force is shared equally by both contact points.",
        ISO_8855,
        "roll centre, by forces",
    ),
    Quantity(
        "roll_centre_height_by_left",
        Kind.LENGTH,
        "axle",
        _ROLL_CENTRE,
        "above the road",
        "The same with the force on the left contact point alone: the bound towards which the roll centre goes in a "
        "right turn as the left wheel takes the load.",
        f"{ISO_8855}, the share our own",
    ),
    Quantity(
        "roll_centre_height_by_right",
        Kind.LENGTH,
        "axle",
        _ROLL_CENTRE,
        "above the road",
        "The same with the force on the right contact point alone: the bound in a left turn.",
        f"{ISO_8855}, the share our own",
    ),
    Quantity(
        "roll_centre_point_y",
        Kind.LENGTH,
        "axle",
        _ROLL_CENTRE,
        "to the left of the body's centre plane",
        "Of independent wheels: the point where the lines of action of a force on the left and on the right contact "
        "point alone meet, across the body. In heave of a symmetric axle it lies on the centre plane; in roll it "
        "wanders.",
        f"{REIMPELL}, by forces in place of the construction",
    ),
    Quantity(
        "roll_centre_point_height",
        Kind.LENGTH,
        "axle",
        _ROLL_CENTRE,
        "above the road",
        "Height of the same point above the mean contact height, square to the road.",
        f"{REIMPELL}, by forces in place of the construction",
    ),
    Quantity(
        "roll_centre_construction_height",
        Kind.LENGTH,
        "axle",
        _ROLL_CENTRE,
        "above the road",
        "Independent wheels: where the lines from contact points through front-view instant centres meet; beam: where "
        "the rod, or the pivot, that holds it sideways crosses the body's centre plane.",
        f"{REIMPELL}; Gillespie, Fundamentals of Vehicle Dynamics",
        "roll centre, construction",
    ),
    Quantity(
        "jacking_ratio",
        Kind.RATIO,
        "axle",
        _ROLL_CENTRE,
        "a left turn lifts the body",
        "Vertical force by which the axle's linkage lifts the body, per lateral force of the road to the left, shared "
        "equally by both contact points; in a right turn it has the other sign.",
        OURS,
    ),
    Quantity(
        "axle_shift",
        Kind.LENGTH,
        "axle",
        _BEAM,
        "to the left",
        "Middle of the beam (between the wheel centres as found) from the body's centre plane.",
        TRADE,
        "axle shift, + left",
    ),
    Quantity("axle_steer", Kind.ANGLE, "axle", _BEAM, "to the left", "Yaw of the beam's line in the body.", ISO_8855),
    Quantity(
        "axle_roll_steer",
        Kind.RATIO,
        "axle",
        _BEAM,
        "a body that leans to its right, as in a left turn, turns the beam to the left",
        "Change of axle steer per roll angle, mean travel held, wheel centres level along the road.",
        f"{SAE_J670} (roll steer)",
    ),
    Quantity(
        "rod_slope",
        Kind.ANGLE,
        "axle",
        _BEAM,
        "the rod rises from the axle to the body",
        "Angle of the rod that holds the beam sideways to the body's ground plane.",
        TRADE,
    ),
    *_anti_roll_bar("roll_bar"),
    *_anti_roll_bar("roll_bar_2"),
    *_twist(
        "inner_bar_twist",
        "Turn of the two sides of a beam against each other about its line (of one that turns on the tube, against "
        "the tube)",
        "the right side, or the only one that turns, leads, right-handed about the line from right to left",
    ),
)

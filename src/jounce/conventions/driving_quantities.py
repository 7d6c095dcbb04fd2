"""What a car does in a corner, and in braking: one row for each result."""

from __future__ import annotations

from collections.abc import Mapping

from jounce.conventions.quantity import ISO_8855, OURS, Quantity
from jounce.conventions.unit_table import Kind

__all__ = ["BRAKING_QUANTITIES", "CORNERING_QUANTITIES"]

_ISO_4138 = "ISO 4138"
_MANNERS = (
    "Tips over: nothing on the inside holds the body up any more; jacks up: the body rises on its outer wheels' arms; "
    "grip is not counted."
)
_LOADLESS = "No load on its tyre."


def _in_a(group: str, *rows: tuple[str, str, Kind, str, str, str]) -> Mapping[str, Quantity]:
    return {
        name: Quantity(name, kind, "car", group, sense, definition, source, title)
        for name, title, kind, sense, definition, source in rows
    }


CORNERING_QUANTITIES = _in_a(
    "in a corner",
    (
        "roll_gradient",
        "roll gradient",
        Kind.ANGLE_PER_ACCELERATION,
        "the body leans out of the turn",
        "Roll of the body on its road per lateral acceleration, from straight ahead to 4 m/s².",
        f"{_ISO_4138}, roll angle gradient",
    ),
    (
        "front_share_of_transfer",
        "front share of load transfer",
        Kind.SHARE,
        "more in front",
        "At 0.6 g; unsprung, geometric and elastic parts together.",
        OURS,
    ),
    ("first_lift", "first inside wheel to lift", Kind.RATIO, "in words", "Its tyre carries nothing.", OURS),
    ("front_lift", "inside front wheel lifts at", Kind.ACCELERATION, "always", _LOADLESS, OURS),
    ("rear_lift", "inside rear wheel lifts at", Kind.ACCELERATION, "always", _LOADLESS, OURS),
    ("no_rest", "no rest beyond", Kind.ACCELERATION, "always", "Its stiffness loses its sign there.", OURS),
    (
        "no_rest_manner",
        "  where it",
        Kind.RATIO,
        "in words",
        _MANNERS,
        OURS,
    ),
    ("rear_lift_braked", "inside rear wheel lifts, braking 0.3 g", Kind.ACCELERATION, "always", _LOADLESS, OURS),
    (
        "no_rest_braked",
        "no rest beyond, braking 0.3 g",
        Kind.ACCELERATION,
        "always",
        "Its stiffness loses its sign there.",
        OURS,
    ),
    (
        "understeer_gradient",
        "understeer gradient",
        Kind.ANGLE_PER_ACCELERATION,
        "more steer is needed at speed",
        "Steer beyond the radius' own per lateral acceleration: slip in front less slip behind, roll steer counted.",
        f"{_ISO_4138}, steering gradient at constant radius",
    ),
    ("grip_limit", "grip used up at", Kind.ACCELERATION, "always", "First axle whose tyres give their most.", OURS),
    ("grip_limit_axle", "by the axle", Kind.RATIO, "in words", "Front: it runs wide; rear: it turns in.", OURS),
    (
        "outer_front_camber",
        "camber of the outer front wheel",
        Kind.ANGLE,
        "its top leans out of the turn",
        "Against the road at 0.6 g, negative when its top leans to the middle.",
        ISO_8855,
    ),
    (
        "front_steer_in_turn",
        "front wheels steer, + out of the turn",
        Kind.ANGLE,
        "out of the turn",
        "At 0.6 g, mean of both, rack held.",
        OURS,
    ),
    (
        "rear_steer_in_turn",
        "rear wheels steer, + into the turn",
        Kind.ANGLE,
        "into the turn",
        "At 0.6 g, mean of both.",
        OURS,
    ),
    ("body_rise", "body rises, − sinks", Kind.LENGTH, "it rises", "At 0.6 g, its centre of gravity.", OURS),
    (
        "drive_out",
        "most drive out of the corner",
        Kind.ACCELERATION,
        "always",
        "At 0.6 g: the inside driven wheel spins, open differential; lateral grip not taken off.",
        OURS,
    ),
)
"""By name: what the table of a corner tells of each turn."""

_USED = "Force along the road per load, of the wheel that uses most; more than the road gives: it locks."
BRAKING_QUANTITIES = _in_a(
    "straight ahead",
    ("dive", "nose-down pitch", Kind.ANGLE, "nose down", "Beyond standing.", ISO_8855),
    ("front_dive_travel", "front wheels travel", Kind.LENGTH, "bump", "Positive: the nose goes down.", OURS),
    ("rear_dive_travel", "rear wheels travel", Kind.LENGTH, "bump", "Negative: the tail comes up.", OURS),
    ("front_axle_load", "load in front", Kind.FORCE, "the road pushes", "Of both wheels.", OURS),
    ("rear_axle_load", "load behind", Kind.FORCE, "the road pushes", "Of both wheels.", OURS),
    ("front_friction_used", "friction used in front", Kind.RATIO, "always", _USED, OURS),
    ("rear_friction_used", "friction used behind", Kind.RATIO, "always", _USED, OURS),
)
"""By name: what the table of braking and driving tells at each acceleration."""

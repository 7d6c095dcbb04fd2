"""Signs and definitions as data: what each quantity is, and which way is positive.

The conventions page, the tooltips and the legends of sheets are printed from ``SIGNS``; no other place repeats them.
"""

from __future__ import annotations

from dataclasses import dataclass

from jounce.conventions.unit_table import DEFAULT_UNIT, Kind

__all__ = ["SIGNS", "Sign"]

_ISO_8855 = "ISO 8855"
_TRADE = "trade usage"


@dataclass(frozen=True, slots=True)
class Sign:
    """One row of the table of signs.

    Attributes:
        name: name in the program and in files
        label: name for people
        meaning: what a positive value says, as a sentence
        kind: what it measures
        definition: how it is measured, as a sentence
        source: where the definition comes from

    """

    name: str
    label: str
    meaning: str
    kind: Kind
    definition: str
    source: str

    @property
    def unit(self) -> str:
        """Symbol of the unit in which it is shown unless another set of units is chosen."""
        return DEFAULT_UNIT[self.kind]


_ROWS = (
    Sign(
        "wheel_travel",
        "Wheel travel",
        "The wheel has moved up relative to the body (bump, jounce); negative in droop (rebound).",
        Kind.LENGTH,
        "Vertical movement of the wheel centre in the body's axes; zero with the car as it was measured.",
        _TRADE,
    ),
    Sign(
        "contact_point",
        "Contact point",
        "Its coordinates grow forward (x), to the left (y) and upward (z).",
        Kind.LENGTH,
        "Lowest point, towards the road, of the circle of loaded radius in the wheel plane; it moves round the tyre "
        "with caster change and with the wheel in camber.",
        _ISO_8855,
    ),
    Sign(
        "heave",
        "Heave of an axle",
        "Both wheels have moved up by this much relative to the body.",
        Kind.LENGTH,
        "The part of the wheel travels that left and right have in common.",
        _TRADE,
    ),
    Sign(
        "roll",
        "Roll of an axle",
        "The right wheel is up and the left wheel is down relative to the body: the body leans to its right, "
        "as in a left turn.",
        Kind.ANGLE,
        "Turn of the body about the forward axis relative to the road.",
        _ISO_8855,
    ),
    Sign(
        "camber",
        "Camber",
        "The top of the wheel leans away from the car's centre plane; negative when it leans inward.",
        Kind.ANGLE,
        "True angle between the wheel plane and the vertical, square to the road, as a gauge on level ground reads it.",
        _ISO_8855,
    ),
    Sign(
        "toe",
        "Toe, one wheel",
        "The front of the wheel points towards the car's centre plane (toe-in).",
        Kind.ANGLE,
        "Angle, on the road, between the wheel plane and the car's forward axis; in mm it is measured across a stated "
        "diameter.",
        _ISO_8855,
    ),
    Sign(
        "total_toe",
        "Total toe",
        "The two wheels of the axle are closer together in front (toe-in).",
        Kind.ANGLE,
        "Toe of the left wheel plus toe of the right wheel.",
        _ISO_8855,
    ),
    Sign(
        "steer_angle",
        "Steer angle",
        "The wheel points to the left.",
        Kind.ANGLE,
        "Angle of the wheel plane to the forward axis, turning about the upward axis.",
        _ISO_8855,
    ),
    Sign(
        "caster",
        "Caster",
        "The top of the steering axis leans rearward.",
        Kind.ANGLE,
        "Angle of the steering axis to the vertical, square to the road, seen from the side.",
        _ISO_8855,
    ),
    Sign(
        "kingpin_inclination",
        "Kingpin inclination",
        "The top of the steering axis leans inward.",
        Kind.ANGLE,
        "Angle of the steering axis to the vertical, square to the road, seen from the front.",
        _ISO_8855,
    ),
    Sign(
        "mechanical_trail",
        "Mechanical trail",
        "The contact point lies behind the point where the steering axis meets the ground.",
        Kind.LENGTH,
        "Distance between these two points along the wheel's own longitudinal axis on the road.",
        _ISO_8855,
    ),
    Sign(
        "scrub_radius",
        "Scrub radius",
        "The steering axis meets the ground inboard of the contact point.",
        Kind.LENGTH,
        "Distance between these two points along the wheel's own lateral axis on the road.",
        _ISO_8855,
    ),
    Sign(
        "motion_ratio",
        "Motion ratio",
        "The element is worked the way its own sign counts (spring and damper shorter) when the wheel goes up.",
        Kind.RATIO,
        "Movement of the element per unit of wheel travel; not the inverse, which is also in use.",
        _TRADE,
    ),
    Sign(
        "angular_motion_ratio",
        "Motion ratio of a torsion element",
        "The element is wound up when the wheel goes up.",
        Kind.RATIO_ANGLE,
        "Turn of the element per unit of wheel travel.",
        _TRADE,
    ),
    Sign(
        "wheel_rate",
        "Wheel rate",
        "The vertical force on the wheel grows as the contact point moves up relative to the body.",
        Kind.SPRING_RATE,
        "Change of the vertical tyre force per vertical movement of the contact point, tyre excluded.",
        _ISO_8855,
    ),
    Sign(
        "ride_rate",
        "Ride rate",
        "The vertical force on the wheel grows as the road moves up relative to the body.",
        Kind.SPRING_RATE,
        "Wheel rate with the tyre's vertical rate in series.",
        _ISO_8855,
    ),
    Sign(
        "roll_stiffness",
        "Roll stiffness",
        "The axle resists the body's roll.",
        Kind.ROLL_STIFFNESS,
        "Moment per angle of body roll, for one axle, tyre excluded unless it is said.",
        _ISO_8855,
    ),
    Sign(
        "roll_centre_height",
        "Roll centre height",
        "The roll centre lies above the ground.",
        Kind.LENGTH,
        "Height of the point, in the transverse plane through the wheel centres, at which a lateral force on the "
        "sprung mass makes no suspension roll.",
        _ISO_8855,
    ),
    Sign(
        "axle_shift",
        "Axle shift",
        "The middle of the beam axle stands to the left of the body's centre plane.",
        Kind.LENGTH,
        "Lateral position of the axle's mid point relative to the body.",
        _TRADE,
    ),
    Sign(
        "axle_steer",
        "Axle steer",
        "The beam axle is turned to the left relative to the body.",
        Kind.ANGLE,
        "Turn of the beam axle about the upward axis relative to the body (roll steer when roll is its cause).",
        _ISO_8855,
    ),
)

SIGNS: dict[str, Sign] = {row.name: row for row in _ROWS}

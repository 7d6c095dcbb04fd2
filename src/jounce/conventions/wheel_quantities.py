"""Quantities of one wheel: place, angles, their gradients, instant centres, support under braking and driving."""

from __future__ import annotations

from jounce.conventions.quantity import ISO_8855, OURS, REIMPELL, SAE_J670, TRADE, Per, Quantity
from jounce.conventions.unit_table import Kind

__all__ = ["WHEEL_QUANTITIES"]

_WHEEL: Per = "wheel"
_PLACE = "wheel position"
_ANGLES = "wheel angles"
_BUMP = "bump gradients"
_ROLL = "roll gradients"
_CENTRES = "instant centres"
_SUPPORT = "brake and drive support"


def _position(name: str, axis: str, sense: str, what: str, source: str) -> Quantity:
    return Quantity(f"{name}_{axis}", Kind.LENGTH, _WHEEL, _PLACE, sense, f"{what}, {axis} in the body's axes.", source)


_SENSE = {"x": "forward", "y": "to the left", "z": "up"}
_CONTACT = "Lowest point, towards the road, of the circle of loaded radius in the wheel plane"

_PLACES = (
    Quantity(
        "travel",
        Kind.LENGTH,
        _WHEEL,
        _PLACE,
        "the wheel is in bump",
        "Rise of the wheel centre in the body's axes from as found.",
        TRADE,
    ),
    *(_position("wheel_centre", axis, sense, "Wheel centre", ISO_8855) for axis, sense in _SENSE.items()),
    *(_position("contact", axis, sense, _CONTACT, ISO_8855) for axis, sense in _SENSE.items()),
    Quantity(
        "wheel_recession",
        Kind.LENGTH,
        _WHEEL,
        _PLACE,
        "the wheel centre has moved rearward",
        "Movement of the wheel centre along the body from as found.",
        TRADE,
    ),
    Quantity(
        "wheel_centre_outward",
        Kind.LENGTH,
        _WHEEL,
        _PLACE,
        "the wheel centre has moved outward",
        "Movement of the wheel centre across the body from as found.",
        TRADE,
    ),
    Quantity(
        "wheelbase_change",
        Kind.LENGTH,
        _WHEEL,
        _PLACE,
        "the wheelbase is longer",
        "What the movement of this wheel centre along the body adds to the wheelbase of its side.",
        TRADE,
    ),
)

_WHEEL_ANGLES = (
    Quantity(
        "camber",
        Kind.ANGLE,
        _WHEEL,
        _ANGLES,
        "the wheel's top leans outward",
        "True angle of the wheel plane to the vertical, square to the road on which the car stands.",
        ISO_8855,
        "camber, to the road",
    ),
    Quantity(
        "camber_to_body",
        Kind.ANGLE,
        _WHEEL,
        _ANGLES,
        "the wheel's top leans outward relative to the body",
        "Angle of the wheel axis, projected onto the body's transverse plane, to the body's y axis: no gauge reads it on a "
        "car that leans, nor on a steered wheel.",
        OURS,
    ),
    Quantity(
        "toe",
        Kind.ANGLE,
        _WHEEL,
        _ANGLES,
        "the wheel's front points inward (toe-in)",
        "Angle of the wheel axis, projected onto the road, to the line across the car on the road.",
        ISO_8855,
        "toe, per wheel",
    ),
    Quantity(
        "steer",
        Kind.ANGLE,
        _WHEEL,
        _ANGLES,
        "the wheel points to the left",
        "The same angle as toe, counted as a steer angle.",
        ISO_8855,
    ),
    Quantity(
        "camber_change",
        Kind.ANGLE,
        _WHEEL,
        _ANGLES,
        "the wheel's top has moved outward",
        "Camber less its value as found.",
        TRADE,
    ),
    Quantity(
        "toe_change",
        Kind.ANGLE,
        _WHEEL,
        _ANGLES,
        "the wheel has turned to toe-in",
        "Toe less its value as found.",
        TRADE,
    ),
)

_BUMP_GRADIENTS = (
    Quantity(
        "bump_steer",
        Kind.RATIO_ANGLE,
        _WHEEL,
        _BUMP,
        "the wheel toes in as it rises",
        "Change of toe per travel of this wheel.",
        SAE_J670,
    ),
    Quantity(
        "bump_camber",
        Kind.RATIO_ANGLE,
        _WHEEL,
        _BUMP,
        "the wheel's top moves outward as it rises",
        "Change of camber per travel of this wheel.",
        SAE_J670,
    ),
    Quantity(
        "bump_caster",
        Kind.RATIO_ANGLE,
        _WHEEL,
        _BUMP,
        "the steering axis's top moves rearward as the wheel rises",
        "Change of caster per travel of this wheel, where the steering axis is a line through two joints.",
        SAE_J670,
    ),
    Quantity(
        "recession_gradient",
        Kind.RATIO,
        _WHEEL,
        _BUMP,
        "the wheel centre moves rearward as it rises",
        "Movement of the wheel centre along the body per travel of this wheel.",
        TRADE,
    ),
    Quantity(
        "half_track_gradient",
        Kind.RATIO,
        _WHEEL,
        _BUMP,
        "the contact point moves outward as the wheel rises",
        "Movement of the contact point across the body per travel of this wheel.",
        TRADE,
    ),
)

_IN_ROLL = "The body rolls on the road about the state shown, mean travel held, wheel centres level along the road."

_ROLL_GRADIENTS = (
    Quantity(
        "roll_steer",
        Kind.RATIO,
        _WHEEL,
        _ROLL,
        "a body that leans to its right, as in a left turn, turns the wheel to the left",
        f"Change of this wheel's steer angle per roll angle. {_IN_ROLL}",
        ISO_8855,
    ),
    Quantity(
        "roll_camber_to_body",
        Kind.RATIO,
        _WHEEL,
        _ROLL,
        "a body that leans to its right moves the wheel's top outward relative to the body",
        f"Change of camber to the body per roll angle. {_IN_ROLL}",
        OURS,
    ),
    Quantity(
        "roll_camber",
        Kind.RATIO,
        _WHEEL,
        _ROLL,
        "a body that leans to its right moves the wheel's top outward relative to the road",
        f"Change of camber, which is to the road, per roll angle. {_IN_ROLL}",
        SAE_J670,
    ),
    Quantity(
        "roll_caster",
        Kind.RATIO,
        _WHEEL,
        _ROLL,
        "a body that leans to its right moves the steering axis's top rearward",
        f"Change of caster per roll angle, where the steering axis is a line through two joints. {_IN_ROLL}",
        SAE_J670,
    ),
)

_FRONT_VIEW = "Instant centre of the wheel carrier in the transverse plane through the wheel centre"
_SIDE_VIEW = "Instant centre of the wheel carrier in the longitudinal plane through the wheel centre"

_INSTANT_CENTRES = (
    Quantity(
        "front_view_centre_y", Kind.LENGTH, _WHEEL, _CENTRES, "to the left", f"{_FRONT_VIEW}, y in the body.", SAE_J670
    ),
    Quantity("front_view_centre_z", Kind.LENGTH, _WHEEL, _CENTRES, "up", f"{_FRONT_VIEW}, z in the body.", SAE_J670),
    Quantity("side_view_centre_x", Kind.LENGTH, _WHEEL, _CENTRES, "forward", f"{_SIDE_VIEW}, x in the body.", SAE_J670),
    Quantity("side_view_centre_z", Kind.LENGTH, _WHEEL, _CENTRES, "up", f"{_SIDE_VIEW}, z in the body.", SAE_J670),
    Quantity(
        "front_view_swing_arm_length",
        Kind.LENGTH,
        _WHEEL,
        _CENTRES,
        "the centre lies inboard of the wheel",
        "Distance across the body from the wheel centre to the front-view instant centre.",
        SAE_J670,
    ),
    Quantity(
        "front_view_swing_arm_angle",
        Kind.ANGLE,
        _WHEEL,
        _CENTRES,
        "the line rises inward (the contact point moves outward in bump)",
        "Front-view slope, in the body, of the line from the contact point to the front-view instant centre.",
        SAE_J670,
    ),
    Quantity(
        "side_view_swing_arm_length",
        Kind.LENGTH,
        _WHEEL,
        _CENTRES,
        "the centre lies towards the middle of the car: behind a front wheel, ahead of a rear one",
        "Distance along the body from the wheel centre to the side-view instant centre.",
        SAE_J670,
    ),
    Quantity(
        "side_view_swing_arm_angle",
        Kind.ANGLE,
        _WHEEL,
        _CENTRES,
        "the line rises towards the middle of the car",
        "Side-view slope, in the body, of the line from the contact point to the side-view instant centre.",
        SAE_J670,
    ),
)

_SUPPORTS = (
    Quantity(
        "brake_support_angle",
        Kind.ANGLE,
        _WHEEL,
        _SUPPORT,
        "braking resists dive (front) or lift (rear)",
        "Angle whose tangent is the movement along the car per rise of the point of the locked wheel that touches the "
        "road, both wheels rising together: towards the front positive on a front axle, towards the rear on a rear "
        "one; by virtual work it is the vertical force that braking puts on the wheel in place of the spring, per "
        "braking force. For brakes at the wheels; for brakes inboard of the drive shafts see drive_support_angle.",
        f"{REIMPELL} (braking support angle)",
    ),
    Quantity(
        "drive_support_angle",
        Kind.ANGLE,
        _WHEEL,
        _SUPPORT,
        "driving resists lift (front) or squat (rear)",
        "The same of the wheel centre, whose height is shared with the contact point's: for torque that reaches the "
        "wheel through drive shafts from a drive unit or brake on the body.",
        f"{REIMPELL} (driving support angle)",
    ),
)

WHEEL_QUANTITIES: tuple[Quantity, ...] = (
    *_PLACES,
    *_WHEEL_ANGLES,
    *_BUMP_GRADIENTS,
    *_ROLL_GRADIENTS,
    *_INSTANT_CENTRES,
    *_SUPPORTS,
)

"""Quantities of steering: the axis each wheel turns about, what the gear does to the wheels, the turn they describe."""

from __future__ import annotations

from jounce.conventions.quantity import ISO_8855, OURS, REIMPELL, SAE_J670, TRADE, Quantity
from jounce.conventions.unit_table import Kind

__all__ = ["STEERING_QUANTITIES"]

_AXIS = "steering axis"
_WHEELS = "wheels as they are steered"
_JACKING = "steer jacking"
_GEAR = "steering of the axle"
_TURN = (
    "Steer angles count from as found; the turn is to the side to which both wheels have turned, and there is no value "
    "where they have not turned to the same side or the gear is in its middle."
)

_STEERING_AXIS = (
    Quantity(
        "caster",
        Kind.ANGLE,
        "wheel",
        _AXIS,
        "the axis's top leans rearward",
        "Side-view angle to the vertical, square to the road, of the steering axis: the line through its two joints; "
        "where there are not two (five links), the axis of the screw about which the carrier turns when its tie rod "
        "changes length and the main spring keeps its own, which on two joints is the line through them.",
        f"{ISO_8855}; five links: {OURS}",
        "caster, to the road",
    ),
    Quantity(
        "kingpin_inclination",
        Kind.ANGLE,
        "wheel",
        _AXIS,
        "the axis's top leans inward",
        "Front-view angle to the vertical, square to the road, of the same axis.",
        ISO_8855,
        "kingpin inclination, to road",
    ),
    Quantity(
        "caster_change",
        Kind.ANGLE,
        "wheel",
        _AXIS,
        "the axis's top has moved rearward",
        "Caster less its value as found, where the axis is a line through two joints.",
        TRADE,
    ),
    Quantity(
        "kingpin_inclination_change",
        Kind.ANGLE,
        "wheel",
        _AXIS,
        "the axis's top has moved inward",
        "Kingpin inclination less its value as found, where the axis is a line through two joints.",
        TRADE,
    ),
    Quantity(
        "scrub_radius",
        Kind.LENGTH,
        "wheel",
        _AXIS,
        "the axis meets the road inboard of the contact point",
        "From where the axis meets the road plane through the contact point to the contact point, along the road "
        "across the wheel.",
        ISO_8855,
    ),
    Quantity(
        "trail",
        Kind.LENGTH,
        "wheel",
        _AXIS,
        "the contact point lies behind",
        "From where the axis meets the road plane through the contact point to the contact point, along the wheel on "
        "the road.",
        ISO_8855,
        "mechanical trail",
    ),
    Quantity(
        "hub_offset",
        Kind.LENGTH,
        "wheel",
        _AXIS,
        "the axis passes inboard of the wheel centre",
        "As the scrub radius, in the plane through the wheel centre parallel to the road.",
        f"{ISO_8855} (steering-axis offset at wheel centre)",
    ),
    Quantity(
        "hub_trail",
        Kind.LENGTH,
        "wheel",
        _AXIS,
        "the wheel centre lies behind the axis",
        "As the trail, in the plane through the wheel centre parallel to the road.",
        f"{ISO_8855} (castor offset at wheel centre)",
    ),
)

_STEERED = (
    Quantity(
        "steer_per_rack",
        Kind.RATIO_ANGLE,
        "wheel",
        _WHEELS,
        "a rack that moves to the left turns the wheel to the left",
        "Change of the wheel's steer angle per displacement of the rack, wheel travels held.",
        TRADE,
    ),
    Quantity(
        "steer_per_pitman",
        Kind.RATIO,
        "wheel",
        _WHEELS,
        "a relay rod that moves to the left turns the wheel to the left",
        "Change of the wheel's steer angle per angle of the pitman arm, wheel travels held.",
        TRADE,
    ),
    Quantity(
        "steer_camber",
        Kind.RATIO,
        "wheel",
        _WHEELS,
        "the wheel's top moves outward as the wheel turns to the left",
        "Change of camber per change of the wheel's own steer angle, moved by the gear, wheel travels held.",
        TRADE,
    ),
    Quantity(
        "steer_caster",
        Kind.RATIO,
        "wheel",
        _WHEELS,
        "the axis's top moves rearward as the wheel turns to the left",
        "Change of caster per change of the wheel's own steer angle, moved by the gear, wheel travels held; where the "
        "axis is a line through two joints.",
        TRADE,
    ),
)

_OF_THE_AXLE = (
    Quantity(
        "rack_travel", Kind.LENGTH, "axle", _GEAR, "to the left", "Displacement of the rack from as found.", TRADE
    ),
    Quantity(
        "pitman_angle",
        Kind.ANGLE,
        "axle",
        _GEAR,
        "the relay rod has moved to the left",
        "Turn of the pitman arm from as found.",
        TRADE,
    ),
    Quantity(
        "handwheel_angle",
        Kind.ANGLE,
        "axle",
        _GEAR,
        "the steering wheel is turned to the left",
        "Turn of the steering wheel from as found: of the rack by its travel per turn, of the pitman arm by the box's "
        "ratio, where the car file gives them.",
        SAE_J670,
    ),
    Quantity(
        "steering_ratio",
        Kind.RATIO,
        "axle",
        _GEAR,
        "always",
        "Change of the steering-wheel angle per change of the mean steer angle of the two wheels, wheel travels held.",
        f"{SAE_J670} (overall steering ratio)",
    ),
    Quantity(
        "kingpin_track",
        Kind.LENGTH,
        "axle",
        _GEAR,
        "always",
        "Distance across the body of the points where the two steering axes meet the road.",
        REIMPELL,
    ),
    Quantity(
        "ideal_inner_steer",
        Kind.ANGLE,
        "axle",
        _GEAR,
        "the wheel points to the left",
        "Steer angle of the inner wheel at which the lines of both wheel axes meet on the line of the other axle, for "
        "the outer wheel's actual angle: cot(inner) = cot(outer) - kingpin track / wheelbase. " + _TURN,
        f"{REIMPELL} (Ackermann condition)",
    ),
    Quantity(
        "ideal_outer_steer",
        Kind.ANGLE,
        "axle",
        _GEAR,
        "the wheel points to the left",
        "The same the other way round, for the inner wheel's actual angle. " + _TURN,
        f"{REIMPELL} (Ackermann condition)",
    ),
    Quantity(
        "ackermann",
        Kind.SHARE,
        "axle",
        _GEAR,
        "the inner wheel turns more than the outer one",
        "Difference of the inner and the outer wheel's steer angle as a share of what it would be at the ideal inner "
        "angle; 100 % is the Ackermann condition, 0 % parallel steer. " + _TURN,
        TRADE,
    ),
    Quantity(
        "turning_circle",
        Kind.LENGTH,
        "axle",
        _GEAR,
        "always",
        "Diameter, kerb to kerb, of the circle on which the outer wheel's contact point rolls without slip: twice its "
        "distance along the car from the other axle's line, divided by the sine of its own steer angle, toe included. "
        "The tyre's half width is not in it. " + _TURN,
        f"{ISO_8855} (turning circle), the formula our own",
    ),
)

_STEER_JACKING = (
    Quantity(
        "wheel_steer_jacking",
        Kind.LENGTH,
        "wheel",
        _JACKING,
        "steering lifts the body over this wheel",
        "How far this wheel's contact point goes down in the body, square to the road, when the gear moves from its "
        "middle to where it is and both main springs keep the length they had.",
        OURS,
    ),
    Quantity(
        "steer_jacking",
        Kind.LENGTH,
        "axle",
        _JACKING,
        "steering lifts the body",
        "Mean of the two wheels' wheel_steer_jacking.",
        OURS,
    ),
)

STEERING_QUANTITIES: tuple[Quantity, ...] = (*_STEERING_AXIS, *_STEERED, *_OF_THE_AXLE, *_STEER_JACKING)

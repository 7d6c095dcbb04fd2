"""What a force at the wheels does to an axle: one row for each result, and the forces themselves."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from jounce.conventions.quantity import ISO_8855, OURS, SAE_J670, TRADE, Per, Quantity
from jounce.conventions.unit_table import Kind

__all__ = ["COMPLIANCE_QUANTITIES", "FORCES", "Force", "kind_under"]

_GROUP = "compliance"
_ANGLE, _LENGTH, _RATIO = Kind.ANGLE_PER_FORCE, Kind.LENGTH_PER_FORCE, Kind.RATIO


def _row(name: str, kind: Kind, per: Per, sense: str, definition: str, source: str) -> Quantity:
    return Quantity(name, kind, per, _GROUP, sense, definition, source)


COMPLIANCE_QUANTITIES: Mapping[str, Quantity] = {
    row.name: row
    for row in (
        _row("toe", _ANGLE, "wheel", "toe-in", "Change of the wheel's toe.", ISO_8855),
        _row("steer", _ANGLE, "wheel", "to the left", "Change of the wheel's steer angle.", ISO_8855),
        _row("camber", _ANGLE, "wheel", "top moves outward", "Change of the wheel's camber.", ISO_8855),
        _row("caster", _ANGLE, "wheel", "top moves rearward", "Change of the steering axis's caster.", ISO_8855),
        _row(
            "wind_up", _ANGLE, "wheel", "top turns rearward", "Turn of the wheel carrier about the car's y axis.", OURS
        ),
        _row("wheel_x", _LENGTH, "wheel", "forward", "Displacement of the wheel centre along the car.", SAE_J670),
        _row("wheel_y", _LENGTH, "wheel", "to the left", "Displacement of the wheel centre across the car.", SAE_J670),
        _row("wheel_z", _LENGTH, "wheel", "up", "Displacement of the wheel centre in the body.", SAE_J670),
        _row(
            "contact_y", _LENGTH, "wheel", "to the left", "Displacement of the contact point across the car.", SAE_J670
        ),
        _row("load", _RATIO, "wheel", "more load", "Change of the wheel load, wheels held at their height.", TRADE),
        _row("mean_steer", _ANGLE, "axle", "to the left", "Mean change of both wheels' steer angles.", TRADE),
        _row("axle_steer", _ANGLE, "axle", "to the left", "Yaw of a beam axle's tube.", TRADE),
        _row(
            "axle_shift", _LENGTH, "axle", "to the left", "Displacement of a beam axle's middle across the car.", TRADE
        ),
    )
}


@dataclass(frozen=True, slots=True)
class Force:
    """A kind of load on a wheel: ``sense`` says which way one unit of it acts."""

    name: str
    title: str
    sense: str
    is_torque: bool = False


FORCES: Mapping[Literal["lateral", "brake", "drive", "aligning"], Force] = {
    "lateral": Force("lateral", "Lateral force at the contact point", "to the left"),
    "brake": Force("brake", "Braking force at the contact point, brake outboard", "rearward"),
    "drive": Force("drive", "Driving force at the wheel centre, torque reacted inboard", "forward"),
    "aligning": Force("aligning", "Torque about the road's normal", "turning to the left", is_torque=True),
}

_UNDER_TORQUE = {Kind.ANGLE_PER_FORCE: Kind.ANGLE_PER_TORQUE, Kind.LENGTH_PER_FORCE: Kind.LENGTH_PER_TORQUE}


def kind_under(quantity: Quantity, force: Force) -> Kind | None:
    """What a result measures per unit of a load; None where it is not listed (a load per torque).

    Args:
        quantity: row of ``COMPLIANCE_QUANTITIES``
        force: row of ``FORCES``

    """
    return _UNDER_TORQUE.get(quantity.kind) if force.is_torque else quantity.kind

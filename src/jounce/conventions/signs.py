"""The signs to know first: the rows of the table of results that the conventions page shows."""

from __future__ import annotations

from jounce.conventions.quantities import RESULTS, Quantity

__all__ = ["SIGNS"]

SIGNS: tuple[Quantity, ...] = tuple(
    RESULTS[name]
    for name in (
        *("travel", "contact_x", "contact_y", "contact_z", "heave", "roll"),
        *("camber", "toe", "total_toe", "steer", "caster", "kingpin_inclination", "trail", "scrub_radius"),
        *("damper_ratio", "spring_ratio", "torsion_bar_ratio", "wheel_rate", "ride_rate", "roll_stiffness"),
        *("roll_centre_height", "axle_shift", "axle_steer"),
    )
)

"""What springs, bars and stops of an axle carry, how stiff it is on them, how its car stands: one row for each result."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from jounce.conventions.quantity import ISO_8855, OURS, TRADE, Quantity
from jounce.conventions.unit_table import Kind

__all__ = ["SPRINGING_QUANTITIES", "STANDING_QUANTITIES"]

_GROUP = "springs under load"


def _wheel(name: str, kind: Kind, sense: str, definition: str, source: str = TRADE) -> Quantity:
    return Quantity(name, kind, "wheel", _GROUP, sense, definition, source)


def _bar(name: str, words: str, stress: str) -> Iterable[Quantity]:
    sense = "the left half leads"
    yield Quantity(f"{name}_torque", Kind.TORQUE, "axle", _GROUP, sense, f"Torque that {words} carries.", TRADE)
    yield Quantity(f"{name}_stress", Kind.STRESS, "axle", _GROUP, "always", f"{stress} in {words}.", TRADE)


_TOGETHER = "per rise of the contact point, both wheels together, tyre excluded"
_EQUIVALENT = "Largest equivalent (von Mises) stress"

SPRINGING_QUANTITIES: Mapping[str, Quantity] = {
    row.name: row
    for row in (
        _wheel("load", Kind.FORCE, "the road pushes", "Vertical load under the wheel, by virtual work."),
        _wheel("wheel_rate", Kind.SPRING_RATE, "stiffer", f"Wheel load {_TOGETHER}.", ISO_8855),
        _wheel("wheel_rate_at_wheel_centre", Kind.SPRING_RATE, "stiffer", "The same per travel of the wheel centre."),
        _wheel("one_wheel_rate", Kind.SPRING_RATE, "stiffer", "Wheel rate when this wheel rises alone."),
        _wheel("ride_rate", Kind.SPRING_RATE, "stiffer", "Wheel rate with the tyre in series.", ISO_8855),
        _wheel("spring_force", Kind.FORCE, "it pushes", "Force of the coil or leaf spring."),
        _wheel("spring_compression", Kind.LENGTH, "compressed", "What the spring is compressed from free of load."),
        _wheel("torsion_bar_torque", Kind.TORQUE, "wound up", "Torque of the torsion bar."),
        _wheel(
            "torsion_bar_twist", Kind.ANGLE, "wound up", "Twist of bar and what gives behind it, from free of load."
        ),
        _wheel("torsion_bar_stress", Kind.STRESS, "wound up", "Shear stress at the torsion bar's surface."),
        _wheel("bump_stop_force", Kind.FORCE, "it pushes", "Force of the bump stop along itself.", OURS),
        *_bar("roll_bar", "the anti-roll bar", _EQUIVALENT),
        *_bar("roll_bar_2", "the second anti-roll bar", _EQUIVALENT),
        *_bar("inner_bar", "the bar inside the tube", "Shear stress at the surface"),
        Quantity(
            "roll_stiffness",
            Kind.ROLL_STIFFNESS,
            "axle",
            _GROUP,
            "stiffer",
            "Moment of the elements per roll of the body against the road, tyres excluded.",
            OURS,
        ),
    )
}
"""By name; a wheel's column is called ``left_`` or ``right_`` and this name."""

STANDING_QUANTITIES: Mapping[str, Quantity] = {
    row.name: row
    for row in (
        Quantity("height", Kind.LENGTH, "wheel", "standing car", "always", "Wheel centre to arch.", TRADE),
        Quantity("sprung_mass", Kind.MASS, "wheel", "standing car", "always", "Mass over the wheel.", ISO_8855),
        Quantity(
            "ride_frequency",
            Kind.FREQUENCY,
            "wheel",
            "standing car",
            "always",
            "Natural frequency of the mass over the wheel, undamped, tyre in series.",
            TRADE,
        ),
        Quantity(
            "suspension_frequency",
            Kind.FREQUENCY,
            "wheel",
            "standing car",
            "always",
            "The same on the spring alone.",
            TRADE,
        ),
        Quantity(
            "loose_at",
            Kind.LENGTH,
            "wheel",
            "standing car",
            "the wheel hangs lower",
            "Droop of both wheels at which the spring carries nothing.",
            OURS,
        ),
        Quantity(
            "cross_weight",
            Kind.SHARE,
            "car",
            "standing car",
            "more on front right and rear left",
            "Share of the load on front right and rear left.",
            TRADE,
        ),
        Quantity(
            "front_share",
            Kind.SHARE,
            "car",
            "standing car",
            "stiffer in front",
            "Front share of the roll stiffness, tyres excluded.",
            OURS,
        ),
    )
}
"""What is known besides of a car where it stands, by name."""

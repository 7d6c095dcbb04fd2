"""What springs, bars and stops of an axle carry, how stiff it is on them, how its car stands: one row for each result."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from jounce.conventions.quantity import ISO_8855, OURS, TRADE, Per, Quantity
from jounce.conventions.unit_table import Kind

__all__ = ["SPRINGING_QUANTITIES", "STANDING_QUANTITIES"]

_GROUP = "springs under load"


def _wheel(  # a row is these
    name: str, kind: Kind, sense: str, definition: str, source: str = TRADE, title: str = ""
) -> Quantity:
    return Quantity(name, kind, "wheel", _GROUP, sense, definition, source, title)


def _bar(name: str, words: str, stress: str) -> Iterable[Quantity]:
    sense = "the left half leads"
    yield Quantity(f"{name}_torque", Kind.TORQUE, "axle", _GROUP, sense, f"Torque that {words} carries.", TRADE)
    yield Quantity(f"{name}_stress", Kind.STRESS, "axle", _GROUP, "always", f"{stress} in {words}.", TRADE)


_TOGETHER = "per rise of the contact point, both wheels together, tyre excluded"
_EQUIVALENT = "Largest equivalent (von Mises) stress"

SPRINGING_QUANTITIES: Mapping[str, Quantity] = {
    row.name: row
    for row in (
        _wheel(
            "load",
            Kind.FORCE,
            "the road pushes",
            "Vertical load under the wheel, by virtual work.",
            TRADE,
            "wheel load",
        ),
        _wheel(
            "wheel_rate", Kind.SPRING_RATE, "stiffer", f"Wheel load {_TOGETHER}.", ISO_8855, "wheel rate, both together"
        ),
        _wheel("wheel_rate_at_wheel_centre", Kind.SPRING_RATE, "stiffer", "The same per travel of the wheel centre."),
        _wheel(
            "one_wheel_rate",
            Kind.SPRING_RATE,
            "stiffer",
            "Wheel rate when this wheel rises alone; anti-roll bars count.",
            TRADE,
            "wheel rate, this wheel alone",
        ),
        _wheel(
            "ride_rate",
            Kind.SPRING_RATE,
            "stiffer",
            "Wheel rate with the tyre in series.",
            ISO_8855,
            "ride rate, with tyre",
        ),
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
            "roll stiffness, no tyres",
        ),
    )
}
"""By name; a wheel's column is called ``left_`` or ``right_`` and this name."""

_STANDING: tuple[tuple[str, str, Kind, Per, str, str, str], ...] = (
    ("height", "wheel centre to arch", Kind.LENGTH, "wheel", "always", "Straight up, at the wheel.", TRADE),
    ("sprung_mass", "sprung mass", Kind.MASS, "wheel", "always", "Wheel load less what is unsprung.", ISO_8855),
    (
        "ride_frequency",
        "ride frequency, with tyre",
        Kind.FREQUENCY,
        "wheel",
        "always",
        "Natural frequency of the mass over the wheel, undamped, tyre in series.",
        TRADE,
    ),
    (
        "suspension_frequency",
        "frequency, springs alone",
        Kind.FREQUENCY,
        "wheel",
        "always",
        "The same on the spring alone, tyre left out.",
        TRADE,
    ),
    (
        "loose_at",
        "spring loose at droop of",
        Kind.LENGTH,
        "wheel",
        "the wheel hangs lower",
        "Droop of both wheels at which the spring carries nothing; none where it always carries.",
        OURS,
    ),
    (
        "rubber_at",
        "free travel to the bump rubber",
        Kind.LENGTH,
        "wheel",
        "free",
        "Bump of both wheels until the rubber touches.",
        OURS,
    ),
    (
        "cross_weight",
        "cross weight, front R + rear L",
        Kind.SHARE,
        "car",
        "more on front right and rear left",
        "Share of the load on front right and rear left.",
        TRADE,
    ),
    (
        "pitch_at_rest",
        "pitch, + nose down",
        Kind.ANGLE,
        "car",
        "nose down",
        "Turn of the body about the line across the car, from as it was measured.",
        ISO_8855,
    ),
    (
        "lean_at_rest",
        "lean, + right side down",
        Kind.ANGLE,
        "car",
        "right side down",
        "Turn of the body about the line along the car, from as it was measured.",
        ISO_8855,
    ),
    (
        "front_share",
        "front share of roll stiffness",
        Kind.SHARE,
        "car",
        "stiffer in front",
        "Front share of the roll stiffness, tyres excluded.",
        OURS,
    ),
)
STANDING_QUANTITIES: Mapping[str, Quantity] = {
    name: Quantity(name, kind, per, "standing car", sense, definition, source, title)
    for name, title, kind, per, sense, definition, source in _STANDING
}
"""What is known besides of a car where it stands, by name."""

"""Pivots and choices that several layouts share, worded once."""

from __future__ import annotations

from jounce.layouts.description import LayoutChoice, Pivot
from jounce.layouts.needs import ends_apart

WHEEL_CENTRE = Pivot("wheel_centre", "centre of the wheel: on its axis, in its middle plane")

TIE_ROD = (
    Pivot("tie_rod_inner", "inner joint of the tie rod, on the rack or relay rod, wheels straight ahead"),
    Pivot("tie_rod_outer", "outer joint of the tie rod, on the knuckle"),
)
DRIVE_SHAFT = (
    Pivot("drive_shaft_inner", "centre of the drive shaft's inner joint", optional=True),
    Pivot(
        "drive_shaft_outer",
        "centre of the drive shaft's outer joint; the wheel centre where it is not given",
        optional=True,
        stands_for="wheel_centre",
    ),
)
COIL = (
    Pivot("spring_upper", "centre of the spring's upper seat, on the body", optional=True),
    Pivot("spring_lower", "centre of the spring's lower seat", optional=True),
)
DAMPER = (
    Pivot("damper_upper", "centre of the damper's upper eye, on the body"),
    Pivot("damper_lower", "centre of the damper's lower eye"),
)

COIL_NEEDS = ends_apart("spring", ends=("upper", "lower"))
DAMPER_NEEDS = ends_apart("damper", ends=("upper", "lower"))
TIE_ROD_NEEDS = ends_apart("tie_rod", ends=("inner", "outer"))
SHAFT_NEEDS = ends_apart("drive_shaft", ends=("inner", "outer"))


def carried_on(part: str, *words: str) -> LayoutChoice:
    """What carries the lower end of a part (``spring`` or ``damper``)."""
    return LayoutChoice(f"{part}_on", words, f"what carries the {part}'s lower end")

"""The one table of results: what a motion lists and drives, what springs carry, how a car stands, corners and brakes.

Column names, labels, units, definitions, the documentation pages and the heads of tables come from here; nothing else
states them. ``QUANTITIES`` are those of a linkage alone.

>>> QUANTITIES["camber"].unit
'deg'
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from difflib import get_close_matches

from jounce.conventions.axes import SIDES
from jounce.conventions.axle_quantities import AXLE_QUANTITIES
from jounce.conventions.driving_quantities import BRAKING_QUANTITIES, CORNERING_QUANTITIES
from jounce.conventions.element_quantities import ELEMENT_QUANTITIES
from jounce.conventions.errors import InputError
from jounce.conventions.quantity import ISO_8855, OURS, TRADE, Quantity
from jounce.conventions.springing_quantities import SPRINGING_QUANTITIES, STANDING_QUANTITIES
from jounce.conventions.steering_quantities import STEERING_QUANTITIES
from jounce.conventions.unit_table import Kind
from jounce.conventions.wheel_quantities import WHEEL_QUANTITIES

__all__ = ["QUANTITIES", "RESULTS", "Quantity", "groups_of", "quantities_named"]

_DRIVES = (
    Quantity("heave", Kind.LENGTH, "drive", "drives", "bump", "Both wheel centres by the same travel.", TRADE),
    Quantity(
        "roll",
        Kind.ANGLE,
        "drive",
        "drives",
        "right side down",
        "Roll of the body against the road; mean travel zero, the line through the wheel centres along the road.",
        f"{ISO_8855}, what is held our own",
    ),
    Quantity("left_drive", Kind.LENGTH, "drive", "drives", "bump", "Left wheel's travel, the other held.", OURS),
    Quantity("right_drive", Kind.LENGTH, "drive", "drives", "bump", "Right wheel's travel, the other held.", OURS),
    Quantity(
        "rack", Kind.LENGTH, "drive", "drives", "to the left", "Displacement of the rack, wheel travels held.", TRADE
    ),
    Quantity(
        "pitman",
        Kind.ANGLE,
        "drive",
        "drives",
        "the relay rod moves to the left",
        "Turn of the pitman arm, wheel travels held.",
        TRADE,
    ),
)

QUANTITIES: Mapping[str, Quantity] = {
    quantity.name: quantity
    for quantity in (
        *_DRIVES,
        *WHEEL_QUANTITIES,
        *STEERING_QUANTITIES,
        *ELEMENT_QUANTITIES,
        *AXLE_QUANTITIES,
    )
}


RESULTS: Mapping[str, Quantity] = {
    **QUANTITIES,
    **SPRINGING_QUANTITIES,
    **STANDING_QUANTITIES,
    **CORNERING_QUANTITIES,
    **BRAKING_QUANTITIES,
}
"""Every result by its name, a wheel's without its side."""


def groups_of(names: Iterable[str]) -> frozenset[str]:
    """Groups that hold the named quantities.

    Args:
        names: quantities or columns of a side ("camber", "left_camber")

    """
    return frozenset(QUANTITIES[_without_side(name)].group for name in names)


def quantities_named(written: Iterable[str]) -> tuple[str, ...]:
    """Column names or quantities as a person wrote them, checked.

    Args:
        written: names; of a wheel's quantity with or without ``left_`` or ``right_`` in front

    Returns:
        The same names without spaces around them, each once

    Raises:
        InputError: a name that is not in the table, with the nearest one that is

    """
    names = tuple(dict.fromkeys(name.strip() for name in written if name.strip()))
    for name in names:
        if not _is_known(name):
            near = get_close_matches(_without_side(name), QUANTITIES, n=1, cutoff=0.6)
            hint = f"Did you mean {near[0]}? " if near else ""
            raise InputError(
                "There is no such quantity",
                found=name,
                allowed="the names in the table of quantities; a wheel's with or without left_ or right_ in front",
                todo=f"{hint}The option --list shows the table.",
            )
    return names


def _is_known(name: str) -> bool:
    if name in QUANTITIES:
        return True
    bare = _without_side(name)
    return bare != name and bare in QUANTITIES and QUANTITIES[bare].per == "wheel"


def _without_side(name: str) -> str:
    if name in QUANTITIES:
        return name
    for side in SIDES:
        if name.startswith(f"{side}_"):
            return name.removeprefix(f"{side}_")
    return name

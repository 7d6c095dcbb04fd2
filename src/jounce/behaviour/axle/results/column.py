"""Columns of results; each belongs to a quantity of the one table, which gives its name and unit."""

from __future__ import annotations

from dataclasses import dataclass

from jounce.conventions.quantities import QUANTITIES, Quantity
from jounce.conventions.units import Kind
from jounce.layouts.naming import SIDES, SideName
from jounce.numerics.arrays import Array


@dataclass(frozen=True, slots=True)
class Column:
    """Values of one quantity along a motion, SI; NaN where the quantity does not exist (shown as an empty cell)."""

    quantity: Quantity
    side: SideName | None
    values: Array

    @property
    def name(self) -> str:
        """Name of the column: of a wheel's quantity with its side in front."""
        return self.quantity.name if self.side is None else f"{self.side}_{self.quantity.name}"

    @property
    def kind(self) -> Kind:
        """What it measures."""
        return self.quantity.kind


def column_of(name: str, values: Array) -> Column:
    """The column of a quantity by name, SI.

    Args:
        name: a quantity of the drive or axle, or of a wheel with ``left_`` or ``right_`` in front
        values: one per state, shape (states,) [SI]

    Raises:
        KeyError: no such quantity (a fault of the program)

    """
    for side in SIDES:
        bare = name.removeprefix(f"{side}_")
        if bare != name and name not in QUANTITIES:
            return Column(QUANTITIES[bare], side, values)
    return Column(QUANTITIES[name], None, values)

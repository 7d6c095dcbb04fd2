"""Figures of one axle that a garage can read, or that a fit is asked for, of a car and of its variants alike."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from jounce.behaviour.axle.contact import contact_state
from jounce.behaviour.axle.motions import MODES, AxleStates, place_axle, wheel_motions
from jounce.behaviour.axle.static import WHEEL_FIGURES, StandingFigures, loaded, standing_figures
from jounce.behaviour.axle.travel import states_table
from jounce.car.file.document import CarDocument
from jounce.car.mechanics.assembly import axle_model
from jounce.car.mechanics.model import AxleModel, AxleName
from jounce.conventions.constants import GRAVITY
from jounce.conventions.errors import Impossible, InputError, NotConverged
from jounce.conventions.units import Kind, show
from jounce.layouts.naming import SIDES, SideName
from jounce.numerics.arrays import Array
from jounce.numerics.complex_step import STEP

__all__ = ["AxleFigure", "AxleFigures"]

_GROUPS = (
    "wheel position",
    "wheel angles",
    "bump gradients",
    "steering axis",
    "springs and dampers",
    "arms",
    "track",
    "roll centre",
)
"""Groups of quantities that are taken along the travel."""

_ROUNDS = 30
_CLOSE = 1e-12  # of a load [N per N]
_FARTHEST = 0.05  # a step of the sinking body [m]


@dataclass(frozen=True, slots=True)
class AxleFigure:
    """One figure of an axle.

    Attributes:
        axle: which axle
        name: a quantity along the travel, a figure of the standing axle, "main_rate", "bar_twist", "coil_compressed",
            "tyre_rate", or "sink"
        side: which wheel; None for the axle itself, or the mean of both wheels
        bump: how far both wheels are above where they stand [m]
        load: mass put on above the axle, for "sink" [kg]
        change: whether it is told less what it is standing

    """

    axle: AxleName
    name: str
    side: SideName | None = None
    bump: float = 0.0
    load: float = 0.0
    change: bool = False


class AxleFigures:
    """An axle of one document, which may stand for many variants, with its springs loaded; what is found is kept.

    Args:
        document: the car
        axle: which axle
        still: the same of the car itself, where this is the car with imaginary perturbations

    """

    def __init__(self, document: CarDocument, axle: AxleName, still: AxleFigures | None = None) -> None:
        self.axle, self._still = axle, still
        self._tables: dict[float, Mapping[str, Array]] = {}
        self._loads: dict[float, Array] = {}
        self.model: AxleModel = loaded(axle_model(document, axle))[0]

    def value(self, asked: AxleFigure) -> Array:
        """A figure of every variant, shape (variants,), or (1,) where none of them moves it [SI].

        Args:
            asked: which figure

        Raises:
            InputError: the axle has no such figure
            Impossible: its wheels do not reach that place
        """
        found = self._at(asked, asked.bump)
        return np.asarray(found - self._at(asked, 0.0) if asked.change else found)

    def has(self, name: str) -> bool:
        """Whether the axle has a figure, standing.

        Args:
            name: its name
        """
        try:
            self.value(AxleFigure(self.axle, name, load=1.0))
        except InputError:
            return False
        return True

    def _at(self, asked: AxleFigure, bump: float) -> Array:
        if asked.name == "sink":
            return self._sink(asked.load)
        if asked.name == "roll_stiffness":
            return self._standing.roll_stiffness
        sides = SIDES if asked.side is None else (asked.side,)
        each = [self._of_wheel(side, asked.name) for side in sides]
        if any(one is None for one in each):
            table = self._table(bump)
            whole = table.get(asked.name) if asked.side is None else None
            each = [table.get(f"{side}_{asked.name}") for side in sides] if whole is None else [whole]
        known = [one for one in each if one is not None]
        if len(known) < len(each):
            raise InputError(
                f"The {self.axle} axle has no such reading",
                found=asked.name.replace("_", " "),
                todo="Leave it out, or correct the axle.",
            )
        total = known[0]
        for one in known[1:]:
            total = total + one
        return np.asarray(total / len(known))

    def _of_wheel(self, side: SideName, name: str) -> Array | None:
        """What is known of a wheel without moving it; None where the name is a quantity along the travel."""
        spring = self.model.main[side]
        if name == "main_rate":
            try:
                return spring.rate
            except TypeError:
                return None
        if name == "tyre_rate":
            return np.atleast_1d(self.model.tyre_rate[side])
        if name in ("bar_twist", "coil_compressed"):
            of_bar = spring.kind == "torsion bar"
            return self._standing.wheels[side]["wound_up"] if of_bar == (name == "bar_twist") else None
        return self._standing.wheels[side][name] if name in WHEEL_FIGURES else None

    @cached_property
    def _standing(self) -> StandingFigures:
        return standing_figures(self.model, AxleStates())

    def _table(self, bump: float) -> Mapping[str, Array]:
        if bump not in self._tables:
            table = states_table(
                self.model.stand, self.model.linkage, AxleStates(left=bump, right=bump), MODES["heave"], groups=_GROUPS
            )
            if not table.reached.all():
                raise Impossible(
                    f"The {self.axle} wheels do not reach {show(abs(bump), Kind.LENGTH)} {'up' if bump > 0 else 'down'} "
                    f"from where they stand: {table.reason}"
                )
            self._tables[bump] = {
                column.name: column.values for column in table.columns if not np.isnan(column.values).any()
            }
        return self._tables[bump]

    def _carried(self, travel: Array | float) -> Array:
        """What both wheels carry at a travel, (variants,) [N]."""
        placed = place_axle(self.model.stand, self.axle, AxleStates(left=travel, right=travel))
        if not placed.reached.all():
            raise Impossible(f"The {self.axle} wheels do not reach so far up: put less mass on.")
        return np.asarray(contact_state(self.model, wheel_motions(placed, self.axle)).load.sum(axis=-1))

    def _sink(self, load: float) -> Array:
        """Travel at which the axle carries so much more mass, (variants,) [m].

        With the car itself at hand, its travel with one more step of Newton carries the perturbations exactly.
        """
        wanted = self._carried(0.0) + load * GRAVITY
        if self._still is not None:
            travel = self._still.value(AxleFigure(self.axle, "sink", load=load))
            slope = np.imag(self._still._carried(np.add(travel, 1j * STEP))) / STEP  # noqa: SLF001 - another of its own
            return np.asarray(travel - (self._carried(travel) - wanted) / slope)
        travel = np.zeros(len(wanted))
        for _ in range(_ROUNDS):
            found = self._carried(np.add(travel, 1j * STEP))
            miss = np.real(found) - wanted
            if np.abs(miss).max() <= _CLOSE * np.abs(wanted).max():
                return travel
            travel = travel - np.clip(miss * STEP / np.imag(found), -_FARTHEST, _FARTHEST)
        raise NotConverged("It was not found how far the body comes down under the mass that is put on.")

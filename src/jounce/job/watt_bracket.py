"""The bracket of a Watt linkage's rocker: moved sideways until the axle stands in the middle of the car."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from jounce.behaviour.axle.motions import AxleStates, place_axle
from jounce.car.mechanics.model import AxleModel
from jounce.conventions.errors import Impossible
from jounce.layouts.adjusters import WATT_BRACKET
from jounce.layouts.naming import named
from jounce.linkage.place import Placed

__all__ = ["BracketRange", "BracketSetting", "bracket_setting", "placed_by_bracket"]


@dataclass(frozen=True, slots=True)
class BracketRange:
    """How far a bracket goes to either side from as found, none negative; as far as it takes where nobody told [m].

    ``step`` is that of its holes; without one it stands anywhere.
    """

    left: float | None = None
    right: float | None = None
    step: float | None = None

    def place(self, wanted: float) -> float:
        """Where it stands nearest to a place, to the left positive.

        Args:
            wanted: the place [m]
        """
        low, high = (-np.inf if self.right is None else -self.right), (np.inf if self.left is None else self.left)
        at = min(max(wanted, low), high)
        if self.step is None:
            return float(at)
        count = round(at / self.step)
        return float(min(max(count, np.ceil(low / self.step - 1e-9)), np.floor(high / self.step + 1e-9)) * self.step)


@dataclass(frozen=True, slots=True)
class BracketSetting:
    """Axle shift if the bracket stays as found, its place that centres the axle, and where it is put, left positive [m]."""

    shift_if_left: float
    centring_place: float
    set_place: float


def bracket_setting(goes: BracketRange, planned: AxleModel, standing: AxleStates) -> BracketSetting:
    """Where the bracket puts the axle's middle on the car's centre plane where the car stands.

    Args:
        goes: how far it goes
        planned: the axle
        standing: travels, bracket as found

    Raises:
        Impossible: the linkage does not reach there
    """
    joint, shift = named(planned.name, WATT_BRACKET.joint), named(planned.name, "shift")
    alone, centred = place_axle(planned.stand, planned.name, standing), placed_by_bracket(planned, standing)
    if not (alone.reached.all() and centred.reached.all()):
        raise Impossible(
            f"The {planned.name} linkage does not reach the height wanted wherever the Watt linkage's bracket stands: ask "
            "for a smaller change, or check the pivots of arms and rods."
        )
    needed = float(planned.stand.taken([joint]).values(centred.pose)[0, 0])
    left_alone = float(planned.stand.taken([shift]).values(alone.pose)[0, 0])
    return BracketSetting(left_alone, needed, goes.place(needed))


def placed_by_bracket(planned: AxleModel, standing: AxleStates) -> Placed:
    """A beam axle placed with its middle on the car's centre plane, wherever its bracket has to stand.

    Args:
        planned: the axle
        standing: travels, other joints set
    """
    joint, shift = named(planned.name, WATT_BRACKET.joint), named(planned.name, "shift")
    settings = {**(standing.settings or {}), shift: 0.0}
    return place_axle(planned.stand, planned.name, replace(standing, settings=settings), freed=(joint,))

"""A number that a hand moves on a planned car."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from jounce.car.mechanics.model import AxleName
from jounce.car.parts.damper import Damper
from jounce.conventions.units import MM, Kind

__all__ = ["HEIGHT_WAY", "Lever", "Moves"]

Moves = Literal["height", "spring", "bar", "camber", "damping", "rubber"]

HEIGHT_WAY = 15 * MM
"""That each end is moved from where it stands, each way [m]."""


@dataclass(frozen=True, slots=True)
class Lever:
    """A number that a hand moves.

    Attributes:
        key: its name, as in "front.height"
        axle: front or rear
        moves: what it moves
        label: its name for people
        kind: what it measures
        today: what it is as planned [SI]
        low: least that it is moved to [SI]
        high: most that it is moved to [SI]
        power: power of it in which the car is followed; the fourth of a diameter, since it stiffens by that [-]
        writes: key of the job file that says it
        also: what else of the part the job file then has to say, by key, since it left the part as it is
        part: the damper whose force is moved; None of others

    """

    key: str
    axle: AxleName
    moves: Moves
    label: str
    kind: Kind
    today: float
    low: float
    high: float
    power: int
    writes: str
    also: Mapping[str, object] = field(default_factory=dict)
    part: Damper | None = None

    @property
    def whole(self) -> bool:
        """Whether it moves a car at rest: dampers, and rubbers that are not touched, do not."""
        return self.moves not in {"damping", "rubber"}

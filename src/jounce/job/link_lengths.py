"""Links of a knuckle whose lengths set its camber and caster: how far they go, and the caster they give."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import numpy as np

from jounce.behaviour.axle.motions import AxleStates, place_axle
from jounce.behaviour.axle.travel import column_map, states_table
from jounce.car.mechanics.model import AxleModel
from jounce.conventions.errors import Impossible
from jounce.layouts.naming import SideName
from jounce.linkage.place import Placed
from jounce.numerics.arrays import Array

__all__ = ["LinkLength", "LinkRange", "placed_with_casters"]

QUARTER_TURN = 0.25
_HAIR = 1e-12  # a length this near to an end is at it [m]
_WHOLE = 1e-9  # a count of turns this near to a whole one is that
_STEP = 1e-4  # difference of lengths over which the caster's change is looked at [m]
_FARTHEST = 0.08  # that any link is made longer or shorter while its length is sought [m]
_ROUNDS = 12  # the caster goes so nearly with the length that each brings it ten times closer or better
_AGREED = 1e-11  # what is left of a caster at which it is reached; poses are placed no closer [rad]
_OF_VARIANTS = (
    4  # rounds at least of documents that stand for many: their slopes begin anew even where the caster is met
)
_TURNS = 0.05  # links that turn the caster less do not set it: 0.003 degrees for 1 mm [rad/m]


@dataclass(frozen=True, slots=True)
class LinkLength:
    """How a link is set, against as found.

    Attributes:
        name: what it is called
        longer: by how much it is made longer, negative for shorter [m]
        needed: by how much it would have to be, whatever its thread [m]
        turns: of its thread, None where none was told
        length: between its joints, of a new link that replaces the one as found; None where that stays [m]

    """

    name: str
    longer: float
    needed: float
    turns: float | None
    length: float | None = None


@dataclass(frozen=True, slots=True)
class LinkRange:
    """A link of each side, by the word of its joint, and how far it goes.

    ``longer`` and ``shorter`` are from as found, None where nobody told, negative where a new link cannot be as long as the
    one that it replaces; without a ``pitch``, the change of length in a turn, it is set to any length. ``found`` are the
    lengths of those that new ones replace, by side [m].
    """

    joint: str
    longer: float | None = None
    shorter: float | None = None
    pitch: float | None = None
    found: Mapping[SideName, float] = field(default_factory=dict)

    @property
    def name(self) -> str:
        """What it is called."""
        return self.joint.replace("_", " ")

    def end_before(self, longer: float) -> float | None:
        """The end at which it stays where an angle asks for more; None where it can go there.

        Args:
            longer: by how much longer than found it would have to be [m]

        >>> LinkRange("link_1", longer=0.004).end_before(0.006), LinkRange("link_1").end_before(0.006)
        (0.004, None)
        """
        low, high = self._ends
        return None if low - _HAIR <= longer <= high + _HAIR else min(max(longer, low), high)

    def on_step(self, longer: float) -> float | None:
        """The nearest length in quarter turns within its ends; None without a thread [m].

        Args:
            longer: by how much longer than found it would have to be [m]

        >>> LinkRange("link_1", longer=0.004, pitch=0.0015).on_step(0.0039)
        0.00375
        """
        if self.pitch is None:
            return None
        step = self.pitch * QUARTER_TURN
        low, high = (end / step for end in self._ends)
        count: float = round(longer / step)
        count = count if math.isinf(high) else min(count, math.floor(high + _WHOLE))
        count = count if math.isinf(low) else max(count, math.ceil(low - _WHOLE))
        return count * step

    def set_to(self, side: SideName, longer: float, needed: float) -> LinkLength:
        """What is told of it.

        Args:
            side: which side
            longer: by how much it is made longer [m]
            needed: by how much it would have to be [m]
        """
        if self.found:  # nobody counts turns from a link that has gone
            return LinkLength(self.name, longer, needed, None, self.found[side] + longer)
        turns = None if self.pitch is None else round(longer / self.pitch / QUARTER_TURN) * QUARTER_TURN
        return LinkLength(self.name, longer, needed, turns)

    @property
    def _ends(self) -> tuple[float, float]:
        return (
            -math.inf if self.shorter is None else -self.shorter,
            math.inf if self.longer is None else self.longer,
        )


def placed_with_casters(
    planned: AxleModel,
    standing: AxleStates,
    freed: tuple[str, ...],
    wanted: Mapping[str, tuple[SideName, float]],
) -> Placed:
    """An axle placed with links as long as gives the caster wanted; one that stands for many too.

    Without two ball joints above one another caster is that of the axis about which the wheel turns as its tie rod changes
    length, which no measure of the linkage tells: so the lengths are sought by Newton's method with one slope, each
    side's for itself, all other angles held on the way.

    Args:
        planned: the axle
        standing: travels, attitude, joints and angles that are held
        freed: other joints whose value the angles held ask for
        wanted: by the full name of each link its side and the caster there [rad]

    Returns:
        The axle placed; what is not ``reached`` cannot be.

    Raises:
        Impossible: a link does not move the caster of its wheel
    """
    found = planned.stand.reference_values(list(wanted))
    given = dict(standing.settings or {})
    start = {link: found[:, k] for k, link in enumerate(wanted)}
    lengths: dict[str, Array] = dict(start)

    def tried(lengths: Mapping[str, Array]) -> tuple[Placed, dict[str, Array]]:
        placed = place_axle(planned.stand, planned.name, replace(standing, settings=given | dict(lengths)), freed)
        return placed, _missed(planned, standing, (placed, lengths), freed, wanted) if placed.reached.all() else {}

    placed, missed = tried(lengths)
    if not missed:
        return placed
    _, further = tried({link: length + _STEP for link, length in lengths.items()})
    if not further:
        return placed
    slope = {link: (further[link] - missed[link]) / _STEP for link in wanted}
    for link in wanted:
        if np.any(np.abs(slope[link]) < _TURNS):
            side, word = link.split(".")[1:]
            raise Impossible(
                f"The {side} {planned.name} {word.replace('_', ' ')} hardly moves the caster of its wheel: choose another."
            )
    for count in range(1, _ROUNDS + 1):
        for link in wanted:
            way = lengths[link] - missed[link] / slope[link] - start[link]
            lengths[link] = start[link] + np.where(np.abs(way) > _FARTHEST, np.sign(way.real) * _FARTHEST, way)
        placed, missed = tried(lengths)
        if not missed:
            return placed
        enough = count >= _OF_VARIANTS or not any(map(np.iscomplexobj, missed.values()))
        if enough and max(float(np.abs(one).max()) for one in missed.values()) <= _AGREED:
            return placed
    if max(float(np.abs(one.real).max()) for one in missed.values()) > _GIVEN:
        sides = " and ".join(side for side, _ in wanted.values())
        raise Impossible(f"No length of the {sides} {planned.name} links gives the caster wanted: ask for less.")
    return placed


_GIVEN = 1e-8  # what is left of a caster at which it is given [rad]


def _missed(
    planned: AxleModel,
    standing: AxleStates,
    placed: tuple[Placed, Mapping[str, Array]],
    freed: tuple[str, ...],
    wanted: Mapping[str, tuple[SideName, float]],
) -> dict[str, Array]:
    """Caster less what is wanted, by the links, each (variants,) [rad]: read with every joint held where it was placed."""
    pose, lengths = placed[0].pose, placed[1]
    held = {name: value for name, value in (standing.settings or {}).items() if name in planned.stand.joints}
    joints = dict(zip(freed, planned.stand.taken(list(freed)).values(pose).T, strict=True)) if freed else {}
    states = replace(standing, settings={**held, **joints, **lengths})
    told = column_map(states_table(planned.stand, planned.linkage, states, (1.0, 1.0), groups=("steering axis",)))
    missing = [side for side, _ in wanted.values() if f"{side}_caster" not in told]
    if missing:
        raise Impossible(f"The {planned.name} wheels turn about no axis whose caster could be set.")
    return {link: told[f"{side}_caster"] - angle for link, (side, angle) in wanted.items()}

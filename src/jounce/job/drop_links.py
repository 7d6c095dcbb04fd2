"""Drop links as long as leaves the anti-roll bars free where the car stands: one side's links are set, the others stay."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from jounce.behaviour.axle.motions import AxleStates, place_axle
from jounce.car.mechanics.layout_input import ANTI_ROLL_BARS
from jounce.car.mechanics.model import AxleModel
from jounce.conventions.errors import Impossible
from jounce.layouts.naming import SideName, named
from jounce.linkage.place import Placed

__all__ = [
    "LinkSetting",
    "LinkWish",
    "LinksSet",
    "link_joints",
    "links_set",
    "placed_with_free_bars",
    "without_freed_bars",
]

QUARTER_TURN = 0.25
_WHOLE = 1e-9  # a count of turns this near to a whole one is that


@dataclass(frozen=True, slots=True)
class LinkWish:
    """Which side's links are set, and how far they go; None where nobody told [m]."""

    side: SideName
    shortest: float | None = None
    longest: float | None = None
    pitch: float | None = None

    def set_to(self, needed: float, found: float) -> tuple[float, float | None]:
        """The length that it can have nearest to one, and the turns of its thread from as found, None without one.

        Args:
            needed: the length wanted [m]
            found: its length as found [m]
        """
        low, high = self.shortest or 0.0, self.longest or math.inf
        if self.pitch is None:
            return min(max(needed, low), high), None
        step = self.pitch * QUARTER_TURN
        least, most = ((end - found) / step for end in (low, high))
        count: float = round((min(max(needed, low), high) - found) / step)
        count = max(count, math.ceil(least - _WHOLE))
        count = count if math.isinf(most) else min(count, math.floor(most + _WHOLE))
        return found + count * step, count * QUARTER_TURN


@dataclass(frozen=True, slots=True)
class LinkSetting:
    """A drop link: as found, as long as would free its bar, as it is set [m], turns of its thread from as found."""

    side: SideName
    found_length: float
    free_length: float
    set_length: float
    turns: float | None


@dataclass(frozen=True, slots=True)
class LinksSet:
    """The links of an axle's bars by the bars' names, and their joints' values [m]."""

    links: Mapping[str, LinkSetting] = field(default_factory=dict)
    values: Mapping[str, float] = field(default_factory=dict)


def links_set(planned: AxleModel, standing: AxleStates, wish: LinkWish | None) -> LinksSet:
    """The links that free the bars of an axle where it stands.

    Args:
        planned: the axle
        standing: travels, attitude, all other joints set
        wish: whose links; None to leave them

    Raises:
        Impossible: no length of a link frees its bar there
    """
    if wish is None:
        return LinksSet()
    placed = placed_with_free_bars(planned, standing, wish.side)
    if not placed.reached.all():
        raise Impossible(
            f"No length of the {wish.side} {planned.name} drop link frees the anti-roll bar at this height."
        )
    links: dict[str, LinkSetting] = {}
    values: dict[str, float] = {}
    for bar, joint in link_joints(planned, wish.side).items():
        found = float(planned.stand.reference_values([joint])[0, 0])
        needed = float(planned.stand.taken([joint]).values(placed.pose)[0, 0])
        length, turns = wish.set_to(needed, found)
        links[bar], values[joint] = LinkSetting(wish.side, found, needed, length, turns), length
    return LinksSet(links, values)


def link_joints(planned: AxleModel, side: SideName) -> dict[str, str]:
    """Joints of one side's links, by the names of their bars.

    Args:
        planned: the axle
        side: which side
    """
    joints = {bar: named(planned.name, side, f"{bar}_link") for bar in ANTI_ROLL_BARS}
    return {bar: joint for bar, joint in joints.items() if joint in planned.stand.joints}


def placed_with_free_bars(planned: AxleModel, standing: AxleStates, side: SideName) -> Placed:
    """An axle placed with one side's links as long as leaves its bars free of load; one that stands for many too.

    Args:
        planned: the axle
        standing: travels, attitude, all other joints set
        side: whose links
    """
    joints = link_joints(planned, side)
    twists = {name: planned.elements[name].zero for bar in joints for name in [named(planned.name, f"{bar}_twist")]}
    kept = {name: value for name, value in (standing.settings or {}).items() if name not in joints.values()}
    return place_axle(
        planned.stand, planned.name, replace(standing, settings={**kept, **twists}), tuple(joints.values())
    )


def without_freed_bars(axle: AxleModel, wish: LinkWish | None) -> AxleModel:
    """An axle without the anti-roll bars that drop links are to free.

    Args:
        axle: complete with its springs
        wish: whose links; None where none is freed
    """
    if wish is None:
        return axle
    twists = {named(axle.name, f"{bar}_twist") for bar in link_joints(axle, wish.side)}
    return replace(axle, elements={name: one for name, one in axle.elements.items() if name not in twists})

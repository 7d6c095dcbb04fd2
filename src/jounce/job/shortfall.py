"""What a wish lacks: where an adjuster ends before it gives what is wanted, what is reached, and what would be needed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from jounce.car.axles.axle import Axle
from jounce.car.mechanics.layout_input import SIDE_OF
from jounce.conventions.axes import Side
from jounce.conventions.units import Kind
from jounce.job.sentence import Amount, Sentence, length, say, thickness
from jounce.job.settings import QUARTER_TURN, AxleSettings, AxleWishes, bolt_of
from jounce.job.shackles import LIFTS
from jounce.job.shim_range import edge
from jounce.job.trailing_links import thrust_line
from jounce.layouts.adjusters import HUB_SHIM, WATT_BRACKET, Aim
from jounce.layouts.naming import SIDES, SideName

__all__ = ["Shortfall", "shortfalls"]

Wish = Literal[
    "camber",
    "caster",
    "toe",
    "height",
    "cross weight",
    "middle of the axle",
    "thrust line",
    "free anti-roll bar",
    "bump steer",
]
_SHOWN = 5e-5  # what lacks less reads as reached [m]
_HAIR = 1e-9  # an adjuster this near to its end is not beyond it [m or turns]


@dataclass(frozen=True, slots=True)
class Shortfall:
    """A wish that the end of an adjuster leaves unmet.

    Attributes:
        axle: "front" or "rear"
        side: which wheel; empty for the axle as a whole
        wish: what was wanted
        kind: of what unit that is
        wanted: what was asked for [SI]
        reached: what the planned car has of it [SI]
        part: what is at its end, in words of the trade
        set: where that is set [m; a bolt: turns]
        needed: where it would have to be [m; a bolt: turns]
        ways: words for a positive and a negative setting; none where the sign tells it

    """

    axle: str
    side: str
    wish: Wish
    kind: Kind
    wanted: float
    reached: float
    part: str
    set: float
    needed: float
    ways: tuple[str, str] = ("", "")

    def told(self) -> Sentence:
        """The whole of it in a sentence."""
        sign = self.kind in {Kind.ANGLE, Kind.RATIO_ANGLE}
        wanted, reached = (Amount(value, self.kind, sign) for value in (self.wanted, self.reached))
        aside = say("{} to the {}", Amount(abs(self.reached), self.kind), "left" if self.reached > 0 else "right")
        return say(
            "{} wanted {}, reached {}: the {} ends at {}; {} would be needed.",
            self.wish,
            wanted,
            aside if self.wish == "middle of the axle" else reached,
            self.part,
            self._place(self.set),
            self._place(self.needed),
        )

    def _place(self, value: float) -> Sentence:
        if self.part == BOLT:
            return say(f"{abs(value):.2f} turns {self.ways[value < 0]}")
        if not any(self.ways):
            return say("{}", length(value, sign=self.part == SEAT, fine=True))
        way = thickness(abs(value)) if self.part == HUB_SHIM[0].name else length(abs(value), fine=True)
        return say("{} {}", way, self.ways[value < 0])


SEAT, BOLT = "spring seat", "adjusting bolt"


@dataclass(frozen=True, slots=True)
class PlannedAxle:
    """What is looked at of an axle: its document as planned, wishes, settings, and what came out.

    ``angles`` are those of the wheels by side and name, ``heights`` wanted and reached by side, ``cross`` the share wanted
    and reached, ``shift`` where the axle's middle stands, positive to the left, ``twists`` how much each anti-roll bar is
    twisted [SI].
    """

    name: str
    section: Axle
    wishes: AxleWishes
    settings: AxleSettings
    angles: Mapping[tuple[SideName, Aim], float]
    heights: Mapping[SideName, tuple[float, float]]
    cross: tuple[float, float]
    shift: float
    twists: Mapping[str, float]


def shortfalls(axle: PlannedAxle) -> tuple[Shortfall, ...]:
    """Every wish that an adjuster of an axle cannot meet, in the order of the work.

    Args:
        axle: its settings, and what came of them
    """
    every = (
        *_bolts(axle),
        *_seats(axle),
        *_shackles(axle),
        *_rod(axle),
        *_bracket(axle),
        *_trailing(axle),
        *_upper_joints(axle),
        *_angle_links(axle),
        *_shims(axle),
        *_toe_rods(axle),
        *_links(axle),
    )
    return tuple(lack for lack in every if abs(lack.needed - lack.set) > _SHOWN or lack.part == BOLT)


def _bolts(axle: PlannedAxle) -> Iterator[Shortfall]:
    """Bolts of anchors that were turned to their end: what is left is more than half a quarter turn."""
    for side, bar in axle.settings.bars.items():
        step = bolt_of(_one(axle, side).torsion_bar).step  # type: ignore[attr-defined]  # a layout with such bars
        if not step or not bar.index.splined:
            continue
        lacks = (bar.index.wanted - bar.index.reached) / step
        if abs(lacks) > QUARTER_TURN / 2 + _HAIR:
            turns = bar.index.bolt_turns
            yield _of_height(axle, side, BOLT, (turns, turns + lacks), ("up", "down"))


def _seats(axle: PlannedAxle) -> Iterator[Shortfall]:
    for side, seat in axle.settings.seats.items():
        thread = getattr(_one(axle, side), "perch", None)
        if thread is None or seat.wanted is None:
            continue
        if thread.lowest.value - _HAIR <= seat.wanted <= thread.highest.value + _HAIR:
            continue
        yield _of_height(axle, side, SEAT, (seat.seat, seat.wanted), ("", ""))
        wanted, reached = axle.cross
        yield Shortfall(
            axle.name, side, "cross weight", Kind.SHARE, wanted, reached, SEAT, seat.seat, seat.wanted, ("", "")
        )


def _shackles(axle: PlannedAxle) -> Iterator[Shortfall]:
    """Shackles of leaf springs at the longest or shortest that there is."""
    goes = axle.wishes.shackles
    for side, seat in axle.settings.seats.items():
        if goes is None or seat.shackle is None or seat.wanted is None or seat.one_length:
            continue
        needed = (seat.wanted - axle.wishes.spacer) / LIFTS
        if goes.beyond(needed):
            ways = ("longer than found", "shorter than found")
            yield _of_height(axle, side, "shackle", (seat.shackle, needed), ways)


def _of_height(
    axle: PlannedAxle, side: SideName, part: str, places: tuple[float, float], ways: tuple[str, str]
) -> Shortfall:
    wanted, reached = axle.heights[side]
    return Shortfall(axle.name, side, "height", Kind.LENGTH, wanted, reached, part, *places, ways)


def _rod(axle: PlannedAxle) -> Iterator[Shortfall]:
    rod = axle.settings.rod
    panhard = getattr(axle.section, "panhard", None)
    if rod is None or panhard is None or panhard.shortest is None or panhard.longest is None:
        return
    if panhard.shortest.value - _HAIR <= rod.centring_length <= panhard.longest.value + _HAIR:
        return
    places = (rod.set_length, rod.centring_length)
    yield Shortfall(axle.name, "", "middle of the axle", Kind.LENGTH, 0.0, axle.shift, "Panhard rod", *places)


def _bracket(axle: PlannedAxle) -> Iterator[Shortfall]:
    bracket, goes = axle.settings.bracket, axle.wishes.bracket
    if bracket is None or goes is None:
        return
    end = goes.right if bracket.centring_place < 0 else goes.left
    if end is not None and abs(bracket.centring_place) > end + _HAIR:
        places, ways = (bracket.set_place, bracket.centring_place), ("to the left", "to the right")
        name = WATT_BRACKET.name
        yield Shortfall(axle.name, "", "middle of the axle", Kind.LENGTH, 0.0, axle.shift, name, *places, ways)


def _trailing(axle: PlannedAxle) -> Iterator[Shortfall]:
    """Trailing links of which one side can get no longer and the other no shorter."""
    links, wish = axle.settings.trailing, axle.wishes.trailing
    toes = [axle.angles.get((side, "toe")) for side in SIDES]
    if links is None or wish is None or axle.wishes.angles.toe is not None or None in toes:
        return
    if abs(links.apart_needed) > wish.most + _HAIR:
        left, right = (toe or 0.0 for toe in toes)
        both, places = (wish.thrust, thrust_line(left, right)), (links.apart, links.apart_needed)
        ways = ("longer on the left than on the right", "longer on the right than on the left")
        yield Shortfall(axle.name, "", "thrust line", Kind.ANGLE, *both, f"pair of {links.name}s", *places, ways)


def _upper_joints(axle: PlannedAxle) -> Iterator[Shortfall]:
    angles = axle.wishes.angles
    for side in SIDES:
        wheel = axle.settings.wheels.get(side)
        if wheel is None:
            continue
        ways: tuple[tuple[Aim, Mapping[SideName, float] | None, tuple[float, float], tuple[str, str]], ...] = (
            ("camber", angles.camber, (wheel.plate_inward, wheel.inward_needed), ("inward", "outward")),
            ("caster", angles.caster, (wheel.plate_rearward, wheel.rearward_needed), ("rearward", "forward")),
        )
        for aim, wanted, places, words in ways:
            if (
                wanted is not None
                and aim not in angles.links
                and not wheel.shims
                and angles.slots.end_before(aim, places[1]) is not None
            ):
                wish: Wish = "camber" if aim == "camber" else "caster"
                both = (wanted[side], axle.angles[side, aim])
                yield Shortfall(axle.name, side, wish, Kind.ANGLE, *both, axle.settings.mover, *places, words)


def _angle_links(axle: PlannedAxle) -> Iterator[Shortfall]:
    """Links that set camber or caster and have no more thread left."""
    angles, ways = axle.wishes.angles, ("longer than found", "shorter than found")
    wishes: tuple[tuple[Wish, Aim], ...] = (("camber", "camber"), ("caster", "caster"))
    for side, wheel in axle.settings.wheels.items():
        for wish, aim in wishes:
            link, wanted = wheel.links.get(aim), angles.of(aim)
            if link is None or wanted is None or angles.links[aim].end_before(link.needed) is None:
                continue
            both = (wanted[side], axle.angles[side, aim])
            yield Shortfall(axle.name, side, wish, Kind.ANGLE, *both, link.name, link.longer, link.needed, ways)


def _shims(axle: PlannedAxle) -> Iterator[Shortfall]:
    """Hubs whose shims are as thick as they may be."""
    angles, goes = axle.wishes.angles, axle.wishes.angles.shims
    wishes: tuple[tuple[Wish, Aim, Mapping[SideName, float] | None], ...] = (
        ("camber", "camber", angles.camber),
        ("toe", "toe", angles.toe),
    )
    for side, wheel in axle.settings.wheels.items():
        for wish, aim, wanted in wishes:
            needed = wheel.shims_needed.get(aim)
            if wanted is None or needed is None or goes.end_before(needed) is None:
                continue
            both = (wanted[side], axle.angles[side, aim])
            places = (goes.thickness(wheel.shims[aim]) or 0.0, goes.thickness(needed) or 0.0)
            ways = (f"under the {edge(aim, 1.0)} edge", f"under the {edge(aim, -1.0)} edge")
            yield Shortfall(axle.name, side, wish, Kind.ANGLE, *both, axle.settings.mover, *places, ways)


def _toe_rods(axle: PlannedAxle) -> Iterator[Shortfall]:
    """Tie rods or toe links of which no more thread is left."""
    wanted, goes = axle.wishes.angles.toe, axle.wishes.angles.rods
    for side, wheel in axle.settings.wheels.items():
        set_to, needed = wheel.tie_rod, wheel.tie_rod_needed
        if wanted is None or set_to is None or needed is None or goes.end_before(needed) is None:
            continue
        both, ways = (wanted[side], axle.angles[side, "toe"]), ("longer than found", "shorter than found")
        yield Shortfall(axle.name, side, "toe", Kind.ANGLE, *both, axle.settings.toe_rod, set_to, needed, ways)


def _links(axle: PlannedAxle) -> Iterator[Shortfall]:
    """Drop links at an end of their thread; what the bar is then twisted by is left of the wish."""
    wish = axle.wishes.free_bars
    for bar, link in axle.settings.links.items():
        low, high = (None, None) if wish is None else (wish.shortest, wish.longest)
        short = low is not None and link.free_length < low - _HAIR
        if short or (high is not None and link.free_length > high + _HAIR):
            places = (link.set_length, link.free_length)
            twist = axle.twists[bar]
            yield Shortfall(axle.name, link.side, "free anti-roll bar", Kind.ANGLE, 0.0, twist, "drop link", *places)


def _one(axle: PlannedAxle, side: SideName) -> object:
    return axle.section.side(Side(SIDE_OF[side]))

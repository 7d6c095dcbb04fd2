"""What a job says in words, the same on screen and on paper: settings in the order of work, cautions."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from fractions import Fraction
from itertools import chain

from jounce.behaviour.bands import Band
from jounce.car.mechanics.model import AXLES, AxleName
from jounce.conventions.units import MM, Kind, show, show_whole
from jounce.job.index.hanging import hanging_point, read_at
from jounce.job.part_words import part_lines, parts_of
from jounce.job.plan import JobPlan, value_of
from jounce.job.sentence import thickness_told
from jounce.job.settings import BarSetting, PerchSetting, WheelSetting
from jounce.job.shackles import LIFTS
from jounce.job.shim_range import edge
from jounce.job.trailing_links import TrailingSetting, thrust_line
from jounce.job.which_way import WindingWay, winding_way
from jounce.layouts.adjusters import TRAILING_ARM, Aim
from jounce.layouts.axle import AxleLinkage
from jounce.layouts.naming import SIDES, SideName

__all__ = [
    "PLATE_STEP",
    "ROD_STEP",
    "SURE",
    "TURNED",
    "cautions_of",
    "part_lines",
    "parts_of",
    "plate_told",
    "settings_of",
    "tie_rod_flats",
    "unmet_told",
]

PLATE_STEP = MM / 2
"""What can be read on the scale of a top plate, common practice, no source [m]."""
TIE_ROD_PITCH = 1.5 * MM
"""Thread of a usual tie rod, common practice, no source: the car's own is not among its measurements [m]."""
SURE = (
    "± of a setting holds what truly gives the wanted height or angle in 9 of 10 cases; that of an arm hanging free holds "
    "where it will be found. Read heights and gauge, then correct."
)
"""What stands beside settings with their ±."""
_FLATS = 6
ROD_STEP = TIE_ROD_PITCH / _FLATS
"""One flat of a hexagon on that thread [m]."""

_CHECKED = (
    "Check hoses, cables and drive shafts at full droop and full lock. Reset a load-sensing brake valve; aim the lamps."
)
_LICENSED = (
    "Have welding and structural work done by someone licensed. "
    "Changes may need approval by the authority and inspector."
)


def cautions_of(plan: JobPlan) -> tuple[str, ...]:
    """What to look out for, in a few lines; the springs are called what this car has.

    Args:
        plan: what came out
    """
    models = (*plan.found.models, *plan.planned.models)
    kinds = {spring.kind for model in models for spring in model.main.values()}
    twisted, others = "torsion bar" in kinds, bool(kinds - {"torsion bar"})
    springs = " and ".join([*["torsion bars"] * twisted, *["springs"] * others])
    clear = "bar and lever" if twisted else "them and of what they move"
    return (
        "Stand a lifted car only on stands rated for it, on level ground; never work under a car on jacks alone.",
        f"{springs.capitalize()} hold stored energy: unload them before undoing anything, stand clear of {clear}.",
        f"Mark {springs} left and right; no grips, heat or hammer. Springs must stay captive at full droop.",
        "Tighten rubber bushes with the car at ride height. Torques, thread locking, single-use parts: the maker's manual.",
        _CHECKED,
        _LICENSED,
        "The numbers depend on the measurements given; they do not replace an inspection or a road test.",
    )


def settings_of(plan: JobPlan, units: str, bands: Mapping[str, Band] | None = None) -> list[str]:
    """Every setting as a sentence, in the order of work; what stays as it is is not among them.

    Args:
        plan: what came out
        units: unit set to show
        bands: of its settings, from `every_band`; none are told when left out
    """
    sure = _Sure(units, bands or {})
    springs = [part(plan, axle, sure) for part in (_bars, _seats) for axle in AXLES]
    done = [part(plan, axle, sure) for part in (_rod, _bracket, _trailing, _joints) for axle in AXLES]
    # Where the rear axle points is the line to which front toe is set: its wheels come first.
    angles = [_wheels(plan, axle, sure) for axle in reversed(AXLES)]
    links = [_links(plan, axle, sure) for axle in AXLES]
    return list(chain.from_iterable((*springs, _at_odds(plan, units), *done, *angles, *links)))


def unmet_told(plan: JobPlan, units: str) -> list[str]:
    """Every wish that is left unmet: by the end of an adjuster, or because wishes contradict each other.

    Args:
        plan: what came out
        units: unit set to show
    """
    return [*(lack.told().said(units) for lack in plan.short), *_at_odds(plan, units)]


def _at_odds(plan: JobPlan, units: str) -> list[str]:
    """That heights and cross weight wanted contradict each other, where a tape finds it."""
    return [plan.at_odds.told().said(units)] if plan.at_odds is not None and plan.at_odds.telling else []


class _Sure:
    """Numbers in a unit set, each with its ± where that would not print as zero."""

    def __init__(self, units: str, bands: Mapping[str, Band]) -> None:
        self.units, self._bands = units, bands

    def band(self, key: str) -> float:
        """Half width of a setting's band [SI]."""
        return self._bands[key].plus_minus if key in self._bands else 0.0

    def length(self, value: float, key: str = "") -> str:
        """A length with its ±."""
        number, _, symbol = show(value, Kind.LENGTH, self.units).partition(" ")
        width = show(self.band(key), Kind.LENGTH, self.units).partition(" ")[0]
        return f"{number} ± {width} {symbol}" if _tells(width) else f"{number} {symbol}"

    def thickness(self, value: float, wide: float) -> str:
        """A thickness with its ± [m]."""
        return thickness_told(value, wide, self.units)

    def apart(self, key: str, places: int, factor: float = 1.0, unit: str = "") -> str:
        """A ± behind what has no plain number before it."""
        width = f"{self.band(key) * factor:.{places}f}"
        return f" (± {width}{unit})" if _tells(width) else ""

    def length_apart(self, key: str) -> str:
        """The ± of a length, behind words that tell it."""
        width = show(self.band(key), Kind.LENGTH, self.units)
        return f" (± {width})" if _tells(width) else ""


def _tells(width: str) -> bool:
    return any(digit in "123456789" for digit in width)


def tie_rod_flats(longer: float, pitch: float | None = None) -> int:
    """By how many flats of a hexagon a tie rod is turned, positive longer; 0 where it is best left as it is.

    Args:
        longer: by how much the rod gets longer [m]
        pitch: what a turn gives; that of a usual tie rod if not known [m]
    """
    return round(longer / (pitch or TIE_ROD_PITCH) * _FLATS)


def _length(value: float, units: str, *, sign: bool = False) -> str:
    return show(value, Kind.LENGTH, units, sign=sign)


def _bars(plan: JobPlan, axle: AxleName, sure: _Sure) -> Iterator[str]:
    linkage = plan.planned.models[AXLES.index(axle)].linkage
    for side, bar in plan.settings[axle].bars.items():
        way = winding_way(linkage, side)
        turned = _bolt(bar) if bar.index.splined else ""
        wide = sure.apart(f"{axle}.{side}.bar_turn", 2, math.degrees(1.0), "° of turn")
        line = (
            f"{side} {axle} torsion bar: {_index(bar, way)}{turned}{wide}. {_hanging(linkage, (axle, side), bar, sure)}"
        )
        yield f"{line.rstrip()}{_lacking(plan, (axle, side), _OF_SPRINGS, sure)}"


def _index(bar: BarSetting, way: WindingWay | None) -> str:
    """What is done at the two ends, counted from the old marks, and which way that turns."""
    index = bar.index
    if not index.splined:
        turn = f"{math.degrees(abs(index.wanted)):.2f}°{_turning(index.wanted, way)}"
        return f"spline counts not known: mark out {turn}, from the old marks"
    done = []
    if index.arm_teeth:
        done.append(f"the arm {_teeth(index.arm_teeth)} further {_down(index.arm_teeth)} on its bar")
    if index.anchor_teeth:
        done.append(f"the bar with its arm {_teeth(index.anchor_teeth)} further round in its anchor")
    if not done:
        return "both ends on their old marks"
    turned = " and ".join(
        f"{text}{_turning(count, way)}"
        for text, count in zip(done, filter(None, (index.arm_teeth, index.anchor_teeth)), strict=True)
    )
    kept = "" if len(done) > 1 else f", {'the anchor' if index.arm_teeth else 'the arm'} end on its old mark"
    return f"from the old marks, {turned}{kept}"


def _teeth(count: int) -> str:
    return "1 tooth" if abs(count) == 1 else f"{abs(count)} teeth"


def _down(count: int) -> str:
    return "down" if count > 0 else "up"


def _turning(amount: float, way: WindingWay | None) -> str:
    """The sense of a turn that is positive where it winds the bar up."""
    effect = "winds up, lifts the car" if amount > 0 else "lets down, lowers the car"
    if way is None:
        return f" ({effect})"
    return f" {way.winds_up if amount > 0 else way.lets_down} seen {way.seen} ({effect})"


def _bolt(bar: BarSetting) -> str:
    turns = bar.index.bolt_turns
    if not turns:
        return ""
    return f"; adjusting bolt {abs(turns):.2f} turns so that it {'lifts' if turns > 0 else 'lowers'} the car"


def _hanging(linkage: AxleLinkage, corner: tuple[AxleName, SideName], bar: BarSetting, sure: _Sure) -> str:
    """Where the arm hangs before it is loaded, against something that can be reached on stands."""
    axle, side = corner
    point = hanging_point(linkage, side)
    if point is None:
        return ""
    over = float(point.over_pivots(bar.free_arm_angle)[0])
    return (
        f"Arm hanging free, before it is loaded: {read_at(point.name)} "
        f"{sure.length(abs(over), f'{axle}.{side}.arm_hangs')} "
        f"{'above' if over > 0 else 'below'} the line through the arm's two inner pivots, straight across from it, the "
        "body level from side to side."
    )


def _seats(plan: JobPlan, axle: AxleName, sure: _Sure) -> Iterator[str]:
    for side, perch in plan.settings[axle].seats.items():
        if not perch.adjustable:
            spacer = perch.seat - LIFTS * (perch.shackle or 0.0)
            if abs(spacer) > _NOTHING:
                word = "raises" if spacer > 0 else "lowers"
                yield f"{side} {axle} spring: spacer that {word} the body on it by {sure.length(abs(spacer))}."
            if perch.shackle is None and perch.wanted is not None and abs(perch.wanted - perch.seat) >= MM:
                word = "raises" if perch.wanted > 0 else "lowers"
                yield (
                    f"{side} {axle} spring: nothing on it sets a height; the one wanted needs a spacer that {word} the "
                    f"body on it by {sure.length(abs(perch.wanted))}."
                )
            yield from _shackle(plan, (axle, side), perch, sure)
            continue
        if perch.turns is None:
            yield f"{side} {axle} spring seat: not known before the new spring's free length is measured."
            continue
        wide, seat = sure.apart(f"{axle}.{side}.seat_turns", 1), sure.length(abs(perch.seat), f"{axle}.{side}.seat")
        yield (
            f"{side} {axle} spring seat: ring right down on its thread{_up(perch.turns, wide)}; the seat then "
            f"stands {seat} {'above' if perch.seat >= 0 else 'below'} the seat as it was measured."
            f"{_lacking(plan, (axle, side), _OF_SPRINGS, sure)}"
        )


def _up(turns: float, wide: str) -> str:
    return f", then {_turns(turns)}{wide} up" if turns else ""


_NOTHING = 1e-9  # a spacer thinner than this is none [m]


def _shackle(plan: JobPlan, corner: tuple[AxleName, SideName], perch: PerchSetting, sure: _Sure) -> Iterator[str]:
    axle, side = corner
    if perch.shackle is None:
        return
    length = sure.length(abs(perch.shackle), f"{axle}.{side}.shackle")
    told = (
        f"{length} {'longer' if perch.shackle > 0 else 'shorter'} than found" if perch.shackle else "as long as found"
    )
    yield f"{side} {axle} shackle: {told} between its eyes.{_lacking(plan, corner, _OF_SPRINGS, sure)}"


def _turns(count: float) -> str:
    """Turns in quarters: 3¾ turns."""
    whole, part = divmod(Fraction(round(count * 4), 4), 1)
    text = f"{whole if whole or not part else ''}{_QUARTERS[part]}"
    return f"{text} {'turn' if count <= 1 else 'turns'}"


_QUARTERS = {Fraction(0): "", Fraction(1, 4): "¼", Fraction(1, 2): "½", Fraction(3, 4): "¾"}


def _rod(plan: JobPlan, axle: AxleName, sure: _Sure) -> Iterator[str]:
    rod = plan.settings[axle].rod
    if rod is None:
        return
    away = _aside(rod.shift_if_left, sure)
    if rod.turns is None and rod.set_length == rod.found_length:
        if abs(rod.shift_if_left) >= MM:
            yield f"Panhard rod: it cannot be adjusted; the axle then stands {away}."
        return
    length = f"{sure.length(rod.set_length, f'{axle}.rod_length')} between the middles of its two ends"
    if rod.turns is None or not rod.turns:
        yield f"Panhard rod: {length}, as long as the old one." if rod.turns is not None else f"Panhard rod: {length}."
        return
    wide = sure.apart(f"{axle}.rod_turns", 1)
    turns = f"{_turns(abs(rod.turns))}{wide} {'longer' if rod.turns > 0 else 'shorter'} than the old one was"
    lacks = _lacking(plan, (axle, ""), _OF_ROD, sure)
    then = "" if lacks else ": the axle is then in the middle"
    yield f"Panhard rod: {length}, {turns}{then}. At the old length it would stand {away}. Lock both nuts.{lacks}"


_SHOWN = 5e-5  # a way below this shows as none [m]


def _bracket(plan: JobPlan, axle: AxleName, sure: _Sure) -> Iterator[str]:
    bracket = plan.settings[axle].bracket
    if bracket is None:
        return
    shift = value_of(plan.planned.geometry[axle], "axle_shift") or 0.0
    lacks = _lacking(plan, (axle, ""), _OF_ROD, sure)
    then = "is then in the middle" if abs(shift) < MM / 2 else f"then stands {_aside(shift, sure)}"
    if abs(bracket.set_place) < _SHOWN:
        stands = "stands in the middle" if abs(shift) < _SHOWN else f"stands {_aside(shift, sure)}"
        yield f"{axle} Watt linkage: its rocker's bracket stays where it is, the axle {stands}.{lacks}"
        return
    side = "left" if bracket.set_place > 0 else "right"
    yield (
        f"{axle} Watt linkage: its rocker's bracket {sure.length(abs(bracket.set_place), f'{axle}.bracket')} to the {side}"
        f"{'' if lacks else f': the axle {then}'}. Left as it was it would stand {_aside(bracket.shift_if_left, sure)}."
        f"{lacks}"
    )


def _aside(shift: float, sure: _Sure) -> str:
    return f"{sure.length(abs(shift))} to the {'left' if shift > 0 else 'right'}"


def _trailing(plan: JobPlan, axle: AxleName, sure: _Sure) -> Iterator[str]:
    links = plan.settings[axle].trailing
    if links is None:
        return
    told = [f"{side} {_of_link(links, side, sure, f'{axle}.{side}.trailing_link')}" for side in SIDES]
    lacks = _lacking(plan, (axle, ""), _OF_THRUST, sure)
    toes = [value_of(plan.planned.geometry[axle], f"{side}_toe") or 0.0 for side in SIDES]
    then = "" if lacks else f": the axle then points {_pointing(thrust_line(*toes))}"
    alone = _pointing(links.thrust_if_left)
    yield f"{axle} {links.name}s: {', '.join(told)}{then}. As long as found it would point {alone}. Lock all nuts.{lacks}"


def _joints(plan: JobPlan, axle: AxleName, sure: _Sure) -> Iterator[str]:
    """Spacers at joints and the rack's height: put in before plates and tie rods are set."""
    joints = plan.settings[axle].joints
    spacers = (
        (joints.ball_joint, "lower ball joints", "ball_joint_spacer"),
        (joints.tie_rod, "outer joints of the tie rods", "tie_rod_spacer"),
    )
    for height, name, key in spacers:
        if height:
            lower = sure.length(height, f"{axle}.{key}")
            yield f"{axle} {name}, left and right: spacers that set them {lower} lower."
    if joints.rack:
        way = "higher" if joints.rack > 0 else "lower"
        count = 0 if joints.shim is None else round(abs(joints.rack) / joints.shim)
        shims = (
            f"{count} {'shim' if count == 1 else 'shims'} of {show_whole(joints.shim or 0.0, Kind.LENGTH, sure.units)}"
        )
        told = f" ({shims} {'more' if joints.rack > 0 else 'fewer'} under each end)" if count else ""
        by = sure.length(abs(joints.rack), f"{axle}.rack")
        yield f"{axle} rack: {by} {way} than found, both ends alike{told}. Then the tie rods."
    bump = plan.settings[axle].bump_steer
    if bump is not None:
        reached, wanted = (show(one, Kind.RATIO_ANGLE, sure.units, sign=True) for one in (bump.reached, bump.wanted))
        lacks = _lacking(plan, (axle, ""), _OF_BUMP, sure)
        done = "" if bump.set else f", {bump.part} where it is"
        yield f"{axle} bump steer, toe set again: {reached} where the car stands ({wanted} wanted){done}.{lacks}"


def _of_link(links: TrailingSetting, side: SideName, sure: _Sure, key: str) -> str:
    """What is done to the links of one side: each of them by as much."""
    if side in links.lengths:
        ends = "from front bush to tube" if links.name == TRAILING_ARM.name else "between the middles of their joints"
        return f"new ones {sure.length(links.lengths[side], key)} {ends}"
    longer, turns = links.longer[side], None if links.turns is None else links.turns[side]
    if not (longer if turns is None else turns):
        return "as long as found"
    way = "longer" if longer > 0 else "shorter"
    length = sure.length(abs(longer), key)
    return f"{length} {way}" if turns is None else f"{_turns(abs(turns))} {way} ({length})"


def _pointing(thrust: float) -> str:
    """Where an axle points, in words."""
    told = f"{abs(math.degrees(thrust)):.2f}"
    return f"{told}° to the {'left' if thrust > 0 else 'right'}" if _tells(told) else "straight ahead"


def _wheels(plan: JobPlan, axle: AxleName, sure: _Sure) -> Iterator[str]:
    for side, wheel in plan.settings[axle].wheels.items():
        if wheel.shims:
            done = [*_shims(plan, (axle, side), wheel, sure)]
        else:
            done = [*_plate(plan, (axle, side), wheel, sure)]
            done += [*_angle_links(plan, (axle, side), wheel, sure), *_tie_rod(plan, (axle, side), wheel, sure)]
        if done:
            yield f"{side} {axle} wheel: {'; then '.join(done)}.{_lacking(plan, (axle, side), _OF_WHEELS, sure)}"


_OF_SPRINGS, _OF_WHEELS = ("height", "cross weight"), ("camber", "caster", "toe")
_OF_ROD, _OF_LINKS, _OF_THRUST = ("middle of the axle",), ("free anti-roll bar",), ("thrust line",)
_OF_BUMP = ("bump steer",)


def _lacking(plan: JobPlan, corner: tuple[str, str], wishes: tuple[str, ...], sure: _Sure) -> str:
    """Sentences of what an adjuster that is at its end leaves unmet, each after a space."""
    lacks = [
        lack.told().said(sure.units) for lack in plan.short if (lack.axle, lack.side) == corner and lack.wish in wishes
    ]
    return "".join(f" {text[0].upper()}{text[1:]}" for text in lacks)


def _plate(plan: JobPlan, corner: tuple[AxleName, SideName], wheel: WheelSetting, sure: _Sure) -> Iterator[str]:
    axle, side = corner
    ways = (
        (wheel.plate_inward, ("inward", "outward"), f"{axle}.{side}.plate_inward"),
        (wheel.plate_rearward, ("rearward", "forward"), ""),
    )
    moved = [
        f"{told}{sure.length_apart(key)}" for way, words, key in ways if (told := plate_told(way, words, sure.units))
    ]
    if moved:
        camber = value_of(plan.planned.geometry[axle], f"{side}_camber")
        gauge = "" if camber is None else f", until the gauge shows camber {_degrees(camber)}"
        alone = _degrees(plan.settings[axle].alone["camber", side])
        turn = "" if wheel.bolt_turn is None else f", eccentric bolts {_turned(wheel.bolt_turn)}"
        name, way = plan.settings[axle].mover, " and ".join(moved)
        yield f"{name} {way} on its scale{turn}{gauge} ({alone} if it is left where it was)"


def _angle_links(plan: JobPlan, corner: tuple[AxleName, SideName], wheel: WheelSetting, sure: _Sure) -> Iterator[str]:
    """What is done to the links that set camber and caster."""
    axle, side = corner
    for aim, link in wheel.links.items():
        now = value_of(plan.planned.geometry[axle], f"{side}_{aim}")
        if link.length is not None:
            length, reads = (
                sure.length(link.length, f"{axle}.{side}.{aim}_link"),
                "" if now is None else f" {_degrees(now)}",
            )
            yield f"new {link.name} {length} between the middles of its joints for {aim}{reads}"
            continue
        if abs(link.longer) < _NO_LONGER:
            yield f"{link.name} as long as found, for {aim}"
            continue
        way, length = (
            "longer" if link.longer > 0 else "shorter",
            sure.length(abs(link.longer), f"{axle}.{side}.{aim}_link"),
        )
        amount = f"{length} {way}" if link.turns is None else f"{_turns(abs(link.turns))} {way} ({length})"
        yield f"{link.name} {amount} for {aim}{'' if now is None else f' {_degrees(now)}'}"


_NO_LONGER = 5e-5  # no rule tells less [m]


def _turned(bolt: float) -> str:
    """How far an eccentric bolt is turned, in whole degrees: marks on a washer are no finer."""
    degrees = round(math.degrees(abs(bolt)))
    return f"{degrees}° from their middle, cam {'inward' if bolt > 0 else 'outward'}" if degrees else "in their middle"


def _links(plan: JobPlan, axle: AxleName, sure: _Sure) -> Iterator[str]:
    """Drop links come last: the car on its wheels, everything else set."""
    for bar, link in plan.settings[axle].links.items():
        name = f"{link.side} {axle} drop link{' of the second anti-roll bar' if bar == 'roll_bar_2' else ''}"
        length = sure.length(link.set_length, f"{axle}.{link.side}.{bar}_link")
        more = link.set_length - link.found_length
        by = f"{sure.length(abs(more))} {'longer' if more > 0 else 'shorter'} than as found"
        turns = "" if not link.turns else f", {_turns(abs(link.turns))}"
        lacks = _lacking(plan, (axle, link.side), _OF_LINKS, sure)
        free = "" if lacks else ": the bar is then free with the car on its wheels"
        yield f"{name}: {length} between the middles of its two ends, {by}{turns}{free}.{lacks}"


TURNED = math.radians(0.005)
"""A hub that is turned less is told to stay [rad]."""


def _shims(plan: JobPlan, corner: tuple[AxleName, SideName], wheel: WheelSetting, sure: _Sure) -> Iterator[str]:
    """What is put under a hub's flange: a thickness where the flange was measured, else the angle that it has to give."""
    axle, side = corner
    goes = plan.settings[axle].shims
    aims: tuple[Aim, ...] = ("camber", "toe")
    packs = []
    for aim in (aim for aim in aims if abs(wheel.shims[aim]) >= TURNED):
        angle, band = wheel.shims[aim], sure.band(f"{axle}.{side}.shim_{aim}")
        thick, wide = goes.thickness(angle), goes.thickness(band)
        if thick is None or wide is None:
            told = f"{aim} by {_degrees(angle)}{sure.apart(f'{axle}.{side}.shim_{aim}', 2, math.degrees(1.0), '°')}"
            packs.append(f"{told} (thicker under the {edge(aim, angle)} edge)")
        else:
            packs.append(f"{sure.thickness(abs(thick), wide)} under the {edge(aim, angle)} edge of its flange")
    if packs:
        told = "shim the hub" if goes.flange else "shim the hub to move"
        table, alone = plan.planned.geometry[axle], plan.settings[axle].alone
        gauge = " and ".join(f"{aim} {_degrees(value_of(table, f'{side}_{aim}') or 0.0)}" for aim in aims)
        left = " and ".join(f"{aim} {_degrees(alone[aim, side])}" for aim in aims)
        yield f"{told} {' and '.join(packs)}, until the gauge shows {gauge} ({left} as it is)"


def _tie_rod(plan: JobPlan, corner: tuple[AxleName, SideName], wheel: WheelSetting, sure: _Sure) -> Iterator[str]:
    axle, side = corner
    if wheel.tie_rod is None:
        return
    goes, rod = plan.settings[axle].rods, plan.settings[axle].toe_rod
    pitch = goes.pitch or TIE_ROD_PITCH
    flats = tie_rod_flats(wheel.tie_rod, pitch)
    toe = value_of(plan.planned.geometry[axle], f"{side}_toe")
    gauge = "" if toe is None else f"toe {_degrees(toe)} on the gauge"
    if goes.found:
        length = sure.length(goes.found[side] + wheel.tie_rod, f"{axle}.{side}.tie_rod")
        yield f"new {rod} {length} between the middles of its joints{gauge and f': {gauge}'}"
        return
    if not flats:
        yield f"{gauge or 'toe on the gauge'}: the {rod} needs less than a flat of its hexagon"
        return
    word = "longer" if flats > 0 else "shorter"
    count = "1 flat" if abs(flats) == 1 else f"{abs(flats)} flats"
    turn, longer = sure.length(pitch), sure.length(abs(flats) * pitch / _FLATS, f"{axle}.{side}.tie_rod")
    yield (f"{rod} about {longer} {word} ({count} of its hexagon where a turn is {turn}){gauge and f': {gauge}'}")


def plate_told(way: float, words: tuple[str, str], units: str) -> str:
    """How far a top plate is moved, as fine as its scale is read; empty where it stays.

    Args:
        way: the first of the words is positive [m]
        words: the two ways
        units: unit set to show
    """
    stepped = _stepped(abs(way))
    return f"about {_length(stepped, units)} {words[way < 0]}" if stepped else ""


def _stepped(way: float) -> float:
    return round(way / PLATE_STEP) * PLATE_STEP


def _degrees(angle: float) -> str:
    return f"{round(math.degrees(angle), 2) + 0.0:+.2f}°"

"""Settings as a table for hands in gloves: left and right, whole signed numbers, the sense of each turn, what proves it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from jounce.behaviour.bands import Band
from jounce.car.file.document import CarDocument
from jounce.car.mechanics.model import AXLES, AxleName
from jounce.conventions.units import Kind, show
from jounce.job.index.hanging import hanging_point, read_at
from jounce.job.plan import JobPlan, height, value_of
from jounce.job.sentence import thickness_told
from jounce.job.settings import BarSetting
from jounce.job.shackles import LIFTS
from jounce.job.shim_range import ShimRange, edge
from jounce.job.which_way import WindingWay, winding_way
from jounce.job.wording import PLATE_STEP, TURNED, tie_rod_flats
from jounce.layouts.adjusters import TRAILING_ARM, Aim
from jounce.layouts.naming import SIDES, SideName

__all__ = ["BayCell", "BayRow", "bay_rows"]

Across = Literal["both"]
_ACROSS: Across = "both"
Turn = Literal["", "clockwise", "anticlockwise"]
_NOTHING = 1e-9  # a spacer thinner than this is none [m]


@dataclass(frozen=True, slots=True)
class BayCell:
    """What is done, or read, at one side.

    Attributes:
        big: the number, with its sign and without words: "+2", "3¾", "−78.1"
        words: what it means, short: "teeth, anticlockwise seen from the front of the car"
        turn: which way it is turned, for the sketch beside it

    """

    big: str
    words: str = ""
    turn: Turn = ""


@dataclass(frozen=True, slots=True)
class BayRow:
    """A line of the table.

    Attributes:
        axle: front or rear
        what: what is set or read
        cells: by side; one of both for what the axle has once
        reads: it is no setting but a reading that proves one

    """

    axle: AxleName
    what: str
    cells: Mapping[SideName, BayCell] | Mapping[Across, BayCell]
    reads: bool = False


def bay_rows(document: CarDocument, plan: JobPlan, units: str, bands: Mapping[str, Band] | None = None) -> list[BayRow]:
    """Every setting in the order of work, each proof after what it proves; what stays as it is says so.

    Args:
        document: the car as measured, for its heights
        plan: what came out
        units: unit set to show
        bands: of its settings and heights, from `every_band`
    """
    tell = _Tell(document, plan, units, bands or {})
    parts = (
        tell.bars,
        tell.seats,
        tell.rod,
        tell.heights,
        tell.joints,
        tell.plates,
        tell.angle_links,
        tell.shims,
        tell.toe_rods,
        tell.angles,
        tell.links,
    )
    return [row for axle in AXLES for part in parts for row in part(axle)]


class _Tell:
    """The rows of a plan."""

    def __init__(self, document: CarDocument, plan: JobPlan, units: str, bands: Mapping[str, Band]) -> None:
        self.document, self.plan, self.units, self.bands = document, plan, units, bands

    def bars(self, axle: AxleName) -> Iterator[BayRow]:
        bars = self.plan.settings[axle].bars
        if not bars:
            return
        linkage = self.plan.planned.models[AXLES.index(axle)].linkage
        ways = {side: winding_way(linkage, side) for side in bars}
        if all(bar.index.splined for bar in bars.values()):
            for what, key in (("arm on its bar", "arm_teeth"), ("bar in its anchor, with its arm", "anchor_teeth")):
                cells = {side: _teeth(getattr(bar.index, key), ways[side]) for side, bar in bars.items()}
                yield BayRow(axle, f"torsion bar: {what}", cells)
        else:
            yield BayRow(
                axle, "torsion bar: marked out", {side: _marked(bar, ways[side]) for side, bar in bars.items()}
            )
        if any(bar.index.bolt_turns for bar in bars.values()):
            cells = {side: _bolt(bar.index.bolt_turns) for side, bar in bars.items()}
            yield BayRow(axle, "adjusting bolt", cells)
        points = {side: hanging_point(linkage, side) for side in bars}
        hangs = {
            side: BayCell(
                self._length(float(point.over_pivots(bars[side].free_arm_angle)[0]), f"{axle}.{side}.arm_hangs"),
                f"{read_at(point.name)} over (−: under) the line through the arm's inner pivots",
            )
            for side, point in points.items()
            if point is not None
        }
        if hangs:
            yield BayRow(axle, "arm hanging free, not yet loaded", hangs, reads=True)

    def seats(self, axle: AxleName) -> Iterator[BayRow]:
        seats = self.plan.settings[axle].seats
        turned = {side: seat for side, seat in seats.items() if seat.adjustable}
        if turned:
            yield BayRow(
                axle,
                "spring seat, ring right down first",
                {
                    side: BayCell("?", "measure the new spring's free length first")
                    if seat.turns is None
                    else BayCell(_quarters(seat.turns), "turns up")
                    for side, seat in turned.items()
                },
            )
        fixed = {side: seat for side, seat in seats.items() if not seat.adjustable}
        spacers = {side: seat.seat - LIFTS * (seat.shackle or 0.0) for side, seat in fixed.items()}
        if any(abs(height) > _NOTHING for height in spacers.values()):
            cells = {side: BayCell(self._length(height), "spacer at the seat") for side, height in spacers.items()}
            yield BayRow(axle, "spring spacer", cells)
        shackles = {side: seat.shackle for side, seat in fixed.items() if seat.shackle is not None}
        if shackles:
            words = "longer between its eyes; −: shorter"
            cells = {
                side: BayCell(self._length(longer, f"{axle}.{side}.shackle"), words)
                for side, longer in shackles.items()
            }
            yield BayRow(axle, "shackle", cells)

    def rod(self, axle: AxleName) -> Iterator[BayRow]:
        own = self.plan.settings[axle]
        if own.rod is not None and (own.rod.turns or own.rod.set_length != own.rod.found_length):
            turns = own.rod.turns
            words = f"between the middles of its ends{'' if not turns else f', {_quarters(turns, sign=True)} turns'}"
            yield BayRow(
                axle,
                "Panhard rod",
                {_ACROSS: BayCell(self._length(own.rod.set_length, f"{axle}.rod_length", sign=False), words)},
            )
        if own.bracket is not None:
            cell = BayCell(self._length(own.bracket.set_place, f"{axle}.bracket"), "to the left; −: to the right")
            yield BayRow(axle, "bracket of the Watt linkage", {_ACROSS: cell})
        if own.trailing is not None:
            links = own.trailing
            cells = {
                side: BayCell(
                    self._length(links.longer[side], f"{axle}.{side}.trailing_link"), _turned(links.turns, side)
                )
                for side in SIDES
            }
            yield BayRow(axle, f"{links.name}, longer", cells)
            yield from self._new_rods(axle, links.name, links.lengths)

    def heights(self, axle: AxleName) -> Iterator[BayRow]:
        cells = {}
        for side in SIDES:
            stands = height(self.document, self.plan.planned, (axle, side))
            told = self._length(stands, f"{axle}.{side}.height", sign=False)
            cells[side] = BayCell(told, "wheel centre to arch, rolled and bounced")
        yield BayRow(axle, "height on its wheels", cells, reads=True)

    def plates(self, axle: AxleName) -> Iterator[BayRow]:
        own = self.plan.settings[axle]
        for key, words in (("plate_inward", "inward; −: outward"), ("plate_rearward", "rearward; −: forward")):
            ways = {side: round(getattr(wheel, key) / PLATE_STEP) * PLATE_STEP for side, wheel in own.wheels.items()}
            if any(ways.values()):
                cells = {side: BayCell(self._length(way, f"{axle}.{side}.{key}"), words) for side, way in ways.items()}
                yield BayRow(axle, own.mover, cells)

    def angle_links(self, axle: AxleName) -> Iterator[BayRow]:
        wheels = self.plan.settings[axle].wheels
        for aim in {aim: None for wheel in wheels.values() for aim in wheel.links}:
            links = {side: wheel.links[aim] for side, wheel in wheels.items() if aim in wheel.links}
            cells = {}
            for side, link in links.items():
                turns = "" if not link.turns else f", {_quarters(link.turns, sign=True)} turns"
                told = self._length(link.longer, f"{axle}.{side}.{aim}_link")
                cells[side] = BayCell(told, f"longer; −: shorter{turns}")
            name = next(iter(links.values())).name
            yield BayRow(axle, f"{name}, for {aim}", cells)
            new = {side: link.length for side, link in links.items() if link.length is not None}
            yield from self._new_rods(axle, name, new)

    def shims(self, axle: AxleName) -> Iterator[BayRow]:
        own = self.plan.settings[axle]
        aims: tuple[Aim, ...] = ("camber", "toe")
        for aim in aims:
            angles = {side: wheel.shims[aim] for side, wheel in own.wheels.items() if aim in wheel.shims}
            if any(abs(angle) >= TURNED for angle in angles.values()):
                cells = {side: self._shim(aim, own.shims, angle, f"{axle}.{side}") for side, angle in angles.items()}
                yield BayRow(axle, f"shim under the hub, for {aim}", cells)

    def _shim(self, aim: Aim, goes: ShimRange, angle: float, corner: str) -> BayCell:
        """What goes under one edge of the flange, where its length was measured; the ± of the angle as a thickness too."""
        thick = goes.thickness(angle)
        if thick is None:
            return BayCell(_degrees(angle), f"makes {aim} grow by that: thicker under the {edge(aim, angle)} edge")
        band = self.bands.get(f"{corner}.shim_{aim}")
        wide = 0.0 if band is None else goes.thickness(band.plus_minus) or 0.0
        told = thickness_told(abs(thick), wide, self.units)
        return BayCell(told, f"under the {edge(aim, angle)} edge of the flange")

    def joints(self, axle: AxleName) -> Iterator[BayRow]:
        own = self.plan.settings[axle].joints
        sides = (
            (own.ball_joint, "ball_joint_spacer", "spacer at the lower ball joint", "sets the joint lower by that"),
            (own.tie_rod, "tie_rod_spacer", "spacer at the tie rod's outer joint", "sets the joint lower by that"),
            (own.rack, "rack", "rack, end", "higher than found; −: lower; both ends alike"),
        )
        for by, key, what, sense in sides:
            if by:
                told = self._length(by, f"{axle}.{key}")
                yield BayRow(axle, what, {side: BayCell(told, sense) for side in SIDES})

    def toe_rods(self, axle: AxleName) -> Iterator[BayRow]:
        own = self.plan.settings[axle]
        rods = {side: wheel.tie_rod for side, wheel in own.wheels.items() if wheel.tie_rod is not None}
        if rods:
            cells = {
                side: BayCell(_signed(tie_rod_flats(longer, own.rods.pitch)), "flats longer; −: shorter")
                for side, longer in rods.items()
            }
            if own.rods.found:
                yield from self._new_rods(axle, own.toe_rod, {side: own.rods.found[side] + rods[side] for side in rods})
            else:
                yield BayRow(axle, own.toe_rod, cells)

    def _new_rods(self, axle: AxleName, name: str, lengths: Mapping[SideName, float]) -> Iterator[BayRow]:
        """How long rods are set before they go in, where new ones replace those as found."""
        if lengths:
            words = "from front bush to tube" if name == TRAILING_ARM.name else "between the middles of its joints"
            cells = {side: BayCell(self._length(one, sign=False), words) for side, one in lengths.items()}
            yield BayRow(axle, f"new {name}, length to begin with", cells)

    def angles(self, axle: AxleName) -> Iterator[BayRow]:
        table, wheels = self.plan.planned.geometry[axle], self.plan.settings[axle].wheels
        for angle in ("camber", "caster", "toe") if wheels else ():
            names = {column.name for column in table.columns}
            cells = {side: value_of(table, f"{side}_{angle}") for side in wheels if f"{side}_{angle}" in names}
            told = {side: BayCell(_degrees(value)) for side, value in cells.items() if value is not None}
            if told:
                yield BayRow(axle, f"{angle} on the gauge", told, reads=True)

    def links(self, axle: AxleName) -> Iterator[BayRow]:
        for bar, link in self.plan.settings[axle].links.items():
            turns = "" if not link.turns else f", {_quarters(link.turns, sign=True)} turns"
            words = f"between the middles of its ends{turns}: the bar is then free"
            length = self._length(link.set_length, f"{axle}.{link.side}.{bar}_link", sign=False)
            name = (
                "drop link of the second anti-roll bar" if bar == "roll_bar_2" else "drop link, the car on its wheels"
            )
            yield BayRow(axle, name, {link.side: BayCell(length, words)})

    def _length(self, value: float, key: str = "", *, sign: bool = True) -> str:
        number, _, symbol = show(value, Kind.LENGTH, self.units, sign=sign).partition(" ")
        told = number.replace("-", "−")
        if not any(digit in "123456789" for digit in told):
            told = told.lstrip("+−")
        band = self.bands.get(key)
        width = "" if band is None else show(band.plus_minus, Kind.LENGTH, self.units).partition(" ")[0]
        return f"{told} ± {width} {symbol}" if any(digit in "123456789" for digit in width) else f"{told} {symbol}"


def _teeth(count: int, way: WindingWay | None) -> BayCell:
    if not count:
        return BayCell("0", "on its old mark")
    noun = "tooth" if abs(count) == 1 else "teeth"
    if way is None:
        return BayCell(_signed(count), f"{noun}, +: winds up, lifts")
    turned = way.winds_up if count > 0 else way.lets_down
    effect = "winds up, lifts" if count > 0 else "lets down, lowers"
    return BayCell(_signed(count), f"{noun} {turned} seen {way.seen}: {effect}", _turn(turned))


def _marked(bar: BarSetting, way: WindingWay | None) -> BayCell:
    wanted = bar.index.wanted
    if way is None:
        return BayCell(_degrees(wanted), "from the old marks, +: winds up")
    turned = way.winds_up if wanted > 0 else way.lets_down
    return BayCell(_degrees(wanted), f"{turned} seen {way.seen}, from the old marks", _turn(turned))


def _turn(word: str) -> Turn:
    return "clockwise" if word == "clockwise" else "anticlockwise"


def _bolt(turns: float) -> BayCell:
    return BayCell(_quarters(turns, sign=True), "turns, +: lifts the car") if turns else BayCell("0", "as it is")


def _turned(turns: Mapping[SideName, float] | None, side: SideName) -> str:
    return "" if turns is None or not turns[side] else f"{_quarters(turns[side], sign=True)} turns"


def _quarters(count: float, *, sign: bool = False) -> str:
    """Turns in quarters: 3¾, with a sign where it says a way."""
    whole, part = divmod(round(abs(count) * 4), 4)
    text = f"{whole if whole or not part else ''}{('', '¼', '½', '¾')[part]}"
    minus = "−" if count < 0 else "+" if sign and count else ""
    return f"{minus}{text}"


def _signed(count: int) -> str:
    return f"{count:+d}".replace("-", "−") if count else "0"


def _degrees(angle: float) -> str:
    return f"{round(math.degrees(angle), 2) + 0.0:+.2f}°".replace("-", "−")

"""A correction in words for the bay: what is turned from where it is set now, in teeth, turns, flats and millimetres."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from jounce.car.mechanics.model import AXLES, AxleName
from jounce.conventions.units import MM, Kind, show
from jounce.job.index.marks import IndexSetting
from jounce.job.plan import JobPlan
from jounce.job.settings import PerchSetting
from jounce.job.shackles import LIFTS
from jounce.job.which_way import WindingWay, winding_way
from jounce.job.wording import PLATE_STEP, tie_rod_flats
from jounce.layouts.naming import SIDES

__all__ = ["RoundStep", "round_steps"]

_LEAST = MM / 10
"""A spacer, shackle or rod that is changed by less stays as it is."""
_LEAST_ANGLE = math.radians(0.02)


@dataclass(frozen=True, slots=True)
class RoundStep:
    """Something that is turned or moved now.

    Attributes:
        where: axle, with the side where it has one: "front left"
        what: what is turned: "torsion bar", "tie rod"
        amount: by how much from where it is now, signed: "+1 tooth", "−½ turn"
        way: which way that is, in words; empty where the sign says it

    """

    where: str
    what: str
    amount: str
    way: str = ""

    @property
    def said(self) -> str:
        """The step in one line."""
        return f"{self.where} {self.what}: {self.amount}{f', {self.way}' if self.way else ''}"


def round_steps(now: JobPlan, then: JobPlan, units: str) -> list[RoundStep]:
    """What leads from the settings that are in place to those of the correction, in the order of work.

    Args:
        now: the settings in place
        then: the settings after the correction
        units: unit set to show
    """
    parts = (_bars, _seats, _rods, _wheels)
    return [step for axle in AXLES for part in parts for step in part((now, then), axle, units)]


def _bars(plans: tuple[JobPlan, JobPlan], axle: AxleName, units: str) -> Iterator[RoundStep]:
    del units
    before, after = (one.settings[axle].bars for one in plans)
    linkage = plans[1].planned.models[AXLES.index(axle)].linkage
    for side, bar in after.items():
        yield from _bar(f"{axle} {side}", before[side].index, bar.index, winding_way(linkage, side))


def _bar(where: str, before: IndexSetting, after: IndexSetting, way: WindingWay | None) -> Iterator[RoundStep]:
    if not after.splined:
        turn = after.reached - before.reached
        if abs(turn) > _LEAST_ANGLE:
            amount = f"{math.degrees(turn):+.2f}°".replace("-", "−")
            yield RoundStep(where, "torsion bar, marked out", amount, _winds(turn, way))
        return
    for what, count in (
        ("torsion bar: arm on its bar", after.arm_teeth - before.arm_teeth),
        ("torsion bar: bar in its anchor, with its arm", after.anchor_teeth - before.anchor_teeth),
    ):
        if count:
            noun = "tooth" if abs(count) == 1 else "teeth"
            yield RoundStep(where, what, f"{count:+d} {noun}".replace("-", "−"), _winds(count, way))
    turns = after.bolt_turns - before.bolt_turns
    if turns:
        yield RoundStep(where, "adjusting bolt", _turns(turns), "lifts" if turns > 0 else "lowers")


def _winds(by: float, way: WindingWay | None) -> str:
    effect = "winds up, lifts" if by > 0 else "lets down, lowers"
    if way is None:
        return effect
    return f"{way.winds_up if by > 0 else way.lets_down} seen {way.seen}: {effect}"


def _seats(plans: tuple[JobPlan, JobPlan], axle: AxleName, units: str) -> Iterator[RoundStep]:
    before, after = (one.settings[axle].seats for one in plans)
    for side, seat in after.items():
        yield from _seat(f"{axle} {side}", before[side], seat, units)


def _seat(where: str, before: PerchSetting, after: PerchSetting, units: str) -> Iterator[RoundStep]:
    if after.turns is not None and before.turns is not None:
        turns = after.turns - before.turns
        if turns:
            yield RoundStep(where, "spring seat", _turns(turns), "lifts" if turns > 0 else "lowers")
        return
    if after.shackle is not None and before.shackle is not None:
        longer = after.shackle - before.shackle
        if abs(longer) > _LEAST:
            yield RoundStep(where, "shackle", _length(longer, units), "longer; −: shorter")
        return
    higher = after.seat - before.seat - LIFTS * ((after.shackle or 0.0) - (before.shackle or 0.0))
    if abs(higher) > _LEAST:
        yield RoundStep(where, "spacer at the spring's seat", _length(higher, units))


def _rods(plans: tuple[JobPlan, JobPlan], axle: AxleName, units: str) -> Iterator[RoundStep]:
    before, after = (one.settings[axle] for one in plans)
    if after.rod is not None and before.rod is not None:
        longer = after.rod.set_length - before.rod.set_length
        if abs(longer) > _LEAST:
            turns = None if after.rod.turns is None else after.rod.turns - (before.rod.turns or 0.0)
            yield RoundStep(axle, "Panhard rod", _length(longer, units), "" if turns is None else _turns(turns))
    if after.bracket is not None and before.bracket is not None:
        moved = after.bracket.set_place - before.bracket.set_place
        if abs(moved) > _LEAST:
            yield RoundStep(axle, "bracket of the Watt linkage", _length(moved, units), "to the left; −: to the right")
    if after.trailing is not None and before.trailing is not None:
        for side in SIDES:
            longer = after.trailing.longer[side] - before.trailing.longer[side]
            if abs(longer) > _LEAST:
                yield RoundStep(f"{axle} {side}", after.trailing.name, _length(longer, units), "longer; −: shorter")


def _wheels(plans: tuple[JobPlan, JobPlan], axle: AxleName, units: str) -> Iterator[RoundStep]:
    before, after = (one.settings[axle] for one in plans)
    for side, wheel in after.wheels.items():
        was, where = before.wheels[side], f"{axle} {side}"
        for key, words in (("plate_inward", "inward; −: outward"), ("plate_rearward", "rearward; −: forward")):
            way = round((getattr(wheel, key) - getattr(was, key)) / PLATE_STEP) * PLATE_STEP
            if abs(way) > PLATE_STEP:  # no gauge tells half a millimetre of a plate
                yield RoundStep(where, after.mover, _length(way, units), words)
        for aim, link in wheel.links.items():
            longer = link.longer - was.links[aim].longer if aim in was.links else link.longer
            if abs(longer) > _LEAST:
                turns = (
                    ""
                    if link.turns is None or aim not in was.links
                    else _turns(link.turns - (was.links[aim].turns or 0.0))
                )
                yield RoundStep(where, f"{link.name}, for {aim}", _length(longer, units), turns or "longer; −: shorter")
        if wheel.tie_rod is not None and was.tie_rod is not None:
            flats = tie_rod_flats(wheel.tie_rod - was.tie_rod, after.rods.pitch)
            if flats:
                noun = "flat" if abs(flats) == 1 else "flats"
                yield RoundStep(where, after.toe_rod, f"{flats:+d} {noun}".replace("-", "−"), "longer; −: shorter")
        for aim, angle in wheel.shims.items():
            turned = angle - was.shims.get(aim, 0.0)
            if abs(turned) > _LEAST_ANGLE:
                amount = f"{math.degrees(turned):+.2f}°".replace("-", "−")
                yield RoundStep(where, f"shim under the hub, for {aim}", amount)


def _turns(count: float) -> str:
    """Turns in quarters with their sign: "+1¼ turns"."""
    whole, part = divmod(round(abs(count) * 4), 4)
    text = f"{whole or ''}{('', '¼', '½', '¾')[part]}" or "0"
    return f"{'−' if count < 0 else '+'}{text} {'turn' if abs(count) <= 1 else 'turns'}"


def _length(value: float, units: str) -> str:
    return show(value, Kind.LENGTH, units, sign=True).replace("-", "−")

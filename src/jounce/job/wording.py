"""What a job says in words, the same on screen and on paper: parts, settings in the order of work, cautions."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import chain

from jounce.car.quantity import Measured
from jounce.conventions.units import Kind, show
from jounce.job.document import JobDocument
from jounce.job.plan import Plan
from jounce.job.sentence import Amount

_NOTICED = 5e-5
"""A plate that moves less is not told to move [m]."""
CAUTIONS = (
    "Stand a lifted car only on stands rated for it, on level ground; never work under a car on jacks alone.",
    "Torsion bars and springs hold stored energy: unload them before undoing anything, stand clear of bar and lever.",
    "Mark bars left and right; no grips, heat or hammer on bars and springs. Springs must stay captive at full droop.",
    "Tighten rubber bushes with the car at ride height. Torques, thread locking, single-use parts: the maker's manual.",
    "Check hoses, cables and drive shafts at full droop and full lock. Reset a load-sensing brake valve; aim the lamps.",
    "Have welding and structural work done by someone licensed. Changes may need approval by the authority and inspector.",
    "The numbers depend on the measurements given; they do not replace an inspection or a road test.",
)


def settings_of(plan: Plan, units: str) -> list[str]:
    """Every setting as a sentence, in the order of work.

    Args:
        plan: what came out
        units: unit set to show
    """
    return list(chain(_bars(plan, units), _seats(plan, units), _rod(plan, units), _wheels(plan, units)))


def parts_of(job: JobDocument, units: str) -> list[str]:
    """The new parts, one line each.

    Args:
        job: the change list
        units: unit set to show
    """
    front, rear = job.change.front, job.change.rear
    named_parts: list[tuple[str, object]] = [
        ("torsion bars", front.torsion_bar),
        ("front dampers", front.damper),
        ("front bump stops", front.bump_stop),
        ("top plates with slots", front.top_plate),
        ("front anti-roll bar", front.roll_bar),
        ("second front anti-roll bar, on the same links,", front.roll_bar_2),
        ("rear coils", rear.spring),
        ("threaded perches", rear.perch),
        ("rear dampers", rear.damper),
        ("rear bump stops", rear.bump_stop),
        ("adjustable Panhard rod", rear.panhard),
        ("bar inside the tube", rear.inner_bar),
        ("added rear anti-roll bar", rear.roll_bar),
        ("front wheels", front.wheel),
        ("rear wheels", rear.wheel),
    ]
    lines = [f"{name}{_size(part, units)}" for name, part in named_parts if part is not None]
    return lines or ["none: settings only"]


def _size(part: object, units: str) -> str:
    """Diameter or rate of a part, with its band and where the number comes from."""
    for key, kind in (("diameter", Kind.LENGTH), ("rate", Kind.SPRING_RATE)):
        measured = getattr(part, key, None)
        if isinstance(measured, Measured):
            band = f" ± {show(measured.plus_minus, kind, units)}" if measured.plus_minus else ""
            origin = f" ({measured.origin})" if measured.origin else ""
            return f" {show(measured.value, kind, units)}{band}{origin}"
    return ""


def _length(value: float, units: str, *, sign: bool = False) -> str:
    return show(value, Kind.LENGTH, units, sign=sign)


def _turned(value: float, units: str) -> str:
    """A length that a thread sets, one decimal finer than lengths are told."""
    return Amount(value, Kind.LENGTH, sign=True, fewer=-1).said(units)


def _bars(plan: Plan, units: str) -> Iterator[str]:
    for side, bar in plan.bars.items():
        index = bar.index
        teeth = f"{index.arm_teeth:+d} teeth at the arm, {index.anchor_teeth:+d} at the anchor"
        teeth = teeth if index.splined else "spline counts unknown: mark out the angle"
        bolt = f", bolt {index.bolt_turns:+.2f} turns" if index.bolt_turns else ""
        yield (
            f"{side} torsion bar: {teeth}{bolt}, counted from the old marks, + winds up "
            f"({math.degrees(index.wanted):+.2f}° wanted, {math.degrees(index.reached):+.2f}° set). Arm hanging free: "
            f"ball joint {_length(bar.ball_joint_free, units, sign=True)} from its height as found."
        )


def _seats(plan: Plan, units: str) -> Iterator[str]:
    for side, perch in plan.perches.items():
        turns = "" if perch.turns is None else f", {perch.turns:.2f} turns up from the lowest"
        yield f"{side} rear spring seat: {_length(perch.seat, units, sign=True)} from the seat as measured{turns}."


def _rod(plan: Plan, units: str) -> Iterator[str]:
    rod = plan.rod
    turns = "" if rod.turns is None else f" ({rod.turns:+.2f} turns)"
    away = f"{_length(abs(rod.shift_if_left), units)} to the {'left' if rod.shift_if_left > 0 else 'right'}"
    yield (
        f"Panhard rod: {_length(rod.set_length, units)}{turns}; {_length(rod.centring_length, units)} centres the axle. "
        f"Left alone at {_length(rod.found_length, units)} the axle stands {away}."
    )


def _wheels(plan: Plan, units: str) -> Iterator[str]:
    for side, wheel in plan.wheels.items():
        tie = "as it is" if wheel.tie_rod is None else f"{_turned(wheel.tie_rod, units)} longer"
        back = (
            ""
            if abs(wheel.plate_rearward) < _NOTICED
            else f" and {_length(wheel.plate_rearward, units, sign=True)} rearward"
        )
        yield (
            f"{side} front wheel: left alone it has camber {math.degrees(plan.camber_left_alone[side]):+.2f}° and toe "
            f"{math.degrees(plan.toe_left_alone[side]):+.2f}°. Top plate {_length(wheel.plate_inward, units, sign=True)} "
            f"inward{back}, then tie rod {tie}."
        )

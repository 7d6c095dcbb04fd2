"""The hand-over sheet for the customer: what was done, the limits that hold from now on, what to watch."""

from __future__ import annotations

from collections.abc import Iterator

from jounce.conventions.units import Kind, show
from jounce.job.checks import Verdict
from jounce.job.checks.travel import LEAST_BUMP, LEAST_FREE_BUMP
from jounce.job.plan import CarState
from jounce.job.wording import parts_of
from jounce.layouts.naming import SIDES
from jounce.sheets.blocks import Block, Cautions, Fields, Heading, Points, Signatures, Table, Words
from jounce.sheets.case import Case, work_of
from jounce.sheets.cautions import BRAKES, DRIVELINE, ENERGY, HANDLING, LAW, STEEL, STRUCTURE, TOOL, cautions
from jounce.sheets.corner_feel import feel_blocks
from jounce.sheets.shown import number, unit
from jounce.sheets.wheels import NAMES, arch, least, of_corners, travel_together

_WATCH = (
    "Come back after {}: heights, toe, torque marks and used travel are read again. New springs and bushes settle",
    "Noise, rubbing, a pull to one side, uneven tyre wear, darting over bumps: have it looked at before driving on",
    "With passengers and luggage the car stands lower: listen for tyres in the arches and for the bump rubbers",
    "Rod ends, boots, damper seals and bump rubbers are looked at once a year",
    "Lifting the car: at the maker's points only; its springs hold energy also while it hangs",
)


def hand_over(case: Case) -> list[Block]:
    """The sheet.

    Args:
        case: car and job
    """
    work, units = work_of(case), case.units
    length = unit(Kind.LENGTH, units)
    planned = work.plan.planned
    heights = of_corners(lambda a, s: number(arch(case.car, planned, (a, s)), Kind.LENGTH, units))
    failed = [f"{check.question} {check.said(units)}" for check in work.checks if check.verdict is Verdict.FAIL]
    blocks: list[Block] = [
        Heading("What was fitted"),
        Points(parts_of(work.job, units)),
        Heading("Heights"),
        Table(
            [f"wheel centre to arch{length}", *NAMES],
            [["planned", *heights], ["at hand-over", None, None, None, None]],
        ),
        Heading("Limits"),
        Points(list(_limits(case, planned))),
    ]
    if failed:
        blocks += [Heading("Found not to fit or not to last"), Points(failed, tick=True)]
    unknown = sum(check.verdict is Verdict.UNKNOWN for check in work.checks)
    if unknown:
        blocks.append(Words(f"{unknown} questions were left open for want of a measurement: the job sheet names them."))
    return [
        *blocks,
        Heading("What to watch"),
        Points([line.format(settling(units)) for line in _WATCH]),
        Fields((f"next date: re-check after {settling(units)}", "odometer now"), (None, None)),
        *feel_blocks(case),
        Cautions(cautions(case, (HANDLING, ENERGY, STEEL, STRUCTURE, BRAKES, DRIVELINE, LAW, TOOL))),
        Signatures(("handed over by", "received by", "date")),
    ]


def settling(units: str) -> str:
    """How far new springs and bushes are driven before they are read again, common practice, no source.

    Args:
        units: unit set to tell it in
    """
    return "300 miles" if units == "inch" else "500 km"


def lower_still(state: CarState, axle: str) -> float | None:
    """By how much an axle could stand lower before a limit of the shop is met [m]; None where no end is known.

    Common practice, no source: `LEAST_FREE_BUMP` of free travel to the rubber, `LEAST_BUMP` to the end of travel.

    Args:
        state: the planned car
        axle: front or rear
    """
    told = [travel_together(state, axle, side) for side in SIDES]
    free = [None if one.rubber is None else one.rubber - LEAST_FREE_BUMP for one in told]
    ends = [None if one.bump is None else one.bump.travel - LEAST_BUMP for one in told]
    return least([*free, *ends])


def _limits(case: Case, planned: CarState) -> Iterator[str]:
    units = case.units
    for axle in ("front", "rear"):
        hand = lower_still(planned, axle)
        told = travel_together(planned, axle, "left")
        if hand is None or told.bump is None:
            yield f"{axle}: how much lower it may stand is not known; do not lower it further."
            continue
        free = "" if told.rubber is None else f" until the rubber touches {show(told.rubber, Kind.LENGTH, units)},"
        rest = (
            f"lowered by another {show(hand, Kind.LENGTH, units)} at the very most"
            if hand > 0
            else "not to be lowered any further"
        )
        yield (
            f"{axle}: travel left{free} to {told.bump.name} {show(told.bump.travel, Kind.LENGTH, units)}: {rest}, and not "
            "without the springs, angles and checks worked out anew."
        )
    least_clearance = case.car.limits.minimum_ground_clearance
    if least_clearance is not None:
        said = f" ({least_clearance.origin})" if least_clearance.origin else ""
        yield f"Ground clearance never below {show(least_clearance.value, Kind.LENGTH, units)}{said}."
    yield "No other wheels, tyres, springs or spacers without having clearance, travel and checks worked out anew."

"""The hand-over sheet for the customer: what was done, the limits that hold from now on, what to watch."""

from __future__ import annotations

from collections.abc import Iterator

from jounce.checks.lower_still import lower_still
from jounce.conventions.units import Kind, show
from jounce.job.wording import parts_of
from jounce.sheets.blocks import Block, Cautions, Fields, Heading, Points, Signatures, TableBlock
from jounce.sheets.cautions import BRAKES, DRIVELINE, ENERGY, HANDLING, LAW, STEEL, STRUCTURE, TOOL, cautions
from jounce.sheets.corner_feel import feel_blocks
from jounce.sheets.paperwork import Printout
from jounce.sheets.shown import number, unit
from jounce.sheets.wheels import NAMES, arch, of_corners

_WATCH = (
    "Come back after {}: heights, toe, torque marks and used travel are read again. New springs and bushes settle",
    "Noise, rubbing, a pull to one side, uneven tyre wear, darting over bumps: have it looked at before driving on",
    "With passengers and luggage the car stands lower: listen for tyres in the arches and for the bump rubbers",
    "Rod ends, boots, damper seals and bump rubbers are looked at once a year",
    "Lifting the car: at the maker's points only; its springs hold energy also while it hangs",
)


def hand_over(out: Printout) -> list[Block]:
    """The sheet.

    Args:
        out: what is printed
    """
    case, units = out.case, out.units
    length = unit(Kind.LENGTH, units)
    planned = case.plan.planned
    heights = of_corners(lambda a, s: number(arch(case.car, planned, (a, s)), Kind.LENGTH, units))
    blocks: list[Block] = [
        Heading("What was fitted"),
        Points(parts_of(case.change_list, units)),
        Heading("Heights"),
        TableBlock(
            [f"wheel centre to arch{length}", *NAMES],
            [["planned", *heights], ["at hand-over", None, None, None, None]],
        ),
        Heading("Limits"),
        Points(list(_limits(out))),
    ]
    return [
        *blocks,
        Heading("What to watch"),
        Points([line.format(settling(units)) for line in _WATCH]),
        Fields((f"next date: re-check after {settling(units)}", "odometer now"), (None, None)),
        *feel_blocks(out),
        Cautions(cautions(out, (HANDLING, ENERGY, STEEL, STRUCTURE, BRAKES, DRIVELINE, LAW, TOOL))),
        Signatures(("handed over by", "received by", "date")),
    ]


def settling(units: str) -> str:
    """How far new springs and bushes are driven before they are read again, common practice, no source.

    Args:
        units: unit set to tell it in
    """
    return "300 miles" if units == "inch" else "500 km"


def _limits(out: Printout) -> Iterator[str]:
    units = out.units
    for axle in ("front", "rear"):
        limits = lower_still(
            out.case.planned.document, out.case.plan, (out.case.every_check, out.case.rules.limits), axle
        )
        if not limits:
            yield f"{axle}: how much lower it may stand is not known; do not lower it further."
            continue
        met = [one.words for one in limits if one.way <= 0]
        if met:
            more = f", and {len(met) - 1} more" if len(met) > 1 else ""
            yield f"{axle}: not to be lowered any further: {met[0]}{more}."
            continue
        yield (
            f"{axle}: lowered by another {show(limits[0].way, Kind.LENGTH, units)} at the very most, for beyond that "
            f"{limits[0].words}."
        )
    least_clearance = out.case.car.limits.minimum_ground_clearance
    if least_clearance is not None:
        said = f" ({least_clearance.origin})" if least_clearance.origin else ""
        yield f"Ground clearance never below {show(least_clearance.value, Kind.LENGTH, units)}{said}."
    yield "No lower, and no other wheels, tyres, springs or spacers, without having it all worked out and checked anew."

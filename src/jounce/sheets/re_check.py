"""The re-check sheet: hand-over beside what is found after some driving, and what settling has done to the angles."""

from __future__ import annotations

from jounce.conventions.axes import CORNERS
from jounce.conventions.certainty import MEANING
from jounce.conventions.constants import GRAVITY
from jounce.conventions.units import Kind
from jounce.sheets.alignment import settled, target
from jounce.sheets.blocks import Block, Cautions, Cell, Fields, Heading, Points, Signatures, TableBlock, Words
from jounce.sheets.cautions import BRAKES, HANDLING, LAW, SUPPORT, TOOL, cautions
from jounce.sheets.paperwork import Printout
from jounce.sheets.shown import angle_with_band, number, unit
from jounce.sheets.wheels import NAMES, arch, of_corners, rubber_gap, travel_alone, travel_of

_LOOK = (
    "Torque marks unmoved; lock nuts tight; split pins in",
    "Witness marks of rubbing: tyres, hoses, cables, bars, exhaust",
    "Damper seals, boots, bump rubbers; springs captive, what holds them whole",
    "What arms, rods and springs are fixed to: cracks, moved paint",
    "Lamp aim and load-sensing valve, where the height has changed",
)

AGREES = (
    "A reading agrees with the plan when they differ by no more than both bands together: the root of the sum of the "
    "squares of the planned ± and of the reading's own."
)


def re_check(out: Printout) -> list[Block]:
    """The sheet.

    Args:
        out: what is printed
    """
    case, units = out.case, out.units
    bands = case.planned.bands

    def band(axle: str, side: str, name: str) -> float:
        return bands[f"{axle}.{side}.{name}"].plus_minus

    planned = case.plan.planned
    length, mass = unit(Kind.LENGTH, units), unit(Kind.MASS, units)
    heights = of_corners(
        lambda a, s: number(arch(case.car, planned, (a, s)), Kind.LENGTH, units, band=band(a, s, "height"))
    )
    weights = of_corners(
        lambda a, s: number(planned.sits.load[a, s] / GRAVITY, Kind.MASS, units, band=band(a, s, "load") / GRAVITY)
    )
    angles: dict[str, list[Cell]] = {
        name: [angle_with_band(target(planned, a, s, name), band(a, s, name)) for a, s in CORNERS]
        for name in ("camber", "toe")
    }
    told = {corner: travel_alone(planned, *corner) for corner in CORNERS}
    gaps = of_corners(lambda a, s: number(rubber_gap(planned, a, s), Kind.LENGTH, units))
    ends = of_corners(lambda a, s: number(travel_of(told[a, s].bump), Kind.LENGTH, units))
    return [
        Fields(("day", "odometer at hand-over", "odometer now", "driven"), (None, None, None, None)),
        Words(f"{MEANING}, with the settings made as planned. {AGREES}"),
        Heading(f"Heights, wheel centre to arch{length}"),
        _four([["planned", *heights], *_blank("at hand-over", "now", "settled")]),
        Heading(f"Corner weights{mass}"),
        _four([["planned", *weights], *_blank("now")]),
        Heading("Angles"),
        _four(
            [
                row
                for name in ("camber", "toe")
                for row in (
                    [f"{name}, planned", *angles[name]],
                    [f"{name}, now", None, None, None, None],
                )
            ]
        ),
        Heading("What the angles become as the car settles, predicted"),
        settled(planned, units),
        Heading("Used travel, from the ring on the damper rod"),
        _four(
            [
                [f"until the rubber touches, on the rod, planned{length}", *gaps],
                [f"wheel travel to the end of bump, planned{length}", *ends],
                *_blank("used"),
            ]
        ),
        Heading("Look"),
        Points(_LOOK, tick=True),
        Words(
            "Settled more than the angles above allow, or one corner more than the others: find out why before setting it "
            "again. What was found here against what was planned goes into the book: it tells how good the plan was."
        ),
        Cautions(cautions(out, (SUPPORT, HANDLING, BRAKES, LAW, TOOL))),
        Signatures(("checked by", "set again by", "date")),
    ]


def _four(rows: list[list[Cell]]) -> TableBlock:
    return TableBlock(["", *NAMES], rows)


def _blank(*names: str) -> list[list[Cell]]:
    return [[name, None, None, None, None] for name in names]

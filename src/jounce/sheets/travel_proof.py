"""The travel proof: what stops each wheel first and where, with boxes for what the shop finds when it cycles them."""

from __future__ import annotations

from jounce.conventions.axes import CORNERS
from jounce.conventions.units import Kind, show
from jounce.layouts.naming import SIDES
from jounce.sheets.blocks import Block, Cautions, Cell, Figures, Heading, Points, Signatures, TableBlock
from jounce.sheets.cautions import BRAKES, DRIVELINE, ENERGY, LAW, SUPPORT, TOOL, cautions
from jounce.sheets.figures import angle_curves, load_curves
from jounce.sheets.paperwork import Printout
from jounce.sheets.shown import number, unit
from jounce.sheets.wheels import WheelTravel, travel_alone, travel_together

_PROOF = (
    "Each wheel cycled from full droop to full bump with the other standing, and both together",
    "Both full locks at droop, at ride height and on the block: tyre to arch, damper and hose",
    "Springs captive at full droop; none of them bound or touching at full bump",
    "Brake hoses and cables not taut at droop, not touched at lock; drive-shaft joints and boots at both ends",
    "Brakes tried, rear lock order right; load-sensing valve reset; lamps aimed; ground clearance gauged with the driver",
    "Cable tie or ring on each damper rod, pushed down: the used travel is read at the re-check",
)


def travel_proof(out: Printout) -> list[Block]:
    """The sheet.

    Args:
        out: what is printed
    """
    case, units = out.case, out.units
    alone = {corner: travel_alone(case.plan.planned, *corner) for corner in CORNERS}
    together = {corner: travel_together(case.plan.planned, *corner) for corner in CORNERS}
    length = unit(Kind.LENGTH, units)
    head = ["from where the planned car stands", "ends", f"rubber{length}", f"end{length}", "found", "fits"]
    return [
        Heading("One wheel alone"),
        TableBlock(
            head, [row for corner, told in alone.items() for row in _rows(" ".join(corner), told, units)], words=2
        ),
        Heading("Both wheels of an axle together"),
        TableBlock(
            head,
            [
                row
                for axle in ("front", "rear")
                for row in _rows(axle, min((together[axle, s] for s in SIDES), key=_first), units)
            ],
            words=2,
        ),
        *_loose(out),
        Figures(
            [figure(case.plan, units, out.look.speaks) for figure in (angle_curves, load_curves)],
            "Angles of the left front wheel, and how the load of the left wheels grows to the ends of their travel.",
        ),
        Heading("Proof"),
        Points(_PROOF, tick=True),
        Cautions(cautions(out, (SUPPORT, ENERGY, BRAKES, DRIVELINE, LAW, TOOL))),
        Signatures(("cycled by", "checked by", "date")),
    ]


def _rows(name: str, told: WheelTravel, units: str) -> list[list[Cell]]:
    rows: list[list[Cell]] = []
    for at, met, rubber in (("bump", told.bump, told.rubber), ("droop", told.droop, None)):
        touched = number(rubber, Kind.LENGTH, units) if at == "bump" else "–"
        end = number(None if met is None else met.travel, Kind.LENGTH, units)
        rows.append([f"{name}, {at}", "not known: measure" if met is None else met.name, touched, end, None, None])
    return rows


def _first(told: WheelTravel) -> float:
    return float("inf") if told.rubber is None else told.rubber


def _loose(out: Printout) -> list[Block]:
    """Springs that would come loose within the droop, or how much droop they have in hand."""
    planned = out.case.plan.planned
    lines = []
    for axle, side in CORNERS:
        loose, end = planned.axles[axle].wheels[side].loose_at, travel_together(planned, axle, side).droop
        seated = next(one for one in planned.models if one.name == axle).main[side]
        if loose is None:
            lines.append(f"{axle} {side} spring still carries as far as the linkage goes")
        elif end is None:
            lines.append(f"{axle} {side} spring carries nothing beyond {_shown(loose, out)} of droop")
        elif not seated.can_leave_its_seat and loose < end.travel:
            lines.append(
                f"{axle} {side} leaf holds its axle up over the last {_shown(end.travel - loose, out)} of droop"
            )
        elif loose >= end.travel:
            lines.append(f"{axle} {side} spring still carries {_shown(loose - end.travel, out)} beyond full droop")
        else:
            early = _shown(end.travel - loose, out)
            lines.append(f"{axle} {side} spring is loose {early} before full droop: it must be held captive")
    return [Points(lines)]


def _shown(length: float, out: Printout) -> str:
    return show(length, Kind.LENGTH, out.units)

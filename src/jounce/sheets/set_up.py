"""The set-up sheet: all that describes how the car is set; predicted where it is known, a box where it is measured."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from jounce.car.file.quantity import Measured
from jounce.car.mechanics.layout_input import SIDE_OF
from jounce.conventions.axes import CORNERS
from jounce.conventions.constants import GRAVITY
from jounce.conventions.quantities import RESULTS
from jounce.conventions.units import Kind, show, unit_of
from jounce.job.plan import JobPlan
from jounce.job.sentence import thickness
from jounce.job.settings import AxleSettings, WheelSetting
from jounce.job.shim_range import ShimRange, edge
from jounce.job.wording import TURNED, plate_told
from jounce.layouts.adjusters import Aim
from jounce.layouts.naming import SIDES
from jounce.sheets.alignment import ANGLES, target
from jounce.sheets.blocks import Block, Cautions, Cell, Fields, Heading, Signatures, TableBlock, Words
from jounce.sheets.cautions import LAW, TOOL, cautions
from jounce.sheets.corner_feel import feel_table, numbers_of
from jounce.sheets.index_card import teeth_told
from jounce.sheets.paperwork import Printout
from jounce.sheets.shown import degrees_minutes, number, unit
from jounce.sheets.wheels import (
    END,
    NAMES,
    angle,
    arch,
    of_corners,
    rubber_gap,
    travel_alone,
    travel_of,
    tyres,
)

_PEN: list[Cell] = [None, None, None, None]


def set_up(out: Printout) -> list[Block]:
    """The sheet.

    Args:
        out: what is printed
    """
    felt = numbers_of(out)
    return [
        Fields(("day", "place", "driver"), (None, None, None)),
        Fields(
            ("weather, track", "tyres", "their age, wheels, offset, spacers"),
            (None, tyres(out.case.planned.document), None),
        ),
        Heading("Predicted, and as measured with the driver aboard"),
        TableBlock(["", *NAMES], list(_predicted(out))),
        Words(_whole(out)),
        Heading("Springs, bars, dampers"),
        TableBlock(["", *NAMES], [row for row in _parts(out) if any(cell != "–" for cell in row[1:])]),
        Heading("Axles"),
        TableBlock(["", "front", "rear"], list(_axles(out)), words=3),
        Heading("Behaviour predicted"),
        feel_table(felt, out.units),
        Heading("Tyres, before and after"),
        TableBlock(
            ["", *NAMES],
            [[name, *_PEN] for name in ("pressure cold", "pressure hot", "temperature out, mid, in", "wear")],
        ),
        Heading("Driver"),
        TableBlock(
            ["", "left: entry", "mid", "exit", "right: entry", "mid", "exit"],
            [["says", *([None] * 6)], ["changed", *([None] * 6)]],
        ),
        Words(
            "Measured again at the end of the day (the set-down): differences from above are common and worth knowing."
        ),
        Cautions(cautions(out, (LAW, TOOL))),
        Signatures(("set by", "torque list signed by", "date")),
    ]


def _predicted(out: Printout) -> Iterator[list[Cell]]:
    units, planned = out.units, out.case.plan.planned
    length, mass = unit(Kind.LENGTH, units), unit(Kind.MASS, units)
    heights = of_corners(lambda a, s: number(arch(out.case.car, planned, (a, s)), Kind.LENGTH, units))
    yield [f"{RESULTS['height'].label}{length}", *heights]
    yield ["  measured", *_PEN]
    yield ["ground to sill or datum: measured", *_PEN]
    weights = of_corners(lambda a, s: number(planned.sits.load[a, s] / GRAVITY, Kind.MASS, units))
    yield [f"corner weight{mass}", *weights]
    yield ["  measured", *_PEN]
    for name in ANGLES:
        yield [name, *of_corners(lambda a, s, n=name: target(planned, a, s, n))]  # type: ignore[misc]
        yield ["  measured", *_PEN]
    wheels = planned.axles
    rates = of_corners(lambda a, s: number(wheels[a].wheels[s].wheel_rate, Kind.SPRING_RATE, units))
    yield [f"{RESULTS['wheel_rate'].label}{unit(Kind.SPRING_RATE, units)}", *rates]
    swings = of_corners(lambda a, s: number(wheels[a].wheels[s].ride_frequency, Kind.FREQUENCY, units))
    yield [f"{RESULTS['ride_frequency'].label}{unit(Kind.FREQUENCY, units)}", *swings]
    told = {corner: travel_alone(planned, *corner) for corner in CORNERS}
    gaps = of_corners(lambda a, s: number(rubber_gap(planned, a, s), Kind.LENGTH, units))
    yield [f"gap at the bump rubber, on the rod{length}", *gaps]
    yield ["  measured", *_PEN]
    for at in ("bump", "droop"):
        ends = {corner: getattr(one, at) for corner, one in told.items()}
        yield [
            f"{at} travel left, this wheel alone{length}",
            *of_corners(lambda a, s, e=ends: number(travel_of(e[a, s]), Kind.LENGTH, units)),  # type: ignore[misc]
        ]


def _whole(out: Printout) -> str:
    planned, units = out.case.plan.planned, out.units
    load = planned.sits.load
    total = sum(load.values())
    front = sum(load["front", side] for side in SIDES) / total
    left = sum(load[axle, "left"] for axle in END) / total
    mean = {axle: sum(arch(out.case.car, planned, (axle, side)) for side in SIDES) / 2 for axle in END}
    rake = show(mean["rear"] - mean["front"], Kind.LENGTH, units, sign=True)
    return (
        f"Together {show(total / GRAVITY, Kind.MASS, units)}: front {front:.1%}, left {left:.1%}, cross (front right with "
        f"rear left) {planned.sits.cross_share:.1%}. Rear arch less front arch {rake}. Aboard: "
        f"{out.case.car.measured.aboard or 'not noted'}. Front share of roll stiffness, tyres excluded, "
        f"{planned.front_share_of_roll_stiffness:.1%}."
    )


def _parts(out: Printout) -> Iterator[list[Cell]]:
    units, plan = out.units, out.case.plan

    def of_side(read: str, kind: Kind) -> list[Cell]:
        """A key of the spring or bar of each wheel's own section, as ``section.key``."""
        section, _, key = read.partition(".")

        def cell(axle: str, side: Any) -> Cell:
            part = getattr(out.case.planned.document.axle(END[axle]).side(SIDE_OF[side]), section, None)
            return _value(getattr(part, key, None), kind, units) if part is not None else "–"

        return of_corners(cell)

    yield [f"torsion bar{unit(Kind.LENGTH, units)}", *of_side("torsion_bar.diameter", Kind.LENGTH)]
    yield [f"  active length{unit(Kind.LENGTH, units)}", *of_side("torsion_bar.active_length", Kind.LENGTH)]
    bars = {(a, s): " / ".join(teeth_told(bar.index)) for a in END for s, bar in plan.settings[a].bars.items()}
    yield ["  teeth arm / anchor, from old marks", *of_corners(lambda a, s: bars.get((a, s), "–"))]
    bolted = {(a, s) for a, s in bars if _has_bolt(out, a, s)}
    yield ["  bolt showing: measured", *of_corners(lambda a, s: None if (a, s) in bolted else "–")]
    yield [f"coil rate{unit(Kind.SPRING_RATE, units)}", *of_side("spring.rate", Kind.SPRING_RATE)]
    yield [f"  free length{unit(Kind.LENGTH, units)}", *of_side("spring.free_length", Kind.LENGTH)]
    if out.sprung_by("leaf"):
        yield [f"leaf rate{unit(Kind.SPRING_RATE, units)}", *of_side("leaf.rate", Kind.SPRING_RATE)]
        yield [f"  free camber{unit(Kind.LENGTH, units)}", *of_side("leaf.free_camber", Kind.LENGTH)]
    seats = {
        (a, s): number(perch.seat, Kind.LENGTH, units, sign=True, band=_band(out, f"{a}.{s}.seat"))
        for a in END
        for s, perch in plan.settings[a].seats.items()
    }
    seat = f"  seat from as measured{unit(Kind.LENGTH, units)}"
    yield [seat, *of_corners(lambda a, s: seats.get((a, s), "–"))]
    yield ["  seat position: measured", *of_corners(lambda a, s: None if (a, s) in seats else "–")]
    yield [f"damper closed{unit(Kind.LENGTH, units)}", *of_side("damper.closed_length", Kind.LENGTH)]
    yield [f"  open{unit(Kind.LENGTH, units)}", *of_side("damper.open_length", Kind.LENGTH)]
    yield ["  clicks bump / rebound, gas pressure", *_PEN]
    yield [f"bump rubber height{unit(Kind.LENGTH, units)}", *of_side("bump_stop.free_height", Kind.LENGTH)]
    yield [f"anti-roll bar{unit(Kind.LENGTH, units)}", *of_side("roll_bar.diameter", Kind.LENGTH)]
    yield ["  hole, link length, no preload: yes / no", *_PEN]


def _has_bolt(out: Printout, axle: str, side: Any) -> bool:
    bar = getattr(out.case.planned.document.axle(END[axle]).side(SIDE_OF[side]), "torsion_bar", None)
    return bar is not None and bar.adjuster is not None


def _own_rows(*rows: tuple[str, list[str]]) -> Iterator[list[Cell]]:
    """Rows of what only some axles have; none of what this car has nowhere."""
    for name, cells in rows:
        if any(cells):
            yield [name, *(cell or "–" for cell in cells)]


def _inner_bar(out: Printout, axle: str) -> str:
    """The bar inside the tube; empty where there is no tube that could hold one."""
    section = out.case.planned.document.axle(END[axle])
    if "inner_bar" not in type(section).model_fields:
        return ""
    diameter = getattr(getattr(section, "inner_bar", None), "diameter", None)
    return "none" if diameter is None else show(diameter.value, Kind.LENGTH, out.units)


def _rod(out: Printout, axle: str) -> str:
    rod = out.case.plan.settings[axle].rod
    if rod is None:
        return ""
    length = number(rod.set_length, Kind.LENGTH, out.units, band=_band(out, f"{axle}.rod_length"))
    return f"{length} {unit_of(Kind.LENGTH, out.units).symbol}"


def _bracket(out: Printout, axle: str) -> str:
    """Where a Watt linkage's bracket is put; empty where it is not moved."""
    bracket = out.case.plan.settings[axle].bracket
    if bracket is None:
        return ""
    side = "left" if bracket.set_place > 0 else "right"
    return f"{show(abs(bracket.set_place), Kind.LENGTH, out.units)} {side}"


def _trailing(out: Printout, axle: str) -> str:
    """How much longer trailing links are made; empty where they are not set."""
    links = out.case.plan.settings[axle].trailing
    if links is None:
        return ""
    return ", ".join(
        f"{side} {show(links.longer[side], Kind.LENGTH, out.units, sign=True)}{_between(links.lengths.get(side), out)}"
        for side in SIDES
    )


def _angle_links(out: Printout, axle: str) -> str:
    """How much longer links that set camber or caster are; empty where none do."""
    wheels = out.case.plan.settings[axle].wheels
    told = [(side, link) for side, wheel in wheels.items() for link in wheel.links.values()]
    return ", ".join(
        f"{side} {link.name} {show(link.longer, Kind.LENGTH, out.units, sign=True)}{_between(link.length, out)}"
        for side, link in told
    )


def _between(length: float | None, out: Printout) -> str:
    """How long a new rod is set; empty where the one as found stays."""
    return "" if length is None else f" ({show(length, Kind.LENGTH, out.units)} between joints)"


def _shackles(out: Printout, axle: str) -> str:
    """How much longer shackles of leaf springs are; empty where they stay."""
    seats = out.case.plan.settings[axle].seats
    told = {side: one.shackle for side, one in seats.items() if one.shackle is not None}
    return ", ".join(f"{side} {show(longer, Kind.LENGTH, out.units, sign=True)}" for side, longer in told.items())


def _movers(plan: JobPlan) -> str:
    """What moves the upper joints of this car, as its trade calls them."""
    words = dict.fromkeys(f"{settings.mover}s" for settings in plan.settings.values() if _moves(settings))
    return f"{' and '.join(words)}, from as found"


def _moves(settings: AxleSettings) -> bool:
    """Whether upper joints can be moved on an axle; hubs that could be shimmed and are not are no matter of the sheet."""
    shims = [abs(angle) for wheel in settings.wheels.values() for angle in wheel.shims.values()]
    return bool(settings.mover) and (not shims or max(shims) >= TURNED)


def _plates(plan: JobPlan, axle: str, units: str) -> str:
    """Where the upper joints are moved to; empty where nothing moves them."""
    if not _moves(plan.settings[axle]):
        return ""
    wheels, shims = plan.settings[axle].wheels, plan.settings[axle].shims
    if any(one.shims for one in wheels.values()):
        return "; ".join(f"{side} {_shimmed(one, shims, units) or 'as found'}" for side, one in wheels.items())
    ways = {side: plate_told(one.plate_inward, ("inward", "outward"), units) for side, one in wheels.items()}
    return ", ".join(f"{side} {way or 'stays'}" for side, way in ways.items())


def _shimmed(wheel: WheelSetting, shims: ShimRange, units: str) -> str:
    """What is put under a hub's flange; empty where nothing is."""
    told = []
    aims: tuple[Aim, ...] = ("camber", "toe")
    for aim in aims:
        angle = wheel.shims[aim]
        thick = shims.thickness(angle)
        if abs(angle) >= TURNED:
            size = degrees_minutes(angle) if thick is None else thickness(abs(thick)).said(units)
            told.append(f"{size} {edge(aim, angle)}")
    return ", ".join(told)


def _axles(out: Printout) -> Iterator[list[Cell]]:
    units, plan = out.units, out.case.plan
    yield from _own_rows(
        ("bar inside the tube", [_inner_bar(out, a) for a in END]),
        ("Panhard rod set to; heights of both ends", [_rod(out, a) for a in END]),
        ("Watt linkage's bracket, from as found", [_bracket(out, a) for a in END]),
        ("shackles, + longer than found", [_shackles(out, a) for a in END]),
        ("trailing links, + longer than found", [_trailing(out, a) for a in END]),
        ("links that set camber or caster, + longer than found", [_angle_links(out, a) for a in END]),
        (_movers(plan), [_plates(plan, a, units) for a in END]),
    )
    totals = [[angle(plan.planned, axle, side, "toe") for side in SIDES] for axle in END]
    yield ["toe, total", *(degrees_minutes(sum(one for one in both if one is not None)) for both in totals)]
    for name in (
        "axle offset, thrust angle, wheelbase left / right",
        "spacers: ball joint, tie rod, wheel; shims",
        "bush types",
        "brake bias, load valve, lamp aim",
    ):
        yield [name, None, None]


def _band(out: Printout, key: str) -> float:
    """Half width of a setting's band [SI]."""
    band = out.case.planned.bands.get(key)
    return 0.0 if band is None else band.plus_minus


def _value(value: Any, kind: Kind, units: str) -> Cell:
    if isinstance(value, Measured):
        return number(value.value, kind, units)
    return None if value is None else str(value)

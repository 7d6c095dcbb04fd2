"""The weight sheet: the car on its scales before and after, and what a turn at each corner does to all four."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from jounce.behaviour.road.road_car import RoadCar
from jounce.behaviour.road.weigh import OnScales, on_scales, with_settings
from jounce.car.file.document import CarDocument
from jounce.car.mechanics.layout_input import SIDE_OF
from jounce.conventions.axes import CORNERS
from jounce.conventions.constants import GRAVITY
from jounce.conventions.units import DEG, MM, Kind, show, show_whole
from jounce.job.index.marks import finest_step
from jounce.job.settings import bolt_of
from jounce.layouts.naming import SideName
from jounce.sheets.blocks import Block, Cautions, Cell, Heading, Points, Signatures, TableBlock, Words
from jounce.sheets.cautions import ENERGY, SUPPORT, TOOL, cautions
from jounce.sheets.paperwork import Printout
from jounce.sheets.shown import number, unit
from jounce.sheets.wheels import END, NAMES, arch, of_corners

_LEVEL = 3 * MM
_MEANS = {"torsion bar": "wind the bar", "coil": "raise the seat", "leaf": "raise the leaf"}


def corner_weights(out: Printout) -> list[Block]:
    """The sheet.

    Args:
        out: what is printed
    """
    cars = {title: state.car for title, state in out.states.items()}
    scales = {title: on_scales(car) for title, car in cars.items()}
    blocks: list[Block] = []
    for title, stands in scales.items():
        blocks += [Heading(title.capitalize()), _stands(out, title, stands)]
    return [
        *blocks,
        Words(
            "No spring moves the share of the left-hand side or of the front: they follow from where the weight is. "
            "The weights above are with the bars connected. Aim: cross weight within half "
            "a percent of what was planned, common practice."
        ),
        Heading("What one step at a corner does, planned car, anti-roll bars disconnected"),
        _steps(out.case.planned.document, cars["as planned"].without({"anti-roll bar"}), out.units),
        Heading("Order"),
        Points(list(_order(out)), tick=True, numbered=True),
        Cautions(cautions(out, (SUPPORT, ENERGY, TOOL))),
        Signatures(),
    ]


def _order(out: Printout) -> Iterator[str]:
    level = show(_LEVEL, Kind.LENGTH, out.units)
    yield f"Driver or ballast aboard, feet included; fuel as planned; tyres at pressure; pads level within {level}"
    sections = [out.case.planned.document.axle(end) for end in END.values()]
    inside = any(getattr(section, "inner_bar", None) is not None for section in sections)
    stays = " (one inside a tube stays)" if inside else ""
    yield f"Anti-roll bars disconnected{stays}, dampers softest; car bounced and rolled before each reading"
    yield "Weights read, corrected, read again; then heights and toe again; bars connected without preload"


def _stands(out: Printout, title: str, stands: OnScales) -> TableBlock:
    units, state = out.units, out.states[title].standing
    load = {corner: float(stands.load[k // 2, k % 2]) for k, corner in enumerate(CORNERS)}
    rows: list[list[Cell]] = [
        [f"weight{unit(Kind.MASS, units)}", *of_corners(lambda a, s: number(load[a, s] / GRAVITY, Kind.MASS, units))],
        [
            f"wheel centre to arch{unit(Kind.LENGTH, units)}",
            *of_corners(lambda a, s: number(arch(out.case.car, state, (a, s)), Kind.LENGTH, units)),
        ],
    ]
    if title == "as planned":
        rows.append([f"measured{unit(Kind.MASS, units)}", None, None, None, None])
    shares = (("front", stands.front_share), ("left", stands.left_share), ("cross", stands.cross_share))
    total = f"all {show(float(stands.load.sum()) / GRAVITY, Kind.MASS, units)}"
    rows.append(["together", total, *(f"{name} {show(value, Kind.SHARE, units)}" for name, value in shares)])
    return TableBlock(["", *NAMES], rows)


def _steps(document: CarDocument, car: RoadCar, units: str) -> TableBlock:
    mass = unit(Kind.MASS, units)
    head = [
        "",
        *(f"{name}{mass}" for name in NAMES),
        f"cross{unit(Kind.SHARE, units)}",
        f"height{unit(Kind.LENGTH, units)}",
    ]
    return TableBlock(head, list(_step_rows(document, car, units)))


def _step_rows(document: CarDocument, car: RoadCar, units: str) -> Iterator[list[Cell]]:
    level = on_scales(car)
    for axle, side in CORNERS:
        label, step = _step(document, car, axle, side, units)
        setting = np.zeros((2, 2))
        at = (0 if axle == "front" else 1, 0 if side == "left" else 1)
        setting[at] = step
        stands = on_scales(with_settings(car, setting))
        moved = (stands.load - level.load) / GRAVITY
        yield [
            f"{axle} {side}: {label}",
            *(number(float(one), Kind.MASS, units, sign=True) for one in moved.ravel()),
            number(stands.cross_share - level.cross_share, Kind.SHARE, units, sign=True),
            number(float(level.travel[at] - stands.travel[at]), Kind.LENGTH, units, sign=True),
        ]


def _step(document: CarDocument, car: RoadCar, axle: str, side: SideName, units: str) -> tuple[str, float]:
    """One step of what is there to be turned: a turn of bolt or seat, the finest pair of teeth, else 1 mm or 1 degree."""
    kind = car.axles[0 if axle == "front" else 1].axle.main[side].kind
    one = document.axle(END[axle]).side(SIDE_OF[side])
    bar, perch = getattr(one, "torsion_bar", None), getattr(one, "perch", None)
    if kind == "torsion bar":
        if bar is not None and bar.adjuster is not None:
            return "one turn of the bolt", bolt_of(bar).step
        if bar is not None and bar.splines_arm and bar.splines_anchor:
            step = finest_step(bar.splines_arm, bar.splines_anchor)
            return f"finest step of teeth, {show(step, Kind.ANGLE, units)}", step
        return f"{_MEANS[kind]} {show(DEG, Kind.ANGLE, units)}", DEG
    if perch is not None:
        return f"one turn of the seat, {show_whole(perch.pitch.value, Kind.LENGTH, units)}", perch.pitch.value
    return f"{_MEANS[kind]} {show(MM, Kind.LENGTH, units)}", MM

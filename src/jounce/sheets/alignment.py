"""The alignment sheet: before, target, after; what an adjuster does; and what settling would do."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from jounce.behaviour.axle.motions import steering_drive
from jounce.behaviour.axle.travel import column_map, states_table
from jounce.car.file.document import CarDocument
from jounce.car.mechanics.model import AXLES, AxleName
from jounce.conventions.units import DEG, MM, Kind, show
from jounce.job.plan import CarState, JobPlan
from jounce.job.reach_map import reach_maps
from jounce.job.trailing_links import thrust_line
from jounce.layouts.adjusters import is_shim
from jounce.layouts.naming import SIDES, SideName, named, outward
from jounce.numerics.arrays import Array
from jounce.sheets.blocks import Block, Cautions, Cell, Figures, Heading, Points, Signatures, TableBlock, Words
from jounce.sheets.cautions import HANDLING, LAW, SUPPORT, TOOL, cautions
from jounce.sheets.paperwork import Printout
from jounce.sheets.reach_figure import reach_figure
from jounce.sheets.shown import degrees_minutes, number, unit
from jounce.sheets.wheels import END, NAMES, angle, arch, model_of, of_corners

ANGLES = ("camber", "toe", "caster")
_FIRST = "Tyre pressures, load and heights as planned; car bounced and rolled, turn and slip plates free"
_REAR = "Rear camber and toe first; thrust line noted"
_REAR_BEAM = "Rear camber and toe first: a beam axle is shimmed, never bent; thrust line and axle offset noted"
_ORDER = (
    "Front caster, then camber, then toe with the steering wheel straight: toe last, after every move of camber",
    "Both full locks: angles, stops, clearance; headlamps aimed last",
)
_SETTLED = (0.0, 3 * MM, 6 * MM, 10 * MM)
_STEP = 1 * MM
_TURN = 0.1 * DEG


def alignment(out: Printout) -> list[Block]:
    """The sheet.

    Args:
        out: what is printed
    """
    return [
        Heading("Heights at which the angles hold"),
        TableBlock(["", *NAMES], _heights(out)),
        *_angle_blocks(out, out.case.plan.planned),
        Words("Per wheel: camber − top inward, toe + in, caster + top to the rear. Degrees and minutes."),
        Heading("What an adjuster does, one wheel, from the planned setting"),
        adjusters(out.case.planned.document, out.case.plan, out.units),
        *_reach(out),
        Heading("Order"),
        Points(
            [_FIRST, _REAR if out.case.planned.models[1].linkage.beam is None else _REAR_BEAM, *_ORDER],
            tick=True,
            numbered=True,
        ),
        Heading("If the car stands lower than planned by"),
        settled(out.case.plan.planned, out.units),
        Cautions(cautions(out, (HANDLING, SUPPORT, LAW, TOOL))),
        Signatures(),
    ]


def _reach(out: Printout) -> list[Block]:
    """What top plates or upper joints can give, where their slots are known."""
    blocks: list[Block] = []
    for axle, settings in out.case.plan.settings.items():
        maps = reach_maps(out.case.planned.document, axle, out.case.change_list, out.case.plan)
        if maps:
            told = f"Camber and caster that the slots of the {axle} {settings.mover}s give together, toe reset"
            blocks.append(Figures([reach_figure(maps, out.look.speaks)], f"{told}; the cross is the target."))
    return blocks


def _heights(out: Printout) -> list[list[Cell]]:
    length = unit(Kind.LENGTH, out.units)
    rows: list[list[Cell]] = [
        [
            f"wheel centre to arch, {title}{length}",
            *of_corners(lambda a, s, st=state: number(arch(out.case.car, st.standing, (a, s)), Kind.LENGTH, out.units)),  # type: ignore[misc]
        ]
        for title, state in out.states.items()
    ]
    return [*rows, [f"measured{length}", None, None, None, None]]


def _angle_blocks(out: Printout, planned: CarState) -> list[Block]:
    blocks: list[Block] = []
    for axle in ("front", "rear"):
        rows: list[list[Cell]] = []
        for name in ANGLES:
            before, after = (
                [angle(state, axle, side, name) for side in SIDES] for state in (out.case.found.standing, planned)
            )
            if None in after:
                continue
            for k, side in enumerate(SIDES):
                rows.append([f"{name}, {side}", degrees_minutes(before[k]), degrees_minutes(after[k]), None, None])
            if name == "toe":
                totals = [degrees_minutes(sum(one for one in both if one is not None)) for both in (before, after)]
                rows.append(["toe, total", *totals, None, None])
                if steering_drive(model_of(planned, axle).stand, axle) is None:
                    lines = [degrees_minutes(thrust_line(*(one or 0.0 for one in both))) for both in (before, after)]
                    rows.append(["thrust line, + to the left", *lines, None, None])
        head = ["", "as found", "target", "before", "after"]
        blocks += [Heading(f"{axle.capitalize()} axle"), TableBlock(head, rows)]
    return blocks


def adjusters(document: CarDocument, plan: JobPlan, units: str) -> TableBlock:
    """Change of a left wheel's angles by one step of each adjuster of its axle.

    Args:
        document: the planned car's document
        plan: what came out, with the links that set an angle
        units: unit set to show
    """
    rows: list[list[Cell]] = []
    state = plan.planned
    for axle in AXLES:
        for link in {link.name: None for wheel in plan.settings[axle].wheels.values() for link in wheel.links.values()}:
            label = f"{axle} {link} {show(_STEP, Kind.LENGTH, units)} longer"
            rows.append(_moved(state, axle, label, (named(axle, "left", link.replace(" ", "_")), _STEP)))
        for adjuster in document.axle(END[axle]).as_layout().adjusters:
            if adjuster.sets in ANGLES:
                joint = named(axle, "left", adjuster.joint)
                if is_shim(adjuster.joint):
                    label = f"{axle} {adjuster.name}, {adjuster.sets} {show(_TURN, Kind.ANGLE, units, sign=True)}"
                    rows.append(_moved(state, axle, label, (joint, _TURN)))
                    continue
                way, sign = _WAYS[adjuster.sets]
                label = f"{axle} {adjuster.name} {show(_STEP, Kind.LENGTH, units)} {way}"
                rows.append(_moved(state, axle, label, (joint, sign * _STEP)))
    return TableBlock(["", *ANGLES], rows or [["nothing on this car sets the angles of its wheels", "–", "–", "–"]])


_WAYS = {"toe": ("longer", 1.0), "camber": ("inward", -outward("left")), "caster": ("rearward", -1.0)}
"""Which way an adjuster is moved by a step, by what it sets, and the sign of its joint then."""


def _moved(state: CarState, axle: AxleName, label: str, step: tuple[str, float]) -> list[Cell]:
    model, standing, (name, by) = model_of(state, axle), state.states[axle], step
    settings = dict(standing.settings or {})
    at = float(np.asarray(settings.get(name, model.stand.reference_values([name])[0, 0])))
    table = states_table(model.stand, model.linkage, replace(standing, settings=settings | {name: at + by}), (1.0, 1.0))
    moved = column_map(table)
    changes = []
    for wanted in ANGLES:
        before = angle(state, axle, "left", wanted)
        changes.append("–" if before is None else degrees_minutes(float(moved[f"left_{wanted}"][0]) - before))
    return [label, *changes]


def settled(state: CarState, units: str) -> TableBlock:
    """Angles of the left wheels where the whole car has settled by some lengths.

    Args:
        state: the planned car
        units: unit set to show
    """
    head = ["", *(show(lower, Kind.LENGTH, units) for lower in _SETTLED)]
    rows: list[list[Cell]] = []
    for axle in ("front", "rear"):
        columns = _lowered(state, axle)
        for name in ("camber", "toe"):
            column = columns.get(f"left_{name}")
            if column is not None:
                rows.append([f"{axle} {name}", *(degrees_minutes(float(value)) for value in column)])
    return TableBlock(head, rows)


def _lowered(state: CarState, axle: str) -> Mapping[str, Array]:
    model, standing = model_of(state, axle), state.states[axle]
    lower = np.array(_SETTLED)
    moved = replace(standing, left=standing.left + lower, right=standing.right + lower)
    return column_map(states_table(model.stand, model.linkage, moved, (1.0, 1.0)))


def target(state: CarState, axle: str, side: SideName, name: str) -> str:
    """An angle of the planned car in words.

    Args:
        state: the planned car
        axle: front or rear
        side: left or right
        name: camber, toe or caster
    """
    value = angle(state, axle, side, name)
    return "–" if value is None else degrees_minutes(value)

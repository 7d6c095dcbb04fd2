"""The loads of an axle as a list: one row for every joint, rod, pivot, spring and what holds the steering gear."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jounce.behaviour.axle.loads import AxleLoads, PivotLoad
from jounce.car.mechanics.model import AxleModel
from jounce.conventions.unit_table import Kind
from jounce.layouts.naming import SIDES
from jounce.numerics.arrays import Array
from jounce.numerics.vectors import length

_PIVOTS = {
    "rocker": ("rocker pivot", "rocker moment"),
    "carrier": ("tube bearing", "tube moment"),
    "arm": ("twist line", "twist moment"),
    "pitman_arm": ("pitman pivot", "pitman moment"),
    "idler_arm": ("idler pivot", "idler moment"),
}
_HELD = {"rack": ("rack", Kind.FORCE), "pitman": ("pitman shaft", Kind.TORQUE)}


@dataclass(frozen=True, slots=True)
class LoadRow:
    """What one part carries in the first state, by case.

    Attributes:
        name: full name
        label: name for people, without the axle
        part: joint, rod, pivot, main spring, other spring or steering gear
        kind: what is measured: a force or a torque
        size: size of a joint's force or moment; signed for rods (tension positive), springs and the gear, shape (cases,)
        force: vector on the body ``on``, car axes, shape (cases, 3) [N or N m]; None where there is none to tell
        on: body on which the vector acts; "" where there is none
        cannot_pull: whether a negative size is impossible (a coil between two seats)

    """

    name: str
    label: str
    part: str
    kind: Kind
    size: Array
    force: Array | None = None
    on: str = ""
    cannot_pull: bool = False


def load_rows(loads: AxleLoads, axle: AxleModel) -> tuple[LoadRow, ...]:
    """List the loads of the first state.

    Args:
        loads: loads of the axle
        axle: the axle

    """
    cases = len(loads.cases)
    rows = [_spring(loads, axle, k) for k in range(len(SIDES))]
    for title, site in loads.sites.items():
        part = "joint" if site.axial is None else "rod"
        size = site.size[0] if site.axial is None else site.axial[0]
        rows.append(LoadRow(title, _label(title), part, Kind.FORCE, size, site.force[0], _label(site.site.second.body)))
    rows += [row for name, pivot in loads.pivots.items() for row in _pivot(name, pivot)]
    for name, values in loads.held.items():
        known = _HELD.get(name.rpartition(".")[2])
        if known is not None:
            rows.append(LoadRow(name, known[0], "steering gear", known[1], values[0]))
    for name, force in loads.elements.items():
        kind = (
            Kind.FORCE if axle.groups[name] in ("bump stop", "droop stop", "gas force", "damper end") else Kind.TORQUE
        )
        rows.append(LoadRow(name, _label(name), "other spring", kind, np.broadcast_to(force[0], cases)))
    return tuple(rows)


def _spring(loads: AxleLoads, axle: AxleModel, k: int) -> LoadRow:
    side = SIDES[k]
    spring = axle.main[side]
    kind = Kind.TORQUE if spring.kind == "torsion bar" else Kind.FORCE
    label = f"{side} {spring.kind} spring" if spring.kind != "torsion bar" else f"{side} torsion bar"
    return LoadRow(spring.measure, label, "main spring", kind, loads.springs[side][0], cannot_pull=not spring.captive)


def _pivot(name: str, pivot: PivotLoad) -> list[LoadRow]:
    """Force of a pivot, and its moment square to the line that it leaves free."""
    side = next((f"{side} " for side in SIDES if f".{side}." in name), "")
    word, on = name.rpartition(".")[2], _label(name)
    if word.endswith("_half"):
        # Half a bar has but one bush here; the real bar's two bushes share what would be its moment.
        label = f"{side}{word.removesuffix('_half').replace('_', ' ')} bush"
        return [LoadRow(name, label, "pivot", Kind.FORCE, pivot.size[0], pivot.force[0], on)]
    plain = word.replace("_", " ")
    bearing, turned = (f"{side}{what}" for what in _PIVOTS.get(word, (f"{plain} pivot", f"{plain} moment")))
    moment = pivot.moment[0]
    return [
        LoadRow(name, bearing, "pivot", Kind.FORCE, pivot.size[0], pivot.force[0], on),
        LoadRow(f"{name}_moment", turned, "pivot", Kind.TORQUE, length(moment)[..., 0], moment, on),
    ]


def _label(name: str) -> str:
    """A full name without its axle, in plain words."""
    return " ".join(name.split(".")[1:]).replace("_", " ") or name

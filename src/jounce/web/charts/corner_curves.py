"""The curves of a car in both turns over lateral acceleration, as lines for charts."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass

import numpy as np
from markupsafe import Markup

from jounce.behaviour.road.corner import Cornering
from jounce.conventions.units import Kind, to_display
from jounce.numerics.arrays import Array
from jounce.web.charts.chart import Chart, ChartLine, drawn
from jounce.web.charts.travel_curves import axis_of

__all__ = ["DRAWN", "Drawn", "corner_charts"]


@dataclass(frozen=True, slots=True)
class Drawn:
    """One chart: its title, kind, sign, and how its values are read from a sweep, None where they are not known."""

    title: str
    kind: Kind
    sign: str
    read: Callable[[Cornering], Array | None]


DRAWN: tuple[Drawn, ...] = (
    Drawn("roll", Kind.ANGLE, "+ right side down", lambda sweep: sweep.roll),
    Drawn("load moved, front", Kind.FORCE, "+ to the right wheel", lambda sweep: sweep.transfer.total[:, 0]),
    Drawn("load moved, rear", Kind.FORCE, "+ to the right wheel", lambda sweep: sweep.transfer.total[:, 1]),
    Drawn("front share of load moved", Kind.SHARE, "", lambda sweep: sweep.front_share),
    Drawn("load, rear left wheel", Kind.FORCE, "", lambda sweep: sweep.states.acted.load[:, 1, 0]),
    Drawn("load, rear right wheel", Kind.FORCE, "", lambda sweep: sweep.states.acted.load[:, 1, 1]),
    Drawn("camber to the road, front right", Kind.ANGLE, "− top inward", lambda sweep: sweep.camber[:, 0, 1]),
    Drawn("steer by the rear axle", Kind.ANGLE, "+ to the left", lambda sweep: sweep.steered()[:, 1]),
    Drawn("steer beyond the radius' own", Kind.ANGLE, "+ to the left", lambda sweep: sweep.understeer_angle()),
    Drawn("rise of the body", Kind.LENGTH, "", lambda sweep: sweep.jacking),
)
"""What is drawn over lateral acceleration."""


def corner_charts(sweeps: Mapping[str, Cornering], units: str, only: Collection[str] = ()) -> list[Markup]:
    """The charts of both turns.

    Args:
        sweeps: as found and as planned, by "found" and "planned", over the same accelerations
        units: unit set to show
        only: titles of `DRAWN` that are drawn; all where there are none
    """
    across = next(iter(sweeps.values())).acting.across
    x = np.asarray(to_display(across, Kind.ACCELERATION, units))
    over = axis_of("lateral acceleration", Kind.ACCELERATION, units, "+ left turn")
    made = []
    for one in DRAWN:
        if only and one.title not in only:
            continue
        lines = []
        for state, sweep in sweeps.items():
            values = one.read(sweep)
            if values is not None:
                shown = to_display(np.where(sweep.states.reached, values, np.nan), one.kind, units)
                lines.append(ChartLine(f"as {state}", np.asarray(shown), int(state == "planned")))
        if len(lines) == len(sweeps):
            made.append(drawn(Chart(axis_of(one.title, one.kind, units, one.sign), over, x, lines, "corner")))
    return made

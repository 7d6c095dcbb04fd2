"""The curves of an axle's motions, as lines for charts and as a table for a spreadsheet."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from markupsafe import Markup

from jounce.behaviour.motions import AxleStates
from jounce.behaviour.travel import TravelTable, column_map, states_table
from jounce.car.model import AxleModel
from jounce.conventions.units import Kind, column, to_display, unit_of
from jounce.numerics.arrays import Array
from jounce.web.charts import Line, chart

__all__ = ["AT", "TRAVEL", "Standing", "csv_text", "travel_charts", "travel_table"]

TRAVEL = np.linspace(-0.06, 0.06, 61)
"""Wheel travel from where the car stands [m]."""
AT: Mapping[str, tuple[str, Kind, str]] = {
    "left_camber": ("Camber, left", Kind.ANGLE, "− top inward"),
    "left_toe": ("Toe, left", Kind.ANGLE, "+ toe-in"),
    "track": ("Track", Kind.LENGTH, ""),
    "roll_centre_height": ("Roll centre", Kind.LENGTH, "above the road"),
}
"""What is drawn: column, title, kind, sign."""


@dataclass(frozen=True, slots=True)
class Standing:
    """An axle where its car stands."""

    title: str
    model: AxleModel
    states: AxleStates

    @property
    def planned(self) -> bool:
        """Whether it is the planned one."""
        return self.title == "as planned"


def travel_table(standing: Standing) -> TravelTable:
    """All results over both wheels' travel from where the car stands.

    Args:
        standing: the axle
    """
    states, model = standing.states, standing.model
    moved = replace(states, left=states.left + TRAVEL, right=states.right + TRAVEL)
    return states_table(model.stand, model.linkage, moved, (1.0, 1.0))


def travel_charts(axle: str, standings: Sequence[Standing], units: str) -> list[Markup]:
    """The charts of one axle.

    Args:
        axle: its name
        standings: as found, and as planned where there is a plan
        units: unit set to show
    """
    tables = [(one, column_map(travel_table(one))) for one in standings]
    x = np.asarray(to_display(TRAVEL, Kind.LENGTH, units))
    over = f"wheel travel from standing, {unit_of(Kind.LENGTH, units).symbol}, + bump"
    made = []
    for name, (title, kind, sign) in AT.items():
        if not all(name in columns for _, columns in tables):
            continue
        lines = [Line(one.title, x, _shown(columns[name], kind, units), one.planned) for one, columns in tables]
        told = ", ".join(filter(None, (f"{axle}: {title.lower()}", unit_of(kind, units).symbol, sign)))
        made.append(chart(told[0].upper() + told[1:], over, lines, "travel"))
    return made


def csv_text(standings: Sequence[Standing], units: str) -> str:
    """All results of some axles over travel, one row for each position.

    Args:
        standings: the axles
        units: unit set to write
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    for one in standings:
        table = travel_table(one)
        kinds = [(c.name, c.kind, to_display(c.values, c.kind, units)) for c in table.columns]
        writer.writerow(
            ["axle", "state", column("travel", Kind.LENGTH, units), *(column(n, k, units) for n, k, _ in kinds)]
        )
        for i, travel in enumerate(np.asarray(to_display(TRAVEL, Kind.LENGTH, units))):
            if table.reached[i]:
                cells = ["" if np.isnan(v[i]) else f"{v[i] + 0.0:.6f}" for _, _, v in kinds]
                writer.writerow([one.model.name, one.title, f"{travel:.4f}", *cells])
    return out.getvalue()


def _shown(values: Array, kind: Kind, units: str) -> Array:
    return np.asarray(to_display(values, kind, units))

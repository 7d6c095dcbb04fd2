"""The curves of an axle's motions, as lines for charts and as a table for a spreadsheet."""

from __future__ import annotations

import csv
import io
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from markupsafe import Markup

from jounce.behaviour.axle.motions import AxleStates
from jounce.behaviour.axle.springing import springing as axle_springing
from jounce.behaviour.axle.travel import TravelTable, column_map, states_table
from jounce.car.mechanics.model import AxleModel
from jounce.conventions.units import Kind, column, to_display, unit_of
from jounce.numerics.arrays import Array
from jounce.web.charts.chart import Chart, ChartAxis, ChartLine, drawn

__all__ = ["AT", "TRAVEL", "StandingAxle", "axis_of", "csv_text", "springing", "travel_charts", "travel_table"]

TRAVEL = np.linspace(-0.06, 0.06, 61)
"""Wheel travel from where the car stands [m]."""
AT: Mapping[str, tuple[str, Kind, str]] = {
    "left_camber": ("camber, left", Kind.ANGLE, "− top inward"),
    "left_toe": ("toe, left", Kind.ANGLE, "+ toe-in"),
    "roll_centre_height": ("roll centre", Kind.LENGTH, "above the road"),
    "left_wheel_rate": ("wheel rate, left", Kind.SPRING_RATE, "both wheels together"),
    "left_load": ("wheel load, left", Kind.FORCE, "both wheels together"),
    "left_caster": ("caster, left", Kind.ANGLE, "+ top to the rear"),
    "track": ("track", Kind.LENGTH, ""),
    "left_wheelbase_change": ("wheelbase change, left", Kind.LENGTH, "+ longer"),
    "left_damper_ratio": ("damper per wheel travel, left", Kind.RATIO, ""),
    "axle_shift": ("axle shift", Kind.LENGTH, "+ left"),
}
"""What is drawn: column, title, kind, sign."""
# A stop's rate dwarfs a spring's: the whole picture ends at this many times the rate where it stands.
_STOPS_ABOVE = 2.5


@dataclass(frozen=True, slots=True)
class StandingAxle:
    """An axle where its car stands."""

    title: str
    model: AxleModel
    states: AxleStates

    @property
    def planned(self) -> bool:
        """Whether it is the planned one."""
        return self.title == "as planned"


def travel_table(standing: StandingAxle) -> TravelTable:
    """All results over both wheels' travel from where the car stands.

    Args:
        standing: the axle
    """
    states, model = standing.states, standing.model
    moved = replace(states, left=states.left + TRAVEL, right=states.right + TRAVEL)
    return states_table(model.stand, model.linkage, moved, (1.0, 1.0))


def springing(standing: StandingAxle) -> Mapping[str, Array]:
    """Load and rate of the left wheel over both wheels' travel, stops and all [N, N/m]; NaN out of reach.

    Args:
        standing: the axle, complete with its main springs
    """
    states = replace(standing.states, left=standing.states.left + TRAVEL, right=standing.states.right + TRAVEL)
    found = axle_springing(standing.model, states)
    return {name: found[name] for name in ("left_wheel_rate", "left_load")}


def travel_charts(
    axle: str,
    standings: Sequence[StandingAxle],
    units: str,
    only: Collection[str] = (),
    bands: Mapping[str, Array] | None = None,
) -> list[Markup]:
    """The charts of one axle.

    Args:
        axle: its name
        standings: as found, and as planned where there is a plan; or each job that stands beside the others
        units: unit set to show
        only: names of `AT` that are drawn; all where there are none
        bands: half widths of the first one's bands by column, each over `TRAVEL` [SI]; none where they are not worked out
    """
    tables = [(one, {**column_map(travel_table(one)), **springing(one)}) for one in standings]
    x = _shown(TRAVEL, Kind.LENGTH, units)
    over = axis_of("wheel travel from standing", Kind.LENGTH, units, "+ bump")
    made = []
    for name, (title, kind, sign) in AT.items():
        if only and name not in only:
            continue
        if not all(name in columns and np.isfinite(columns[name]).any() for _, columns in tables):
            continue
        lines = [
            ChartLine(
                one.title,
                _shown(columns[name], kind, units),
                look,
                _shown(bands[name], kind, units) if bands and name in bands and look == 0 else None,
            )
            for look, (one, columns) in enumerate(tables)
        ]
        ceiling = np.inf
        if kind is Kind.SPRING_RATE:
            ceiling = _STOPS_ABOVE * max(float(line.y[len(TRAVEL) // 2]) for line in lines)
        made.append(drawn(Chart(axis_of(f"{axle}: {title}", kind, units, sign), over, x, lines, "travel", ceiling)))
    return made


def axis_of(name: str, kind: Kind, units: str, sign: str = "") -> ChartAxis:
    """An axis in the units that are shown.

    Args:
        name: what it shows
        kind: its kind
        units: unit set to show
        sign: what is positive
    """
    unit = unit_of(kind, units)
    return ChartAxis(name, "" if unit.symbol == "-" else unit.symbol, unit.decimals, sign)


def csv_text(standings: Sequence[StandingAxle], units: str) -> str:
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
        kinds += [(n, AT[n][1], to_display(values, AT[n][1], units)) for n, values in springing(one).items()]
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

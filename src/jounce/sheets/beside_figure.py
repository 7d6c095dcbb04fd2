"""The figure of jobs beside each other: bars of ride frequency, share of roll stiffness and roll, readable in grey."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import matplotlib as mpl
import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from jounce.case.beside import Beside
from jounce.conventions.units import Kind, show, to_display, unit_of
from jounce.sheets.figures import STYLE, as_svg
from jounce.sheets.paperwork import Translator

__all__ = ["BarSeries", "beside_figure", "series_of"]

_DARK: dict[str, Any] = {"color": "#404040", "edgecolor": "#202020", "linewidth": 0.6}
_LIGHT: dict[str, Any] = {"color": "#d9d9d9", "edgecolor": "#202020", "linewidth": 0.6, "hatch": "///"}
_WIDE = 0.8  # of the room that a column has, taken by its bars together


@dataclass(frozen=True, slots=True)
class BarSeries:
    """One bar for the car as found and one for each job.

    Attributes:
        title: what they are
        name: which of the panel's series; empty for the only one
        kind: what they measure
        values: one for each column [SI]; None where there is none

    """

    title: str
    name: str
    kind: Kind
    values: tuple[float | None, ...]


def series_of(found: Beside) -> list[list[BarSeries]]:
    """The series of each panel.

    Args:
        found: the jobs
    """
    rows = {row.key: row for row in found.rows}
    ride = [
        BarSeries("ride frequency", axle, row.kind, row.values)
        for axle in ("front", "rear")
        for row in [rows[f"{axle}.left.ride_frequency"]]
    ]
    share = rows["front_share"]
    states = (found.car.found, *(None if one.refused else one.case.planned for one in found.variants))
    rolls = tuple(None if state is None else state.feel.left.roll_gradient for state in states)
    return [
        ride,
        [BarSeries("front share of roll stiffness", "", share.kind, share.values)],
        [BarSeries("roll in a left turn", "", Kind.ANGLE_PER_ACCELERATION, rolls)],
    ]


def beside_figure(found: Beside, units: str, speaks: Translator | None = None) -> str:
    """Three panels of bars, each bar with its number: SVG.

    Args:
        found: the jobs
        units: unit set to show
        speaks: the house's words; None for the program's own
    """
    columns = ["found", *(one.letter for one in found.variants)]
    with mpl.rc_context(STYLE):
        figure = Figure(figsize=(7.2, 1.15), layout="constrained")
        panels: Any = figure.subplots(1, 3, width_ratios=(1.5, 1, 1))
        for panel, series in zip(panels, series_of(found), strict=True):
            _draw(panel, series, columns, units)
        return as_svg(figure, speaks)


def _draw(panel: Axes, several: Sequence[BarSeries], columns: Sequence[str], units: str) -> None:
    wide = _WIDE / len(several)
    for k, (series, look) in enumerate(zip(several, (_DARK, _LIGHT), strict=False)):
        for place, value in enumerate(series.values):
            at = place + (k - (len(several) - 1) / 2) * wide
            if value is None:
                panel.text(at, 0, "–", ha="center", va="bottom", fontsize=6.5)
                continue
            high = float(np.asarray(to_display(value, series.kind, units)))
            panel.bar(at, high, wide * 0.92, **look)
            told = show(value, series.kind, units).partition(" ")[0]
            panel.text(at, high, told, ha="center", va="bottom", fontsize=5.5)
    symbol = unit_of(several[0].kind, units).symbol
    panel.set_title(f"{several[0].title}{'' if symbol == '-' else f' [{symbol}]'}", fontsize=7.5)
    panel.set_xticks(range(len(columns)), columns)
    panel.set_xlim(-0.6, len(columns) - 0.4)
    panel.grid(visible=False, axis="x")
    panel.margins(y=0.16)
    panel.set_ylim(bottom=0)

"""Vector figures for sheets: each has axes, units and the sense of its signs."""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any

import matplotlib as mpl
import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.text import Text
from matplotlib.ticker import Formatter

from jounce.behaviour.axle.contact import contact_state
from jounce.behaviour.axle.motions import AxleStates, place_axle, wheel_motions
from jounce.behaviour.axle.reach import first_hard
from jounce.behaviour.axle.travel import column_map, states_table
from jounce.car.mechanics.stops import RUBBER
from jounce.conventions.units import Kind, to_display, unit_of
from jounce.job.plan import CarState, JobPlan
from jounce.numerics.arrays import Array
from jounce.sheets.paperwork import Translator
from jounce.words.signs import PROGRAM

# Okabe and Ito's palette (2008), safe for the colour-blind; found is dashed as well, so that no colour is needed.
FOUND: dict[str, Any] = {"color": "#0072B2", "linestyle": (0, (4, 2)), "linewidth": 1.1}
PLANNED: dict[str, Any] = {"color": "#D55E00", "linestyle": "-", "linewidth": 1.4}
STYLE: Any = {
    "svg.hashsalt": "jounce",
    "svg.fonttype": "path",
    "font.size": 7.5,
    "axes.grid": True,
    "grid.alpha": 0.35,
    "grid.linewidth": 0.5,
}
_CURVE = 0.06  # travel shown each way [m]


def sketch(plan: JobPlan, units: str = "metric", speaks: Translator | None = None) -> str:
    """Both axles to scale in side, front and plan view, pivots as found and as planned, body held still: SVG.

    Args:
        plan: what came out
        units: unit set to show
        speaks: the house's words; None for the program's own
    """
    with mpl.rc_context(STYLE):
        figure = Figure(figsize=(7.2, 4.5), layout="constrained")
        panels: Any = figure.subplots(2, 3)
        views = (
            ("side", 0, 2, "x forward", "z up"),
            ("front", 1, 2, "y left", "z up"),
            ("plan", 0, 1, "x forward", "y left"),
        )
        length = _bracketed(Kind.LENGTH, units)
        for row, name in enumerate(("front", "rear")):
            for panel, (view, across, up, x_label, y_label) in zip(panels[row], views, strict=True):
                for state, style in ((plan.found, FOUND), (plan.planned, PLANNED)):
                    for line in _lines(state, row):
                        panel.plot(*_lengths(units, line[:, across], line[:, up]), marker="o", markersize=1.8, **style)
                panel.set_aspect("equal", adjustable="datalim")
                panel.set(title=f"{name} axle, {view} view", xlabel=f"{x_label} {length}", ylabel=f"{y_label} {length}")
        legend(panels[0][0])
        return as_svg(figure, speaks)


def _lines(state: CarState, row: int) -> Iterator[Array]:
    model = state.models[row]
    placed = place_axle(model.stand, model.name, state.states[model.name])
    for _, points in model.linkage.drawing:
        yield np.stack([model.stand.position(placed.pose, point)[0] for point in points])


def angle_curves(plan: JobPlan, units: str = "metric", speaks: Translator | None = None) -> str:
    """Camber and toe of the left front wheel over travel from where the car stands: SVG.

    Args:
        plan: what came out
        units: unit set to show
        speaks: the house's words; None for the program's own
    """
    with mpl.rc_context(STYLE):
        figure = Figure(figsize=(3.5, 3.1), layout="constrained")
        panels: Any = figure.subplots(2, 1, sharex=True)
        travel = np.linspace(-_CURVE, _CURVE, 41)
        for state, style in ((plan.found, FOUND), (plan.planned, PLANNED)):
            model = state.models[0]
            table = column_map(
                states_table(model.stand, model.linkage, _moved(state.states["front"], travel), (1.0, 1.0))
            )
            for panel, name in zip(panels, ("camber", "toe"), strict=True):
                panel.plot(*_lengths(units, travel), np.degrees(table[f"left_{name}"]), **style)
        panels[0].set(title="Front left wheel", ylabel="camber [deg]\n(− top inward)")
        panels[1].set(
            ylabel="toe [deg]\n(+ toe-in)",
            xlabel=_travel_label(units),
        )
        legend(panels[0])
        return as_svg(figure, speaks)


def load_curves(plan: JobPlan, units: str = "metric", speaks: Translator | None = None) -> str:
    """Load of the left wheels over travel, to the stops, from where the car stands: SVG.

    Args:
        plan: what came out
        units: unit set to show
        speaks: the house's words; None for the program's own
    """
    with mpl.rc_context(STYLE):
        figure = Figure(figsize=(3.5, 3.1), layout="constrained")
        panels: Any = figure.subplots(2, 1, sharex=True)
        for panel, name in zip(panels, ("front", "rear"), strict=True):
            for state, style in ((plan.found, FOUND), (plan.planned, PLANNED)):
                _load_curve(panel, state, name, style, units)
            panel.set(ylabel=f"{name} left\nload {_bracketed(Kind.FORCE, units)}")
            panel.set_ylim(bottom=0)
        panels[0].set_title("Wheel load; + rubber touches; ▪ end of travel", fontsize=7.5)
        panels[1].set_xlabel(_travel_label(units))
        legend(panels[0])
        return as_svg(figure, speaks)


def _load_curve(panel: Axes, state: CarState, name: str, style: dict[str, Any], units: str) -> None:
    ends = {at: first_hard(state.stops[name], at) for at in ("bump", "droop")}
    low = -_CURVE if ends["droop"] is None else -ends["droop"].travel
    high = _CURVE if ends["bump"] is None else ends["bump"].travel
    travel = np.linspace(low, high, 61)
    model = next(model for model in state.models if model.name == name)
    placed = place_axle(model.stand, name, _moved(state.states[name], travel))
    load = to_display(contact_state(model, wheel_motions(placed, name)).load[:, 0], Kind.FORCE, units)
    shown = placed.reached
    panel.plot(*_lengths(units, travel[shown]), load[shown], **style)
    color = style["color"]
    for met in state.stops[name]:
        if met.side == "left" and met.name == RUBBER:
            panel.plot(
                *_lengths(units, np.array(met.travel)),
                np.interp(met.travel, travel, load),
                "+",
                color=color,
                markersize=7,
            )
    panel.plot(*_lengths(units, travel[[0, -1]]), load[[0, -1]], "s", color=color, markersize=3)


def _lengths(units: str, *lengths: Array) -> list[Array]:
    return [np.asarray(to_display(one, Kind.LENGTH, units)) for one in lengths]


def _travel_label(units: str) -> str:
    return f"travel from standing height, + bump {_bracketed(Kind.LENGTH, units)}"


def _bracketed(kind: Kind, units: str) -> str:
    return f"[{unit_of(kind, units).symbol}]"


def _moved(states: AxleStates, travel: Array) -> AxleStates:
    return replace(states, left=states.left + travel, right=states.right + travel)


def line_of(title: str) -> dict[str, Any]:
    """Colour and dashes of a state's curves.

    Args:
        title: "as found" or "as planned"
    """
    return FOUND if title == "as found" else PLANNED


def legend(panel: Axes, titles: Sequence[str] = ("as found", "as planned")) -> None:
    """Say which curve is which.

    Args:
        panel: where
        titles: the states shown
    """
    for title in titles:
        panel.plot([], [], label=title, **line_of(title))
    panel.legend(loc="best", fontsize=6.5, framealpha=0.8)


def as_svg(figure: Figure, speaks: Translator | None = None) -> str:
    """A figure as SVG that is the same every time.

    Args:
        figure: the figure
        speaks: the house's words; None for the program's own
    """
    _say(figure, PROGRAM if speaks is None else speaks)
    text = io.StringIO()
    figure.savefig(text, format="svg", metadata={"Date": None})
    return text.getvalue()


def _say(figure: Figure, speaks: Translator) -> None:
    """Put every text of a figure, and the numbers of its scales, into the house's words."""
    for panel in figure.axes:
        for scale in (panel.xaxis, panel.yaxis):
            scale.set_major_formatter(_HouseNumbers(scale.get_major_formatter(), speaks))
    for text in figure.findobj(Text):
        lines = text.get_text().split("\n")
        text.set_text("\n".join(speaks.said(line) if line.strip() else line for line in lines))


class _HouseNumbers(Formatter):
    """The numbers of a scale as they would be written without it, with the house's decimal sign and words."""

    def __init__(self, own: Formatter, speaks: Translator) -> None:
        self._own, self._speaks = own, speaks

    def __call__(self, x: float, pos: int | None = None) -> str:
        return self._said(self._own(x, pos))

    def format_ticks(self, values: list[float]) -> list[str]:
        return [self._said(text) for text in self._own.format_ticks(values)]

    def set_locs(self, locs: list[float]) -> None:
        self._own.set_locs(locs)

    def get_offset(self) -> str:
        return self._own.get_offset()

    def _said(self, text: str) -> str:
        return self._speaks.said(text) if text.strip() else text

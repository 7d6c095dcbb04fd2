"""Figures of the drive that a customer asks for: what a corner does, and what a bump does at the seat."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import matplotlib as mpl
import numpy as np
from matplotlib.figure import Figure

from jounce.behaviour.ride.dampers import dampers_of
from jounce.behaviour.ride.inertia import body_inertia, whole_inertia
from jounce.behaviour.ride.obstacles import bump
from jounce.behaviour.ride.small_motions import small_motions
from jounce.behaviour.ride.time_history import TimeHistory, drive_over
from jounce.behaviour.road.corner import Cornering
from jounce.conventions.units import KM_PER_H, MM, Kind, show, to_display, unit_of
from jounce.sheets.figures import STYLE, as_svg, legend, line_of
from jounce.sheets.paperwork import Printout, Translator

BUMP = (30 * MM, 1.0)
"""Height and length of the bump [m]."""
BUMP_SPEED = 30 * KM_PER_H
_SEAT = np.array([0.35, 0.45])  # left of the middle and above the ground, as in the ride answers [m]
_LONG = 1.6  # time shown after the bump was met [s]


def corner_figure(sweeps: Mapping[str, Cornering], units: str, speaks: Translator | None = None) -> str:
    """Roll, and the loads of the inside wheels, over lateral acceleration in a left turn: SVG.

    Args:
        sweeps: of each state of the car, by title
        units: unit set to show
        speaks: the house's words; None for the program's own
    """
    with mpl.rc_context(STYLE):
        figure = Figure(figsize=(7.2, 2.05), layout="constrained")
        panels: Any = figure.subplots(1, 2)
        for title, sweep in sweeps.items():
            left = sweep.states.reached & (sweep.acting.across >= 0)
            across = to_display(sweep.acting.across[left], Kind.ACCELERATION, units)
            style = line_of(title)
            panels[0].plot(across, to_display(sweep.roll[left], Kind.ANGLE, units), **style)
            for axle, marker in ((0, None), (1, ".")):
                load = to_display(sweep.states.acted.load[left, axle, 0], Kind.FORCE, units)
                panels[1].plot(across, load, marker=marker, markersize=3, markevery=4, **style)
        x_label = f"lateral acceleration [{unit_of(Kind.ACCELERATION, units).symbol}]"
        panels[0].set(title="Roll, left turn", xlabel=x_label, ylabel=f"roll [{unit_of(Kind.ANGLE, units).symbol}]")
        force = unit_of(Kind.FORCE, units).symbol
        panels[1].set(title="Inside wheels: front plain; rear dotted", xlabel=x_label, ylabel=f"load [{force}]")
        for panel in panels:
            panel.set_xlim(left=0)
            panel.set_ylim(bottom=0)
        legend(panels[0], tuple(sweeps))
        return as_svg(figure, speaks)


def ride_figure(out: Printout) -> str | None:
    """Vertical acceleration at the driver's seat over a bump: SVG; None where a damper's curve is not known.

    Args:
        out: what is printed
    """
    drives = {title: _drive(out, title) for title in out.states}
    with mpl.rc_context(STYLE):
        figure = Figure(figsize=(7.2, 1.75), layout="constrained")
        panel: Any = figure.subplots()
        for title, drive in drives.items():
            if drive is None:
                return None
            history, seat = drive
            shown = history.time <= _LONG
            grown = to_display(history.body_acceleration(seat)[shown], Kind.ACCELERATION, out.units)
            panel.plot(history.time[shown], grown, **line_of(title))
        panel.set(
            xlabel="time since the front wheels met the bump [s]",
            ylabel=f"seat, + up [{unit_of(Kind.ACCELERATION, out.units).symbol}]",
        )
        legend(panel, tuple(drives))
        return as_svg(figure, out.look.speaks)


def ride_caption(units: str) -> str:
    """What the ride figure shows.

    Args:
        units: unit set to show
    """
    height, length = (show(size, Kind.LENGTH, units) for size in BUMP)
    speed = show(BUMP_SPEED, Kind.DRIVING_SPEED, units)
    return f"Up and down at the driver's seat over a rounded bump {height} high and {length} long, at {speed}."


def _drive(out: Printout, title: str) -> tuple[TimeHistory, Any] | None:
    document, car = out.states[title].document, out.states[title].car
    dampers = dampers_of(document)
    if dampers.unknown:
        return None
    own = body_inertia(car, whole_inertia(document))
    motions = small_motions(car, own)
    seat = np.array([motions.foot[:2, 0].mean() - 0.5 * motions.wheelbase, *_SEAT])
    return drive_over(car, dampers.curves, own, bump(*BUMP), BUMP_SPEED), seat

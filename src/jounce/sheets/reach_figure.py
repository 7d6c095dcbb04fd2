"""The figure of what camber and caster the top plates can give."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import matplotlib as mpl
import numpy as np
from matplotlib.figure import Figure

from jounce.job.reach_map import ReachMap
from jounce.layouts.naming import SideName
from jounce.sheets.figures import PLANNED, STYLE, as_svg
from jounce.sheets.paperwork import Translator

_LEAST_SPAN = 1.0
"""Degrees that either axis spans at least: an aligner does not show a hundredth of it."""


def reach_figure(maps: Mapping[SideName, ReachMap], speaks: Translator | None = None) -> str:
    """Camber across, caster up; the region of each wheel, lines of equal plate position, a cross for what is wanted: SVG.

    Args:
        maps: the regions by side, not empty
        speaks: the house's words; None for the program's own
    """
    with mpl.rc_context(STYLE):
        figure = Figure(figsize=(7.2, 3.2), layout="constrained")
        panels: Any = figure.subplots(1, len(maps), squeeze=False, sharex=True, sharey=True)
        for panel, found in zip(panels[0], maps.values(), strict=True):
            edge = np.degrees(np.vstack((found.edge, found.edge[:1])))
            panel.fill(edge[:, 0], edge[:, 1], color="#56B4E9", alpha=0.3, linewidth=0)
            panel.plot(edge[:, 0], edge[:, 1], color="#0072B2", linewidth=1.2, label="region of the slots")
            for k in range(0, len(found.inward), 4):
                panel.plot(np.degrees(found.camber[k]), np.degrees(found.caster[k]), color="#0072B2", linewidth=0.5)
            for k in range(0, len(found.rearward), 4):
                line = np.degrees(found.camber[:, k]), np.degrees(found.caster[:, k])
                panel.plot(*line, color="#0072B2", linewidth=0.5)
            camber, caster = np.degrees(found.wanted)
            word = "inside" if found.room >= 0 else "outside"
            panel.plot(
                camber,
                caster,
                "X",
                color=PLANNED["color"],
                markersize=7,
                label=f"wanted: {abs(np.degrees(found.room)):.2f}° {word}",
            )
            panel.set(
                title=f"{found.side} front wheel, toe reset",
                xlabel="camber, − top leans inward [deg]",
                ylabel="caster, + top leans rearward [deg]",
            )
            panel.legend(loc="lower left", fontsize=6.5)
        _no_finer_than_a_rig(panels[0][0])
        return as_svg(figure, speaks)


def _no_finer_than_a_rig(panel: Any) -> None:
    """Slots in one direction alone give a line: its other axis is not blown up."""
    for read, write in ((panel.get_xlim, panel.set_xlim), (panel.get_ylim, panel.set_ylim)):
        low, high = read()
        short = max(0.0, _LEAST_SPAN - (high - low)) / 2
        write(low - short, high + short)

"""Small sketches of which way a setting is turned, and seen from where."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import matplotlib as mpl
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Arc, Circle, FancyArrowPatch, Rectangle

from jounce.job.plan import JobPlan
from jounce.job.settings import WheelSetting
from jounce.job.which_way import WindingWay, winding_way
from jounce.sheets.figures import STYLE, as_svg
from jounce.sheets.paperwork import Translator

_ABREAST = 4
"""Sketches in a row: with more of them their words run into each other in a language with long ones."""
_HIGH = 1.35  # of a row [in]
_INK: dict[str, Any] = {"color": "black", "linewidth": 1.1}
_Draw = Callable[[Axes], None]


def way_figure(plan: JobPlan, speaks: Translator | None = None, *, bars_alone: bool = False) -> str | None:
    """The settings of a plan that are turned, side by side: SVG; None where nothing is.

    Args:
        plan: what came out
        speaks: the house's words; None for the program's own
        bars_alone: of torsion bars alone, for a card that speaks of nothing else
    """
    draws: list[_Draw] = []
    axles = plan.settings.values()
    both = all(axle.bars for axle in axles)
    for model in plan.planned.models:
        for side in plan.settings[model.name].bars:
            way = winding_way(model.linkage, side)
            if way is not None:
                name = f"{side} {model.name}" if both else side
                draws.append(lambda panel, n=name, w=way: _bar(panel, n, w))  # type: ignore[misc]
    if not bars_alone:
        draws += _other_draws(plan)
    if not draws:
        return None
    with mpl.rc_context(STYLE):
        rows = math.ceil(len(draws) / _ABREAST)
        figure = Figure(figsize=(7.2, _HIGH * rows), layout="constrained")
        panels: Any = figure.subplots(rows, math.ceil(len(draws) / rows), squeeze=False)
        for panel in panels.flat:
            panel.set(xlim=(-1.25, 1.25), ylim=(-1.45, 0.85), aspect="equal")
            panel.axis("off")
        for panel, draw in zip(panels.flat, draws, strict=False):
            draw(panel)
        return as_svg(figure, speaks)


def _other_draws(plan: JobPlan) -> list[_Draw]:
    """What is turned besides torsion bars: seats, the rod that holds an axle sideways, what sets a wheel's angles."""
    axles, draws = plan.settings.values(), list[_Draw]()
    if any(seat.adjustable for axle in axles for seat in axle.seats.values()):
        draws.append(_ring)
    if any(axle.rod is not None and axle.rod.turns is not None for axle in axles):
        draws.append(_rod)
    turned = next((axle for axle, own in plan.settings.items() if any(map(_is_turned, own.wheels.values()))), None)
    if turned is not None:
        own = plan.settings[turned]
        plate = own.mover if any(wheel.plate_inward for wheel in own.wheels.values()) else ""
        draws.append(lambda panel: _tie_rod(panel, turned, own.toe_rod, plate))
    return draws


def _is_turned(wheel: WheelSetting) -> bool:
    return bool(wheel.plate_inward or wheel.tie_rod or wheel.links)


def _foot(panel: Axes, turned: str, does: str) -> None:
    """Below a sketch: how it is turned, and what that does."""
    panel.text(0, -1.02, f"{turned}\n{does}", ha="center", va="top", fontsize=6.5)


def _bar(panel: Axes, name: str, way: WindingWay) -> None:
    """The bar's end, its arm, and the sense that winds it up."""
    out = way.outward
    panel.add_patch(Circle((-0.45 * out, 0.2), 0.16, fill=False, **_INK))
    panel.plot([-0.3 * out, 0.75 * out], [0.15, -0.1], **_INK)
    panel.plot([0.75 * out], [-0.1], "o", color="black", markersize=4)
    panel.text(1.15 * out, -0.18, "arm’s end", ha="left" if out > 0 else "right", fontsize=6)
    start, end = (0.35 * out, 0.55), (0.55 * out, -0.75)
    bend = -0.45 if way.clockwise else 0.45
    panel.add_patch(
        FancyArrowPatch(start, end, connectionstyle=f"arc3,rad={bend}", arrowstyle="-|>", mutation_scale=8, **_INK)
    )
    panel.set_title(f"{name} bar,\n{way.seen}", fontsize=6.5)
    _foot(panel, f"{way.winds_up}:", "winds up, lifts")


def _ring(panel: Axes) -> None:
    """The ring of a spring seat from the side: its near edge moves to the right as it goes up (right-hand thread)."""
    panel.add_patch(Rectangle((-0.18, -0.75), 0.36, 1.5, fill=False, **_INK))
    for k in range(7):
        panel.plot([-0.18, 0.18], [-0.6 + 0.2 * k, -0.52 + 0.2 * k], color="black", linewidth=0.5)
    panel.add_patch(Rectangle((-0.6, 0.0), 1.2, 0.2, facecolor="white", edgecolor="black", linewidth=1.1))
    panel.add_patch(FancyArrowPatch((0.85, -0.2), (0.85, 0.6), arrowstyle="-|>", mutation_scale=8, **_INK))
    panel.add_patch(Arc((0, -0.82), 0.9, 0.28, theta1=200, theta2=340, **_INK))
    panel.add_patch(FancyArrowPatch((0.36, -0.93), (0.47, -0.8), arrowstyle="-|>", mutation_scale=8, **_INK))
    panel.set_title("spring seat,\nfrom the side", fontsize=6.5)
    _foot(panel, "clockwise from below:", "goes up")


def _rod(panel: Axes) -> None:
    """A rod end that is screwed into its rod, seen from that end."""
    panel.plot([0.1, 1.15], [0.1, 0.1], color="black", linewidth=5)
    panel.plot([-0.5, 0.1], [0.1, 0.1], **_INK)
    panel.add_patch(Circle((-0.65, 0.1), 0.15, fill=False, **_INK))
    panel.add_patch(FancyArrowPatch((-0.6, -0.35), (-0.1, -0.35), arrowstyle="-|>", mutation_scale=8, **_INK))
    panel.text(-0.35, -0.62, "screwed in", ha="center", fontsize=6)
    panel.set_title("Panhard rod,\nany side", fontsize=6.5)
    _foot(panel, "clockwise from its end:", "shorter")


def _tie_rod(panel: Axes, axle: str, rod: str, plate: str) -> None:
    """The rod that sets a wheel's toe, and what moves its upper joint if that is set, from above, the car's middle right.

    Args:
        panel: where it is drawn
        axle: front or rear
        rod: what the trade calls the rod
        plate: what moves the upper joint; empty where nothing does
    """
    panel.add_patch(Rectangle((-1.1, -0.55), 0.25, 1.1, fill=False, **_INK))
    panel.text(-0.98, -0.78, "wheel", ha="center", fontsize=6)
    panel.plot([-0.85, 0.6], [-0.35, -0.35], color="black", linewidth=3)
    panel.text(0.0, -0.65, rod, ha="center", fontsize=6)
    if plate:
        panel.add_patch(Circle((-0.45, 0.2), 0.18, fill=False, **_INK))
        panel.add_patch(FancyArrowPatch((-0.15, 0.2), (0.75, 0.2), arrowstyle="-|>", mutation_scale=8, **_INK))
        panel.text(0.12, 0.64, f"{plate} inward", ha="center", fontsize=6)
    panel.plot([1.0, 1.0], [-0.6, 0.6], color="black", linewidth=0.7, linestyle=(0, (6, 2, 1, 2)))
    panel.set_title(f"left {axle} wheel,\nfrom above, front up", fontsize=6.5)
    _foot(panel, "rod clockwise from wheel:", "longer")

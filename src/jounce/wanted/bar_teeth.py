"""Whole teeth, and quarter turns of the bolt, nearest to a turn that bars are to get; what they leave of a height."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from jounce.behaviour.road.weigh import with_settings
from jounce.car.mechanics.layout_input import SIDE_OF
from jounce.car.mechanics.model import AXLES, AxleName
from jounce.car.parts import TorsionBarSection
from jounce.conventions.axes import Corner
from jounce.conventions.units import Kind
from jounce.job.index.marks import Bolt, IndexSetting, index_setting
from jounce.job.settings import bolt_of
from jounce.layouts.naming import SIDES, SideName
from jounce.wanted.seek import Figure
from jounce.wanted.stood import Stood, stand
from jounce.wanted.work_car import WorkCar

__all__ = ["teeth_figures", "teeth_for"]


def teeth_for(work: WorkCar, axle: AxleName, turn: float) -> dict[SideName, IndexSetting]:
    """Teeth of both bars of an axle, counted from how they are set; none where a bar's splines are not known.

    Args:
        work: the car
        axle: front or rear
        turn: by how much both bars are to be turned, positive winds up [rad]
    """
    bars: dict[SideName, TorsionBarSection] = {
        side: work.section(axle).side(SIDE_OF[side]).torsion_bar for side in SIDES
    }
    found = {
        side: index_setting(turn, bar.splines_arm, bar.splines_anchor, _left_of(bar, work.bolts, (axle, side)))
        for side, bar in bars.items()
    }
    return found if all(one.splined for one in found.values()) else {}


def _left_of(bar: TorsionBarSection, turned: Mapping[Corner, float], corner: Corner) -> Bolt:
    """What the adjusting bolt has left either way from where it is set."""
    bolt, used = bolt_of(bar), turned.get(corner, 0.0)
    return Bolt(bolt.step, min(bolt.down - used, 0.0), max(bolt.up - used, 0.0))


def teeth_figures(work: WorkCar, axle: AxleName, turn: float, stood: Stood) -> list[Figure]:
    """The teeth and turns, and how much too low the car stands with them, put to rest so.

    Args:
        work: the car
        axle: front or rear
        turn: what both bars are to be turned, positive winds up [rad]
        stood: the car at rest with just that turn
    """
    found = teeth_for(work, axle, turn)
    if not found:
        return []
    setting = np.zeros((2, 2))
    setting[AXLES.index(axle)] = [found[side].reached for side in SIDES]
    so = stand(with_settings(work.car, setting))
    figures = []
    for name, counts in (
        ("teeth at the arm, + winds up", {side: one.arm_teeth for side, one in found.items()}),
        ("teeth at the anchor, + winds up", {side: one.anchor_teeth for side, one in found.items()}),
        ("turns of the bolt, + lifts", {side: one.bolt_turns for side, one in found.items()}),
    ):
        if any(counts.values()):
            figures += _of_both(name, counts)
    left = {side: turn - one.reached for side, one in found.items()}
    figures += [Figure(f"turn that they leave, {side}", Kind.ANGLE, one) for side, one in left.items()]
    figures.append(Figure("with those teeth too low by", Kind.LENGTH, so.lower(axle) - stood.lower(axle)))
    return figures


def _of_both(name: str, counts: Mapping[SideName, float]) -> list[Figure]:
    """A count of each bar; one where both are alike."""
    if len(set(counts.values())) == 1:
        return [Figure(name, Kind.RATIO, float(counts["left"]), counted=True)]
    return [Figure(f"{name}, {side}", Kind.RATIO, float(count), counted=True) for side, count in counts.items()]

"""How far the height at which an arm hangs without load may be off because of what was measured."""

from __future__ import annotations

import numpy as np

from jounce.behaviour.axle.static import loaded
from jounce.behaviour.bands import reaches
from jounce.car.file.document import CarDocument
from jounce.car.file.inputs import measured_inputs, with_value
from jounce.car.mechanics.assembly import axle_model
from jounce.car.mechanics.model import AxleName
from jounce.conventions.certainty import SHOWN_PER_TYPED
from jounce.job.index.hanging import hanging_point
from jounce.layouts.naming import SIDES, SideName


def hanging_bands(document: CarDocument, axle: AxleName, reached: dict[SideName, float]) -> dict[SideName, float]:
    """Half width of the band (9 in 10) of the arm's height over its pivot line, hanging free, its index being kept [m].

    What the old bar was wound up by as found, and the places of pivots and joint, are followed through; effects are added
    as squares.

    Args:
        document: the car as measured
        axle: which axle, sprung by torsion bars
        reached: turn of each bar's free angle that the index gives, positive winds up [rad]
    """
    inputs = [ref for ref in measured_inputs(document) if reaches(ref, axle)]
    varied = document
    for k, ref in enumerate(inputs):
        value = np.full(len(inputs) + 1, ref.value)  # the last variant is the car as it was measured
        value[k] += ref.plus_minus * SHOWN_PER_TYPED
        varied = with_value(varied, ref, value)  # type: ignore[arg-type]  # variants stand where a number stood
    model = axle_model(varied, axle)
    wound = loaded(model)[1]
    bands = dict.fromkeys(SIDES, 0.0)
    for side in SIDES:
        point = hanging_point(model.linkage, side)
        if point is not None and inputs:
            height = point.over_pivots(-(np.ravel(wound[side].displacement) + reached[side]))
            bands[side] = float(np.sqrt(np.sum((height[:-1] - height[-1]) ** 2)))
    return bands

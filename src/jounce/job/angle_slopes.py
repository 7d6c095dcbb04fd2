"""What a joint that sets an angle of a wheel does to all of that wheel's angles, where the planned car stands."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from jounce.behaviour.axle.motions import AxleStates
from jounce.behaviour.axle.travel import column_map, states_table
from jounce.car.mechanics.model import AxleModel
from jounce.conventions.units import MM
from jounce.layouts.adjusters import Aim
from jounce.layouts.naming import SideName, named
from jounce.numerics.arrays import Array

__all__ = ["angle_slopes"]

_TRIED = MM / 10  # by which a joint is set further, and a tenth of a milliradian by which a shim turns its hub


def angle_slopes(model: AxleModel, standing: AxleStates, side: SideName, joints: Mapping[Aim, str]) -> Array:
    """Slopes of a wheel's angles in the joints that set them, the wheels and the body held where they are.

    Args:
        model: the axle
        standing: where it stands, with all that was set on it
        side: of which wheel
        joints: the joints that are set, by what for

    Returns:
        A row for each angle and a column for each joint, both in the order of ``joints``, shape (angles, joints) [rad/m];
        [rad/rad] for a shim, whose value is an angle.
    """
    settings = dict(standing.settings or {})
    columns = []
    for word in joints.values():
        joint = named(model.name, side, word)
        at = float(np.asarray(settings.get(joint, model.stand.reference_values([joint])[0, 0])))
        less, more = (
            _angles(model, replace(standing, settings=settings | {joint: at + by}), side, tuple(joints))
            for by in (-_TRIED, _TRIED)
        )
        columns.append((more - less) / (2 * _TRIED))
    return np.array(columns).T


def _angles(model: AxleModel, standing: AxleStates, side: SideName, aims: tuple[Aim, ...]) -> Array:
    table = column_map(
        states_table(model.stand, model.linkage, standing, (1.0, 1.0), groups=("wheel angles", "steering axis"))
    )
    return np.array([float(table[f"{side}_{aim}"][0]) for aim in aims])

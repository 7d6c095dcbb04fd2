"""How a coil spring stands on its lower seat as the seat swings: its lean, and how far it bows off the seat's axis."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from jounce.behaviour.axle.results.analytic import between
from jounce.behaviour.axle.results.reading import AxleKinematics
from jounce.layouts.naming import SideName, named
from jounce.linkage.measures import Distance
from jounce.linkage.tree import Direction
from jounce.numerics.arrays import Array
from jounce.numerics.vectors import length, unit


def seat_tilt(reading: AxleKinematics, side: SideName) -> Mapping[str, Array]:
    """Tilts of the spring's line against both seats' normals [rad], and the upper end's way off the lower seat's axis [m].

    Empty where there is no spring between two points.
    """
    measure = reading.stand.measures.get(named(reading.axle, side, "spring"))
    if not isinstance(measure, Distance):
        return {}
    upper, lower = measure.start, measure.end
    given = reading.linkage.seat_normals.get(side)
    found = unit(np.atleast_2d(upper.at) - np.atleast_2d(lower.at))
    lower_normal = reading.direction(Direction(lower.body, found if given is None else given))
    upper_normal = reading.direction(Direction(upper.body, found))
    line = reading.position(upper) - reading.position(lower)
    off_axis = line - np.sum(line * lower_normal, axis=-1, keepdims=True) * lower_normal
    return {
        "spring_seat_tilt": between(line, lower_normal),
        "spring_upper_seat_tilt": between(line, upper_normal),
        "spring_seat_offset": length(off_axis)[..., 0],
    }

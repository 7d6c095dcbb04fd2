"""The moving picture's frames: where every part is along three motions, computed at once and sent once.

The body is held still. Coordinates are whole tenths of a millimetre, which halves what is sent and is finer than a screen.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from jounce.behaviour.motions import AxleStates, place_axle, steering_drive
from jounce.behaviour.travel import column_map, states_table
from jounce.conventions.units import Kind, to_display, unit_of
from jounce.layouts.naming import SIDES
from jounce.linkage.tree import Point
from jounce.numerics.arrays import Array
from jounce.web.curves import Standing
from jounce.web.pivot_names import Place, place_of

__all__ = ["MOTIONS", "frames"]

TENTHS = 1e4


@dataclass(frozen=True, slots=True)
class _Motion:
    """What the range under the picture drags."""

    label: str
    kind: Kind
    values: Array


MOTIONS: Mapping[str, _Motion] = {
    "travel": _Motion("Wheel travel, + bump", Kind.LENGTH, np.linspace(-0.06, 0.06, 61)),
    "roll": _Motion("Body roll, + right side down", Kind.ANGLE, np.radians(np.linspace(-4.0, 4.0, 41))),
    "steer": _Motion("Rack, + to the left", Kind.LENGTH, np.linspace(-0.06, 0.06, 41)),
}
_READ = (
    ("left_camber", "camber left", Kind.ANGLE),
    ("right_camber", "camber right", Kind.ANGLE),
    ("left_toe", "toe left", Kind.ANGLE),
    ("right_toe", "toe right", Kind.ANGLE),
    ("roll_centre_height", "roll centre", Kind.LENGTH),
    ("axle_shift", "axle shift", Kind.LENGTH),
)


def frames(standings: Sequence[Sequence[Standing]], names: Mapping[Place, str], units: str) -> dict[str, Any]:
    """All that the picture needs, as plain data.

    Args:
        standings: the axles of each state of the car, as found first
        names: what places are called, from `pivot_names`
        units: unit set of the numbers beside the picture
    """
    return {
        "unit": unit_of(Kind.LENGTH, units).symbol,
        "perTenth": 1e-4 / unit_of(Kind.LENGTH, units).factor,
        "decimals": unit_of(Kind.LENGTH, units).decimals,
        "motions": {
            name: {
                "label": motion.label,
                "unit": unit_of(motion.kind, units).symbol,
                "values": [round(float(v), 4) for v in np.asarray(to_display(motion.values, motion.kind, units))],
            }
            for name, motion in MOTIONS.items()
        },
        "read": [
            {"name": label, "unit": unit_of(kind, units).symbol, "decimals": unit_of(kind, units).decimals}
            for _, label, kind in _READ
        ],
        "states": [
            {"title": axles[0].title, "planned": axles[0].planned, "axles": [_axle(one, names, units) for one in axles]}
            for axles in standings
        ],
    }


def _axle(standing: Standing, known: Mapping[Place, str], units: str) -> dict[str, Any]:
    points, names, lines = _points(standing, known)
    return {
        "name": standing.model.name,
        "names": names,
        "lines": lines,
        "radius": [round(float(np.ravel(w.loaded_radius)[0]) * TENTHS) for w in _wheels(standing)],
        "motions": {name: _along(standing, name, points, units) for name in MOTIONS},
    }


def _wheels(standing: Standing) -> list[Any]:
    return [standing.model.linkage.wheels[side] for side in SIDES]


def _points(standing: Standing, names: Mapping[Place, str]) -> tuple[list[Point], list[str], list[list[int]]]:
    """Each place once, by its name or that of a part there, and every part as places in a row."""
    known: dict[Place, int] = {}
    points: list[Point] = []
    called: list[str] = []
    lines: list[list[int]] = []
    for name, drawn in standing.model.linkage.drawing:
        line: list[int] = []
        for point in drawn:
            key = place_of(np.asarray(point.at))
            if key not in known:
                known[key] = len(points)
                points.append(point)
                called.append(names.get(key) or f"{standing.model.name} {name}, point {len(line) + 1}")
            line.append(known[key])
        lines.append(line)
    return points, called, lines


def _along(standing: Standing, motion: str, points: Sequence[Point], units: str) -> dict[str, Any]:
    """Positions, wheels and numbers of each frame; None for one that the linkage does not reach."""
    model, states = standing.model, _driven(standing, motion)
    placed = place_axle(model.stand, model.name, states)
    at = np.stack([model.stand.position(placed.pose, point) for point in points], axis=1)
    wheels = [
        np.hstack(
            [model.stand.position(placed.pose, w.centre) * TENTHS, model.stand.direction(placed.pose, w.axis) * TENTHS]
        )
        for w in _wheels(standing)
    ]
    whole = np.round(np.hstack([at.reshape(len(at), -1) * TENTHS, *wheels])).astype(int)
    columns = column_map(states_table(model.stand, model.linkage, states, (1.0, 1.0)))
    read = [np.asarray(to_display(columns[name], kind, units)) if name in columns else None for name, _, kind in _READ]
    return {
        "frames": [row.tolist() if ok else None for row, ok in zip(whole, placed.reached, strict=True)],
        "read": [
            [None if v is None or np.isnan(v[i]) else round(float(v[i]), 4) for v in read]
            for i in range(len(placed.reached))
        ],
    }


def _driven(standing: Standing, motion: str) -> AxleStates:
    """The axle along a motion about where its car stands; an axle that is not steered has one frame of steering."""
    states, values = standing.states, MOTIONS[motion].values
    if motion == "travel":
        return replace(states, left=states.left + values, right=states.right + values)
    if motion == "roll":
        mean = (states.left + states.right) / 2
        return AxleStates(heave=np.full_like(values, float(np.ravel(mean)[0])), roll=values, settings=states.settings)
    if steering_drive(standing.model.stand, standing.model.name) != "rack":
        return replace(states, left=np.atleast_1d(states.left), right=np.atleast_1d(states.right))
    return replace(
        states,
        left=np.full_like(values, float(states.left)),
        right=np.full_like(values, float(states.right)),
        rack=values,
    )

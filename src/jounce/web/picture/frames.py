"""The moving picture's frames: where every part is along each motion, computed at once and sent once.

Coordinates are whole tenths of a millimetre, which halves what is sent and is finer than a screen. The body is held still
where wheels alone are moved; in a corner, braking and over a hump it moves, and the road stays.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from jounce.behaviour.axle.motions import place_axle
from jounce.behaviour.axle.travel import column_map, states_table
from jounce.behaviour.road.attitude import UP, Attitude
from jounce.conventions.units import Kind, to_display, unit_of
from jounce.layouts.naming import SIDES
from jounce.linkage.tree import Point
from jounce.numerics.arrays import Array
from jounce.web.charts.travel_curves import StandingAxle
from jounce.web.picture.motions import MOTIONS, MotionFrames, PictureMotion, ShownCar
from jounce.web.picture.pivot_names import Place, place_of

__all__ = ["frames", "frames_of_motion"]

TENTHS = 1e4

_READ = (
    ("left_camber", "camber left", Kind.ANGLE),
    ("right_camber", "camber right", Kind.ANGLE),
    ("left_toe", "toe left", Kind.ANGLE),
    ("right_toe", "toe right", Kind.ANGLE),
    ("roll_centre_height", "roll centre", Kind.LENGTH),
    ("axle_shift", "axle shift", Kind.LENGTH),
    ("left_load", "load left", Kind.FORCE),
    ("right_load", "load right", Kind.FORCE),
)
_OF_STILL_BODY = ("roll_centre_height",)
"""What is told only where the body is held still."""


def frames(cars: Sequence[ShownCar], names: Mapping[Place, str], units: str) -> dict[str, Any]:
    """All that the picture needs to begin, as plain data.

    Args:
        cars: each state of the car, as found first
        names: what places are called, from `pivot_names`
        units: unit set of the numbers beside the picture
    """
    at_once = {name: _taken(cars, motion) for name, motion in MOTIONS.items() if not motion.later}
    told = {name: _motion(motion, units) for name, motion in MOTIONS.items() if motion.later or any(at_once[name])}
    return {
        "unit": unit_of(Kind.LENGTH, units).symbol,
        "perTenth": 1e-4 / unit_of(Kind.LENGTH, units).factor,
        "decimals": unit_of(Kind.LENGTH, units).decimals,
        "motions": told,
        "read": [
            {"name": label, "unit": unit_of(kind, units).symbol, "decimals": unit_of(kind, units).decimals}
            for _, label, kind in _READ
        ],
        "states": [
            {
                "title": shown.axles[0].title,
                "planned": shown.axles[0].planned,
                "axles": [
                    _axle(one, names)
                    | {
                        "motions": {
                            name: _frames(one, k, taken[i], units) for name, taken in at_once.items() if any(taken)
                        }
                    }
                    for k, one in enumerate(shown.axles)
                ],
            }
            for i, shown in enumerate(cars)
        ],
    }


def frames_of_motion(cars: Sequence[ShownCar], name: str, units: str) -> dict[str, Any]:
    """The frames of one motion that is worked out only when it is asked for.

    Args:
        cars: each state of the car, as found first
        name: the motion
        units: unit set of the numbers beside the picture
    """
    taken = _taken(cars, MOTIONS[name])
    return {
        "states": [
            None if along is None else [_frames(one, k, along, units) for k, one in enumerate(shown.axles)]
            for shown, along in zip(cars, taken, strict=True)
        ]
    }


def _taken(cars: Sequence[ShownCar], motion: PictureMotion) -> list[MotionFrames | None]:
    return [motion.along(shown, motion.values) for shown in cars]


def _motion(motion: PictureMotion, units: str) -> dict[str, Any]:
    road = motion.road
    return {
        "label": motion.label,
        "unit": unit_of(motion.kind, units).symbol,
        "decimals": 2 if motion.kind in {Kind.DURATION, Kind.ACCELERATION} else 1,
        "values": [round(float(v), 4) for v in np.asarray(to_display(motion.values, motion.kind, units))],
        "start": motion.start,
        "later": motion.later,
        "note": motion.note,
        "road": None
        if road is None
        else {
            "place": np.round(road[0] * TENTHS).astype(int).tolist(),
            "height": np.round(road[1] * TENTHS).astype(int).tolist(),
            "speed": round(road[2] * TENTHS),
        },
    }


def _axle(standing: StandingAxle, known: Mapping[Place, str]) -> dict[str, Any]:
    _, names, lines = _points(standing, known)
    return {
        "name": standing.model.name,
        "names": names,
        "lines": lines,
        "radius": [round(float(np.ravel(w.loaded_radius)[0]) * TENTHS) for w in _wheels(standing)],
    }


def _wheels(standing: StandingAxle) -> list[Any]:
    return [standing.model.linkage.wheels[side] for side in SIDES]


def _points(standing: StandingAxle, names: Mapping[Place, str]) -> tuple[list[Point], list[str], list[list[int]]]:
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


def _frames(standing: StandingAxle, number: int, along: MotionFrames | None, units: str) -> dict[str, Any]:
    """Positions, wheels and numbers of each frame; None for one that is not reached."""
    if along is None:
        return {"frames": [], "read": []}
    model, states, body = standing.model, along.axles[number], along.body
    placed = place_axle(model.stand, model.name, states)
    points, _, _ = _points(standing, {})
    at = np.stack([model.stand.position(placed.pose, point) for point in points], axis=1)
    wheels = _wheels(standing)
    centre = np.stack([model.stand.position(placed.pose, w.centre) for w in wheels], axis=1)
    axis = np.stack([model.stand.direction(placed.pose, w.axis) for w in wheels], axis=1)
    columns = dict(column_map(states_table(model.stand, model.linkage, states, (1.0, 1.0))))
    if body is not None:
        at, centre, axis = _on_road(body, at), _on_road(body, centre), body.turned(axis)
        columns = {name: v for name, v in columns.items() if name not in _OF_STILL_BODY} | _against_the_road(axis)
    if along.load is not None:
        columns |= {f"{side}_load": along.load[:, number, k] for k, side in enumerate(SIDES)}
    there = placed.reached if along.known is None else placed.reached & along.known
    each_wheel = np.concatenate((centre, axis), axis=2)
    whole = np.round(np.hstack([part.reshape(len(there), -1) for part in (at, each_wheel)]) * TENTHS)
    read = [np.asarray(to_display(columns[n], kind, units)) if n in columns else None for n, _, kind in _READ]
    return {
        "frames": [row.astype(int).tolist() if ok else None for row, ok in zip(whole, there, strict=True)],
        "read": [
            [None if v is None or not ok or np.isnan(v[i]) else round(float(v[i]), 4) for v in read]
            for i, ok in enumerate(there)
        ],
    }


def _on_road(body: Attitude, place: Array) -> Array:
    return np.asarray(body.turned(place) + body.heave[:, None, None] * UP)


def _against_the_road(axis: Array) -> dict[str, Array]:
    """Camber and toe from the wheels' axes, which point to the left [rad]; signs of ISO 8855 and of toe-in."""
    lean, turn = np.arcsin(axis[..., 2]), np.arctan2(-axis[..., 0], axis[..., 1])
    return {
        "left_camber": -lean[:, 0],
        "right_camber": lean[:, 1],
        "left_toe": -turn[:, 0],
        "right_toe": turn[:, 1],
    }

"""The moving picture's frames: where every part is along each motion, computed at once and sent once.

Places are in the car's own axes, in whole tenths of a millimetre; how the body stands over the road, which is the fixed
frame of the picture, is told beside them for every frame.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from jounce.behaviour.axle.motions import place_axle
from jounce.behaviour.axle.travel import column_map, states_table
from jounce.conventions.units import Kind, to_display, unit_of
from jounce.layouts.naming import SIDES
from jounce.linkage.tree import Point
from jounce.numerics.arrays import Array, BoolArray
from jounce.web.charts.travel_curves import StandingAxle
from jounce.web.picture.body import outline
from jounce.web.picture.centres import centres
from jounce.web.picture.ground import Poses, lowest_points, poses_of, sent, standing_on
from jounce.web.picture.motions import MOTIONS, MotionFrames, PictureMotion, ShownCar
from jounce.web.picture.parts import scene_of
from jounce.web.picture.pivot_names import Place, place_of
from jounce.web.picture.scene import TENTHS, Scene

__all__ = ["frames", "frames_of_motion"]

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
    scenes = _scenes(cars)
    moved = {
        name: [_moved(shown, scenes[i], taken[i], units) for i, shown in enumerate(cars)]
        for name, taken in at_once.items()
        if any(taken)
    }
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
                "body": outline(shown.document, shown.axles),
                "sunk": _sunk(shown),
                "poses": {name: states[i]["poses"] for name, states in moved.items()},
                "axles": [
                    _axle(one, names)
                    | scenes[i][k].told()
                    | {"motions": {name: states[i]["axles"][k] for name, states in moved.items()}}
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
    taken, scenes = _taken(cars, MOTIONS[name]), _scenes(cars)
    return {
        "states": [
            None if along is None else _moved(shown, scenes[i], along, units)
            for i, (shown, along) in enumerate(zip(cars, taken, strict=True))
        ]
    }


def _taken(cars: Sequence[ShownCar], motion: PictureMotion) -> list[MotionFrames | None]:
    return [motion.along(shown, motion.values) for shown in cars]


def _scenes(cars: Sequence[ShownCar]) -> list[list[Scene]]:
    found = cars[0].document
    return [[scene_of(one, shown.document, found, len(_points(one, {})[0])) for one in shown.axles] for shown in cars]


def _sunk(shown: ShownCar) -> int:
    """By how much lower than as found the body stands, the mean of its wheels."""
    travel = [np.ravel(t)[0] for one in shown.axles for t in (one.states.left, one.states.right)]
    return round(float(np.mean(travel)) * TENTHS)


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
        "mound": motion.held,
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


def _moved(shown: ShownCar, scenes: Sequence[Scene], along: MotionFrames | None, units: str) -> dict[str, Any]:
    """Both axles along a motion, and how the body stands over the road; empty for a car that cannot be taken along."""
    if along is None:
        return {"poses": [], "axles": [{"frames": [], "read": [], "centres": []} for _ in shown.axles]}
    taken = [_taken_along(one, scenes[k], k, along) for k, one in enumerate(shown.axles)]
    poses, there = _poses(shown, taken, along)
    return {"poses": sent(poses, there), "axles": [_told(one, units) for one in taken]}


@dataclass(frozen=True, slots=True)
class _TakenAxle:
    """An axle along a motion: places of its points, its wheels, its columns, which frames there are."""

    at: Array
    more: Array
    centre: Array
    axis: Array
    columns: Mapping[str, Array]
    there: BoolArray
    turned: bool


def _taken_along(standing: StandingAxle, scene: Scene, number: int, along: MotionFrames) -> _TakenAxle:
    model, states, body = standing.model, along.axles[number], along.body
    placed = place_axle(model.stand, model.name, states)
    points, _, _ = _points(standing, {})
    at, more = (
        np.stack([model.stand.position(placed.pose, point) for point in told], axis=1) for told in (points, scene.moved)
    )
    wheels = _wheels(standing)
    centre = np.stack([model.stand.position(placed.pose, w.centre) for w in wheels], axis=1)
    axis = np.stack([model.stand.direction(placed.pose, w.axis) for w in wheels], axis=1)
    columns = dict(column_map(states_table(model.stand, model.linkage, states, (1.0, 1.0))))
    if body is not None:
        kept = {name: v for name, v in columns.items() if name not in _OF_STILL_BODY}
        columns = kept | _against_the_road(body.turned(axis))
    if along.load is not None:
        columns |= {f"{side}_load": along.load[:, number, k] for k, side in enumerate(SIDES)}
    there = placed.reached if along.known is None else placed.reached & along.known
    return _TakenAxle(at, more, centre, axis, columns, there, body is not None)


def _told(taken: _TakenAxle, units: str) -> dict[str, Any]:
    """Positions, wheels and numbers of each frame; None for one that is not reached."""
    each_wheel = np.concatenate((taken.centre, taken.axis), axis=2)
    count = len(taken.there)
    whole = np.round(np.hstack([part.reshape(count, -1) for part in (taken.at, each_wheel, taken.more)]) * TENTHS)
    columns = taken.columns
    read = [np.asarray(to_display(columns[n], kind, units)) if n in columns else None for n, _, kind in _READ]
    return {
        "frames": [row.astype(int).tolist() if ok else None for row, ok in zip(whole, taken.there, strict=True)],
        "read": [
            [None if v is None or not ok or np.isnan(v[i]) else round(float(v[i]), 4) for v in read]
            for i, ok in enumerate(taken.there)
        ],
        "centres": [] if taken.turned else centres(columns, taken.there),
    }


def _poses(shown: ShownCar, taken: Sequence[_TakenAxle], along: MotionFrames) -> tuple[Poses, BoolArray]:
    """How the body stands where all four wheels are on the road; held still where one of them is lifted by hand."""
    count = max(len(one.there) for one in taken)
    there = np.all([np.broadcast_to(one.there, count) for one in taken], axis=0)
    if along.body is not None:
        return poses_of(along.body), there
    radius = [np.array([float(np.ravel(w.loaded_radius)[0]) for w in _wheels(one)]) for one in shown.axles]
    low = [lowest_points(one.centre, one.axis, r) for one, r in zip(taken, radius, strict=True)]
    touching = np.concatenate([np.broadcast_to(one, (count, *one.shape[1:])) for one in low], axis=1)
    if along.held is not None:
        touching = np.broadcast_to(touching[along.held], touching.shape)
    return standing_on(touching), there


def _against_the_road(axis: Array) -> dict[str, Array]:
    """Camber and toe from the wheels' axes, which point to the left [rad]; signs of ISO 8855 and of toe-in."""
    lean, turn = np.arcsin(axis[..., 2]), np.arctan2(-axis[..., 0], axis[..., 1])
    return {
        "left_camber": -lean[:, 0],
        "right_camber": lean[:, 1],
        "left_toe": -turn[:, 0],
        "right_toe": turn[:, 1],
    }

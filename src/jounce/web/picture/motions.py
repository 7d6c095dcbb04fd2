"""What the moving picture can be dragged through: wheels alone on a still body, and the whole car on its road."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

import numpy as np

from jounce.behaviour.axle.motions import AxleStates, steering_drive
from jounce.behaviour.ride.dampers import dampers_of
from jounce.behaviour.ride.inertia import body_inertia, whole_inertia
from jounce.behaviour.ride.obstacles import GRID, hump
from jounce.behaviour.ride.time_history import BEFORE, drive_over
from jounce.behaviour.road.attitude import Attitude, attitude
from jounce.behaviour.road.equilibrium import at_rest
from jounce.behaviour.road.loading import Loading, steady
from jounce.behaviour.road.road_car import RoadCar
from jounce.car.file.document import CarDocument
from jounce.conventions.constants import GRAVITY
from jounce.conventions.errors import JounceError
from jounce.conventions.units import Kind
from jounce.numerics.arrays import Array, BoolArray
from jounce.web.charts.travel_curves import StandingAxle

__all__ = ["MOTIONS", "MotionFrames", "PictureMotion", "ShownCar"]

HUMP_SPEED = 30 / 3.6
"""Speed over the hump [m/s]."""
_HUMP = hump()
_HUMP_LASTS = 1.8  # until the car is quiet again [s]
_FRAMES_A_SECOND = 40


@dataclass(frozen=True, slots=True)
class ShownCar:
    """A state of a car as the picture needs it: its axles where it stands, and the whole car on its road."""

    axles: tuple[StandingAxle, ...]
    car: RoadCar
    document: CarDocument


@dataclass(frozen=True, slots=True)
class MotionFrames:
    """A car along a motion.

    Attributes:
        axles: what each axle on its stand is given, one value per frame
        body: where the body is; None where it is held still
        load: tyre loads, (frames, front and rear, left and right) [N]; None where none is asked for
        known: which frames there are; None for all that the linkage reaches
        held: number of the frame whose stand on the road the body keeps in all; None where it goes with its wheels

    """

    axles: tuple[AxleStates, ...]
    body: Attitude | None = None
    load: Array | None = None
    known: BoolArray | None = None
    held: int | None = None


@dataclass(frozen=True, slots=True)
class PictureMotion:
    """What the range under the picture drags.

    Attributes:
        label: what its value is, with its sign
        kind: what it measures
        values: one for each frame [SI]
        along: takes a car through it; None where too little is known of the car
        start: number of the frame that is shown first
        later: whether it is worked out only when it is asked for
        road: places and heights of an obstacle from where the front wheels meet it, and the speed over it [m, m/s]
        note: what has to be said besides
        held: whether the body is held still while a wheel is lifted

    """

    label: str
    kind: Kind
    values: Array
    along: Callable[[ShownCar, Array], MotionFrames | None]
    start: int
    later: bool = False
    road: tuple[Array, Array, float] | None = None
    note: str = ""
    held: bool = False


def _travel(shown: ShownCar, values: Array) -> MotionFrames:
    states = [one.states for one in shown.axles]
    return MotionFrames(tuple(replace(s, left=s.left + values, right=s.right + values) for s in states))


def _front_bump(shown: ShownCar, values: Array) -> MotionFrames:
    return _one_wheel(shown, values, 0)


def _rear_bump(shown: ShownCar, values: Array) -> MotionFrames:
    return _one_wheel(shown, values, 1)


def _one_wheel(shown: ShownCar, values: Array, lifted: int) -> MotionFrames:
    """One left wheel lifted, its neighbour where it stands; the body is held."""
    given = []
    for number, one in enumerate(shown.axles):
        rise = values if number == lifted else np.zeros_like(values)
        given.append(replace(one.states, left=one.states.left + rise, right=one.states.right + 0 * rise))
    return MotionFrames(tuple(given), held=int(np.argmin(np.abs(values))))


def _roll(shown: ShownCar, values: Array) -> MotionFrames:
    given = []
    for one in shown.axles:
        mean = float(np.ravel((one.states.left + one.states.right) / 2)[0])
        given.append(AxleStates(heave=np.full_like(values, mean), roll=values, settings=one.states.settings))
    return MotionFrames(tuple(given))


def _steer(shown: ShownCar, values: Array) -> MotionFrames | None:
    """An axle that no rack steers has one frame."""
    racks = [steering_drive(one.model.stand, one.model.name) == "rack" for one in shown.axles]
    if not any(racks):
        return None
    given = []
    for one, rack in zip(shown.axles, racks, strict=True):
        still = np.zeros_like(values) if rack else np.zeros(1)
        left, right = one.states.left + still, one.states.right + still
        given.append(replace(one.states, left=left, right=right, rack=values if rack else 0.0))
    return MotionFrames(tuple(given))


def _corner(shown: ShownCar, values: Array) -> MotionFrames:
    return _on_the_road(shown, steady(values))


def _brake(shown: ShownCar, values: Array) -> MotionFrames:
    return _on_the_road(shown, steady(0.0, values))


def _on_the_road(shown: ShownCar, acting: Loading) -> MotionFrames:
    rest = at_rest(shown.car, acting)
    given = [rest.travel[:, k] for k in (0, 1)]
    return MotionFrames(_axles(shown, given), attitude(*rest.freedoms[:, :3].T), rest.acted.load, rest.reached)


def _over_hump(shown: ShownCar, values: Array) -> MotionFrames | None:
    dampers = dampers_of(shown.document)
    if dampers.unknown:
        return None
    own = body_inertia(shown.car, whole_inertia(shown.document))
    try:
        drive = drive_over(shown.car, dampers.curves, own, _HUMP, HUMP_SPEED, float(values[-1]), _FRAMES_A_SECOND)
    except JounceError:
        return None
    travel = drive.travel.reshape(-1, 2, 2)
    load = drive.load.reshape(-1, 2, 2)
    return MotionFrames(_axles(shown, [travel[:, k] for k in (0, 1)]), attitude(*drive.freedoms[:, :3].T), load)


def _axles(shown: ShownCar, travel: list[Array]) -> tuple[AxleStates, ...]:
    return tuple(
        replace(one.states, left=at[:, 0], right=at[:, 1]) for one, at in zip(shown.axles, travel, strict=True)
    )


def _even(far: float, count: int) -> Array:
    return np.linspace(-far, far, count)


def _hump_road() -> tuple[Array, Array, float]:
    """Every tenth height of the profile that the car is driven over: enough for a line."""
    heights = _HUMP.left[::10]
    return 10 * GRID * np.arange(len(heights), dtype=np.float64), heights, HUMP_SPEED


_ONE_WHEEL = np.linspace(-0.02, 0.06, 33)
_HELD = "The body is held still, as it nearly is when a wheel meets a bump at speed; three wheels stay where they are."
_STEADY = "Steady: heights, loads and angles against the road, rack held straight."

MOTIONS: Mapping[str, PictureMotion] = {
    "travel": PictureMotion("Wheel travel, + bump", Kind.LENGTH, _even(0.06, 61), _travel, 30),
    "roll": PictureMotion("Body roll, + right side down", Kind.ANGLE, np.radians(_even(4.0, 41)), _roll, 20),
    "front bump": PictureMotion(
        "Front left wheel alone, + over a bump", Kind.LENGTH, _ONE_WHEEL, _front_bump, 8, note=_HELD, held=True
    ),
    "rear bump": PictureMotion(
        "Rear left wheel alone, + over a bump", Kind.LENGTH, _ONE_WHEEL, _rear_bump, 8, note=_HELD, held=True
    ),
    "steer": PictureMotion("Rack, + to the left", Kind.LENGTH, _even(0.06, 41), _steer, 20),
    "corner": PictureMotion(
        "Cornering, + left turn", Kind.ACCELERATION, GRAVITY * _even(1.0, 41), _corner, 20, later=True, note=_STEADY
    ),
    "brake": PictureMotion(
        "Driving and braking, − braking",
        Kind.ACCELERATION,
        GRAVITY * np.linspace(-1.0, 0.4, 29),
        _brake,
        20,
        later=True,
        note=_STEADY,
    ),
    "hump": PictureMotion(
        "Speed hump at 30 km/h, time since the front wheels met it",
        Kind.DURATION,
        np.linspace(-BEFORE, _HUMP_LASTS, round((BEFORE + _HUMP_LASTS) * _FRAMES_A_SECOND) + 1),
        _over_hump,
        0,
        later=True,
        road=_hump_road(),
    ),
}
"""Motions by the word on their button."""

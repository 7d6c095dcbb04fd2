"""The car in motion, compiled: accelerations of its seven freedoms from where it is, how fast, and the road under it.

All masses move along their true paths: finite rotations, tabulated paths of the wheels with first and second
derivatives. As in `small_motions` the tyres give nothing along the road, so the motion of all masses together in the
road's plane is taken out, and the car does not yaw. Wheels are points of mass. With J how a mass moves per freedom and b
what its acceleration has besides ``J q''``, both less the mean of all masses in the road's plane:

``Σ m Jᵀ J q'' = forces - Σ m Jᵀ b``
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from jounce.conventions.constants import GRAVITY
from jounce.numerics.arrays import Array, IntArray
from jounce.numerics.compiled import compiled
from jounce.numerics.surface import look_up

FREEDOMS, WHEELS, POINTS = 7, 4, 5
_CENTRE, _AXIS = 0, 6  # where these are among an axle's tabulated functions


class Curve(NamedTuple):
    """Functions of one variable, each on an even grid of its own.

    ``start`` and ``step`` of each grid, shape (curves,); ``points`` value and slope per step, (curves, points, 2).
    """

    start: Array
    step: Array
    points: Array


class AxleData(NamedTuple):
    """An axle: its table (see `Surface`), and its elements by the place of their measure, sense, zero and law."""

    corners: Array
    origin: Array
    step: Array
    place: IntArray
    sense: Array
    zero: Array
    laws: Curve
    rods: IntArray
    dampers: Curve


class CarData(NamedTuple):
    """The car and its road.

    ``masses`` and ``body_at``: body first, then wheels [kg], body's centre [m]; ``inertia`` of the body, (3, 3) [kg m²];
    ``radius``, ``touching``: wheel radii and heights of the lowest points as found, (4,) [m]; ``tyres`` load over
    deflection; ``ground`` height over the way driven, both one curve per wheel; ``speed`` [m/s].
    """

    front: AxleData
    rear: AxleData
    masses: Array
    body_at: Array
    inertia: Array
    radius: Array
    touching: Array
    tyres: Curve
    ground: Curve
    speed: float


class ActingLoads(NamedTuple):
    """What acts in a state: loads, heights and their growth (4,), rod speeds and forces (4,), elements (2, most).

    ``power``: that of the road into the car and of the dampers out of it [W].
    """

    load: Array
    ground: Array
    rod_speed: Array
    rod_force: Array
    element: Array
    power: Array


class Moving(NamedTuple):
    """A state being worked out.

    ``turn`` is the body's rotation, ``roll_axis`` in the road's axes, ``spin`` the turning speed and ``growth`` what it
    grows by without any acceleration; ``ways`` how body and wheels move per freedom (5, 7, 3) and ``extra`` their
    acceleration besides (5, 3); ``axes`` the upward part of the wheels' axes per freedom, and that part itself (4, 8);
    ``centre`` heights of the wheel centres (4,); ``force`` along the freedoms (7,).
    """

    turn: Array
    roll_axis: Array
    spin: Array
    growth: Array
    ways: Array
    extra: Array
    axes: Array
    centre: Array
    force: Array


@compiled
def value_of(curve: Curve, which: int, x: float) -> tuple[float, float]:
    """A curve's value and slope: a cubic between the points, straight on beyond them [as the curve]."""
    points, last = curve.points[which], curve.points.shape[1] - 1
    place = (x - curve.start[which]) / curve.step[which]
    i = min(max(int(np.floor(place)), 0), last - 1)
    s = min(max(place - i, 0.0), 1.0)
    beyond = place - i - s
    a, p, b, q = points[i, 0], points[i, 1], points[i + 1, 0], points[i + 1, 1]
    c, d = 3 * (b - a) - 2 * p - q, 2 * (a - b) + p + q
    slope = p + s * (2 * c + 3 * s * d)
    return a + s * (p + s * (c + s * d)) + beyond * slope, slope / curve.step[which]


@compiled
def accelerations(time: float, state: Array, car: CarData, acting: ActingLoads) -> Array:
    """Accelerations of the freedoms.

    Args:
        time: since the obstacle's beginning passed the front wheels [s]
        state: freedoms, then their speeds, shape (14,) or longer [m, rad, m/s, rad/s]
        car: the car and its road
        acting: receives what acts
    """
    moving = _moving(state, car, acting)
    _tyres(time, moving, car, acting)
    matrix = _masses(car, moving)
    grown: Array = np.linalg.solve(matrix, moving.force).astype(np.float64)
    return grown


@compiled
def kinetic_energy(state: Array, car: CarData, acting: ActingLoads) -> float:
    """Energy of motion of a state [J], without that of the car as a whole along the road."""
    matrix = _masses(car, _moving(state, car, acting))
    v = state[FREEDOMS : 2 * FREEDOMS]
    return 0.5 * float(np.dot(v, np.dot(matrix, v)))


@compiled
def _moving(state: Array, car: CarData, acting: ActingLoads) -> Moving:
    """Where everything is and how it moves; springs and dampers act."""
    q, v = state[:FREEDOMS], state[FREEDOMS : 2 * FREEDOMS]
    cp, sp, cr, sr = np.cos(q[1]), np.sin(q[1]), np.cos(q[2]), np.sin(q[2])
    turn = np.array([[cp, sp * sr, sp * cr], [0.0, cr, -sr], [-sp, cp * sr, cp * cr]])
    roll_axis = np.array([cp, 0.0, -sp])
    spin = v[2] * roll_axis
    spin[1] += v[1]
    growth = v[1] * v[2] * np.array([-sp, 0.0, -cp])
    ways, extra, axes = np.zeros((POINTS, FREEDOMS, 3)), np.zeros((POINTS, 3)), np.zeros((WHEELS, FREEDOMS + 1))
    moving = Moving(turn, roll_axis, spin, growth, ways, extra, axes, np.zeros(WHEELS), np.zeros(FREEDOMS))
    acting.power[:] = 0.0
    _hang(moving, 0, car.body_at)
    _axle(moving, car.front, 0, q, v, acting)
    _axle(moving, car.rear, 1, q, v, acting)
    return moving


@compiled
def _cross(a: Array, b: Array) -> Array:
    return np.array([a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]])


@compiled
def _hang(moving: Moving, point: int, at: Array) -> float:
    """How a point that is ``at`` in the body moves with it, and its acceleration besides; returns its height in it."""
    arm, way = np.dot(moving.turn, at), moving.ways[point]
    way[0, 2] = 1.0
    way[1, 0], way[1, 2] = arm[2], -arm[0]
    way[2] = _cross(moving.roll_axis, arm)
    moving.extra[point] = _cross(moving.spin, _cross(moving.spin, arm)) + _cross(moving.growth, arm)
    return float(arm[2])


@compiled
def _axle(moving: Moving, data: AxleData, slot: int, q: Array, v: Array, acting: ActingLoads) -> None:
    """Look an axle up, put its wheels where they are, and let its elements and dampers act."""
    count, k = data.corners.shape[3], 3 + 2 * slot
    value, first, second = np.zeros(count), np.zeros((count, 2)), np.zeros((count, 2, 2))
    look_up(data.corners, data.origin, data.step, q[k], q[k + 1], np.empty((2, 3, 4)), value, first, second)
    speed = np.ascontiguousarray(v[k : k + 2])
    for side in range(2):
        wheel, row = 2 * slot + side, _CENTRE + 3 * side
        point = 1 + wheel
        moving.centre[wheel] = q[0] + _hang(moving, point, value[row : row + 3])
        moved = np.dot(moving.turn, first[row : row + 3])
        moving.ways[point, k], moving.ways[point, k + 1] = moved[:, 0], moved[:, 1]
        bent = np.array([np.dot(speed, np.dot(second[i], speed)) for i in range(row, row + 3)])
        moving.extra[point] += 2 * _cross(moving.spin, np.dot(moved, speed)) + np.dot(moving.turn, bent)
        _aim(moving, wheel, k, value[_AXIS + 3 * side :], first[_AXIS + 3 * side :])
    for e in range(len(data.place)):
        row = data.place[e]
        push = value_of(data.laws, e, data.sense[e] * (value[row] - data.zero[e]))[0]
        acting.element[slot, e] = push
        moving.force[k : k + 2] -= data.sense[e] * push * first[row]
    for side in range(2):
        row, wheel = data.rods[side], 2 * slot + side
        closing = -np.dot(first[row], speed)
        push = value_of(data.dampers, side, closing)[0]
        acting.rod_speed[wheel], acting.rod_force[wheel] = closing, push
        acting.power[1] += push * closing
        moving.force[k : k + 2] += push * first[row]


@compiled
def _aim(moving: Moving, wheel: int, freedom: int, value: Array, first: Array) -> None:
    """Upward part of a wheel's axis in the road's axes, and its change per freedom before it."""
    upward, axis = moving.turn[2], moving.axes[wheel]
    pointing = np.dot(moving.turn, value[:3])
    axis[FREEDOMS] = pointing[2]
    axis[1] = -pointing[0]
    axis[2] = _cross(moving.roll_axis, pointing)[2]
    axis[freedom : freedom + 2] = upward[0] * first[0] + upward[1] * first[1] + upward[2] * first[2]


@compiled
def _tyres(time: float, moving: Moving, car: CarData, acting: ActingLoads) -> None:
    """Loads of the tyres along the freedoms, and the road's power."""
    for wheel in range(WHEELS):
        ground, slope = value_of(car.ground, wheel, car.speed * time)
        leaning = moving.axes[wheel, FREEDOMS]
        upright = np.sqrt(1 - leaning**2)
        low = moving.centre[wheel] - car.radius[wheel] * upright - ground
        load = value_of(car.tyres, wheel, car.touching[wheel] - low)[0]
        turned = car.radius[wheel] * leaning / upright * moving.axes[wheel, :FREEDOMS]
        moving.force[:] += load * (moving.ways[1 + wheel, :, 2] + turned)
        acting.load[wheel], acting.ground[wheel] = load, ground
        acting.power[0] += load * slope * car.speed


@compiled
def _masses(car: CarData, moving: Moving) -> Array:
    """Mass matrix; weights and the masses' accelerations besides are taken off the forces."""
    ways, extra, total = moving.ways, moving.extra, car.masses.sum()
    for axis in range(2):  # what moves all masses together along the road meets no force
        mean = np.zeros(FREEDOMS)
        drift = 0.0
        for point in range(POINTS):
            mean += car.masses[point] / total * ways[point, :, axis]
            drift += car.masses[point] / total * extra[point, axis]
        for point in range(POINTS):
            ways[point, :, axis] -= mean
            extra[point, axis] -= drift
    matrix = np.zeros((FREEDOMS, FREEDOMS))
    for point in range(POINTS):
        way, m = ways[point], car.masses[point]
        matrix += m * np.dot(way, way.T)
        moving.force[:] -= m * (np.dot(way, extra[point]) + GRAVITY * way[:, 2])
    _turning(car.inertia, moving, matrix)
    return matrix


@compiled
def _turning(inertia: Array, moving: Moving, matrix: Array) -> None:
    """The body's resistance to being turned."""
    back = moving.turn.T
    turns = np.zeros((FREEDOMS, 3))
    turns[1], turns[2] = np.dot(back, np.array([0.0, 1.0, 0.0])), np.dot(back, moving.roll_axis)
    spin, growth = np.dot(back, moving.spin), np.dot(back, moving.growth)
    held = np.dot(inertia, growth) + _cross(spin, np.dot(inertia, spin))
    matrix += np.dot(turns, np.dot(inertia, turns.T))
    moving.force[:] -= np.dot(turns, held)

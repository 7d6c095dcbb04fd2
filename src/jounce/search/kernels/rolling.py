"""An axle under the rolling body, compiled: where it comes to rest, and with what it turns the body back.

Three unknowns for each state, the body's height over the axle and the two travels. The slope of each step leaves out how
the geometry bends and how the tyres' lateral forces follow their loads; what is left out is gathered from the steps
themselves (Broyden's first method) and handed on to the next roll, which begins where the last two point to.
Source: C. G. Broyden, A class of methods for solving nonlinear simultaneous equations, Math. Comp. 19 (1965) 577.
"""

from __future__ import annotations

from math import cos, sin, sqrt
from typing import NamedTuple

import numpy as np

from jounce.conventions.constants import GRAVITY
from jounce.elements.tyres.shared_slip import BothShapes, best_slip, both_at, slip_reaching
from jounce.numerics.arrays import Array, IntArray
from jounce.numerics.compiled import compiled, compiled_inner
from jounce.numerics.surface import look_up_first
from jounce.search.kernels.law_pieces import LawPieces, pushed

GEOMETRY = 24
"""Wheel centres, wheel axes and turns: the table's functions that every state needs [-]."""
PEAK, SHAPE, FACTOR, CURVATURE, BEST = range(5)
"""Columns of `Grip.points`: the magic formula's D, C, B and E, and the slip of its peak."""
_STEPS = 60
_PLAIN = 20  # after so many steps nothing gathered is trusted any more
_DONE = 1e-4  # unbalanced force at which a state counts as solved [N]
_LONGEST = 0.02  # step [m]
_OFF_ROAD = 0.06  # a lifted wheel's height counts so that the curve goes on about as steeply as before it lifted
_NO_LOAD = 1e-6  # [N]
_NO_SHARE = 1e-9  # below it an axle has no load, or a pair of tyres no force, to share by [N]


class Grip(NamedTuple):
    """How the two tyres share a lateral force.

    Attributes:
        step: distance of the loads at which the tyre was read; none where both give in proportion to their loads [N]
        points: magic formula at each load and its change to the next in four terms, shape (loads, 4, 5)

    """

    step: float
    points: Array


class AroundAxle(NamedTuple):
    """The car around an axle, see `roll_curves.Frame`; ``push`` is where and how each tyre's law counts, (2, 2)."""

    unsprung: Array
    radius: Array
    unloaded: Array
    ground: Array
    pressed: Array
    push: Array
    tyres: LawPieces
    grip: Grip
    weight: float
    heave: float
    pitch: float
    demand: float
    standing: Array


class Elements(NamedTuple):
    """Elements of each option: first of each option and one behind, column, sense, zero and law of each.

    ``option`` begins with the main springs: number of the first option of each group, shape (groups,).
    """

    option: IntArray
    begin: IntArray
    column: IntArray
    sense: Array
    zero: Array
    law: IntArray


class RollingRoom(NamedTuple):
    """Room for one state."""

    cell: Array
    value: Array
    first: Array
    column: IntArray
    sense: Array
    zero: Array
    law: IntArray
    side: Array
    load: Array
    signed: Array
    miss: Array
    slope: Array
    missing: Array
    moving: Array
    shapes: BothShapes


@compiled
def roll_states(  # noqa: PLR0913, PLR0917  # compiled code takes plain arrays
    corners: Array,
    origin: Array,
    step: Array,
    laws: LawPieces,
    elements: Elements,
    around: AroundAxle,
    chosen: IntArray,
    wound: Array,
    roll: Array,
    across: Array,
    moment: Array,
    load: Array,
) -> None:
    """Solve every state of some variants, roll after roll for each lateral acceleration.

    Args:
        corners: see `Surface`
        origin: see `Surface`
        step: see `Surface`
        laws: laws of all elements
        elements: elements of all options
        around: the car around the axle
        chosen: option of each group, shape (variants, groups)
        wound: displacement of each main spring where the axle stands, shape (variants, 2) [m or rad]
        roll: rolls, shape (rolls,) [rad]
        across: lateral accelerations, shape (accelerations,) [m/s²]
        moment: receives the roll moments, NaN where none is found, shape (variants, rolls, accelerations) [N m]
        load: receives the loads likewise, shape (variants, rolls, accelerations, 2) [N]
    """
    most = GEOMETRY + len(elements.column)
    grips = np.zeros((4, 1, 2))
    room = RollingRoom(
        np.empty((2, 3, 4)),
        np.empty(most),
        np.empty((2, most)),
        np.arange(most),
        np.empty(most),
        np.empty(most),
        np.empty(most, np.intp),
        np.empty(2),
        np.empty(2),
        np.empty(2),
        np.empty(3),
        np.empty((3, 3)),
        np.zeros((3, 3)),
        np.zeros(2),
        BothShapes(grips[0], grips[1], grips[2], grips[3]),
    )
    at, last, before, first = np.empty(3), np.empty(3), np.empty(3), np.empty(3)
    for n in range(len(chosen)):
        count = _gather(elements, chosen[n], wound[n], room)
        for a in range(len(across)):
            solved = 0
            for r in range(len(roll)):
                at[0], at[1], at[2] = around.heave, around.standing[0], around.standing[1]
                if solved == 0:
                    room.missing[:, :] = 0.0
                for k in range(3 if solved else 0):
                    at[k] = last[k]
                    if solved > 1:
                        at[k] += last[k] - before[k]
                    if solved > 2:  # a parabola through three
                        at[k] += last[k] - 2 * before[k] + first[k]
                turning = _rest(corners, origin, step, laws, around, room, count, roll[r], across[a], at)
                moment[n, r, a], load[n, r, a, 0], load[n, r, a, 1] = turning, np.nan, np.nan
                if np.isnan(turning):
                    solved = 0
                    continue
                load[n, r, a, 0], load[n, r, a, 1] = room.signed[0], room.signed[1]
                for k in range(3):
                    first[k], before[k], last[k] = before[k], last[k], at[k]
                solved += 1


@compiled_inner
def _gather(elements: Elements, chosen: IntArray, wound: Array, room: RollingRoom) -> int:
    """Elements of a variant one after the other; how many columns of the table are needed."""
    count = GEOMETRY
    for group in range(len(chosen)):
        option = elements.option[group] + chosen[group]
        for e in range(elements.begin[option], elements.begin[option + 1]):
            room.column[count], room.sense[count] = elements.column[e], elements.sense[e]
            room.zero[count], room.law[count] = elements.zero[e], elements.law[e]
            if group == 0:  # a main spring counts from where it carries what it has to
                room.zero[count] -= elements.sense[e] * wound[count - GEOMETRY]
            count += 1
    return count


@compiled_inner
def _rest(  # noqa: PLR0913, PLR0917
    corners: Array,
    origin: Array,
    step: Array,
    laws: LawPieces,
    around: AroundAxle,
    room: RollingRoom,
    count: int,
    roll: float,
    across: float,
    at: Array,
) -> float:
    """Find the state at rest; its roll moment, NaN where there is none on the table [N m]."""
    old0 = old1 = old2 = moved0 = moved1 = moved2 = 0.0
    for k in range(_STEPS):
        if k == _PLAIN:
            room.missing[:, :] = 0.0
            at[0], at[1], at[2] = around.heave, around.standing[0], around.standing[1]
        turning, inside = _forces(corners, origin, step, laws, around, room, count, roll, across, at)
        miss = room.miss
        if inside and max(abs(miss[0]), abs(miss[1]), abs(miss[2])) < _DONE:
            return turning
        if 0 < k < _PLAIN:
            _learn(room, moved0, moved1, moved2, old0 - miss[0], old1 - miss[1], old2 - miss[2])
        old0, old1, old2 = miss[0], miss[1], miss[2]
        moved0, moved1, moved2 = _step(room.slope, room.missing, miss)
        longest = max(abs(moved0), abs(moved1), abs(moved2))
        if not longest < np.inf:
            room.missing[:, :] = 0.0
            return np.nan
        if longest > _LONGEST:
            moved0, moved1, moved2 = (
                moved0 * _LONGEST / longest,
                moved1 * _LONGEST / longest,
                moved2 * _LONGEST / longest,
            )
        at[0] += moved0
        at[1] += moved1
        at[2] += moved2
    room.missing[:, :] = 0.0
    return np.nan


@compiled_inner
def _learn(  # noqa: PLR0913, PLR0917
    room: RollingRoom, s0: float, s1: float, s2: float, y0: float, y1: float, y2: float
) -> None:
    """What the slope misses, from the last step and by how much the forces fell."""
    slope, missing = room.slope, room.missing
    size = s0 * s0 + s1 * s1 + s2 * s2
    if size == 0:
        return
    for i in range(3):
        told = 0.0
        for j in range(3):
            told += (slope[i, j] + missing[i, j]) * (s0 if j == 0 else (s1 if j == 1 else s2))
        off = ((y0 if i == 0 else (y1 if i == 1 else y2)) - told) / size
        missing[i, 0] += off * s0
        missing[i, 1] += off * s1
        missing[i, 2] += off * s2


@compiled_inner
def _step(slope: Array, missing: Array, miss: Array) -> tuple[float, float, float]:
    """The step that takes the unbalanced forces away, by Cramer's rule."""
    a, b, c = slope[0, 0] + missing[0, 0], slope[0, 1] + missing[0, 1], slope[0, 2] + missing[0, 2]
    d, e, f = slope[1, 0] + missing[1, 0], slope[1, 1] + missing[1, 1], slope[1, 2] + missing[1, 2]
    g, h, i = slope[2, 0] + missing[2, 0], slope[2, 1] + missing[2, 1], slope[2, 2] + missing[2, 2]
    x, y, z = miss[0], miss[1], miss[2]
    whole = a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g)
    return (
        (x * (e * i - f * h) - b * (y * i - f * z) + c * (y * h - e * z)) / whole,
        (a * (y * i - f * z) - x * (d * i - f * g) + c * (d * z - y * g)) / whole,
        (a * (e * z - y * h) - b * (d * z - y * g) + x * (d * h - e * g)) / whole,
    )


@compiled_inner
def _forces(  # noqa: PLR0913, PLR0915, PLR0917
    corners: Array,
    origin: Array,
    step: Array,
    laws: LawPieces,
    around: AroundAxle,
    room: RollingRoom,
    count: int,
    roll: float,
    across: float,
    at: Array,
) -> tuple[float, bool]:
    """What is unbalanced and the slope to take it away, into the room; the roll moment, and whether the table holds."""
    value, first, miss, slope = room.value, room.first, room.miss, room.slope
    x, y, inside = at[1], at[2], True
    for k in range(2):
        here = at[1 + k]
        held = min(max(here, origin[k]), origin[k] + step[k] * (corners.shape[k] - 1))
        inside = inside and abs(here - held) <= 1e-9 * step[k]
        if k == 0:
            x = held
        else:
            y = held
    look_up_first(corners, origin, step, x, y, room.column[:count], room.cell, value[:count], first[:, :count])
    cp, sp, cr, sr = cos(around.pitch), sin(around.pitch), cos(roll), sin(roll)
    miss[:], slope[:, :] = 0.0, 0.0
    miss[0] = -around.weight
    _drive(around, room, at[0], (cp, sp, cr, sr), demand=around.demand * across)
    moment = 0.0
    for s in range(2):
        c, n, t = 3 * s, 6 + 3 * s, 12 + 6 * s
        arm0 = cp * value[c] + sp * sr * value[c + 1] + sp * cr * value[c + 2]
        arm1 = cr * value[c + 1] - sr * value[c + 2]
        arm2 = -sp * value[c] + cp * sr * value[c + 1] + cp * cr * value[c + 2]
        axis0 = cp * value[n] + sp * sr * value[n + 1] + sp * cr * value[n + 2]
        axis1 = cr * value[n + 1] - sr * value[n + 2]
        axis2 = -sp * value[n] + cp * sr * value[n + 1] + cp * cr * value[n + 2]
        upright = sqrt(1 - axis2 * axis2)
        reach = (at[0] + arm2 - around.ground[s]) / upright
        off0, off2 = axis2 * axis0 / upright * reach, (axis2 * axis2 - 1) / upright * reach
        lean = around.radius[s] * axis2 / upright
        load, side, rate = room.load[s], room.side[s], room.moving[s]
        own, pull1, pull2 = around.unsprung[s], -around.unsprung[s] * across, -around.unsprung[s] * GRAVITY
        rising0 = rising1 = 0.0
        for u in range(2):
            d, e = first[u], t + u
            moved1 = cr * d[c + 1] - sr * d[c + 2]
            moved2 = -sp * d[c] + cp * sr * d[c + 1] + cp * cr * d[c + 2]
            swung2 = -sp * d[n] + cp * sr * d[n + 1] + cp * cr * d[n + 2]
            turned0 = cp * value[e] + sp * sr * value[e + 2] + sp * cr * value[e + 4]
            turned2 = -sp * value[e] + cp * sr * value[e + 2] + cp * cr * value[e + 4]
            foot1 = moved1 + turned2 * off0 - turned0 * off2
            rising = moved2 + lean * swung2
            miss[1 + u] += load * rising + side * foot1 + pull1 * moved1 + pull2 * moved2
            if u == 0:
                rising0 = rising
            else:
                rising1 = rising
        miss[0] += load
        slope[0, 0] += rate
        slope[0, 1] += rate * rising0
        slope[0, 2] += rate * rising1
        slope[1, 1] += rate * rising0 * rising0
        slope[1, 2] += rate * rising0 * rising1
        slope[2, 2] += rate * rising1 * rising1
        turn_arm1, turn_arm2 = -sp * arm0 - cp * arm2, cp * arm1
        turn_foot1 = -sp * (arm0 + off0) - cp * (arm2 + off2)
        moment += load * (turn_arm2 + lean * cp * axis1) + side * turn_foot1
        moment += own * (-across * turn_arm1 - GRAVITY * turn_arm2)
    slope[0, 0] = max(slope[0, 0], 1.0)
    for e in range(GEOMETRY, count):
        force, stiff = pushed(laws, room.law[e], room.sense[e] * (value[e] - room.zero[e]))
        by0, by1 = first[0, e], first[1, e]
        miss[1] -= room.sense[e] * force * by0
        miss[2] -= room.sense[e] * force * by1
        slope[1, 1] += stiff * by0 * by0
        slope[1, 2] += stiff * by0 * by1
        slope[2, 2] += stiff * by1 * by1
    slope[1, 0], slope[2, 0], slope[2, 1] = slope[0, 1], slope[0, 2], slope[1, 2]
    return moment, inside


@compiled_inner
def _drive(
    around: AroundAxle, room: RollingRoom, heave: float, turn: tuple[float, float, float, float], demand: float
) -> None:
    """Loads of both tyres, their rates, and how they share the lateral force, into the room."""
    cp, sp, cr, sr = turn
    value = room.value
    for s in range(2):
        c, n = 3 * s, 6 + 3 * s
        arm2 = -sp * value[c] + cp * sr * value[c + 1] + cp * cr * value[c + 2]
        axis2 = -sp * value[n] + cp * sr * value[n + 1] + cp * cr * value[n + 2]
        height = heave + arm2 - around.radius[s] * sqrt(1 - axis2 * axis2)
        room.load[s], room.moving[s] = pushed(around.tyres, s, around.push[s, 0] * (height - around.push[s, 1]))
        gap = height - around.ground[s] - around.unloaded[s]
        room.signed[s] = -_OFF_ROAD * gap * around.pressed[s] if gap > 0 else room.load[s]
    if around.grip.step > 0:
        _share_by_slip(around.grip, room, demand)
        return
    total = room.load[0] + room.load[1]
    for s in range(2):
        room.side[s] = demand * (room.load[s] / total if total >= _NO_SHARE else 0.5)


@compiled_inner
def _share_by_slip(grip: Grip, room: RollingRoom, demand: float) -> None:
    """As `shared_slip.shared_force`: one slip for both tyres, beyond their grip as they share it at their best slip."""
    shapes, wanted, last = room.shapes, abs(demand), len(grip.points) - 1
    low, high = np.inf, 0.0
    for s in range(2):
        load = room.load[s]
        place = min(load / grip.step, last + 1.0)
        i = min(int(place), last)
        way = place - i
        p, q = grip.points[i], way * way
        own = p[0, BEST] + way * p[1, BEST] + q * (p[2, BEST] + way * p[3, BEST])
        shapes.peak[0, s] = p[0, PEAK] + way * p[1, PEAK] + q * (p[2, PEAK] + way * p[3, PEAK])
        shapes.shape[0, s] = p[0, SHAPE] + way * p[1, SHAPE] + q * (p[2, SHAPE] + way * p[3, SHAPE])
        shapes.factor[0, s] = p[0, FACTOR] + way * p[1, FACTOR] + q * (p[2, FACTOR] + way * p[3, FACTOR])
        shapes.curvature[0, s] = p[0, CURVATURE] + way * p[1, CURVATURE] + q * (p[2, CURVATURE] + way * p[3, CURVATURE])
        if load <= _NO_LOAD:
            shapes.peak[0, s] = 0.0
            continue
        low, high = min(low, own), max(high, own)
    slip = 0.0
    if high > 0:
        given, _ = both_at(shapes, 0, low)  # up to here both rise
        if wanted < given:
            slip = slip_reaching(shapes, 0, wanted, low)
        else:
            slip = best_slip(shapes, 0, low, high)
            most, _ = both_at(shapes, 0, slip)
            if wanted < most:
                slip = slip_reaching(shapes, 0, wanted, slip)
    total, _ = both_at(shapes, 0, slip)
    kept = shapes.peak[0, 1]
    shapes.peak[0, 1] = 0.0
    left, _ = both_at(shapes, 0, slip)
    shapes.peak[0, 1] = kept
    share = left / total if abs(total) >= _NO_SHARE else 0.5
    room.side[0], room.side[1] = share * demand, (1 - share) * demand

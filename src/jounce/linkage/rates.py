"""First and second derivatives of measures along given motions: compiled, in all lanes (see `states`).

Found forwards, without gradients: every body has a turning rate and a velocity for each motion and, for a pair of
motions, a matrix whose product with what the body carries is the second derivative.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from jounce.linkage.functions import bearing_curvature, distance_curvature, tyre_point_curvature
from jounce.linkage.kinds import BEARING, COORDINATE_SUM, DISTANCE, TYRE_POINT
from jounce.linkage.motion import FIXED, FREE, HINGE, turned
from jounce.linkage.rows import cosines, cosines_at, ends_of, product_of, set_sum
from jounce.linkage.states import States, any_lane, axis_of, between, origin_of, width
from jounce.linkage.tables import BODY, ENTRIES_END, ENTRY, FIRST, FREEDOM, IS_POINT, KIND, PARENT, Tables
from jounce.linkage.triples import Place, Triple, cross, dot, minus, plus, put_three, three, times
from jounce.numerics.arrays import Array, IndexArray
from jounce.numerics.compiled import compiled_inline, compiled_inner, compiled_making


class Rates(NamedTuple):
    """One motion in every lane, all arrays flat.

    ``velocity`` (coordinates); ``bodies`` (bodies, 6): a body's turning rate and its origin's velocity; ``carried``
    (base vectors, 3), ``product`` (products); ``moves`` (bodies,) is 1 for a body that the motion moves in any lane.
    """

    velocity: Array
    bodies: Array
    carried: Array
    product: Array
    moves: IndexArray


class Curvatures(NamedTuple):
    """Second derivatives along a pair of motions in every lane, all arrays flat.

    ``acceleration`` (coordinates); ``bodies`` (bodies, 12): a matrix, row after row, that turns what a body carries
    into its second derivative, and the origin's; ``carried`` (base vectors, 3); ``product`` (products).
    """

    acceleration: Array
    bodies: Array
    carried: Array
    product: Array


Pair = tuple[Rates, Rates, Curvatures]
"""Two motions and what they do together."""


@compiled_making
def new_rates(tables: Tables, states: States) -> Rates:
    """Room for one motion."""
    return Rates(
        np.zeros_like(states.coordinate),
        np.zeros(len(tables.tree) * 6 * len(states.lanes), tables.frame.dtype),
        np.zeros_like(states.carried),
        np.zeros_like(states.product),
        np.zeros(len(tables.tree), np.uintp),
    )


@compiled_making
def new_curvatures(tables: Tables, states: States) -> Curvatures:
    """Room for the second derivatives of one pair of motions."""
    return Curvatures(
        np.zeros_like(states.coordinate),
        np.zeros(len(tables.tree) * 12 * len(states.lanes), tables.frame.dtype),
        np.zeros_like(states.carried),
        np.zeros_like(states.product),
    )


@compiled_inner
def carry_rates(tables: Tables, states: States, motion: Rates) -> None:
    """Rates of all bodies, base vectors and products for a motion's velocity."""
    moves, apart = motion.moves, width(states.lanes)
    for body in range(np.uintp(1), np.uintp(len(tables.tree))):
        _rates_of_body(tables, states, motion, body)
    for number in range(np.uintp(len(tables.base))):
        if moves[tables.base[number, BODY]]:
            _rate_of_vector(tables, states, motion, number)
        else:
            for i in range(np.uintp(3) * apart):
                motion.carried[np.uintp(3) * apart * number + i] = 0.0
    for number in range(np.uintp(len(tables.product))):
        left, right = ends_of(tables, number)
        one = moves[tables.base[left[0], BODY]] | moves[tables.base[left[1], BODY]]
        other = moves[tables.base[right[0], BODY]] | moves[tables.base[right[1], BODY]]
        if one and left == right:
            _rate_of_half(states, motion, number, (left, right, 2.0))
        elif one and other:
            _rate_of_product(states, motion, number, (left, right))
        elif one:
            _rate_of_half(states, motion, number, (left, right, 1.0))
        elif other:
            _rate_of_half(states, motion, number, (right, left, 1.0))
        else:
            for lane in range(apart):
                motion.product[number * apart + lane] = 0.0


@compiled_inline
def _rates_of_body(tables: Tables, states: States, motion: Rates, body: Place) -> None:
    """Rates of one body, those of its parent known."""
    rate, velocity, apart = motion.bodies, motion.velocity, width(states.lanes)
    kind, j, parent = tables.tree[body, FREEDOM], tables.tree[body, FIRST] * apart, tables.tree[body, PARENT]
    own, above, half = np.uintp(6) * apart * body, np.uintp(6) * apart * parent, np.uintp(3) * apart
    if kind == FREE:
        motion.moves[body] = 0
        for i in range(np.uintp(6)):
            if any_lane(velocity, j + i * apart, apart):
                motion.moves[body] = 1
        for i in range(half):
            rate[own + half + i] = velocity[j + i]
            rate[own + i] = velocity[j + half + i]
        return
    moved = motion.moves[parent]
    if kind != FIXED and any_lane(velocity, j, apart):
        moved = np.uintp(1)
    motion.moves[body] = moved
    if moved == 0:
        for i in range(half + half):
            rate[own + i] = 0.0
        return
    for lane in range(apart):
        arm = minus(origin_of(states, body, lane), origin_of(states, parent, lane))
        turning, speed = three(rate, above + lane, apart), three(rate, above + half + lane, apart)
        put_three(rate, own + lane, apart, turning)
        put_three(rate, own + half + lane, apart, plus(speed, cross(turning, arm)))
    if kind == FIXED:
        return
    moving = own if kind == HINGE else own + half
    for lane in range(apart):
        share = times(velocity[j + lane], axis_of(states, body, lane))
        put_three(rate, moving + lane, apart, plus(three(rate, moving + lane, apart), share))


@compiled_inline
def _rate_of_vector(tables: Tables, states: States, motion: Rates, number: Place) -> None:
    """Rate of one base vector."""
    apart, body = width(states.lanes), tables.base[number, BODY]
    place, rate = np.uintp(3) * apart * number, np.uintp(6) * apart * body
    point = 1.0 if tables.base[number, IS_POINT] else 0.0
    for lane in range(apart):
        turning = three(motion.bodies, rate + lane, apart)
        speed = times(point, three(motion.bodies, rate + np.uintp(3) * apart + lane, apart))
        moved = plus(cross(turning, _arm(states, body, (place, point), lane)), speed)
        put_three(motion.carried, place + lane, apart, moved)


@compiled_inline
def _arm(states: States, body: Place, which: tuple[Place, float], lane: Place) -> Triple:
    """A base vector as seen from its body's origin, given where it is and one for a point, zero for a direction."""
    place, point = which
    vector = three(states.carried, place + lane, width(states.lanes))
    return minus(vector, times(point, origin_of(states, body, lane)))


Ends = tuple[Place, Place]


@compiled_inline
def _rate_of_half(states: States, motion: Rates, number: Place, which: tuple[Ends, Ends, float]) -> None:
    """Rate of a product of which one vector changes, or whose vectors are the same one."""
    moving, still, factor = which
    apart = width(states.lanes)
    for lane in range(apart):
        rate, vector = between(motion.carried, moving, lane, apart), between(states.carried, still, lane, apart)
        motion.product[number * apart + lane] = factor * dot(rate, vector)


@compiled_inline
def _rate_of_product(states: States, motion: Rates, number: Place, which: tuple[Ends, Ends]) -> None:
    """Rate of a product both of whose vectors change."""
    left, right = which
    apart = width(states.lanes)
    for lane in range(apart):
        one, other = between(states.carried, left, lane, apart), between(states.carried, right, lane, apart)
        one_rate, other_rate = between(motion.carried, left, lane, apart), between(motion.carried, right, lane, apart)
        motion.product[number * apart + lane] = dot(one_rate, other) + dot(one, other_rate)


@compiled_inner
def set_rates(
    tables: Tables, variant: Place, states: States, motion: Rates, target: tuple[Array, Place, Place]
) -> None:
    """Rates of all measures in a motion that is carried; slopes are set.

    Args:
        tables: bodies and measures
        variant: which constants
        states: where the bodies are
        motion: carried
        target: where the rates go, flat, where they begin there, and how far apart rows are

    """
    rate, first, row_apart = target
    for row in range(np.uintp(len(tables.rows))):
        at = first + row_apart * row
        if tables.rows[row, KIND] == COORDINATE_SUM:
            set_sum(tables, variant, row, motion.velocity, (rate, at, width(states.lanes)))
        else:
            _set_weighted(tables, states, row, motion.product, (rate, at))


@compiled_inline
def _set_weighted(tables: Tables, states: States, row: Place, of: Array, target: tuple[Array, Place]) -> None:
    """A measure's first derivative: the sum of its slopes times what its products, one, two or four, do.

    Each number of them has its own loop, which writes every result once: adding to it takes a quarter longer.
    """
    result, at = target
    slope, apart, entry = states.slope, width(states.lanes), tables.rows[row, ENTRY]
    count, s = tables.rows[row, ENTRIES_END] - entry, entry * apart
    p, q = product_of(tables, row, np.uintp(0), apart), product_of(tables, row, np.uintp(1), apart)
    if count == 1:
        for lane in range(apart):
            result[at + lane] = slope[s + lane] * of[p + lane]
    elif count == 2:
        for lane in range(apart):
            result[at + lane] = slope[s + lane] * of[p + lane] + slope[s + apart + lane] * of[q + lane]
    else:
        places = cosines_at(tables, row, apart)
        for lane in range(apart):
            by_cosines = dot(three(slope, s + apart + lane, apart), cosines(of, places, lane))
            result[at + lane] = slope[s + lane] * of[p + lane] + by_cosines


@compiled_inner
def carry_curvatures(tables: Tables, states: States, pair: Pair) -> None:
    """Second derivatives of all bodies, base vectors and products along two motions that are carried."""
    both, apart = pair[2], width(states.lanes)
    for body in range(np.uintp(1), np.uintp(len(tables.tree))):
        if tables.tree[body, FREEDOM] == FREE:
            _curve_free(tables, states, pair, body)
        else:
            _curve_hung(tables, states, pair, body)
    for number in range(np.uintp(1), np.uintp(len(tables.base))):
        body, place = tables.base[number, BODY], np.uintp(3) * apart * number
        if body == 0:
            continue  # the ground's stay zero
        matrix, point = np.uintp(12) * apart * body, 1.0 if tables.base[number, IS_POINT] else 0.0
        for lane in range(apart):
            arm = turned(both.bodies, matrix + lane, apart, _arm(states, body, (place, point), lane))
            origin = times(point, three(both.bodies, matrix + np.uintp(9) * apart + lane, apart))
            put_three(both.carried, place + lane, apart, plus(arm, origin))
    for number in range(np.uintp(len(tables.product))):
        left, right = ends_of(tables, number)
        for lane in range(apart):
            both.product[number * apart + lane] = _product_curvature(states, pair, (left, right), lane)


@compiled_inline
def _product_curvature(states: States, pair: Pair, which: tuple[Ends, Ends], lane: Place) -> float:
    """Second derivative of one product."""
    left, right = which
    apart, (one, other, both) = width(states.lanes), pair
    return (
        dot(between(both.carried, left, lane, apart), between(states.carried, right, lane, apart))
        + dot(between(states.carried, left, lane, apart), between(both.carried, right, lane, apart))
        + dot(between(one.carried, left, lane, apart), between(other.carried, right, lane, apart))
        + dot(between(other.carried, left, lane, apart), between(one.carried, right, lane, apart))
    )


@compiled_inline
def _curve_free(tables: Tables, states: States, pair: Pair, body: Place) -> None:
    """Second derivative of a free body: ``([w1][w2] + [w2][w1]) / 2 + [acceleration]``."""
    one, other, both = pair
    apart, j = width(states.lanes), tables.tree[body, FIRST]
    half, own = np.uintp(3) * apart, np.uintp(12) * apart * body
    for lane in range(apart):
        shift, turn = three(both.acceleration, j * apart + lane, apart), (j + np.uintp(3)) * apart
        a = three(one.bodies, np.uintp(6) * apart * body + lane, apart)
        b = three(other.bodies, np.uintp(6) * apart * body + lane, apart)
        for i in range(np.uintp(9)):
            both.bodies[own + i * apart + lane] = 0.0
        put_three(both.bodies, own + half + half + half + lane, apart, shift)
        _add_turns(both.bodies, (own + lane, apart), (a, b), 0.5)
        _add_turns(both.bodies, (own + lane, apart), (b, a), 0.5)
        _add_turn(both.bodies, (own + lane, apart), three(both.acceleration, turn + lane, apart))


@compiled_inline
def _curve_hung(tables: Tables, states: States, pair: Pair, body: Place) -> None:
    """Second derivative of a body that hangs on its parent.

    A hinge adds ``([w1] q2 + [w2] q1) [u] + q1 q2 [u][u] + q12 [u]`` to the matrix, a slide
    ``(w1 q2 + w2 q1) x u + q12 u`` to the origin; w are the parent's turning rates, u is the axis.
    """
    one, other, both = pair
    apart, kind, parent = width(states.lanes), tables.tree[body, FREEDOM], tables.tree[body, PARENT]
    j, matrix = tables.tree[body, FIRST] * apart, both.bodies
    own, above, origin = np.uintp(12) * apart * body, np.uintp(12) * apart * parent, np.uintp(9) * apart
    for lane in range(apart):
        for i in range(np.uintp(9)):
            matrix[own + i * apart + lane] = matrix[above + i * apart + lane]
        arm = minus(origin_of(states, body, lane), origin_of(states, parent, lane))
        carried = plus(three(matrix, above + origin + lane, apart), turned(matrix, above + lane, apart, arm))
        put_three(matrix, own + origin + lane, apart, carried)
    if kind == FIXED:
        return
    rate = np.uintp(6) * apart * parent
    for lane in range(apart):
        q1, q2, q12 = one.velocity[j + lane], other.velocity[j + lane], both.acceleration[j + lane]
        axis = axis_of(states, body, lane)
        crossed = plus(
            times(q2, three(one.bodies, rate + lane, apart)), times(q1, three(other.bodies, rate + lane, apart))
        )
        if kind == HINGE:
            _add_turns(matrix, (own + lane, apart), (plus(crossed, times(q1 * q2, axis)), axis), 1.0)
            _add_turn(matrix, (own + lane, apart), times(q12, axis))
        else:
            moved = plus(cross(crossed, axis), times(q12, axis))
            put_three(matrix, own + origin + lane, apart, plus(three(matrix, own + origin + lane, apart), moved))


@compiled_inline
def _add_turn(matrix: Array, where: tuple[Place, Place], vector: Triple) -> None:
    """Add ``[vector]``, the matrix of a cross product."""
    place, apart = where
    x, y, z = vector
    matrix[place + apart] -= z
    matrix[place + np.uintp(2) * apart] += y
    matrix[place + np.uintp(3) * apart] += z
    matrix[place + np.uintp(5) * apart] -= x
    matrix[place + np.uintp(6) * apart] -= y
    matrix[place + np.uintp(7) * apart] += x


@compiled_inline
def _add_turns(matrix: Array, where: tuple[Place, Place], turns: tuple[Triple, Triple], factor: float) -> None:
    """Add ``factor [outer][inner]``, which is ``factor (inner outerᵀ - (outer . inner) I)``."""
    place, apart = where
    outer, inner = turns
    product = dot(outer, inner)
    for i in range(np.uintp(3)):
        row = place + np.uintp(3) * i * apart
        put_three(matrix, row, apart, plus(three(matrix, row, apart), times(factor * inner[i], outer)))
        matrix[row + i * apart] -= factor * product


@compiled_inner
def set_curvatures(
    tables: Tables, variant: Place, states: States, pair: Pair, target: tuple[Array, Place, Place]
) -> None:
    """Second derivatives of all measures along two motions that are carried; slopes are set.

    Args:
        tables: bodies and measures
        variant: which constants
        states: where the bodies are
        pair: the two motions, carried
        target: where the second derivatives go, flat, where they begin there, and how far apart rows are

    """
    one, other, both = pair
    second, first, row_apart = target
    product, r1, r2, apart = states.product, one.product, other.product, width(states.lanes)
    for row in range(np.uintp(len(tables.rows))):
        kind, at = tables.rows[row, KIND], first + row_apart * row
        if kind == COORDINATE_SUM:
            set_sum(tables, variant, row, both.acceleration, (second, at, apart))
            continue
        _set_weighted(tables, states, row, both.product, (second, at))
        p, q = product_of(tables, row, np.uintp(0), apart), product_of(tables, row, np.uintp(1), apart)
        if kind == DISTANCE:
            for lane in range(apart):
                second[at + lane] += distance_curvature(product[p + lane]) * r1[p + lane] * r2[p + lane]
        elif kind == BEARING:
            for lane in range(apart):
                by_rise, by_both, by_run = bearing_curvature(product[p + lane], product[q + lane])
                second[at + lane] += (
                    by_rise * r1[p + lane] * r2[p + lane]
                    + by_both * (r1[p + lane] * r2[q + lane] + r1[q + lane] * r2[p + lane])
                    + by_run * r1[q + lane] * r2[q + lane]
                )
        elif kind == TYRE_POINT:
            radius, places = tables.constants[variant, row, 0], cosines_at(tables, row, apart)
            for lane in range(apart):
                by_g, by_h, by_m = tyre_point_curvature(cosines(product, places, lane), radius)
                (g1, h1, m1), (g2, h2, m2) = cosines(r1, places, lane), cosines(r2, places, lane)
                second[at + lane] += by_g * g1 * g2 + by_h * (g1 * h2 + h1 * g2) + by_m * (g1 * m2 + m1 * g2)

"""States of a linkage, one alone or thirty-two side by side, as compiled functions work on them.

Every formula of this room is written once, as a loop over the states that are side by side (its *lanes*). Their number
is known to the compiler: where there are many, the processor does the same to several neighbouring numbers in one go;
where there is one, no loop is left. So every quantity of some states has its lanes next to each other and quantities
follow each other in flat arrays; those of a body begin at ``15 * width * body``, and so on.

Places are unsigned: a signed one might count from an array's end, and looking after that takes longer than the
arithmetic.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from jounce.linkage.tables import AXIS, BODY, FIRST, REFERENCE, SIZE, Tables
from jounce.linkage.triples import Place, Triple, minus, three
from jounce.numerics.arrays import Array
from jounce.numerics.compiled import compiled_inline, compiled_inner, compiled_making

Lanes = tuple[tuple[()], ...]
"""As many empty tuples as there are states side by side: it has no content but its type, and so tells the compiler."""

ALONE: Lanes = ((),)
SIDE_BY_SIDE: Lanes = ((),) * 32

FEWEST_MEASURED = 32
"""Fewer states than this are measured one by one [-]."""
FEWEST_FOLLOWED = 256
"""Fewer states than this are followed one by one: every lane's first one is, too [-]."""

ROTATION, ORIGIN, TURNED_AXIS = np.uintp(0), np.uintp(9), np.uintp(12)
"""Numbers of a body in `States.bodies`: its rotation matrix (row after row), its origin, and its axis as its parent
stands."""
BODY_SIZE = np.uintp(15)


class PoseArrays(NamedTuple):
    """The arrays of a `Pose`, rotations as (states, bodies, 9)."""

    rotation: Array
    origin: Array
    coordinate: Array


class States(NamedTuple):
    """Where everything is in every lane, all arrays flat.

    ``bodies`` (bodies, 15), ``coordinate`` (coordinates), ``carried`` (base vectors, 3); room for ``product``
    (products), ``slope`` (entries) by them and ``value`` (measures).
    """

    lanes: Lanes
    bodies: Array
    coordinate: Array
    carried: Array
    product: Array
    slope: Array
    value: Array


@compiled_inline
def width(lanes: Lanes) -> Place:
    """How many states are side by side [-]."""
    return np.uintp(len(lanes))


@compiled_making
def new_states(tables: Tables, lanes: Lanes) -> States:
    """Room for states, all bodies as found and what the ground carries where it is; of the first variant."""
    lane, dtype, last = len(lanes), tables.frame.dtype, tables.tree[len(tables.tree) - 1]
    states = States(
        lanes,
        np.zeros(len(tables.tree) * 15 * lane, dtype),
        np.zeros(np.intp(last[FIRST] + last[SIZE]) * lane, dtype),
        np.zeros(len(tables.base) * 3 * lane, dtype),
        np.zeros(len(tables.product) * lane, dtype),
        np.zeros(len(tables.entry) * lane, dtype),
        np.zeros(len(tables.rows) * lane, dtype),
    )
    for one in range(width(lanes)):
        put_as_found(tables, np.uintp(0), states, one)
    carry_ground(tables, np.uintp(0), states)
    return states


@compiled_inner
def put_as_found(tables: Tables, variant: Place, states: States, lane: Place) -> None:
    """Put one lane's bodies where they are in the reference pose; what they carry is left alone."""
    apart, bodies = width(states.lanes), states.bodies
    for place in range(lane, np.uintp(len(states.coordinate)), apart):
        states.coordinate[place] = 0.0
    for body in range(np.uintp(len(tables.tree))):
        own = BODY_SIZE * apart * body + lane
        for i in range(ORIGIN):
            bodies[own + i * apart] = 1.0 if i % np.uintp(4) == 0 else 0.0
        for i in range(np.uintp(3)):
            bodies[own + (ORIGIN + i) * apart] = tables.frame[variant, body, np.uintp(REFERENCE) + i]
            bodies[own + (TURNED_AXIS + i) * apart] = tables.frame[variant, body, np.uintp(AXIS) + i]


@compiled_inner
def carry_ground(tables: Tables, variant: Place, states: States) -> None:
    """Set the ground's base vectors, which no motion changes."""
    apart = width(states.lanes)
    for base in range(np.uintp(len(tables.base))):
        if tables.base[base, BODY] == 0:
            for i in range(np.uintp(3)):
                for lane in range(apart):
                    states.carried[(np.uintp(3) * base + i) * apart + lane] = tables.local[variant, base, i]


@compiled_inner
def load(states: States, first: int, last: int, poses: PoseArrays) -> None:
    """Put neighbouring states of a batch into the lanes; axes and what bodies carry are for `motion` to add.

    Lanes are the inner loop: what is written next to each other stays in the memory near the processor, which takes half
    the time.
    """
    apart = width(states.lanes)
    for body in range(np.uintp(1), np.uintp(poses.origin.shape[1])):
        rotation = BODY_SIZE * apart * body
        origin = rotation + ORIGIN * apart
        for i in range(np.uintp(9)):
            for lane in range(apart):
                states.bodies[rotation + i * apart + lane] = poses.rotation[state_in(lane, first, last), body, i]
        for i in range(np.uintp(3)):
            for lane in range(apart):
                states.bodies[origin + i * apart + lane] = poses.origin[state_in(lane, first, last), body, i]
    for j in range(np.uintp(poses.coordinate.shape[1])):
        for lane in range(apart):
            states.coordinate[j * apart + lane] = poses.coordinate[state_in(lane, first, last), j]


@compiled_inline
def state_in(lane: Place, first: int, last: int) -> Place:
    """Which state is in a lane, given the first lane's: the one before ``last`` again where there are no more."""
    state = first + np.intp(lane)
    return np.uintp(state if state < last else last - 1)


@compiled_inner
def save(states: States, lane: Place, index: Place, poses: PoseArrays) -> None:
    """Write a lane into a batch."""
    apart = width(states.lanes)
    for body in range(np.uintp(poses.origin.shape[1])):
        own = BODY_SIZE * apart * body + lane
        for i in range(ORIGIN):
            poses.rotation[index, body, i] = states.bodies[own + i * apart]
        for i in range(np.uintp(3)):
            poses.origin[index, body, i] = states.bodies[own + (ORIGIN + i) * apart]
    for j in range(np.uintp(poses.coordinate.shape[1])):
        poses.coordinate[index, j] = states.coordinate[j * apart + lane]


@compiled_inner
def copy(source: States, target: States, lane: Place) -> None:
    """Put a state that is alone into a lane of others; what bodies carry is left alone."""
    apart = width(target.lanes)
    for place in range(np.uintp(len(source.bodies))):
        target.bodies[place * apart + lane] = source.bodies[place]
    for j in range(np.uintp(len(source.coordinate))):
        target.coordinate[j * apart + lane] = source.coordinate[j]


@compiled_inline
def any_lane(array: Array, place: Place, apart: Place) -> bool:
    """Whether a quantity is other than zero in any lane."""
    for lane in range(apart):  # noqa: SIM110 - the compiler knows loops
        if array[place + lane] != 0.0:
            return True
    return False


@compiled_inline
def origin_of(states: States, body: Place, lane: Place) -> Triple:
    """Where a body's origin is [m]."""
    apart = width(states.lanes)
    return three(states.bodies, (BODY_SIZE * body + ORIGIN) * apart + lane, apart)


@compiled_inline
def axis_of(states: States, body: Place, lane: Place) -> Triple:
    """Where a hinge's or slide's axis points [-]."""
    apart = width(states.lanes)
    return three(states.bodies, (BODY_SIZE * body + TURNED_AXIS) * apart + lane, apart)


@compiled_inline
def between(carried: Array, ends: tuple[Place, Place], lane: Place, apart: Place) -> Triple:
    """The vector from a second to a first base vector, or its rate."""
    first, second = np.uintp(3) * apart * ends[0] + lane, np.uintp(3) * apart * ends[1] + lane
    return minus(three(carried, first, apart), three(carried, second, apart))

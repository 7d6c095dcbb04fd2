"""Batches of states: the compiled functions that one is handed to, each from a first to, without, a last state.

Poses and motions have the states first. What is measured of them has the states last, flat and padded to whole blocks of
as many as are side by side; where there is more than one, ``first`` is a multiple of their number.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from jounce.linkage.equations import Equations, Gradients
from jounce.linkage.hessian import add_hessian, new_changes
from jounce.linkage.motion import aim_and_carry, hang_all, move
from jounce.linkage.rates import (
    Pair,
    carry_curvatures,
    carry_rates,
    new_curvatures,
    new_rates,
    set_curvatures,
    set_rates,
)
from jounce.linkage.rows import set_gradients, set_products, set_slopes, set_values
from jounce.linkage.solve import (
    Factors,
    factorise,
    new_factors,
    singular_block,
    solve,
    suits,
    thinnest_pivot,
)
from jounce.linkage.states import (
    ALONE,
    SIDE_BY_SIDE,
    Lanes,
    PoseArrays,
    States,
    carry_ground,
    load,
    new_states,
    put_as_found,
    save,
    state_in,
    width,
)
from jounce.linkage.tables import Tables
from jounce.linkage.triples import Place
from jounce.numerics.arrays import Array, IntArray
from jounce.numerics.compiled import compiled, compiled_inline, compiled_inner


@compiled_inner
def _load(tables: Tables, states: States, index: int, last: int, poses: PoseArrays) -> Place:
    """Put neighbouring states before the functions, the last one again where there are no more; which variant it is."""
    variant = np.uintp(0 if len(tables.frame) == 1 else index)
    if len(tables.frame) > 1:
        carry_ground(tables, variant, states)
    load(states, index, last, poses)
    aim_and_carry(tables, variant, states)
    set_products(tables, states)
    return variant


@compiled_inline
def _padded(states: int, lanes: Lanes) -> Place:
    return np.uintp((states + len(lanes) - 1) // len(lanes) * len(lanes))


@compiled
def run_rates(
    tables: Tables, lanes: Lanes, poses: PoseArrays, wanted: tuple[Array, Array, Array], first: int, last: int
) -> None:
    """Values of all measures, and their first derivatives along motions.

    Args:
        tables: bodies and measures
        lanes: how many states are side by side
        poses: the states
        wanted: velocities of the coordinates, shape (states, motions, coordinates); where values (measures, padded
            states) and rates (motions, measures, padded states) go, flat
        first: first state
        last: the state after the last

    """
    velocity, value, rate = wanted
    states, row_apart = new_states(tables, lanes), _padded(len(poses.coordinate), lanes)
    motion, motions = new_rates(tables, states), np.uintp(velocity.shape[1])
    for index in range(first, last, len(lanes)):
        at = np.uintp(index)
        variant = _load(tables, states, index, last, poses)
        set_values(tables, variant, states, value, (at, row_apart))
        if motions > 0:
            set_slopes(tables, variant, states)
        for number in range(motions):
            _take(velocity, number, motion.velocity, (index, last), lanes)
            carry_rates(tables, states, motion)
            start = number * np.uintp(len(tables.rows)) * row_apart
            set_rates(tables, variant, states, motion, (rate, start + at, row_apart))


@compiled
def run_seconds(
    tables: Tables, poses: PoseArrays, moving: tuple[Array, IntArray, Array], second: Array, first: int, last: int
) -> None:
    """Mixed second derivatives of all measures along pairs of motions, of states that are alone.

    Args:
        tables: bodies and measures
        poses: the states
        moving: velocities of the coordinates, shape (states, motions, coordinates), pairs of motions, (pairs, 2), and
            their mixed accelerations, (states, pairs, coordinates)
        second: where the derivatives (pairs, measures, states) go, flat
        first: first state
        last: the state after the last

    """
    velocity, pairs, acceleration = moving
    states, row_apart = new_states(tables, ALONE), np.uintp(len(poses.coordinate))
    pair = new_rates(tables, states), new_rates(tables, states), new_curvatures(tables, states)
    for index in range(first, last):
        variant = _load(tables, states, index, last, poses)
        set_slopes(tables, variant, states)
        for number in range(np.uintp(len(pairs))):
            _take_pair(tables, states, (velocity, pairs[number]), pair, (index, last))
            _take(acceleration, number, pair[2].acceleration, (index, last), ALONE)
            carry_curvatures(tables, states, pair)
            start = number * np.uintp(len(tables.rows)) * row_apart
            set_curvatures(tables, variant, states, pair, (second, start + np.uintp(index), row_apart))


@compiled_inline
def _take_pair(
    tables: Tables, states: States, moving: tuple[Array, IntArray], pair: Pair, run: tuple[int, int]
) -> None:
    """Carry two of the motions of a state that is alone."""
    velocity, which = moving
    _take(velocity, np.uintp(which[0]), pair[0].velocity, run, ALONE)
    _take(velocity, np.uintp(which[1]), pair[1].velocity, run, ALONE)
    carry_rates(tables, states, pair[0])
    carry_rates(tables, states, pair[1])


@compiled_inline
def _take(numbers: Array, which: Place, target: Array, run: tuple[int, int], lanes: Lanes) -> None:
    """Copy one of several sets of numbers, shape (states or 1, sets, numbers), of some states into the lanes."""
    shared = len(numbers) == 1
    for lane in range(width(lanes)):
        state = np.uintp(0) if shared else state_in(lane, run[0], run[1])
        for j in range(np.uintp(numbers.shape[2])):
            target[j * width(lanes) + lane] = numbers[state, which, j]


@compiled
def run_gradients(
    tables: Tables, gradients: Gradients, poses: PoseArrays, gradient: Array, first: int, last: int
) -> None:
    """Gradients of all measures, (states, measures, coordinates), of states that are alone."""
    states = new_states(tables, ALONE)
    cells, room = np.zeros(np.intp(gradients.cells) + 1, gradient.dtype), np.zeros(6, gradient.dtype)
    for index in range(first, last):
        variant = _load(tables, states, index, last, poses)
        set_slopes(tables, variant, states)
        set_gradients(tables, variant, gradients, states, (cells, room))
        gradient[index] = cells[:-1].reshape(gradient.shape[1:])


@compiled
def run_hessians(tables: Tables, poses: PoseArrays, weighted: tuple[Array, Array], first: int, last: int) -> None:
    """Add second derivatives of sums weighted by (states, measures) to (states, coordinates, coordinates)."""
    weight, result = weighted
    states = new_states(tables, ALONE)
    changes = new_changes(tables, states)
    for index in range(first, last):
        variant = _load(tables, states, index, last, poses)
        set_slopes(tables, variant, states)
        add_hessian(tables, variant, states, changes, (weight, result, np.uintp(index)))


@compiled
def run_moves(tables: Tables, poses: PoseArrays, increment: Array, first: int, last: int) -> None:
    """Change the coordinates of every state by (states, coordinates), in place; of states that are alone."""
    states = new_states(tables, ALONE)
    for index in range(first, last):
        variant = _load(tables, states, index, last, poses)
        move(tables, variant, states, increment[index])
        save(states, np.uintp(0), np.uintp(index), poses)


@compiled
def run_thinnest(tables: Tables, equations: Equations, thinnest: Array) -> None:
    """Each block's smallest pivot as a share of its largest, as found, (variants, blocks)."""
    states, factors = new_states(tables, ALONE), new_factors(tables, equations, ALONE)
    for index in range(len(thinnest)):
        variant = np.uintp(index)
        put_as_found(tables, variant, states, np.uintp(0))
        carry_ground(tables, variant, states)
        aim_and_carry(tables, variant, states)
        set_products(tables, states)
        factorise(tables, variant, equations, states, factors)
        for block in range(np.uintp(thinnest.shape[1])):
            thinnest[variant, block] = thinnest_pivot(equations, factors, block)


class MotionRequest(NamedTuple):
    """Motions wanted of the rows, and where the coordinates' go.

    ``rate`` (states or 1, motions, rows); ``velocity`` (states, motions, coordinates); ``singular`` (states,) is the block
    that cannot be solved, -1 for none; ``pair`` (pairs, 2) lists two motions each whose mixed ``acceleration``
    (states, pairs, coordinates) keeps the rows' rates as they are.

    Where states are side by side, ``singular`` is 0 for one that does not suit the others: it wants to be solved alone.
    """

    rate: Array
    velocity: Array
    singular: IntArray
    pair: IntArray
    acceleration: Array


@compiled
def run_velocities(
    tables: Tables, equations: Equations, poses: PoseArrays, wanted: MotionRequest, first: int, last: int
) -> None:
    """Coordinate velocities alone, of states side by side, by one factorisation of each."""
    states, factors = new_states(tables, SIDE_BY_SIDE), new_factors(tables, equations, SIDE_BY_SIDE)
    room = np.zeros_like(factors.x), np.zeros_like(factors.x)
    for index in range(first, last, len(SIDE_BY_SIDE)):
        variant = _load(tables, states, index, last, poses)
        factorise(tables, variant, equations, states, factors)
        _set_velocities(equations, factors, room, wanted, (index, last))
        for lane in range(width(SIDE_BY_SIDE)):
            wanted.singular[state_in(lane, index, last)] = -1 if suits(factors, lane) else 0


@compiled
def run_motions(
    tables: Tables, equations: Equations, poses: PoseArrays, wanted: MotionRequest, first: int, last: int
) -> None:
    """Coordinate velocities and mixed accelerations of states that are alone, by one factorisation of each."""
    states, factors = new_states(tables, ALONE), new_factors(tables, equations, ALONE)
    pair = new_rates(tables, states), new_rates(tables, states), new_curvatures(tables, states)
    right, change = np.zeros_like(factors.x), np.zeros_like(factors.x)
    for index in range(first, last):
        run = (index, last)
        variant = _load(tables, states, index, last, poses)
        factorise(tables, variant, equations, states, factors)
        wanted.singular[index] = singular_block(factors, np.uintp(0))
        if wanted.singular[index] >= 0:
            wanted.velocity[index] = 0.0
            wanted.acceleration[index] = 0.0
            continue
        _set_velocities(equations, factors, (right, change), wanted, run)
        for number in range(np.uintp(len(wanted.pair))):
            _take_pair(tables, states, (wanted.velocity, wanted.pair[number]), pair, run)
            carry_curvatures(tables, states, pair)
            set_curvatures(tables, variant, states, pair, (right, np.uintp(0), np.uintp(1)))
            for place in range(np.uintp(len(right))):
                right[place] = -right[place]
            solve(equations, factors, right, change)
            _give(change, wanted.acceleration, number, run, ALONE)


@compiled_inline
def _set_velocities(
    equations: Equations, factors: Factors, room: tuple[Array, Array], wanted: MotionRequest, run: tuple[int, int]
) -> None:
    """Solve for the velocities of all motions, with room for right sides and coordinates."""
    right, change = room
    for number in range(np.uintp(wanted.velocity.shape[1])):
        _take(wanted.rate, number, right, run, factors.lanes)
        solve(equations, factors, right, change)
        _give(change, wanted.velocity, number, run, factors.lanes)


@compiled_inline
def _give(change: Array, target: Array, which: Place, run: tuple[int, int], lanes: Lanes) -> None:
    """Write one of several sets of numbers from the lanes to (states, sets, numbers)."""
    for lane in range(width(lanes)):
        state = state_in(lane, run[0], run[1])
        for j in range(np.uintp(target.shape[2])):
            target[state, which, j] = change[j * width(lanes) + lane]


@compiled
def run_refinements(
    tables: Tables, equations: Equations, poses: PoseArrays, goal: Array, first: int, last: int
) -> None:
    """Two Newton steps towards goals (states, rows), in place, of states that are alone.

    They carry imaginary parts from constants to poses.
    """
    states, factors = new_states(tables, ALONE), new_factors(tables, equations, ALONE)
    change = np.zeros_like(factors.x)
    for index in range(first, last):
        variant = _load(tables, states, index, last, poses)
        hang_all(tables, variant, states)
        for _ in range(2):
            set_products(tables, states)
            set_values(tables, variant, states, states.value, (np.uintp(0), np.uintp(1)))
            factorise(tables, variant, equations, states, factors)
            solve(equations, factors, goal[index] - states.value, change)
            move(tables, variant, states, change)
        save(states, np.uintp(0), np.uintp(index), poses)

"""Runs of blocks: the compiled functions that a batch of real states is handed to (see `lanes`, `runs`)."""

from __future__ import annotations

import numpy as np

from jounce.linkage.lanes import LANES, Equations, Place, Table, new_block
from jounce.linkage.lanes_forward import flow_block, new_block_flow, set_block_rates
from jounce.linkage.lanes_motion import load_block
from jounce.linkage.lanes_rows import set_block_products, set_block_slopes, set_block_values
from jounce.linkage.lanes_solve import factorise_block, new_block_factors, solve_block, suits
from jounce.linkage.runs import Where
from jounce.numerics.arrays import Array, IntArray
from jounce.numerics.compiled import compiled, compiled_inline


@compiled_inline
def _choose(first: int, last: int, states: IntArray) -> None:
    """States ``first`` and following, the last one again where there are no more."""
    for lane in range(LANES):
        state = first + np.intp(lane)
        states[lane] = state if state < last else last - 1


@compiled
def run_block_values(table: Table, where: Where, value: Array, first: int, last: int) -> None:
    """Values of all measures, (measures, states padded to whole blocks) flat; ``first`` is a multiple of the lanes."""
    block = new_block(table, where.coordinate.shape[1])
    states, apart = np.zeros(np.intp(LANES), np.intp), _padded(len(where.coordinate))
    for index in range(first, last, np.intp(LANES)):
        _choose(index, last, states)
        load_block(table, block, states, (where.rotation, where.origin, where.coordinate))
        set_block_products(table, block)
        set_block_values(table, block, value, np.uintp(index), apart)


@compiled_inline
def _padded(states: int) -> Place:
    lanes = np.intp(LANES)
    return np.uintp((states + lanes - 1) // lanes * lanes)


@compiled
def run_block_rates(
    table: Table, where: Where, velocity: Array, result: tuple[Array, Array], first: int, last: int
) -> None:
    """Values (measures, padded states) and rates (motions, measures, padded states), both flat.

    Args:
        table: places
        where: the poses
        velocity: of the coordinates, shape (states, motions, coordinates)
        result: where values and rates go
        first: first state, a multiple of the lanes
        last: the state after the last

    """
    value, rate = result
    block = new_block(table, where.coordinate.shape[1])
    motion = new_block_flow(table, where.coordinate.shape[1])
    states, apart = np.zeros(np.intp(LANES), np.intp), _padded(len(where.coordinate))
    for index in range(first, last, np.intp(LANES)):
        _choose(index, last, states)
        load_block(table, block, states, (where.rotation, where.origin, where.coordinate))
        set_block_products(table, block)
        set_block_slopes(table, block)
        set_block_values(table, block, value, np.uintp(index), apart)
        for number in range(np.uintp(velocity.shape[1])):
            for lane in range(LANES):
                state = np.uintp(states[lane])
                for j in range(np.uintp(velocity.shape[2])):
                    motion.velocity[j * LANES + lane] = velocity[state, number, j]
            flow_block(table, block, motion)
            at = number * np.uintp(len(table.row)) * apart + np.uintp(index)
            set_block_rates(table, block, motion, rate, at, apart)


@compiled
def run_block_motions(
    places: tuple[Table, Equations],
    where: Where,
    rate: Array,
    result: tuple[Array, IntArray],
    first: int,
    last: int,
) -> None:
    """Coordinate velocities by one factorisation of every state.

    Args:
        places: of the program and its rows' solution
        where: the poses
        rate: wanted of the rows, shape (motions, rows)
        result: velocities, shape (states, motions, coordinates), and -1 for a state that is done, 0 for one that does
            not suit the others of its block
        first: first state
        last: the state after the last

    """
    velocity, left = result
    table, equations = places
    block = new_block(table, where.coordinate.shape[1])
    factors = new_block_factors(equations)
    right, change = np.zeros_like(factors.x), np.zeros_like(factors.x)
    states = np.zeros(np.intp(LANES), np.intp)
    for index in range(first, last, np.intp(LANES)):
        _choose(index, last, states)
        load_block(table, block, states, (where.rotation, where.origin, where.coordinate))
        set_block_products(table, block)
        factorise_block(table, equations, block, factors)
        for number in range(np.uintp(velocity.shape[1])):
            for row in range(np.uintp(rate.shape[1])):
                for lane in range(LANES):
                    right[row * LANES + lane] = rate[number, row]
            solve_block(equations, factors, right, change, np.uintp(0))
            for lane in range(LANES):
                state = np.uintp(states[lane])
                for j in range(np.uintp(velocity.shape[2])):
                    velocity[state, number, j] = change[j * LANES + lane]
        for lane in range(LANES):
            left[states[lane]] = -1 if suits(factors, lane) else 0

"""Runs of states: the compiled functions that a batch is handed to, each from a first to, without, a last state.

All arrays have the states first.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from jounce.linkage.blocks import Plan
from jounce.linkage.forward import Flow, bend, flow, new_bent, new_flow, set_bends, set_rates
from jounce.linkage.hessian import add_hessian, new_sheet
from jounce.linkage.motion import as_found, carry, hang_all, move, stand_axes
from jounce.linkage.program import Program
from jounce.linkage.rows import add_gradients, set_values
from jounce.linkage.solve import factorise, new_factors, solve
from jounce.linkage.state import State, fetch, new_state, save
from jounce.numerics.arrays import Array, IntArray
from jounce.numerics.compiled import compiled, compiled_inner


class Where(NamedTuple):
    """The arrays of a `Pose`, rotations as (states, bodies, 9)."""

    rotation: Array
    origin: Array
    coordinate: Array


@compiled_inner
def _load(program: Program, index: int, where: Where, state: State) -> int:
    """Put a state of a batch before the functions; its variant is returned."""
    variant = 0 if len(program.frame) == 1 else index
    fetch(state, index, where.rotation, where.origin, where.coordinate)
    stand_axes(program, variant, state)
    carry(program, variant, state)
    return variant


@compiled
def run_values(program: Program, where: Where, value: Array, first: int, last: int) -> None:
    """Values of all measures, (states, measures)."""
    state = new_state(program)
    for index in range(first, last):
        variant = _load(program, index, where, state)
        set_values(program, variant, state, value[index])


@compiled
def run_gradients(program: Program, where: Where, gradient: Array, first: int, last: int) -> None:
    """Add gradients of all measures to (states, measures, coordinates)."""
    state = new_state(program)
    order = (np.arange(len(program.rows)), np.arange(len(state.coordinate)))
    for index in range(first, last):
        variant = _load(program, index, where, state)
        add_gradients(program, variant, state, order, gradient[index])


@compiled
def run_rates(
    program: Program, where: Where, velocity: Array, result: tuple[Array, Array], first: int, last: int
) -> None:
    """Values (states, measures) and rates (states, motions, measures) for velocities (states, motions, coordinates)."""
    value, rate = result
    state = new_state(program)
    motions = new_flow(program, state, velocity.shape[1])
    for index in range(first, last):
        variant = _load(program, index, where, state)
        for number in range(velocity.shape[1]):
            _take(velocity, index, number, motions, number)
            flow(program, state, motions, number)
        set_rates(program, variant, state, motions, (value, rate, index))


@compiled_inner
def _take(velocity: Array, index: int, number: int, motions: Flow, which: int) -> None:
    """Copy one of a state's motions."""
    for j in range(motions.velocity.shape[1]):
        motions.velocity[which, j] = velocity[index, number, j]


@compiled
def run_bends(program: Program, where: Where, along: Array, second: Array, first: int, last: int) -> None:
    """Second derivatives (states, measures) along two velocities and an acceleration, (states, 3, coordinates)."""
    state = new_state(program)
    motions, bent = new_flow(program, state, 2), new_bent(program, state)
    for index in range(first, last):
        variant = _load(program, index, where, state)
        for number in range(2):
            _take(along, index, number, motions, number)
            flow(program, state, motions, number)
        for j in range(len(bent.acceleration)):
            bent.acceleration[j] = along[index, 2, j]
        bend(program, state, motions, bent)
        set_bends(program, variant, state, (motions, bent), (second, index))


@compiled
def run_hessians(program: Program, where: Where, weight: Array, result: Array, first: int, last: int) -> None:
    """Add second derivatives of sums weighted by (states, measures) to (states, coordinates, coordinates)."""
    state = new_state(program)
    sheet = new_sheet(program, state)
    for index in range(first, last):
        variant = _load(program, index, where, state)
        add_hessian(program, variant, state, sheet, (weight, result, index))


@compiled
def run_moves(program: Program, where: Where, increment: Array, first: int, last: int) -> None:
    """Change the coordinates of every state by (states, coordinates), in place."""
    state = new_state(program)
    for index in range(first, last):
        variant = _load(program, index, where, state)
        move(program, variant, state, increment[index])
        save(state, index, where.rotation, where.origin, where.coordinate)


@compiled
def run_thinnest(program: Program, plan: Plan, thinnest: Array) -> None:
    """Each block's smallest pivot as a share of its largest, as found, (variants, blocks)."""
    state, factors = new_state(program), new_factors(program, plan)
    for variant in range(len(thinnest)):
        as_found(program, variant, state)
        carry(program, variant, state)
        factorise(program, plan, variant, state, factors)
        thinnest[variant] = factors.thinnest


class Wanted(NamedTuple):
    """Motions wanted of the rows, and where the coordinates' go.

    ``rate`` (states or 1, motions, rows); ``velocity`` (states, motions, coordinates); ``singular`` (states,) is the block
    that cannot be solved, -1 for none; ``pair`` (pairs, 2) lists two motions each whose mixed ``acceleration``
    (states, pairs, coordinates) keeps the rows' rates as they are.
    """

    rate: Array
    velocity: Array
    singular: IntArray
    pair: IntArray
    acceleration: Array


@compiled
def run_motions(program: Program, plan: Plan, where: Where, wanted: Wanted, first: int, last: int) -> None:
    """Coordinate velocities and mixed accelerations, by one factorisation of every state."""
    state, factors = new_state(program), new_factors(program, plan)
    motions, bent = new_flow(program, state, 2), new_bent(program, state)
    right = np.zeros((1, len(plan.row)), program.frame.dtype)
    shared = len(wanted.rate) == 1
    for index in range(first, last):
        variant = _load(program, index, where, state)
        factorise(program, plan, variant, state, factors)
        wanted.singular[index] = _singular(factors.determinant)
        if wanted.singular[index] >= 0:
            wanted.velocity[index] = 0.0
            wanted.acceleration[index] = 0.0
            continue
        for number in range(wanted.velocity.shape[1]):
            solve(plan, factors, wanted.rate[0 if shared else index, number], wanted.velocity[index, number])
        for number in range(len(wanted.pair)):
            for which in range(2):
                _take(wanted.velocity, index, wanted.pair[number, which], motions, which)
                flow(program, state, motions, which)
            bend(program, state, motions, bent)
            set_bends(program, variant, state, (motions, bent), (right, 0))
            solve(plan, factors, -right[0], wanted.acceleration[index, number])


@compiled_inner
def _singular(determinant: Array) -> int:
    """The first block without a determinant, -1 for none."""
    for block in range(len(determinant)):
        if not abs(determinant[block]) > 0:
            return block
    return -1


@compiled
def run_refinements(program: Program, plan: Plan, where: Where, goal: Array, first: int, last: int) -> None:
    """Two Newton steps towards goals (states, rows), in place: they carry imaginary parts from constants to poses."""
    state, factors = new_state(program), new_factors(program, plan)
    value, change = np.zeros_like(goal[0]), np.zeros_like(goal[0])
    for index in range(first, last):
        variant = _load(program, index, where, state)
        hang_all(program, variant, state)
        for _ in range(2):
            set_values(program, variant, state, value)
            factorise(program, plan, variant, state, factors)
            solve(plan, factors, goal[index] - value, change)
            move(program, variant, state, change)
        save(state, index, where.rotation, where.origin, where.coordinate)

"""Follow states from where a linkage stands to where its drives want it: compiled, one run of states at a time.

A step is predicted by the tangent, corrected by Newton's iteration and then judged. It is refused when the tangent
points far away, when the iteration does not settle or settles far from where the tangent pointed, or when a block's
determinant has changed its sign (a dead point was passed).

A state starts from the one placed before it where that is nearer than the reference pose. Where this way meets any
difficulty or comes near a dead point, the state is placed again by the straight way from the reference pose, with
steps that are halved until they are accepted: only that way decides whether a state is reached and how far it came.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from jounce.linkage.blocks import Plan
from jounce.linkage.motion import as_found, carry, move, straighten
from jounce.linkage.program import Program
from jounce.linkage.rows import set_values
from jounce.linkage.solve import Factors, factorise, new_factors, solve
from jounce.linkage.state import State, new_state, save
from jounce.numerics.arrays import Array, IntArray
from jounce.numerics.compiled import compiled, compiled_inline, compiled_inner

TOLERANCE = 1e-13
"""Largest residual of a placed state [m or rad]."""

REACHED, UNSETTLED = -1, -2
"""What stopped a state, where that is not the number of the block that came to a dead point."""

ITERATIONS = 8
LONGEST_STEP = 0.04  # largest change of any drive in one continuation step [m or rad]
_SMALLEST_STEP = 1e-5  # share of the way at which a state is given up
LARGEST_MOVE = 0.5  # of any coordinate in a step: near a dead point the tangent points turns away [m or rad]
LARGEST_CORRECTION = 0.5  # how far a settled step may lie from its tangent prediction, as a share of the step
FINE = 3e-15  # a residual larger than rounding is corrected once more, so that no result depends on its way [m or rad]
SAME_FACTORS = 1e-6  # a correction smaller than this leaves the factors as good as they were [m or rad]
NEAR_DEAD_POINT = 0.2  # share of its determinant as found below which a block is judged by the straight way
_THIN = 0.1  # a state that stops with less than this share of a determinant left has come to a dead point there


class Task(NamedTuple):
    """What is wanted, and where the results go.

    ``start`` (variants, rows) are values as found, ``goal`` (states, rows) those wanted; ``order`` lists the states as
    they are worked on. ``rotation`` (states, bodies, 9), ``origin`` and ``coordinate`` are a `Pose`; ``share``
    (states,) is how far each state came and ``stopped`` (states,) what stopped it.
    """

    start: Array
    goal: Array
    order: IntArray
    rotation: Array
    origin: Array
    coordinate: Array
    share: Array
    stopped: IntArray


class Desk(NamedTuple):
    """What one run works with: a state and a copy to fall back on, its factors, and rows of numbers."""

    state: State
    kept: State
    factors: Factors
    found: Array
    value: Array
    target: Array
    right: Array
    change: Array
    held: Array
    start: Array
    goal: Array


@compiled
def new_desk(program: Program, plan: Plan) -> Desk:
    """Room for one run."""
    size, dtype = len(plan.row), program.frame.dtype
    return Desk(
        new_state(program),
        new_state(program),
        new_factors(program, plan),
        np.ones(len(plan.start) - 1, np.float64),
        np.zeros(size, dtype),
        np.zeros(size, dtype),
        np.zeros(size, dtype),
        np.zeros(size, dtype),
        np.zeros(size, dtype),
        np.zeros(size, dtype),
        np.zeros(size, dtype),
    )


@compiled
def follow(program: Program, plan: Plan, task: Task, first: int, last: int) -> None:
    """Place the states ``order[first:last]``, one after the other."""
    desk = new_desk(program, plan)
    shared = len(program.frame) == 1
    near = False  # whether the desk holds a placed state to start from
    for number in range(first, last):
        index = task.order[number]
        variant = 0 if shared else index
        for i in range(len(desk.goal)):
            desk.start[i], desk.goal[i] = task.start[variant, i], task.goal[index, i]
        reached = near and _from_neighbour(program, plan, desk)
        if reached:
            task.share[index], task.stopped[index] = 1.0, REACHED
        else:
            task.share[index], task.stopped[index] = straight(program, plan, variant, desk)
        near = shared and task.share[index] == 1.0
        for i in range(len(desk.goal)):
            desk.held[i] = desk.goal[i]
        save(desk.state, index, task.rotation, task.origin, task.coordinate)


@compiled_inner
def _from_neighbour(program: Program, plan: Plan, desk: Desk) -> bool:
    """Go to a goal from the state on the desk; False when that is no good way."""
    way = _farthest(desk.held, desk.goal)
    if way > LONGEST_STEP or way > _farthest(desk.start, desk.goal):
        return False
    straighten(program, desk.state)
    for i in range(len(desk.goal)):
        desk.target[i] = desk.goal[i]
    if not _step(program, plan, 0, desk):
        return False
    for block in range(len(desk.found)):
        if abs(desk.factors.determinant[block]) < NEAR_DEAD_POINT * abs(desk.found[block]):
            return False
    return True


@compiled_inner
def straight(program: Program, plan: Plan, variant: int, desk: Desk) -> tuple[float, int]:
    """Go to a goal straight from the reference pose, in steps that are halved until they are accepted.

    Returns:
        How far the state came, and what stopped it

    """
    start, goal = desk.start, desk.goal
    state, share = desk.state, 0.0
    as_found(program, variant, state)
    _look(program, plan, variant, desk)
    for block in range(len(desk.found)):
        desk.found[block] = desk.factors.determinant[block]
    step = 1 / max(1.0, np.ceil(_farthest(start, goal) / LONGEST_STEP))
    _copy(state, desk.kept)
    while share < 1:
        ahead = min(1.0, share + step)
        if ahead > 1 - 1e-12:
            ahead = 1.0
        for i in range(len(goal)):
            desk.target[i] = start[i] + ahead * (goal[i] - start[i]) if ahead < 1 else goal[i]
        if _step(program, plan, variant, desk):
            share = ahead
            _copy(state, desk.kept)
            continue
        _copy(desk.kept, state)
        _look(program, plan, variant, desk)
        step *= 0.5
        if step < _SMALLEST_STEP:
            break
    return share, REACHED if share == 1 else _cause(desk)


@compiled_inline
def _cause(desk: Desk) -> int:
    """The block whose determinant has all but vanished, or that no block is to blame."""
    thinnest, block = _THIN, UNSETTLED
    for number in range(len(desk.found)):
        left = abs(desk.factors.determinant[number] / desk.found[number])
        if not left >= thinnest:
            thinnest, block = left, number
    return block


@compiled_inner
def _look(program: Program, plan: Plan, variant: int, desk: Desk) -> None:
    """Values and factors of the state on the desk."""
    carry(program, variant, desk.state)
    set_values(program, variant, desk.state, desk.value)
    factorise(program, plan, variant, desk.state, desk.factors)


@compiled_inner
def _step(program: Program, plan: Plan, variant: int, desk: Desk) -> bool:
    """One step to the target; True when accepted. The desk holds values and factors of the state that it starts from."""
    _set_right(desk)
    solve(plan, desk.factors, desk.right, desk.change)
    predicted = _largest(desk.change)
    if not predicted <= LARGEST_MOVE:
        return False
    last, corrected = predicted, 0.0
    for _ in range(ITERATIONS + 1):
        move(program, variant, desk.state, desk.change)
        set_values(program, variant, desk.state, desk.value)
        error = _set_right(desk)
        if error <= TOLERANCE and last <= SAME_FACTORS:
            if error > FINE:
                solve(plan, desk.factors, desk.right, desk.change)
                move(program, variant, desk.state, desk.change)
            return True
        factorise(program, plan, variant, desk.state, desk.factors)
        for block in range(len(desk.found)):
            if not desk.factors.determinant[block] * desk.found[block] > 0:
                return False
        solve(plan, desk.factors, desk.right, desk.change)
        last = _largest(desk.change)
        corrected += last
        if not corrected <= LARGEST_CORRECTION * predicted + TOLERANCE:
            return False
    return False


@compiled_inline
def _set_right(desk: Desk) -> float:
    """Set what is missing of the target; the largest of it."""
    for i in range(len(desk.right)):
        desk.right[i] = desk.target[i] - desk.value[i]
    return _largest(desk.right)


@compiled_inline
def _largest(change: Array) -> float:
    """Largest size; infinite where one is no number."""
    size = 0.0
    for value in change:
        if not abs(value) < np.inf:
            return np.inf
        size = max(size, abs(value))
    return size


@compiled_inline
def _farthest(one: Array, other: Array) -> float:
    """Largest difference."""
    size = 0.0
    for i in range(len(one)):
        size = max(size, abs(one[i] - other[i]))
    return size


@compiled_inline
def _copy(source: State, goal: State) -> None:
    """Where all bodies are, from one state to another."""
    for body in range(len(source.stand)):
        for i in range(source.stand.shape[1]):
            goal.stand[body, i] = source.stand[body, i]
    for j in range(len(source.coordinate)):
        goal.coordinate[j] = source.coordinate[j]

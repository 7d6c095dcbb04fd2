"""Follow states from where a linkage stands to where its drives want it: compiled, in all lanes (see `states`).

A step is predicted by the tangent, corrected by Newton's iteration and then judged. It is refused when the tangent
points far away, when the iteration does not settle or settles far from where the tangent pointed, or when a block's
determinant has changed its sign (a dead point was passed).

A state starts from the one placed before it where that is nearer than the reference pose: every lane goes along its own
stretch of the states. Where this way meets any difficulty or comes near a dead point, the state is placed again by the
straight way from the reference pose, alone and with steps that are halved until they are accepted: only that way decides
whether a state is reached and how far it came.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from jounce.linkage.equations import Equations
from jounce.linkage.motion import FARTHEST_TURN, HINGE, carry, move, straighten
from jounce.linkage.rows import set_products, set_values
from jounce.linkage.solve import SUITED, Factors, factorise, new_factors, solve
from jounce.linkage.states import (
    ALONE,
    SIDE_BY_SIDE,
    Lanes,
    PoseArrays,
    States,
    carry_ground,
    copy,
    new_states,
    put_as_found,
    save,
    width,
)
from jounce.linkage.tables import FIRST, FREEDOM, Tables
from jounce.linkage.triples import Place
from jounce.numerics.arrays import Array, BoolArray, IntArray
from jounce.numerics.compiled import compiled, compiled_between, compiled_inline, compiled_inner, compiled_making

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
_MOST_STEPS = 50.0  # in which lanes are led to their first states side by side
_THIN = 0.1  # a state that stops with less than this share of a determinant left has come to a dead point there


RESTS, GOES, POLISHED, REFUSED = range(4)
"""What a lane does in a step: nothing (any more), go to its target, be corrected once more, or be placed otherwise."""


class Task(NamedTuple):
    """What is wanted, and where the results go.

    ``start`` (variants, rows) are values as found, ``goal`` (states, rows) those wanted, other than as found in the last
    ``drives`` rows only where there are no variants; ``order`` lists the states as they are worked on. ``poses`` take the
    results; ``share`` (states,) is how far each state came and ``stopped`` (states,) what stopped it.
    """

    start: Array
    goal: Array
    drives: int
    order: IntArray
    poses: PoseArrays
    share: Array
    stopped: IntArray


class Workspace(NamedTuple):
    """What one run works with, all arrays flat, with all lanes.

    ``found`` (blocks, not in every lane) are the determinants as found; ``target``, ``right``, ``change`` are for rows and
    coordinates; ``near`` says whether a lane holds a placed state, ``phase`` what it does; ``predicted``, ``last``,
    ``corrected`` and ``error`` judge its step. ``kept_bodies`` and ``kept_coordinate`` are to fall back on.
    """

    states: States
    factors: Factors
    found: Array
    target: Array
    right: Array
    change: Array
    near: BoolArray
    phase: IntArray
    predicted: Array
    last: Array
    corrected: Array
    error: Array
    total: Array
    kept_bodies: Array
    kept_coordinate: Array


@compiled_making
def new_workspace(tables: Tables, equations: Equations, lanes: Lanes) -> Workspace:
    """Room for one run."""
    lane, states, factors = len(lanes), new_states(tables, lanes), new_factors(tables, equations, lanes)
    return Workspace(
        states,
        factors,
        np.ones(len(equations.block)),
        np.zeros_like(factors.x),
        np.zeros_like(factors.x),
        np.zeros_like(factors.x),
        np.zeros(lane, np.bool_),
        np.zeros(lane, np.intp),
        np.zeros(lane),
        np.zeros(lane),
        np.zeros(lane),
        np.zeros(lane),
        np.zeros(lane),
        np.zeros_like(states.bodies),
        np.zeros_like(states.coordinate),
    )


@compiled
def follow_alone(tables: Tables, equations: Equations, task: Task, first: int, last: int) -> None:
    """Place the states ``order[first:last]``, one after the other.

    Args:
        tables: bodies and rows
        equations: how the rows are solved for coordinates
        task: what is wanted
        first: first state
        last: the state after the last

    """
    work, stretch = new_workspace(tables, equations, ALONE), (first, last, last - first)
    for number in range(stretch[2]):
        if _set_out(work, task, stretch, number):
            _step(tables, np.uintp(0), equations, work, NEAR_DEAD_POINT)
        index = np.uintp(task.order[first + number])
        if work.phase[0] == RESTS:
            task.share[index], task.stopped[index] = 1.0, REACHED
        else:
            variant = np.uintp(0) if len(tables.frame) == 1 else index
            task.share[index], task.stopped[index] = _straight(tables, variant, equations, work, (task, index))
            work.near[0] = len(tables.frame) == 1 and task.share[index] == 1.0
        save(work.states, np.uintp(0), index, task.poses)


@compiled
def follow_side_by_side(tables: Tables, equations: Equations, task: Task, first: int, last: int) -> None:
    """Place the states ``order[first:last]``, a stretch of them in every lane, all with the same constants.

    Args:
        tables: bodies and rows
        equations: how the rows are solved for coordinates
        task: what is wanted
        first: first state
        last: the state after the last

    """
    work, alone = new_workspace(tables, equations, SIDE_BY_SIDE), new_workspace(tables, equations, ALONE)
    none, stretch = np.uintp(0), (first, last, (last - first + len(work.near) - 1) // len(work.near))
    _start(tables, equations, work, task, stretch)
    stale = False  # whether values and factors are not those of where the lanes are
    for number in range(stretch[2]):
        if _set_out(work, task, stretch, number):
            if stale:
                _look(tables, none, equations, work)
                stale = False
            _step(tables, none, equations, work, NEAR_DEAD_POINT)
        for lane in range(width(work.states.lanes)):
            if number >= _length(stretch, lane):
                continue
            index = np.uintp(task.order[first + np.intp(lane) * stretch[2] + number])
            if work.phase[lane] == RESTS:
                task.share[index], task.stopped[index] = 1.0, REACHED
                save(work.states, lane, index, task.poses)
                continue
            task.share[index], task.stopped[index] = _straight(tables, none, equations, alone, (task, index))
            save(alone.states, none, index, task.poses)
            work.near[lane], stale = task.share[index] == 1.0, True
            if work.near[lane]:
                copy(alone.states, work.states, lane)
            else:
                put_as_found(tables, none, work.states, lane)


@compiled_between
def _straight(
    tables: Tables, variant: Place, equations: Equations, work: Workspace, which: tuple[Task, Place]
) -> tuple[float, int]:
    """Bring a state that is alone to a goal straight from the reference pose, in steps that are halved until accepted.

    Returns:
        How far the state came, and what stopped it

    """
    task, index = which
    share, step = 0.0, 1 / max(1.0, np.ceil(_farthest(task, variant, index) / LONGEST_STEP))
    _look_as_found(tables, variant, equations, work)
    _keep(work)
    while share < 1:
        ahead = min(1.0, share + step)
        if ahead > 1 - 1e-12:
            ahead = 1.0
        _aim(work, np.uintp(0), task, (variant, index), ahead)
        work.near[0], work.phase[0] = True, GOES
        _step(tables, variant, equations, work, 0.0)
        if work.phase[0] == RESTS:
            share = ahead
            _keep(work)
            continue
        _fall_back(work)
        _look(tables, variant, equations, work)
        step *= 0.5
        if step < _SMALLEST_STEP:
            break
    return share, REACHED if share == 1 else _cause(work)


@compiled_inline
def _farthest(task: Task, variant: Place, index: Place) -> float:
    """Largest way of any row from where it is as found."""
    size = 0.0
    for row in range(task.goal.shape[1]):
        size = max(size, abs(task.goal[index, row] - task.start[variant, row]))
    return size


@compiled_inline
def _aim(work: Workspace, lane: Place, task: Task, which: tuple[Place, Place], share: float) -> None:
    """Set a lane's target some share of the way from as found to a state's goal."""
    variant, index = which
    for row in range(np.uintp(task.goal.shape[1])):
        start, goal = task.start[variant, row], task.goal[index, row]
        work.target[row * width(work.states.lanes) + lane] = start + share * (goal - start) if share < 1 else goal


@compiled_inline
def _keep(work: Workspace) -> None:
    """Remember where a state that is alone has come to."""
    _write(work.states.bodies, work.kept_bodies)
    _write(work.states.coordinate, work.kept_coordinate)


@compiled_inline
def _fall_back(work: Workspace) -> None:
    _write(work.kept_bodies, work.states.bodies)
    _write(work.kept_coordinate, work.states.coordinate)


@compiled_inline
def _write(source: Array, target: Array) -> None:
    for place in range(np.uintp(len(source))):
        target[place] = source[place]


@compiled_inline
def _cause(work: Workspace) -> int:
    """The block whose determinant has all but vanished, or that no block is to blame."""
    thinnest, block = _THIN, UNSETTLED
    for number in range(len(work.found)):
        left = abs(work.factors.determinant[number] / work.found[number])
        if not left >= thinnest:
            thinnest, block = left, number
    return block


@compiled_between
def _look_as_found(tables: Tables, variant: Place, equations: Equations, work: Workspace) -> None:
    """Values, factors and determinants as found."""
    apart = width(work.states.lanes)
    for lane in range(apart):
        put_as_found(tables, variant, work.states, lane)
    if len(tables.frame) > 1:
        carry_ground(tables, variant, work.states)
    _look(tables, variant, equations, work)
    for block in range(np.uintp(len(work.found))):
        work.found[block] = work.factors.determinant[block * apart]


@compiled_between
def _start(tables: Tables, equations: Equations, work: Workspace, task: Task, run: tuple[int, int, int]) -> None:
    """Lead all lanes from the reference pose to the first states of their stretches, in equal steps."""
    first, _, stretch = run
    none, farthest = np.uintp(0), 0.0
    _look_as_found(tables, none, equations, work)
    for lane in range(width(work.states.lanes)):
        _aim(work, lane, task, (none, none), 0.0)
        work.near[lane] = _length(run, lane) > 0
        if work.near[lane]:
            index = np.uintp(task.order[first + np.intp(lane) * stretch])
            farthest = max(farthest, _farthest(task, none, index))
    steps = 0
    if farthest / LONGEST_STEP < _MOST_STEPS:
        steps = max(1, int(np.ceil(farthest / LONGEST_STEP)))
    else:
        for lane in range(width(work.states.lanes)):
            work.near[lane] = False
    for step in range(1, steps + 1):
        for lane in range(width(work.states.lanes)):
            work.phase[lane] = GOES if work.near[lane] else REFUSED
            if work.near[lane]:
                index = np.uintp(task.order[first + np.intp(lane) * stretch])
                _aim(work, lane, task, (none, index), step / steps)
        _step(tables, none, equations, work, NEAR_DEAD_POINT)


@compiled_inline
def _length(run: tuple[int, int, int], lane: Place) -> int:
    """How many states a lane's stretch has."""
    first, last, stretch = run
    left = last - first - np.intp(lane) * stretch
    if left <= 0:
        return 0
    return stretch if stretch < left else int(left)


@compiled_inline
def _set_out(work: Workspace, task: Task, run: tuple[int, int, int], number: int) -> bool:
    """Set the lanes' targets; whether any lane goes to its one from the state before."""
    first, _, stretch = run
    going, apart = False, width(work.states.lanes)
    rows = np.uintp(task.goal.shape[1])
    for lane in range(apart):
        work.phase[lane] = RESTS
        if number >= _length(run, lane):
            continue
        index = np.uintp(task.order[first + np.intp(lane) * stretch + number])
        from_here, from_found = 0.0, 0.0
        for row in range(rows - np.uintp(task.drives), rows):
            goal = task.goal[index, row]
            # The target of the state before is still in its place.
            from_here = max(from_here, abs(goal - work.target[row * apart + lane]))
            from_found = max(from_found, abs(goal - task.start[0, row]))
            work.target[row * apart + lane] = goal
        if work.near[lane] and from_here <= LONGEST_STEP and from_here <= from_found:
            work.phase[lane] = GOES
            going = True
        else:
            work.phase[lane] = REFUSED
    return going


@compiled_between
def _set_values(tables: Tables, variant: Place, work: Workspace) -> None:
    set_products(tables, work.states)
    set_values(tables, variant, work.states, work.states.value, (np.uintp(0), width(work.states.lanes)))


@compiled_between
def _look(tables: Tables, variant: Place, equations: Equations, work: Workspace) -> None:
    """Values and factors where the lanes are."""
    carry(tables, variant, work.states)
    _set_values(tables, variant, work)
    factorise(tables, variant, equations, work.states, work.factors)


@compiled_inner
def _step(tables: Tables, variant: Place, equations: Equations, work: Workspace, least: float) -> None:
    """One step of all lanes that go; those that arrive rest then, the others are refused."""
    apart = width(work.states.lanes)
    straighten(tables, work.states)
    _set_right(work)
    solve(equations, work.factors, work.right, work.change)
    _largest(work, work.change, work.predicted)
    for lane in range(apart):
        work.last[lane], work.corrected[lane] = work.predicted[lane], 0.0
        if work.phase[lane] == GOES and not work.predicted[lane] <= LARGEST_MOVE:
            _refuse(tables, work, lane)
    for _ in range(ITERATIONS + 1):
        move(tables, variant, work.states, work.change)
        _set_values(tables, variant, work)
        _set_right(work)
        _largest(work, work.right, work.error)
        going, polished = _settle(work)
        if not going and not polished:
            break
        if going:
            factorise(tables, variant, equations, work.states, work.factors)
            _judge(tables, work, 0.0)
        solve(equations, work.factors, work.right, work.change)
        if not going:
            move(tables, variant, work.states, work.change)
            break
        _largest(work, work.change, work.last)
        for lane in range(apart):
            work.corrected[lane] += work.last[lane]
            if work.phase[lane] == GOES and not work.corrected[lane] <= (
                LARGEST_CORRECTION * work.predicted[lane] + TOLERANCE
            ):
                _refuse(tables, work, lane)
    for lane in range(apart):
        if work.phase[lane] == GOES:
            _refuse(tables, work, lane)
        elif work.phase[lane] == POLISHED:
            work.phase[lane] = RESTS
    _judge(tables, work, least)
    _look_at_turns(tables, work)


@compiled_inner
def _refuse(tables: Tables, work: Workspace, lane: Place) -> None:
    """Give a lane up for this step, and keep it from disturbing the others."""
    work.phase[lane], work.near[lane] = REFUSED, False
    put_as_found(tables, np.uintp(0), work.states, lane)
    for place in range(lane, np.uintp(len(work.change)), width(work.states.lanes)):
        work.change[place] = 0.0
        work.right[place] = 0.0


@compiled_inline
def _set_right(work: Workspace) -> None:
    """Set what is missing of the targets of lanes that go."""
    apart = width(work.states.lanes)
    for lane in range(apart):
        work.total[lane] = 1.0 if work.phase[lane] == GOES else 0.0
    for row in range(np.uintp(0), np.uintp(len(work.right)), apart):
        for lane in range(apart):
            work.right[row + lane] = work.total[lane] * (work.target[row + lane] - work.states.value[row + lane])


@compiled_inline
def _largest(work: Workspace, of: Array, size: Array) -> None:
    """Largest size in each lane; infinite where one is no number."""
    total, apart = work.total, width(work.states.lanes)
    for lane in range(apart):
        size[lane], total[lane] = 0.0, 0.0
    for place in range(np.uintp(0), np.uintp(len(of)), apart):
        for lane in range(apart):
            value = abs(of[place + lane])
            total[lane] += value
            size[lane] = max(size[lane], value)
    for lane in range(apart):
        if not total[lane] < np.inf:
            size[lane] = np.inf


@compiled_inline
def _settle(work: Workspace) -> tuple[bool, bool]:
    """Let lanes rest that have arrived; whether any still goes, and whether any is to be corrected once more."""
    going, polished, apart = False, False, width(work.states.lanes)
    for lane in range(apart):
        if work.phase[lane] == POLISHED:
            work.phase[lane] = RESTS
        elif work.phase[lane] == GOES and work.error[lane] <= TOLERANCE and work.last[lane] <= SAME_FACTORS:
            work.phase[lane] = POLISHED if work.error[lane] > FINE else RESTS
        if work.phase[lane] == GOES:
            going = True
        elif work.phase[lane] == POLISHED:
            polished = True
    if going or polished:
        for lane in range(apart):
            if work.phase[lane] in (RESTS, REFUSED):
                for place in range(lane, np.uintp(len(work.right)), apart):
                    work.right[place] = 0.0
    return going, polished


@compiled_inline
def _judge(tables: Tables, work: Workspace, share: float) -> None:
    """Refuse lanes in which a block's determinant changed its sign or has too little left, or pivots did not suit."""
    determinant, good, apart = work.factors.determinant, work.total, width(work.states.lanes)
    for lane in range(apart):
        good[lane] = 1.0 if work.factors.worst[lane] >= SUITED else 0.0
    for number in range(np.uintp(len(work.found))):
        found = work.found[number]
        least = share * abs(found)
        for lane in range(apart):
            now = determinant[number * apart + lane]
            good[lane] = good[lane] if now * found > 0 and abs(now) >= least else 0.0
    for lane in range(apart):
        if work.near[lane] and work.phase[lane] != REFUSED and good[lane] == 0:
            _refuse(tables, work, lane)


@compiled_inline
def _look_at_turns(tables: Tables, work: Workspace) -> None:
    """Refuse lanes in which a hinge has turned farther than states side by side work out."""
    apart = width(work.states.lanes)
    if apart == 1:
        return
    for body in range(np.uintp(1), np.uintp(len(tables.tree))):
        if tables.tree[body, FREEDOM] != HINGE:
            continue
        for lane in range(apart):
            if abs(work.states.coordinate[tables.tree[body, FIRST] * apart + lane]) > FARTHEST_TURN:
                _refuse(tables, work, lane)

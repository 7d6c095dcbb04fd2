"""Follow many states at once, each lane along its own stretch of them: compiled (see `lanes`, `follow`).

Every lane goes to the first of its states straight from the reference pose, and from each of them to the next, as `follow`
does: by the same steps, judged in the same way. Wherever that meets any difficulty or comes near a dead point, the state
is placed by `follow` itself.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from jounce.linkage.blocks import Plan
from jounce.linkage.follow import (
    FINE,
    ITERATIONS,
    LARGEST_CORRECTION,
    LARGEST_MOVE,
    LONGEST_STEP,
    NEAR_DEAD_POINT,
    REACHED,
    SAME_FACTORS,
    TOLERANCE,
    Desk,
    Task,
    new_desk,
    straight,
)
from jounce.linkage.lanes import (
    BODY_KIND,
    LANES,
    MOVED_BY,
    Block,
    Equations,
    Place,
    Table,
    new_block,
    put_as_found,
)
from jounce.linkage.lanes_motion import (
    FARTHEST_TURN,
    carry_block,
    load_state,
    move_block,
    save_lane,
    straighten_block,
)
from jounce.linkage.lanes_rows import set_block_products, set_block_values
from jounce.linkage.lanes_solve import SUITED, BlockFactors, factorise_block, new_block_factors, solve_block
from jounce.linkage.motion import HINGE
from jounce.linkage.program import Program
from jounce.linkage.state import save
from jounce.numerics.arrays import Array, IntArray
from jounce.numerics.compiled import compiled, compiled_inline, compiled_inner

_MOST_STEPS = 50.0  # of the way to a first state: a longer way is left to `follow`

RESTS, GOES, POLISHED, REFUSED = range(4)
"""What a lane does in a step: nothing (any more), go to its target, be corrected once more, or be placed otherwise."""


class BlockDesk(NamedTuple):
    """What one run works with.

    ``target``, ``right``, ``change`` are for rows and coordinates of every lane; ``near`` says whether a lane holds a
    placed state, ``phase`` what it does; ``predicted``, ``last``, ``corrected`` and ``error`` (lanes,) judge its step.
    """

    block: Block
    factors: BlockFactors
    target: Array
    right: Array
    change: Array
    near: IntArray
    phase: IntArray
    predicted: Array
    last: Array
    corrected: Array
    error: Array
    total: Array


@compiled
def _new_block_desk(table: Table, equations: Equations) -> BlockDesk:
    lanes, size = np.intp(LANES), len(equations.row)
    return BlockDesk(
        new_block(table, size),
        new_block_factors(equations),
        np.zeros(size * lanes),
        np.zeros(size * lanes),
        np.zeros(size * lanes),
        np.zeros(lanes, np.intp),
        np.zeros(lanes, np.intp),
        np.zeros(lanes),
        np.zeros(lanes),
        np.zeros(lanes),
        np.zeros(lanes),
        np.zeros(lanes),
    )


@compiled
def follow_blocks(
    program: Program, plan: Plan, places: tuple[Table, Equations, int], task: Task, first: int, last: int
) -> None:
    """Place the states ``order[first:last]``, a stretch of them in every lane.

    Args:
        program: bodies and rows
        plan: how the rows are solved for coordinates, one state at a time
        places: the same for blocks, and how many rows at the end have goals other than as found
        task: what is wanted
        first: first state
        last: the state after the last

    """
    table, equations, drives = places
    single, desk = new_desk(program, plan), _new_block_desk(table, equations)
    where = (task.rotation, task.origin, task.coordinate)
    for i in range(len(single.start)):
        single.start[i] = single.goal[i] = task.start[0, i]
        for lane in range(LANES):
            desk.target[np.uintp(i) * LANES + lane] = task.start[0, i]
    lanes = len(desk.near)
    stretch = (last - first + lanes - 1) // lanes
    straight(program, plan, 0, single)  # to where it is: the determinants as found
    _look(table, equations, desk)
    _start(table, equations, desk, single, (task, drives, first, last))
    stale = False
    for number in range(stretch):
        going = _set_out(desk, task, drives, (first, last, stretch, number))
        if going:
            if stale:
                _look(table, equations, desk)
                stale = False
            _step(table, equations, desk, single)
        for lane in range(LANES):
            place = first + np.intp(lane) * stretch + number
            if number >= _length(first, last, stretch, lane):
                continue
            index = task.order[place]
            if desk.phase[lane] == RESTS and desk.near[lane]:
                task.share[index], task.stopped[index] = 1.0, REACHED
                save_lane(table, desk.block, lane, np.uintp(index), where)
                continue
            for i in range(len(single.goal)):
                single.goal[i] = task.goal[index, i]
            task.share[index], task.stopped[index] = straight(program, plan, 0, single)
            save(single.state, index, task.rotation, task.origin, task.coordinate)
            desk.near[lane] = task.share[index] == 1.0
            if desk.near[lane]:
                load_state(desk.block, lane, single.state)
            else:
                put_as_found(table, desk.block, lane)
            stale = True


@compiled_inner
def _start(
    table: Table, equations: Equations, desk: BlockDesk, single: Desk, which: tuple[Task, int, int, int]
) -> None:
    """Lead all lanes from the reference pose to the first states of their stretches, in equal steps."""
    task, drives, first, last = which
    lanes = len(desk.near)
    stretch = (last - first + lanes - 1) // lanes
    rows = np.uintp(task.goal.shape[1])
    farthest = 0.0
    for lane in range(LANES):
        desk.near[lane] = _length(first, last, stretch, lane) > 0
        if desk.near[lane]:
            for row in range(rows - np.uintp(drives), rows):
                way = task.goal[task.order[first + np.intp(lane) * stretch], row] - task.start[0, row]
                farthest = max(farthest, abs(way))
    steps = 0
    if farthest / LONGEST_STEP < _MOST_STEPS:
        steps = max(1, int(np.ceil(farthest / LONGEST_STEP)))
    else:
        desk.near[:] = 0
    for step in range(1, steps + 1):
        for lane in range(LANES):
            desk.phase[lane] = GOES if desk.near[lane] else REFUSED
            if desk.near[lane]:
                index = np.uintp(task.order[first + np.intp(lane) * stretch])
                for row in range(rows - np.uintp(drives), rows):
                    start, goal = task.start[0, row], task.goal[index, row]
                    ahead = goal if step == steps else start + step / steps * (goal - start)
                    desk.target[row * LANES + lane] = ahead
        _step(table, equations, desk, single)


@compiled_inline
def _length(first: int, last: int, stretch: int, lane: Place) -> int:
    """How many states a lane's stretch has."""
    left = last - first - np.intp(lane) * stretch
    if left <= 0:
        return 0
    return stretch if stretch < left else int(left)


@compiled_inline
def _set_out(desk: BlockDesk, task: Task, drives: int, way: tuple[int, int, int, int]) -> bool:
    """Set the lanes' targets; whether any lane goes to its one from the state before."""
    first, last, stretch, number = way
    going = False
    rows = np.uintp(task.goal.shape[1])
    for lane in range(LANES):
        desk.phase[lane] = RESTS
        if number >= _length(first, last, stretch, lane):
            continue
        index = np.uintp(task.order[first + np.intp(lane) * stretch + number])
        from_here, from_found = 0.0, 0.0
        for row in range(rows - np.uintp(drives), rows):
            goal = task.goal[index, row]
            # The target of the state before is still in its place.
            from_here = max(from_here, abs(goal - desk.target[row * LANES + lane]))
            from_found = max(from_found, abs(goal - task.start[0, row]))
            desk.target[row * LANES + lane] = goal
        if desk.near[lane] and from_here <= LONGEST_STEP and from_here <= from_found:
            desk.phase[lane] = GOES
            going = True
        else:
            desk.phase[lane] = REFUSED
    return going


@compiled_inner
def _look(table: Table, equations: Equations, desk: BlockDesk) -> None:
    """Values and factors where the lanes are."""
    carry_block(table, desk.block)
    set_block_products(table, desk.block)
    set_block_values(table, desk.block, desk.block.value, np.uintp(0), LANES)
    factorise_block(table, equations, desk.block, desk.factors)


@compiled_inner
def _step(table: Table, equations: Equations, desk: BlockDesk, single: Desk) -> None:
    """One step of all lanes that go; those that arrive rest then, the others are refused."""
    straighten_block(table, desk.block)
    _set_right(desk)
    solve_block(equations, desk.factors, desk.right, desk.change, np.uintp(0))
    _largest(desk, desk.change, desk.predicted)
    for lane in range(LANES):
        desk.last[lane], desk.corrected[lane] = desk.predicted[lane], 0.0
        if desk.phase[lane] == GOES and not desk.predicted[lane] <= LARGEST_MOVE:
            _refuse(table, desk, lane)
    for _ in range(ITERATIONS + 1):
        move_block(table, desk.block, desk.change)
        set_block_products(table, desk.block)
        set_block_values(table, desk.block, desk.block.value, np.uintp(0), LANES)
        _set_right(desk)
        _largest(desk, desk.right, desk.error)
        going, polished = _settle(desk)
        if not going and not polished:
            break
        if going:
            factorise_block(table, equations, desk.block, desk.factors)
            _judge(table, desk, single, 0.0)
        solve_block(equations, desk.factors, desk.right, desk.change, np.uintp(0))
        if not going:
            move_block(table, desk.block, desk.change)
            break
        _largest(desk, desk.change, desk.last)
        for lane in range(LANES):
            desk.corrected[lane] += desk.last[lane]
            if desk.phase[lane] == GOES and not desk.corrected[lane] <= (
                LARGEST_CORRECTION * desk.predicted[lane] + TOLERANCE
            ):
                _refuse(table, desk, lane)
    for lane in range(LANES):
        if desk.phase[lane] == GOES:
            _refuse(table, desk, lane)
        elif desk.phase[lane] == POLISHED:
            desk.phase[lane] = RESTS
    _judge(table, desk, single, NEAR_DEAD_POINT)
    _look_at_turns(table, desk)


@compiled_inner
def _refuse(table: Table, desk: BlockDesk, lane: Place) -> None:
    """Give a lane up for this step, and keep it from disturbing the others."""
    desk.phase[lane], desk.near[lane] = REFUSED, 0
    put_as_found(table, desk.block, lane)
    for place in range(lane, np.uintp(len(desk.change)), LANES):
        desk.change[place] = 0.0
        desk.right[place] = 0.0


@compiled_inline
def _set_right(desk: BlockDesk) -> None:
    """Set what is missing of the targets of lanes that go."""
    for lane in range(LANES):
        desk.total[lane] = 1.0 if desk.phase[lane] == GOES else 0.0
    for row in range(np.uintp(0), np.uintp(len(desk.right)), LANES):
        for lane in range(LANES):
            desk.right[row + lane] = desk.total[lane] * (desk.target[row + lane] - desk.block.value[row + lane])


@compiled_inline
def _largest(desk: BlockDesk, of: Array, size: Array) -> None:
    """Largest size in each lane; infinite where one is no number."""
    total = desk.total
    for lane in range(LANES):
        size[lane], total[lane] = 0.0, 0.0
    for place in range(np.uintp(0), np.uintp(len(of)), LANES):
        for lane in range(LANES):
            value = abs(of[place + lane])
            total[lane] += value
            size[lane] = max(size[lane], value)
    for lane in range(LANES):
        if not total[lane] < np.inf:
            size[lane] = np.inf


@compiled_inline
def _settle(desk: BlockDesk) -> tuple[bool, bool]:
    """Let lanes rest that have arrived; whether any still goes, and whether any is to be corrected once more."""
    going, polished = False, False
    for lane in range(LANES):
        if desk.phase[lane] == POLISHED:
            desk.phase[lane] = RESTS
        elif desk.phase[lane] == GOES and desk.error[lane] <= TOLERANCE and desk.last[lane] <= SAME_FACTORS:
            desk.phase[lane] = POLISHED if desk.error[lane] > FINE else RESTS
        if desk.phase[lane] == GOES:
            going = True
        elif desk.phase[lane] == POLISHED:
            polished = True
    if going or polished:
        for lane in range(LANES):
            if desk.phase[lane] in (RESTS, REFUSED):
                for place in range(lane, np.uintp(len(desk.right)), LANES):
                    desk.right[place] = 0.0
    return going, polished


@compiled_inline
def _judge(table: Table, desk: BlockDesk, single: Desk, share: float) -> None:
    """Refuse lanes in which a block's determinant changed its sign or has too little left, or pivots did not suit."""
    determinant, good = desk.factors.determinant, desk.total
    for lane in range(LANES):
        good[lane] = 1.0 if desk.factors.worst[lane] >= SUITED else 0.0
    for number in range(np.uintp(len(single.found))):
        found = single.found[number]
        least = share * abs(found)
        for lane in range(LANES):
            now = determinant[number * LANES + lane]
            good[lane] = good[lane] if now * found > 0 and abs(now) >= least else 0.0
    for lane in range(LANES):
        if desk.near[lane] and desk.phase[lane] != REFUSED and good[lane] == 0:
            _refuse(table, desk, lane)


@compiled_inline
def _look_at_turns(table: Table, desk: BlockDesk) -> None:
    """Refuse lanes in which a hinge has turned farther than a block works out."""
    for body in range(np.uintp(1), np.uintp(len(table.body))):
        if table.body[body, BODY_KIND] != HINGE:
            continue
        for lane in range(LANES):
            if abs(desk.block.coordinate[table.body[body, MOVED_BY] + lane]) > FARTHEST_TURN:
                _refuse(table, desk, lane)

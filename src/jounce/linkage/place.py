"""Place: where everything is when drives are given.

How a state is followed from the reference pose to its drives, and when it is refused, is written in `continuation`: a
result never jumps to another way of assembling the linkage, and a state that cannot be reached says how far it got and why.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations_with_replacement

import numpy as np

from jounce.conventions.errors import Impossible
from jounce.linkage import batch
from jounce.linkage.blocks import Blocks
from jounce.linkage.continuation import REACHED, TOLERANCE, UNSETTLED, Task, follow_alone, follow_side_by_side
from jounce.linkage.equations import Equations
from jounce.linkage.measured import Linearised, MeasureSet
from jounce.linkage.mechanism import Mechanism, pose_of
from jounce.linkage.order import along_drives
from jounce.linkage.states import ALONE, FEWEST_FOLLOWED, PoseArrays
from jounce.linkage.tree import Pose
from jounce.numerics.arrays import COMPLEX, FLOAT, Array, BoolArray, IntArray, common_dtype, numbers, ready
from jounce.numerics.compiled import in_runs

__all__ = ["TOLERANCE", "Motion", "Motions", "Placed", "place", "place_chunks"]

_CHUNK = 2_000  # states of a chunk: their poses and results stay in the memory near a processor


@dataclass(frozen=True, slots=True)
class Placed:
    """Poses for a batch of drives.

    ``reached`` says which states assembled; ``share`` how far along the way from the reference each one came (1 when
    reached) - the pose of a state that was not reached is the last one on its way. ``stopped`` is the block that
    ended a state's way (-1 when reached, -2 when no block is to blame) and ``blocks`` the names of each block's rows.
    """

    mechanism: Mechanism
    driven: tuple[str, ...]
    rows: tuple[str, ...]
    pose: Pose
    reached: BoolArray
    share: Array
    stopped: IntArray
    blocks: tuple[tuple[str, ...], ...]

    def reason(self, state: int) -> str:
        """Why a state was not reached, in plain words; empty when it was."""
        block = int(self.stopped[state])
        if block == REACHED:
            return ""
        way = f"at {100 * float(self.share[state]):.3g} % of the way"
        if block == UNSETTLED:
            return f"cannot be followed any further {way}: the position does not settle"
        return f"comes to a dead point {way}: {', '.join(self.blocks[block])} can go no further together"

    def motion(self, drive_rates: Mapping[str, Array | float]) -> Motion:
        """How all coordinates move when the drives move at the given rates (others stand still).

        Args:
            drive_rates: rate of each moving drive, per unit of a common path [m or rad per unit]

        Returns:
            Velocity and, for a path along which the drives keep these rates, acceleration of the coordinates.

        Raises:
            Impossible: in a reached state the rows do not fix the motion

        """
        motions = self.motions((drive_rates,))
        return Motion(self.mechanism, self.pose, motions.velocity[:, 0], motions.acceleration(0, 0))

    def motions(self, drive_rates: Sequence[Mapping[str, Array | float]], *, second: bool = True) -> Motions:
        """Several motions at once, each as in `motion`, with their second derivatives in common.

        Args:
            drive_rates: for each motion the rate of each moving drive
            second: whether second derivatives will be asked for

        Raises:
            Impossible: in a reached state the rows do not fix the motions

        """
        rates = [numbers(rate) for motion in drive_rates for rate in motion.values()]
        measured, equations = self.mechanism.taken(self.rows), self.mechanism.equations(self.rows)
        tables, poses = measured.prepared(self.pose, *rates)
        states, dtype = len(poses.coordinate), poses.coordinate.dtype
        rate = np.zeros((states if any(r.size > 1 for r in rates) else 1, len(drive_rates), len(self.rows)), dtype)
        for k, motion in enumerate(drive_rates):
            for name, value in motion.items():
                rate[:, k, self.rows.index(name)] = value
        pair = np.array(_pairs(len(drive_rates) if second else 0), dtype=np.intp).reshape(-1, 2)
        acceleration = np.empty((states, len(pair), len(self.rows)), dtype)
        velocity = np.empty((states, *rate.shape[1:]), dtype)
        wanted = batch.MotionRequest(rate, velocity, np.empty(states, np.intp), pair, acceleration)
        lanes = ALONE if second else measured.lanes(poses)
        run = batch.run_velocities if len(lanes) > 1 else batch.run_motions
        in_runs(states, lambda first, last: run(tables, equations, poses, wanted, first, last), len(lanes))
        if len(lanes) > 1:  # states that do not suit the others beside them are solved alone
            for state in np.flatnonzero(wanted.singular >= 0).tolist():
                batch.run_motions(tables, equations, poses, wanted, state, state + 1)
        self._check(wanted.singular, self.mechanism.blocks(self.rows))
        return Motions(self.mechanism, self.pose, velocity, acceleration)

    def _check(self, singular: IntArray, blocks: Blocks) -> None:
        stuck = np.flatnonzero((singular >= 0) & self.reached)
        if len(stuck):
            names = ", ".join(blocks.names[int(singular[stuck[0]])])
            raise Impossible(f"Position {stuck[0] + 1} of {len(singular)} is a dead point of {names}.")


def _pairs(motions: int) -> list[tuple[int, int]]:
    return list(combinations_with_replacement(range(motions), 2))


@dataclass(frozen=True, slots=True)
class Motion:
    """Coordinate velocity and acceleration along a path, each (states, coordinates)."""

    mechanism: Mechanism
    pose: Pose
    velocity: Array
    acceleration: Array

    def rates(self, line: Linearised) -> tuple[Array, Array]:
        """First and second derivative along the path of measures linearised at the same poses, (states, measures)."""
        own, acceleration = self.velocity[:, None], self.acceleration[:, None]
        second = line.measured.seconds(self.pose, own, [(0, 0)], acceleration)
        return line.measured.rates(self.pose, own)[1][:, 0], second[:, 0]


@dataclass(frozen=True, slots=True)
class Motions:
    """Several motions of the same poses: ``velocity`` (states, motions, coordinates).

    ``accelerations`` (states, pairs, coordinates) are the mixed second derivatives of the motions 00, 01 …, 11 ….
    """

    mechanism: Mechanism
    pose: Pose
    velocity: Array
    accelerations: Array

    def one(self, number: int) -> Motion:
        """One of them, with its own second derivative."""
        own = self.acceleration(number, number)
        return Motion(self.mechanism, self.pose, self.velocity[:, number], own)

    def acceleration(self, a: int, b: int) -> Array:
        """Mixed second derivative of the coordinates by the paths of motions a and b, (states, coordinates)."""
        return self.accelerations[:, _pairs(self.velocity.shape[1]).index((min(a, b), max(a, b)))]

    def first(self, measured: MeasureSet) -> tuple[Array, Array]:
        """Values (states, measures) and first derivatives by each motion's path, (states, measures, motions)."""
        value, rate = measured.rates(self.pose, self.velocity)
        return value, rate.transpose(0, 2, 1)

    def second(self, measured: MeasureSet) -> Array:
        """Second derivatives by the motions' paths, (states, measures, motions, motions)."""
        motions = self.velocity.shape[1]
        pairs = _pairs(motions)
        mixed = measured.seconds(self.pose, self.velocity, pairs, self.accelerations)
        # As many as the measures have variants, where the poses have none.
        second = np.empty((len(mixed), mixed.shape[2], motions, motions), mixed.dtype)
        for number, (a, b) in enumerate(pairs):
            second[:, :, a, b] = second[:, :, b, a] = mixed[:, number]
        return second


def place(mechanism: Mechanism, drives: Mapping[str, Array | float], freed: Collection[str] = ()) -> Placed:
    """Solve the mechanism for a batch of drives.

    Args:
        mechanism: bodies, joints and measures
        drives: value wanted of each driven measure or adjusted joint, each shape (states,) or a single value [m or rad]
        freed: joints that are let go (their value becomes a result)

    Returns:
        The placed batch; look at ``reached`` before using a pose.

    Raises:
        Impossible: the linkage stands in a dead point as found, or the drives leave a part of it free
        ValueError: drives and joints are not as many as the mechanism's coordinates (a fault of the caller)

    """
    names = tuple(drives)
    rows = (*(j for j in mechanism.joints if j not in freed and j not in drives), *names)
    if len(rows) != mechanism.tree.size:
        raise ValueError(f"{len(rows)} rows for {mechanism.tree.size} coordinates")
    blocks, measured, equations = mechanism.blocks(rows), mechanism.taken(rows), mechanism.equations(rows)
    goal = _goal(measured, drives)
    task = _solved(measured, equations, goal, len(names))
    pose = pose_of(task.poses)
    if common_dtype(goal, measured.found) == COMPLEX:
        pose = _refined(measured, equations, pose, goal)
    return Placed(mechanism, names, rows, pose, task.share >= 1, task.share, task.stopped, blocks.names)


def place_chunks(
    mechanism: Mechanism, drives: Mapping[str, Array | float], freed: Collection[str] = (), size: int = _CHUNK
) -> Iterator[Placed]:
    """Place any number of states in bounded memory: chunk after chunk, in the order given.

    Args:
        mechanism: bodies, joints and measures
        drives: as for `place`
        freed: as for `place`
        size: states of a chunk [-]

    Yields:
        The placed chunks; read what is wanted of one before going on to the next.

    """
    arrays = {name: np.atleast_1d(numbers(value)) for name, value in drives.items()}
    states = max((len(array) for array in arrays.values()), default=1)
    for first in range(0, states, size):
        part = {name: a if len(a) == 1 else a[first : first + size] for name, a in arrays.items()}
        yield place(mechanism, part, freed)


def _goal(measured: MeasureSet, drives: Mapping[str, Array | float]) -> Array:
    """Values wanted of all rows, the drives last, shape (states, rows)."""
    values = [numbers(value) for value in drives.values()]
    states = max([measured.variants, *(value.size for value in values)])
    found = measured.found
    goal = np.empty((states, found.shape[1]), common_dtype(found, *values))
    goal[:] = found
    for column, value in enumerate(values, start=found.shape[1] - len(values)):
        goal[:, column] = value
    return goal


def _solved(measured: MeasureSet, equations: Equations, goal: Array, drives: int) -> Task:
    """Follow all states, by their real parts."""
    tables, start = measured.real_tables, measured.found.real
    wanted = ready(goal.real, FLOAT)
    states, bodies = len(goal), len(tables.tree)
    poses = PoseArrays(
        np.empty((states, bodies, 9)), np.empty((states, bodies, 3)), np.empty((states, measured.tree.size))
    )
    task = Task(
        ready(start, FLOAT),
        wanted,
        drives,
        along_drives(wanted[:, wanted.shape[1] - drives :]),
        poses,
        np.empty(states),
        np.empty(states, np.intp),
    )
    alone = measured.dtype == COMPLEX or measured.variants > 1 or states < FEWEST_FOLLOWED
    follow = follow_alone if alone else follow_side_by_side
    in_runs(states, lambda first, last: follow(tables, equations, task, first, last))
    return task


def _refined(measured: MeasureSet, equations: Equations, pose: Pose, goal: Array) -> Pose:
    """Poses with the imaginary parts that constants and drives give them (the implicit function theorem)."""
    tables, poses = measured.prepared(pose, goal)
    poses = PoseArrays(*(array.copy() for array in poses))  # `prepared` may hand on the pose's own arrays
    wanted = ready(goal, poses.coordinate.dtype)
    in_runs(len(goal), lambda first, last: batch.run_refinements(tables, equations, poses, wanted, first, last))
    return pose_of(poses)

"""Sets of measures in batches of poses: values, rates, gradients, second derivatives."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from jounce.linkage import lanes_runs, runs
from jounce.linkage.lanes import FEWEST_MEASURED, LANES, Table, table_of
from jounce.linkage.measures import AnyMeasure
from jounce.linkage.program import Program, dependencies, flattened, in_complex
from jounce.linkage.tree import Pose, Tree
from jounce.numerics.arrays import COMPLEX, FLOAT, Array, common_dtype, ready
from jounce.numerics.compiled import in_runs


class MeasureSet:
    """Named measures on a tree, ready for batches of poses.

    Where constants have variants, a batch has one state for each, and a pose with a single state serves all.
    """

    def __init__(self, tree: Tree, measures: Mapping[str, AnyMeasure]) -> None:
        self.tree = tree
        self.names = tuple(measures)
        self.row = {name: i for i, name in enumerate(self.names)}
        self._measures = tuple(measures.values())
        self.program = flattened(tree, self._measures)
        self.variants = len(self.program.frame)
        self.dtype = self.program.local.dtype

    @cached_property
    def _in_complex(self) -> Program:
        return self.program if self.dtype == COMPLEX else in_complex(self.program)

    @cached_property
    def table(self) -> Table:
        """The same for blocks of states; for real numbers without variants only."""
        return table_of(self.program)

    def in_blocks(self, where: runs.Where, fewest: int) -> bool:
        """Whether states are worked on in blocks: enough of them, real and without variants."""
        return self.variants == 1 and where.coordinate.dtype == FLOAT and len(where.coordinate) >= fewest

    @cached_property
    def depends(self) -> tuple[frozenset[int], ...]:
        """Coordinates that each measure depends on."""
        return dependencies(self.tree, self._measures)

    @cached_property
    def found(self) -> Array:
        """Values as found, shape (variants or 1, measures), read-only."""
        values = self.values(self.tree.reference_pose(self.variants))
        values.setflags(write=False)
        return values

    def prepared(self, pose: Pose, *others: Array) -> tuple[Program, runs.Where]:
        """The program, and the pose's arrays as it wants them, complex where anything is."""
        dtype = common_dtype(self.program.local, pose.coordinate, pose.rotation, pose.origin, *others)
        program = self._in_complex if dtype == COMPLEX else self.program
        arrays = [pose.rotation.reshape(len(pose), -1, 9), pose.origin, pose.coordinate]
        if self.variants > 1 and len(pose) != self.variants:
            if len(pose) != 1:
                raise ValueError(f"{len(pose)} states for {self.variants} variants")
            arrays = [np.repeat(array, self.variants, axis=0) for array in arrays]
        return program, runs.Where(*(ready(array, dtype) for array in arrays))

    def values(self, pose: Pose) -> Array:
        """Values only, shape (states, measures)."""
        program, where = self.prepared(pose)
        if self.in_blocks(where, FEWEST_MEASURED):
            return self._block_values(where)
        value = np.empty((len(where.coordinate), len(self.names)), where.coordinate.dtype)
        in_runs(len(value), lambda first, last: runs.run_values(program, where, value, first, last))
        return value

    def _block_values(self, where: runs.Where) -> Array:
        states, table = len(where.coordinate), self.table
        value = np.empty((len(self.names), _padded(states)))
        flat = value.reshape(-1)
        in_runs(states, lambda a, b: lanes_runs.run_block_values(table, where, flat, a, b), int(LANES))
        return value.T[:states]

    def rates(self, pose: Pose, velocity: Array) -> tuple[Array, Array]:
        """Values and first derivatives along any number of motions, without gradients.

        Args:
            pose: the batch
            velocity: coordinate velocities, shape (states, motions, coordinates) [m or rad per unit of a path]

        Returns:
            Values, shape (states, measures), and rates, shape (states, motions, measures)

        """
        program, where = self.prepared(pose, velocity)
        states, dtype = len(where.coordinate), where.coordinate.dtype
        along = _for_all(velocity, states, dtype)
        if self.in_blocks(where, FEWEST_MEASURED):
            return self._block_rates(where, along)
        value = np.empty((states, len(self.names)), dtype)
        rate = np.empty((states, along.shape[1], len(self.names)), dtype)
        in_runs(states, lambda first, last: runs.run_rates(program, where, along, (value, rate), first, last))
        return value, rate

    def _block_rates(self, where: runs.Where, along: Array) -> tuple[Array, Array]:
        states, table = len(where.coordinate), self.table
        value = np.empty((len(self.names), _padded(states)))
        rate = np.empty((along.shape[1], *value.shape))
        flat = (value.reshape(-1), rate.reshape(-1))
        in_runs(states, lambda a, b: lanes_runs.run_block_rates(table, where, along, flat, a, b), int(LANES))
        return value.T[:states], rate.transpose(2, 0, 1)[:states]

    def along(
        self, pose: Pose, velocity_a: Array, velocity_b: Array, acceleration: Array
    ) -> tuple[Array, Array, Array, Array]:
        """Value, first and second derivative where two path parameters a and b move the coordinates.

        Args:
            pose: the batch
            velocity_a: coordinates' derivative by a, shape (states, coordinates)
            velocity_b: coordinates' derivative by b, shape (states, coordinates)
            acceleration: coordinates' mixed second derivative by a and b, shape (states, coordinates)

        Returns:
            Value, derivative by a, derivative by b, mixed second derivative, each (states, measures)

        """
        value, rate = self.rates(pose, np.stack((velocity_a, velocity_b), axis=1))
        return value, rate[:, 0], rate[:, 1], self.bends(pose, velocity_a, velocity_b, acceleration)

    def bends(self, pose: Pose, velocity_a: Array, velocity_b: Array, acceleration: Array) -> Array:
        """The mixed second derivative alone, see `along`."""
        program, where = self.prepared(pose, velocity_a, velocity_b, acceleration)
        states, dtype = len(where.coordinate), where.coordinate.dtype
        motions = _for_all(np.stack((velocity_a, velocity_b, acceleration), axis=1), states, dtype)
        second = np.empty((states, len(self.names)), dtype)
        in_runs(states, lambda first, last: runs.run_bends(program, where, motions, second, first, last))
        return second

    def linearised(self, pose: Pose) -> Linearised:
        """Values, with gradients and second derivatives when they are asked for."""
        return Linearised(self, pose)


def _padded(states: int) -> int:
    """States of whole blocks."""
    return -(-states // int(LANES)) * int(LANES)


def _for_all(array: Array, states: int, dtype: np.dtype[np.float64]) -> Array:
    """The array with one entry for every state, as compiled functions want it."""
    if len(array) != states:
        array = np.broadcast_to(array, (states, *array.shape[1:]))
    return ready(array, dtype)


@dataclass(frozen=True)
class Linearised:
    """Measures in a batch of poses."""

    measured: MeasureSet
    pose: Pose

    @cached_property
    def value(self) -> Array:
        """Values, shape (states, measures)."""
        return self.measured.values(self.pose)

    @cached_property
    def gradient(self) -> Array:
        """Derivatives by the coordinates, shape (states, measures, coordinates)."""
        program, where = self.measured.prepared(self.pose)
        shape = (len(where.coordinate), len(self.measured.names), self.measured.tree.size)
        gradient = np.zeros(shape, where.coordinate.dtype)
        in_runs(len(gradient), lambda first, last: runs.run_gradients(program, where, gradient, first, last))
        return gradient

    def hessian(self, weight: Array) -> Array:
        """Second derivative of ``sum(weight * value)`` over the coordinates.

        Args:
            weight: factor of each measure, shape (states, measures) [any]

        Returns:
            Symmetric matrices, shape (states, coordinates, coordinates) [any]

        """
        program, where = self.measured.prepared(self.pose, weight)
        states, size, dtype = len(where.coordinate), self.measured.tree.size, where.coordinate.dtype
        factor = _for_all(weight, states, dtype)
        result = np.zeros((states, size, size), dtype)
        in_runs(states, lambda first, last: runs.run_hessians(program, where, factor, result, first, last))
        return result

    def curvature(self, velocity: Array) -> Array:
        """Second derivative of each measure along a constant coordinate velocity, shape (states, measures).

        Args:
            velocity: coordinate velocity, shape (states, coordinates) [m or rad per unit of the path]

        """
        return self.measured.bends(self.pose, velocity, velocity, np.zeros_like(velocity))

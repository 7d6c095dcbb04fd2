"""Sets of measures in batches of poses: values, rates, gradients, second derivatives."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from jounce.linkage import batch
from jounce.linkage.equations import Gradients, all_gradients
from jounce.linkage.measures import AnyMeasure
from jounce.linkage.states import ALONE, FEWEST_MEASURED, SIDE_BY_SIDE, Lanes, PoseArrays
from jounce.linkage.tables import Tables, dependencies, flattened, in_complex, real_part
from jounce.linkage.tree import Pose, Tree
from jounce.numerics.arrays import COMPLEX, FLOAT, Array, common_dtype, numbers, ready
from jounce.numerics.compiled import in_runs

_NO_MOTION = {dtype: numbers(np.empty((0, 0, 0), dtype)) for dtype in (FLOAT, COMPLEX)}


class MeasureSet:
    """Named measures on a tree, ready for batches of poses.

    Where constants have variants, a batch has one state for each, and a pose with a single state serves all.
    """

    def __init__(self, tree: Tree, measures: Mapping[str, AnyMeasure]) -> None:
        self.tree = tree
        self.names = tuple(measures)
        self.row = {name: i for i, name in enumerate(self.names)}
        self._measures = tuple(measures.values())
        self.tables = flattened(tree, self._measures)
        self.variants = len(self.tables.frame)
        self.dtype = self.tables.local.dtype

    @cached_property
    def _in_complex(self) -> Tables:
        return self.tables if self.dtype == COMPLEX else in_complex(self.tables)

    @cached_property
    def real_tables(self) -> Tables:
        """The tables without imaginary parts."""
        return real_part(self.tables) if self.dtype == COMPLEX else self.tables

    def lanes(self, poses: PoseArrays) -> Lanes:
        """How states are worked on: side by side where there are enough of them, real and without variants."""
        many = self.variants == 1 and poses.coordinate.dtype == FLOAT and len(poses.coordinate) >= FEWEST_MEASURED
        return SIDE_BY_SIDE if many else ALONE

    @cached_property
    def gradients(self) -> Gradients:
        """Where the measures' derivatives by all coordinates go."""
        return all_gradients(self.tables, self.tree.size)

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

    def prepared(self, pose: Pose, *others: Array) -> tuple[Tables, PoseArrays]:
        """The tables, and the pose's arrays as they want them, complex where anything is."""
        dtype = common_dtype(self.tables.local, pose.coordinate, pose.rotation, pose.origin, *others)
        tables = self._in_complex if dtype == COMPLEX else self.tables
        arrays = [pose.rotation.reshape(len(pose), -1, 9), pose.origin, pose.coordinate]
        if self.variants > 1 and len(pose) != self.variants:
            if len(pose) != 1:
                raise ValueError(f"{len(pose)} states for {self.variants} variants")
            arrays = [np.repeat(array, self.variants, axis=0) for array in arrays]
        return tables, PoseArrays(*(ready(array, dtype) for array in arrays))

    def values(self, pose: Pose) -> Array:
        """Values only, shape (states, measures)."""
        return self._rates(*self.prepared(pose), None)[0]

    def rates(self, pose: Pose, velocity: Array) -> tuple[Array, Array]:
        """Values and first derivatives along any number of motions, without gradients.

        Args:
            pose: the batch
            velocity: coordinate velocities, shape (states, motions, coordinates) [m or rad per unit of a path]

        Returns:
            Values, shape (states, measures), and rates, shape (states, motions, measures)

        """
        return self._rates(*self.prepared(pose, velocity), velocity)

    def _rates(self, tables: Tables, poses: PoseArrays, velocity: Array | None) -> tuple[Array, Array]:
        lanes, states, dtype = self.lanes(poses), len(poses.coordinate), poses.coordinate.dtype
        along = _NO_MOTION[dtype] if velocity is None else _for_all(velocity, states, dtype)
        value = np.empty((len(self.names), _padded(states, lanes)), dtype)
        rate = np.empty((along.shape[1], *value.shape), dtype)
        wanted = (along, value.reshape(-1), rate.reshape(-1))
        in_runs(states, lambda first, last: batch.run_rates(tables, lanes, poses, wanted, first, last), len(lanes))
        return value.T[:states], rate.transpose(2, 0, 1)[:states]

    def seconds(self, pose: Pose, velocity: Array, pairs: Sequence[tuple[int, int]], acceleration: Array) -> Array:
        """Mixed second derivatives along pairs of motions.

        Args:
            pose: the batch
            velocity: coordinate velocities, shape (states, motions, coordinates) [m or rad per unit of a path]
            pairs: which two motions
            acceleration: the coordinates' mixed second derivatives, shape (states, pairs, coordinates)

        Returns:
            Shape (states, pairs, measures)

        """
        tables, poses = self.prepared(pose, velocity, acceleration)
        states, dtype = len(poses.coordinate), poses.coordinate.dtype
        second = np.empty((len(pairs), len(self.names), states), dtype)
        along, bending = _for_all(velocity, states, dtype), _for_all(acceleration, states, dtype)
        moving, flat = (along, np.array(pairs, np.intp).reshape(-1, 2), bending), second.reshape(-1)
        in_runs(states, lambda first, last: batch.run_seconds(tables, poses, moving, flat, first, last))
        return second.transpose(2, 0, 1)

    def linearised(self, pose: Pose) -> Linearised:
        """Values, with gradients and second derivatives when they are asked for."""
        return Linearised(self, pose)


def _padded(states: int, lanes: Lanes) -> int:
    """States of whole blocks of as many as are side by side."""
    return -(-states // len(lanes)) * len(lanes)


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
        tables, poses = self.measured.prepared(self.pose)
        places = self.measured.gradients
        shape = (len(poses.coordinate), len(self.measured.names), self.measured.tree.size)
        gradient = np.empty(shape, poses.coordinate.dtype)
        in_runs(shape[0], lambda first, last: batch.run_gradients(tables, places, poses, gradient, first, last))
        return gradient

    def hessian(self, weight: Array) -> Array:
        """Second derivative of ``sum(weight * value)`` over the coordinates.

        Args:
            weight: factor of each measure, shape (states, measures) [any]

        Returns:
            Symmetric matrices, shape (states, coordinates, coordinates) [any]

        """
        tables, poses = self.measured.prepared(self.pose, weight)
        states, size, dtype = len(poses.coordinate), self.measured.tree.size, poses.coordinate.dtype
        weighted = (_for_all(weight, states, dtype), np.zeros((states, size, size), dtype))
        in_runs(states, lambda first, last: batch.run_hessians(tables, poses, weighted, first, last))
        return weighted[1]

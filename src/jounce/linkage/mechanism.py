"""A mechanism: bodies, the measures that joints keep, and the measures that drives, elements and outputs use."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from jounce.conventions.errors import Impossible
from jounce.linkage import batch
from jounce.linkage.blocks import Blocks, split
from jounce.linkage.equations import Equations, equations_of
from jounce.linkage.measured import Linearised, MeasureSet
from jounce.linkage.measures import AnyMeasure
from jounce.linkage.states import PoseArrays
from jounce.linkage.tree import Body, Direction, Freedom, Point, Pose, Tree
from jounce.numerics.arrays import Array, common_dtype, numbers, ready
from jounce.numerics.compiled import in_runs

_SINGULAR = 1e-10  # smallest pivot of a block, as a share of its largest, below which the block fixes nothing

__all__ = ["Linearised", "MeasureSet", "Mechanism"]


class Mechanism:
    """Bodies on the ground, joints between them and named measures on them.

    Joints and measures share one namespace. A joint keeps the value its measure has in the reference pose unless a
    drive gives it another (an adjusted rod) or frees it (a rod whose length is asked for).
    """

    def __init__(
        self, bodies: Sequence[Body], joints: Mapping[str, AnyMeasure], measures: Mapping[str, AnyMeasure]
    ) -> None:
        if repeated := set(joints) & set(measures):
            raise ValueError(f"named twice: {sorted(repeated)}")
        self.tree = Tree(bodies)
        self.joints = tuple(joints)
        self.measures: Mapping[str, AnyMeasure] = {**joints, **measures}
        self._compiled: dict[tuple[str, ...], MeasureSet] = {}
        self._blocks: dict[tuple[str, ...], Blocks] = {}
        self._equations: dict[tuple[str, ...], Equations] = {}

    def taken(self, names: Sequence[str]) -> MeasureSet:
        """The named measures, compiled for batches (and kept, since the same sets are asked for again and again)."""
        key = tuple(names)
        if key not in self._compiled:
            self._compiled[key] = MeasureSet(self.tree, {name: self.measures[name] for name in key})
        return self._compiled[key]

    def blocks(self, names: Sequence[str]) -> Blocks:
        """The blocks in which these rows are solved for the coordinates.

        Raises:
            Impossible: the rows do not fix the coordinates, because of how they hang together or as they stand

        """
        key = tuple(names)
        if key not in self._blocks:
            found = split(key, self.taken(key).depends)
            self._equations[key] = equations_of(self.taken(key).tables, found.plan)
            self._check_as_found(key, found)
            self._blocks[key] = found
        return self._blocks[key]

    def equations(self, names: Sequence[str]) -> Equations:
        """How these rows are solved for the coordinates, as `blocks` says.

        Raises:
            Impossible: the rows do not fix the coordinates, because of how they hang together or as they stand

        """
        key = tuple(names)
        if key not in self._equations:
            self.blocks(key)
        return self._equations[key]

    def _check_as_found(self, names: tuple[str, ...], blocks: Blocks) -> None:
        measured = self.taken(names)
        thinnest = np.empty((measured.variants, len(blocks.names)))
        batch.run_thinnest(measured.real_tables, self._equations[names], thinnest)
        singular = np.flatnonzero(~(thinnest > _SINGULAR).all(axis=0))
        if len(singular):
            raise Impossible(
                "The linkage cannot be placed: as found it stands in a dead point. "
                f"These do not fix it there: {', '.join(blocks.names[int(singular[0])])}."
            )

    def reference_values(self, names: Sequence[str]) -> Array:
        """Values as found, shape (variants or 1, names)."""
        return self.taken(names).found

    def moved(self, pose: Pose, increment: Array) -> Pose:
        """The pose after coordinate increments, shape (states, coordinates) [m or rad]."""
        tables, before = self.taken(()).prepared(pose, increment)
        after = PoseArrays(*(array.copy() for array in before))
        change = ready(increment, common_dtype(after.coordinate))
        in_runs(len(change), lambda first, last: batch.run_moves(tables, after, change, first, last))
        return pose_of(after)

    def position(self, pose: Pose, point: Point) -> Array:
        """Where a point is, in the ground's axes, shape (states, 3) [m]."""
        i = self.tree.index[point.body]
        local = np.atleast_2d(numbers(point.at)) - self.tree.origin[:, i]
        return np.asarray(pose.origin[:, i] + _turned(pose.rotation[:, i], local))

    def direction(self, pose: Pose, direction: Direction) -> Array:
        """Where a direction points, in the ground's axes, shape (states, 3) [-]."""
        i = self.tree.index[direction.body]
        return _turned(pose.rotation[:, i], np.atleast_2d(numbers(direction.along)))

    def turning(self, pose: Pose, velocity: Array, body: str) -> Array:
        """Angular velocity of a body for a coordinate velocity, ground axes, shape (states, 3) [rad per unit]."""
        total = np.zeros((len(velocity), 3), velocity.dtype)
        for i in self.tree.chains[self.tree.index[body]]:
            j = int(self.tree.first[i])
            if self.tree.bodies[i].freedom is Freedom.FREE:
                total = total + velocity[:, j + 3 : j + 6]
            elif self.tree.bodies[i].freedom is Freedom.HINGE:
                axis = _turned(pose.rotation[:, self.tree.parent[i]], self.tree.axis[:, i])
                total = total + axis * velocity[:, j, None]
        return np.asarray(total)


def pose_of(poses: PoseArrays) -> Pose:
    """The pose whose arrays these are."""
    rotation = poses.rotation.reshape(*poses.rotation.shape[:2], 3, 3)
    return Pose(rotation, poses.origin, poses.coordinate)


def _turned(rotation: Array, vector: Array) -> Array:
    """Vectors, shape (1 or states, 3), turned by rotations; much quicker than a product of small matrices."""
    x, y, z = vector[:, 0:1], vector[:, 1:2], vector[:, 2:3]
    return np.asarray(rotation[..., 0] * x + rotation[..., 1] * y + rotation[..., 2] * z)

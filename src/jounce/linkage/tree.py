"""Bodies, how they may move, and the first and second derivatives of everything they carry.

Bodies form a tree on the ground. Each body is placed by few coordinates: *free* (6), *hinge* (1 angle), *slide*
(1 length) or *fixed* (0). A free body's coordinates are increments: a displacement of its origin and a rotation
vector composed on the left, both in the ground's axes. All points are given where they stand in the reference pose
(as found), in the ground's axes.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import Enum

import numpy as np

from jounce.numerics.arrays import Array, BoolArray, IntArray
from jounce.numerics.rotations import cross, rotation_matrix

GROUND = "ground"


class Freedom(Enum):
    """How a body may move relative to its parent (a free body: relative to the ground)."""

    FIXED = 0
    HINGE = 1
    SLIDE = 2
    FREE = 6

    @property
    def coordinates(self) -> int:
        """Number of coordinates that place the body [-]."""
        return {Freedom.FIXED: 0, Freedom.HINGE: 1, Freedom.SLIDE: 1, Freedom.FREE: 6}[self]


@dataclass(frozen=True, slots=True)
class Body:
    """A rigid body in its reference pose.

    ``origin`` is the hinge point of a hinged body and the reference point of any other, shape (3,) or (variants, 3)
    [m]; ``axis`` is the unit axis of a hinge or slide (right-handed angle, or positive displacement along it).
    """

    name: str
    freedom: Freedom
    origin: Array
    axis: Array | None = None
    parent: str = GROUND


@dataclass(frozen=True, slots=True)
class Point:
    """A point fixed to a body, at its reference position [m]."""

    body: str
    at: Array


@dataclass(frozen=True, slots=True)
class Direction:
    """A unit vector fixed to a body, in its reference direction [-]."""

    body: str
    along: Array


@dataclass(frozen=True, slots=True)
class Segment:
    """The vector from one point to another [m]."""

    start: Point
    end: Point


Vector = Point | Direction | Segment


@dataclass(frozen=True, slots=True)
class Pose:
    """Where every body is, for a batch of states (first axis).

    ``rotation`` (states, bodies, 3, 3) and ``origin`` (states, bodies, 3) hold every body; ``coordinate``
    (states, coordinates) holds hinge angles [rad] and slides [m] (zero for free bodies, whose place is in the others).
    """

    rotation: Array
    origin: Array
    coordinate: Array

    def __len__(self) -> int:
        """Number of states in the batch."""
        return len(self.coordinate)

    def take(self, states: IntArray | BoolArray) -> Pose:
        """The chosen states only, as a new batch."""
        return Pose(self.rotation[states], self.origin[states], self.coordinate[states])

    def put(self, states: IntArray | BoolArray, other: Pose) -> Pose:
        """A copy in which the chosen states are those of ``other``."""
        merged = Pose(self.rotation.copy(), self.origin.copy(), self.coordinate.copy())
        merged.rotation[states] = other.rotation
        merged.origin[states] = other.origin
        merged.coordinate[states] = other.coordinate
        return merged


@dataclass(frozen=True, slots=True)
class Carried:
    """Vectors of a tree in one batch of poses, with what is needed to differentiate them.

    ``value`` (states, vectors, 3); ``jacobian`` (states, vectors, coordinates, 3) is the change of each vector per unit
    of each coordinate and ``base_jacobian`` the same for the points and directions they are made of;
    ``turn`` (states, coordinates, 3) is the axis about which each coordinate turns what it moves
    (zero for a slide).
    """

    value: Array
    jacobian: Array
    base_jacobian: Array
    turn: Array


class Tree:
    """Bodies in order from the ground outwards, and the base vectors that the measures need."""

    def __init__(self, bodies: Sequence[Body]) -> None:
        self.bodies = (Body(GROUND, Freedom.FIXED, np.zeros(3)), *bodies)
        self.index: Mapping[str, int] = {body.name: i for i, body in enumerate(self.bodies)}
        if len(self.index) != len(self.bodies):
            raise ValueError("two bodies have the same name")
        self.parent = np.array([0 if i == 0 else self.index[b.parent] for i, b in enumerate(self.bodies)])
        if any(p >= i for i, p in enumerate(self.parent) if i):
            raise ValueError("a body must be listed after its parent")
        self.origin = _stacked([b.origin for b in self.bodies])
        self.axis = _stacked([np.zeros(3) if b.axis is None else b.axis for b in self.bodies])
        self.first = np.concatenate(([0], np.cumsum([b.freedom.coordinates for b in self.bodies])))
        self.size = int(self.first[-1])
        self.owner = np.repeat(np.arange(len(self.bodies)), [b.freedom.coordinates for b in self.bodies])
        self.moves = self._moves()
        self.same_rotation = self._same_rotation()
        self.before = np.triu(np.ones((self.size, self.size)), 1) * (1 - self.same_rotation)

    def coordinate(self, body: str) -> int:
        """Index of the (first) coordinate of a body."""
        return int(self.first[self.index[body]])

    def reference_pose(self, states: int) -> Pose:
        """All bodies as found, for a batch of the given size."""
        n = len(self.bodies)
        rotation = np.broadcast_to(np.eye(3), (states, n, 3, 3)).copy()
        origin = np.broadcast_to(self.origin, (states, n, 3)).copy()
        return Pose(rotation, origin, np.zeros((states, self.size)))

    def moved(self, pose: Pose, increment: Array) -> Pose:
        """The pose after coordinate increments, shape (states, coordinates) [m or rad]."""
        coordinate = pose.coordinate.copy()
        rotation = pose.rotation.copy()
        origin = pose.origin.copy()
        for i, body in enumerate(self.bodies[1:], start=1):
            p, j = self.parent[i], int(self.first[i])
            if body.freedom is Freedom.FREE:
                origin[:, i] += increment[:, j : j + 3]
                rotation[:, i] = rotation_matrix(increment[:, j + 3 : j + 6]) @ rotation[:, i]
                continue
            offset = self.origin[:, i] - self.origin[:, p]
            rotation[:, i] = rotation[:, p]
            if body.freedom is not Freedom.FIXED:
                coordinate[:, j] += increment[:, j]
            if body.freedom is Freedom.SLIDE:
                offset = offset + self.axis[:, i] * coordinate[:, j, None]
            if body.freedom is Freedom.HINGE:
                turned = rotation_matrix(self.axis[:, i] * coordinate[:, j, None])
                rotation[:, i] = rotation[:, p] @ turned
            origin[:, i] = origin[:, p] + np.einsum(
                "nij,nj->ni", rotation[:, p], np.broadcast_to(offset, (len(pose), 3))
            )
        return Pose(rotation, origin, coordinate)

    def coordinate_motion(self, pose: Pose) -> tuple[Array, Array, Array]:
        """Sliding direction, turning axis and turning centre of each coordinate, each (states, coordinates, 3)."""
        states = len(pose)
        slide, turn, centre = (np.zeros((states, self.size, 3)) for _ in range(3))
        for i, body in enumerate(self.bodies):
            j = int(self.first[i])
            if body.freedom is Freedom.FREE:
                slide[:, j : j + 3] = np.eye(3)
                turn[:, j + 3 : j + 6] = np.eye(3)
                centre[:, j + 3 : j + 6] = pose.origin[:, i, None]
            elif body.freedom is not Freedom.FIXED:
                frame = pose.rotation[:, self.parent[i]]
                along = np.einsum("nij,nj->ni", frame, np.broadcast_to(self.axis[:, i], (states, 3)))
                (slide if body.freedom is Freedom.SLIDE else turn)[:, j] = along
                centre[:, j] = pose.origin[:, i]
        return slide, turn, centre

    def _moves(self) -> BoolArray:
        """Which coordinates move which bodies, shape (bodies, coordinates)."""
        moves = np.zeros((len(self.bodies), self.size), dtype=bool)
        for i, body in enumerate(self.bodies):
            if i and body.freedom is not Freedom.FREE:
                moves[i] = moves[self.parent[i]]
            moves[i, self.first[i] : self.first[i + 1]] = True
        return moves

    def _same_rotation(self) -> Array:
        """One where two coordinates belong to the same turning freedom: its second derivative is symmetrised."""
        same = np.zeros((self.size, self.size))
        for i, body in enumerate(self.bodies):
            j = int(self.first[i])
            if body.freedom is Freedom.FREE:
                same[j + 3 : j + 6, j + 3 : j + 6] = 1
            elif body.freedom is Freedom.HINGE:
                same[j, j] = 1
        return same


class Vectors:
    """The points, directions and segments that a mechanism's measures use, numbered without repeats."""

    def __init__(self, tree: Tree) -> None:
        self.tree = tree
        self._known: dict[tuple[object, ...], int] = {}
        self._body: list[int] = []
        self._value: list[Array] = []
        self._is_point: list[bool] = []
        self._plus: list[int] = []
        self._minus: list[int] = []
        self._vector_known: dict[tuple[int, int], int] = {}

    def add(self, vector: Vector) -> int:
        """Number of the vector, added when new."""
        if isinstance(vector, Segment):
            pair = (self._base(vector.end), self._base(vector.start))
        else:
            pair = (self._base(vector), -1)
        if pair not in self._vector_known:
            self._vector_known[pair] = len(self._plus)
            self._plus.append(pair[0])
            self._minus.append(pair[1])
        return self._vector_known[pair]

    def _base(self, vector: Point | Direction) -> int:
        is_point = isinstance(vector, Point)
        value = np.asarray(vector.at if isinstance(vector, Point) else vector.along, dtype=np.float64)
        key = (is_point, vector.body, value.shape, value.tobytes())
        if key not in self._known:
            self._known[key] = len(self._body)
            self._body.append(self.tree.index[vector.body])
            self._value.append(value)
            self._is_point.append(is_point)
        return self._known[key]

    def freeze(self) -> FrozenVectors:
        """The vectors as arrays, ready for batches."""
        return FrozenVectors(
            tree=self.tree,
            body=np.array(self._body, dtype=np.intp),
            value=_stacked(self._value),
            is_point=np.array(self._is_point),
            plus=np.array(self._plus, dtype=np.intp),
            minus=np.array(self._minus, dtype=np.intp),
        )


@dataclass(frozen=True)
class FrozenVectors:
    """Base vectors (body, reference value) and the combinations ``base[plus] - base[minus]`` made of them."""

    tree: Tree
    body: IntArray
    value: Array
    is_point: BoolArray
    plus: IntArray
    minus: IntArray

    @property
    def incidence(self) -> Array:
        """Which base vectors make up each vector, +1 or -1, shape (vectors, base vectors)."""
        matrix = np.zeros((len(self.plus), len(self.body)))
        matrix[np.arange(len(self.plus)), self.plus] = 1
        has_minus = np.flatnonzero(self.minus >= 0)
        matrix[has_minus, self.minus[has_minus]] = -1
        return matrix

    def carried(self, pose: Pose) -> Carried:
        """All vectors and their Jacobian in a batch of poses."""
        base = self._base_values(pose)
        slide, turn, centre = self.tree.coordinate_motion(pose)
        arm = base[:, :, None, :] - centre[:, None] * self.is_point[:, None, None]
        jacobian = cross(turn[:, None], arm) + slide[:, None] * self.is_point[:, None, None]
        jacobian *= self.tree.moves[self.body][:, :, None]
        return Carried(self._combined(base), self._combined(jacobian), jacobian, turn)

    def values(self, pose: Pose) -> Array:
        """All vectors without derivatives, shape (states, vectors, 3)."""
        return self._combined(self._base_values(pose))

    def _base_values(self, pose: Pose) -> Array:
        tree = self.tree
        local = self.value - tree.origin[:, self.body] * self.is_point[:, None]
        turned = np.einsum(
            "nvij,nvj->nvi", pose.rotation[:, self.body], np.broadcast_to(local, (len(pose), *local.shape[1:]))
        )
        return np.asarray(turned + pose.origin[:, self.body] * self.is_point[:, None])

    def _combined(self, base: Array) -> Array:
        has_minus = self.minus >= 0
        combined = base[:, self.plus]
        combined[:, has_minus] -= base[:, self.minus[has_minus]]
        return combined

    def second_derivative(self, carried: Carried, weight: Array) -> Array:
        """Hessian of ``sum(weight . vector)`` over the coordinates.

        Args:
            carried: vectors of the batch
            weight: factor of each vector's components, shape (states, vectors, 3) [any]

        Returns:
            Symmetric matrices, shape (states, coordinates, coordinates) [any]

        An earlier (inner) coordinate i turns whatever a later one j does: ``d2x/dqi dqj = turn_i x dx/dqj``; the three
        components of one rotation vector share the symmetric part.

        """
        states, _, size, _ = carried.base_jacobian.shape
        base_weight = np.einsum("vb,nvk->nbk", self.incidence, weight)
        twisted = cross(base_weight[:, :, None], carried.turn[:, None]) * self.tree.moves[self.body][:, :, None]
        left = twisted.transpose(0, 2, 1, 3).reshape(states, size, -1)
        right = carried.base_jacobian.transpose(0, 2, 1, 3).reshape(states, size, -1)
        matrix = left @ right.transpose(0, 2, 1)
        strict = matrix * self.tree.before
        together = matrix * self.tree.same_rotation
        return np.asarray(strict + strict.transpose(0, 2, 1) + 0.5 * (together + together.transpose(0, 2, 1)))

    def curvature(self, carried: Carried, velocity: Array) -> Array:
        """Second derivative of every vector along a constant coordinate velocity, shape (states, vectors, 3).

        Args:
            carried: vectors of the batch
            velocity: coordinate velocity, shape (states, coordinates) [m or rad per unit of the path]

        """
        turning = carried.turn * velocity[:, :, None]
        order = 2 * self.tree.before + self.tree.same_rotation
        reach = self.tree.moves[self.body]
        inner = np.einsum("bi,ij,nik->nbjk", reach.astype(np.float64), order, turning)
        base = cross(inner, carried.base_jacobian * velocity[:, None, :, None]).sum(axis=2)
        return self._combined(base)


def _stacked(values: Sequence[Array]) -> Array:
    """Constants as one array (variants or 1, items, 3): a constant without variants serves all of them."""
    rows = [np.atleast_2d(np.asarray(v, dtype=np.float64)) for v in values]
    variants = max((len(r) for r in rows), default=1)
    return np.stack([np.broadcast_to(r, (variants, 3)) for r in rows], axis=1) if rows else np.zeros((1, 0, 3))

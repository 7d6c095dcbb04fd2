"""A mechanism: bodies, the measures that joints keep, and the measures that drives, elements and outputs use."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from jounce.linkage.measures import AnyMeasure, CoordinateSum, Measure
from jounce.linkage.tree import Body, Carried, Direction, FrozenVectors, Point, Pose, Tree, Vectors
from jounce.numerics.arrays import Array, IntArray


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

    def taken(self, names: Sequence[str]) -> MeasureSet:
        """The named measures, compiled for batches (and kept, since the same sets are asked for again and again)."""
        key = tuple(names)
        if key not in self._compiled:
            self._compiled[key] = MeasureSet(self.tree, {name: self.measures[name] for name in key})
        return self._compiled[key]

    def reference_values(self, names: Sequence[str]) -> Array:
        """Values as found, shape (variants or 1, names)."""
        chosen = self.taken(names)
        return chosen.values(self.tree.reference_pose(chosen.variants))

    def position(self, pose: Pose, point: Point) -> Array:
        """Where a point is, in the ground's axes, shape (states, 3) [m]."""
        i = self.tree.index[point.body]
        local = np.atleast_2d(point.at) - self.tree.origin[:, i]
        return np.asarray(pose.origin[:, i] + _dot(pose.rotation[:, i], local[:, None, :]))

    def direction(self, pose: Pose, direction: Direction) -> Array:
        """Where a direction points, in the ground's axes, shape (states, 3) [-]."""
        i = self.tree.index[direction.body]
        return _dot(pose.rotation[:, i], np.atleast_2d(direction.along)[:, None, :])

    def turning(self, pose: Pose, velocity: Array, body: str) -> Array:
        """Angular velocity of a body for a coordinate velocity, ground axes, shape (states, 3) [rad per unit]."""
        _, turn, _ = self.tree.coordinate_motion(pose)
        moves = self.tree.moves[self.tree.index[body]]
        return np.asarray(np.einsum("njk,nj,j->nk", turn, velocity, moves.astype(np.float64)))


@dataclass(frozen=True, slots=True)
class _Kind:
    """All measures of one class: their rows, the vectors they multiply and their constants."""

    function: type[Measure]
    rows: IntArray
    left: IntArray
    right: IntArray
    constants: Array


class MeasureSet:
    """Named measures as arrays: values, gradients, Hessians for batches of poses."""

    def __init__(self, tree: Tree, measures: Mapping[str, AnyMeasure]) -> None:
        self.tree = tree
        self.names = tuple(measures)
        self.row = {name: i for i, name in enumerate(self.names)}
        vectors = Vectors(tree)
        grouped: dict[type[Measure], list[tuple[int, Measure]]] = {}
        self._coordinate_weights = np.zeros((len(measures), tree.size))
        for i, measure in enumerate(measures.values()):
            if isinstance(measure, CoordinateSum):
                for body, weight in measure.weights.items():
                    self._coordinate_weights[i, tree.coordinate(body)] = weight
            else:
                grouped.setdefault(type(measure), []).append((i, measure))
        self._kinds = [_kind(function, members, vectors) for function, members in grouped.items()]
        self.vectors: FrozenVectors = vectors.freeze()

    @property
    def variants(self) -> int:
        """How many variants of the constants there are (1 when all states share them)."""
        sizes = [len(self.vectors.value), len(self.tree.origin), *(len(kind.constants) for kind in self._kinds)]
        return max(sizes)

    def values(self, pose: Pose) -> Array:
        """Values only, shape (states, measures)."""
        vector = self.vectors.values(pose)
        value = pose.coordinate @ self._coordinate_weights.T
        for kind in self._kinds:
            products = _dot(vector[:, kind.left], vector[:, kind.right])
            value[:, kind.rows] = kind.function.value(products, kind.constants)
        return value

    def linearised(self, pose: Pose) -> Linearised:
        """Values and gradients, ready for second derivatives."""
        carried = self.vectors.carried(pose)
        value = pose.coordinate @ self._coordinate_weights.T
        gradient = np.broadcast_to(self._coordinate_weights, (len(pose), *self._coordinate_weights.shape)).copy()
        terms = []
        for kind in self._kinds:
            term = _Term(kind, carried)
            value[:, kind.rows] = kind.function.value(term.products, kind.constants)
            gradient[:, kind.rows] = np.einsum("nrd,nrdq->nrq", term.slope, term.product_gradient)
            terms.append(term)
        return Linearised(self, carried, terms, value, gradient)


def _kind(function: type[Measure], members: list[tuple[int, Measure]], vectors: Vectors) -> _Kind:
    pairs = [[(vectors.add(a), vectors.add(b)) for a, b in measure.pairs] for _, measure in members]
    table = np.array(pairs, dtype=np.intp)
    constants = [[np.atleast_1d(np.asarray(c, dtype=np.float64)) for c in measure.constants] for _, measure in members]
    variants = max((len(c) for row in constants for c in row), default=1)
    array = np.zeros((variants, len(members), len(constants[0])))
    for i, row in enumerate(constants):
        for j, constant in enumerate(row):
            array[:, i, j] = constant
    return _Kind(function, np.array([i for i, _ in members], dtype=np.intp), table[..., 0], table[..., 1], array)


def _scatter(total: Array, index: IntArray, part: Array) -> None:
    """Add parts, shape (states, rows, pairs, 3), onto the vectors they belong to; a vector may be named many times."""
    for row, pair in np.ndindex(*index.shape):
        total[:, index[row, pair]] += part[:, row, pair]


def _dot(left: Array, right: Array) -> Array:
    return np.asarray(np.einsum("...k,...k->...", left, right))


class _Term:
    """One kind of measure in one batch: products, their gradients and the function's derivatives by them."""

    def __init__(self, kind: _Kind, carried: Carried) -> None:
        self.kind = kind
        self.left, self.right = carried.value[:, kind.left], carried.value[:, kind.right]
        self.left_jacobian, self.right_jacobian = carried.jacobian[:, kind.left], carried.jacobian[:, kind.right]
        self.products = _dot(self.left, self.right)
        self.slope = kind.function.gradient(self.products, kind.constants)
        self.product_gradient = np.einsum("nrdqk,nrdk->nrdq", self.left_jacobian, self.right) + np.einsum(
            "nrdqk,nrdk->nrdq", self.right_jacobian, self.left
        )

    @cached_property
    def bend(self) -> Array:
        """The function's second derivatives by the products."""
        return self.kind.function.hessian(self.products, self.kind.constants)


@dataclass(frozen=True, slots=True)
class Linearised:
    """Measures in a batch of poses: ``value`` (states, measures), ``gradient`` (states, measures, coordinates)."""

    measured: MeasureSet
    carried: Carried
    terms: list[_Term]
    value: Array
    gradient: Array

    def hessian(self, weight: Array) -> Array:
        """Second derivative of ``sum(weight * value)`` over the coordinates.

        Args:
            weight: factor of each measure, shape (states, measures) [any]

        Returns:
            Symmetric matrices, shape (states, coordinates, coordinates) [any]

        """
        states, _, size = self.gradient.shape
        total = np.zeros((states, size, size))
        pull = np.zeros_like(self.carried.value)
        for term in self.terms:
            factor = weight[:, term.kind.rows]
            bend = term.bend * factor[..., None, None]
            total += np.einsum("nrdi,nrde,nrej->nij", term.product_gradient, bend, term.product_gradient, optimize=True)
            slope = term.slope * factor[..., None]
            mixed = np.einsum("nrdik,nrd,nrdjk->nij", term.left_jacobian, slope, term.right_jacobian, optimize=True)
            total += mixed + mixed.transpose(0, 2, 1)
            for index, other in ((term.kind.left, term.right), (term.kind.right, term.left)):
                _scatter(pull, index, slope[..., None] * other)
        return total + self.measured.vectors.second_derivative(self.carried, pull)

    def curvature(self, velocity: Array) -> Array:
        """Second derivative of each measure along a constant coordinate velocity, shape (states, measures).

        Args:
            velocity: coordinate velocity, shape (states, coordinates) [m or rad per unit of the path]

        """
        bent = np.zeros(self.value.shape)
        vector_bend = self.measured.vectors.curvature(self.carried, velocity)
        for term in self.terms:
            rate = np.einsum("nrdq,nq->nrd", term.product_gradient, velocity)
            left_rate = np.einsum("nrdqk,nq->nrdk", term.left_jacobian, velocity)
            right_rate = np.einsum("nrdqk,nq->nrdk", term.right_jacobian, velocity)
            product_bend = (
                2 * _dot(left_rate, right_rate)
                + _dot(vector_bend[:, term.kind.left], term.right)
                + _dot(vector_bend[:, term.kind.right], term.left)
            )
            bent[:, term.kind.rows] = np.einsum("nrd,nrde,nre->nr", rate, term.bend, rate) + np.einsum(
                "nrd,nrd->nr", term.slope, product_bend
            )
        return bent

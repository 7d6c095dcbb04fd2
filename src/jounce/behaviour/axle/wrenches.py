"""Force and moment on every body, told from what each measure pulls at: no Jacobian of coordinates in it.

Everything that acts is put down as forces at points and moments on bodies, in the ground's axes. So the equilibrium of
a body is a plain sum, and what a pivot inside the tree of bodies carries is what is left over.
"""

from __future__ import annotations

import numpy as np

from jounce.linkage.measures import AnyMeasure, Bearing, Component, CoordinateSum, Distance, MeanComponent
from jounce.linkage.mechanism import Mechanism
from jounce.linkage.tree import Direction, Freedom, Point, Pose, Segment, Vector
from jounce.numerics.arrays import Array
from jounce.numerics.rotations import cross
from jounce.numerics.vectors import unit


class Wrenches:
    """Sums of forces and of moments about the ground's origin on each body, shape (states, cases, 3) [N], [N m]."""

    def __init__(self, mechanism: Mechanism, pose: Pose) -> None:
        self.mechanism, self.pose = mechanism, pose
        self.force: dict[str, Array] = {}
        self.moment: dict[str, Array] = {}

    def add_force(self, body: str, at: Array, force: Array) -> None:
        """A force on a body.

        Args:
            body: the body
            at: point of attack, shape (states, 3) [m]
            force: shape (states, cases, 3) [N]

        """
        self.force[body] = self.force.get(body, 0) + force
        self.add_moment(body, cross(at[:, None], force))

    def add_moment(self, body: str, moment: Array) -> None:
        """A moment on a body, shape (states, cases, 3) [N m]."""
        self.moment[body] = self.moment.get(body, 0) + moment

    def add_pull(self, measure: AnyMeasure, pull: Array) -> None:
        """What acts on all bodies of a measure that is pulled shorter (or turned back) by a force or torque.

        Args:
            measure: the measure along which it acts
            pull: force against the measure's growth, shape (states, cases) [N or N m]

        Raises:
            TypeError: a kind of measure along which nothing acts (a fault of the caller)

        """
        match measure:
            case Distance():
                self._along(measure, pull)
            case Component():
                self._component(measure.vector, measure.along, pull)
            case MeanComponent():
                for vector in (measure.first, measure.second):
                    self._component(vector, measure.along, 0.5 * pull)
            case Bearing():
                self._bearing(measure, pull)
            case CoordinateSum():
                for body, weight in measure.weights.items():
                    self._coordinate(body, weight * pull)
            case _:
                raise TypeError(f"nothing acts along a {type(measure).__name__}")

    def left_over(self, body: str) -> tuple[Array, Array]:
        """Force, and moment about the body's origin, on a body with all that it carries, each (states, cases, 3)."""
        tree = self.mechanism.tree
        carried = {body}
        for other in tree.bodies:
            if other.parent in carried and other.freedom is not Freedom.FREE:
                carried.add(other.name)
        force = sum(self.force[name] for name in carried if name in self.force)
        moment = sum(self.moment[name] for name in carried if name in self.moment)
        origin = self._at(Point(body, tree.bodies[tree.index[body]].origin))
        return np.asarray(force), np.asarray(moment - cross(origin[:, None], np.asarray(force)))

    def _at(self, point: Point) -> Array:
        return self.mechanism.position(self.pose, point)

    def _vector(self, vector: Vector) -> Array:
        if isinstance(vector, Segment):
            return np.asarray(self._at(vector.end) - self._at(vector.start))
        return self._at(vector) if isinstance(vector, Point) else self.mechanism.direction(self.pose, vector)

    def _along(self, rod: Distance, pull: Array) -> None:
        start, end = self._at(rod.start), self._at(rod.end)
        force = pull[..., None] * unit(end - start)[:, None]
        self.add_force(rod.start.body, start, force)
        self.add_force(rod.end.body, end, -force)

    def _component(self, vector: Vector, along: Direction, pull: Array) -> None:
        axis, value = self._vector(along), self._vector(vector)
        force = pull[..., None] * axis[:, None]
        if isinstance(vector, Direction):
            self.add_moment(vector.body, -pull[..., None] * cross(value, axis)[:, None])
        elif isinstance(vector, Segment):
            self.add_force(vector.start.body, self._at(vector.start), force)
            self.add_force(vector.end.body, self._at(vector.end), -force)
        else:
            self.add_force(vector.body, value, -force)
        self.add_moment(along.body, -pull[..., None] * cross(axis, value)[:, None])

    def _bearing(self, angle: Bearing, pull: Array) -> None:
        value, rise, run = (self._vector(v) for v in (angle.vector, angle.rise, angle.run))
        s, c = (np.sum(value * other, axis=-1, keepdims=True) for other in (rise, run))
        turn = (c * cross(value, rise) - s * cross(value, run)) / (s * s + c * c)
        moment = pull[..., None] * turn[:, None]
        if not isinstance(angle.vector, Direction) or angle.rise.body != angle.run.body:
            raise TypeError("a torque acts between two bodies' directions")
        self.add_moment(angle.vector.body, -moment)
        self.add_moment(angle.rise.body, moment)

    def _coordinate(self, name: str, pull: Array) -> None:
        """Torque about a hinge or force along a slide, against its parent."""
        tree = self.mechanism.tree
        body = tree.bodies[tree.index[name]]
        if body.axis is None:
            raise TypeError(f"{name} has no axis")
        axis = self.mechanism.direction(self.pose, Direction(body.parent, np.asarray(body.axis)))
        acting = pull[..., None] * axis[:, None]
        if body.freedom is Freedom.HINGE:
            self.add_moment(name, -acting)
            self.add_moment(body.parent, acting)
        else:
            at = self._at(Point(name, body.origin))
            self.add_force(name, at, -acting)
            self.add_force(body.parent, at, acting)

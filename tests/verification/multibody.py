"""Rigid bodies and joints of a general multibody library (exudyn), for building linkages a second time.

Solved as a static problem without forces: each body has six freedoms in Euler parameters, and joints and drives
together take away exactly all of them. Nothing of the program's own linkage is used.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import ceil

import exudyn
import numpy as np
from exudyn.itemInterface import (
    CoordinateConstraint,
    DistanceConstraint,
    GenericJoint,
    MarkerBodyRigid,
    MarkerNodeCoordinate,
    NodePointGround,
    NodeRigidBodyEP,
    ObjectGround,
    ObjectRigidBody,
    SphericalJoint,
)

SIDES = ("left", "right")
TOLERANCE = 1e-12
"""Residual at which the library's Newton iteration stops [m, products of unit vectors]."""

_STEP = 0.02  # largest change of a drive between two solutions [m]


def frame_along(axis):
    """Rotation matrix whose third column lies along an axis."""
    third = np.asarray(axis, dtype=float) / np.linalg.norm(axis)
    first = np.cross(third, np.eye(3)[np.argmin(np.abs(third))])
    first /= np.linalg.norm(first)
    return np.column_stack((first, np.cross(third, first), third))


def axis_from_angles(camber, toe, side):
    """Wheel axis, pointing left: square to the wheel plane's trace on the ground and to its steepest line."""
    out = 1.0 if side == "left" else -1.0
    forward = np.array([np.cos(toe), -out * np.sin(toe), 0.0])
    sideways = np.array([out * np.sin(toe), np.cos(toe), 0.0])
    steepest = np.array([0.0, 0.0, np.cos(camber)]) + out * np.sin(camber) * sideways
    return np.cross(steepest, forward)


class Multibody:
    """Rigid bodies, joints between points given as found, and drives on coordinates of bodies' own points."""

    def __init__(self):
        self.container = exudyn.SystemContainer()  # kept: the system dies with it
        self.system = self.container.AddSystem()
        self.still = self.system.AddNode(NodePointGround())
        self.bodies = {"ground": self.system.AddObject(ObjectGround())}
        self.origins = {"ground": np.zeros(3)}
        self.nodes = {}
        self.driven = {}
        self.held = {}

    def body(self, name, origin):
        """A free body whose own point (the one that can be driven) is ``origin`` as found."""
        node = self.system.AddNode(NodeRigidBodyEP(referenceCoordinates=[*origin, 1.0, 0.0, 0.0, 0.0]))
        # Mass and inertia take no part in a static solution without gravity; the library wants them positive.
        solid = ObjectRigidBody(mass=1.0, inertia=[1.0, 1.0, 1.0, 0.0, 0.0, 0.0], nodeNumber=node)
        self.nodes[name] = node
        self.bodies[name] = self.system.AddObject(solid)
        self.origins[name] = np.asarray(origin, dtype=float)

    def _markers(self, first, first_point, second, second_point, frame=None):
        markers = []
        for body, point in ((first, first_point), (second, second_point)):
            place = exudyn.HT(rotation=np.eye(3) if frame is None else frame, translation=point - self.origins[body])
            markers.append(self.system.AddMarker(MarkerBodyRigid(bodyNumber=self.bodies[body], localHT=place)))
        return markers

    def joint(self, first, first_point, second, second_point, constrained, along):
        """A general joint; ``constrained`` are the three shifts and three turns, in the first body's frame."""
        markers = self._markers(first, first_point, second, second_point, frame_along(along))
        self.system.AddObject(GenericJoint(markerNumbers=markers, constrainedAxes=constrained))

    def hinge(self, first, second, point, along):
        """Turning about a line."""
        self.joint(first, point, second, point, [1, 1, 1, 1, 1, 0], along)

    def slide(self, first, second, point, along):
        """Sliding along a line."""
        self.joint(first, point, second, point, [1, 1, 0, 1, 1, 1], along)

    def on_line(self, carrier, on_carrier, second, point, along):
        """A point of the second body stays on a line of the carrier, free to turn in every way."""
        self.joint(carrier, on_carrier, second, point, [1, 1, 0, 0, 0, 0], along)

    def ball(self, first, second, point):
        """A ball joint."""
        self.system.AddObject(SphericalJoint(markerNumbers=self._markers(first, point, second, point)))

    def weld(self, first, second, point):
        """Two bodies as one."""
        self.joint(first, point, second, point, [1, 1, 1, 1, 1, 1], (0.0, 0.0, 1.0))

    def feeler(self, name, carrier, point):
        """A body welded to another at a point, so that the point's coordinates can be driven or tied to others."""
        self.body(name, point)
        self.weld(carrier, name, point)

    def rod(self, first, first_point, second, second_point, name=None):
        """A rod of the length found between two points; with a name its change of length is a drive."""
        markers = self._markers(first, first_point, second, second_point)
        length = float(np.linalg.norm(second_point - first_point))
        rod = self.system.AddObject(DistanceConstraint(markerNumbers=markers, distance=length))
        if name is not None:
            self._driven(name, rod, "distance", length)

    def _driven(self, name, constraint, parameter, as_found):
        self.driven[name] = (constraint, parameter, as_found)
        self.held[name] = 0.0

    def _coordinates(self, *places):
        return [
            self.system.AddMarker(MarkerNodeCoordinate(nodeNumber=node, coordinate="xyz".index(letter)))
            for node, letter in places
        ]

    def drive(self, name, body, letter):
        """Displacement of a body's own point along x, y or z is given."""
        markers = self._coordinates((self.still, "x"), (self.nodes[body], letter))
        constraint = self.system.AddObject(CoordinateConstraint(markerNumbers=markers, offset=0.0))
        self._driven(name, constraint, "offset", 0.0)

    def tie(self, first, second, letter, sense):
        """The second body's own point moves along x, y or z as the first one's does (``sense`` -1: the other way)."""
        markers = self._coordinates((self.nodes[first], letter), (self.nodes[second], letter))
        self.system.AddObject(CoordinateConstraint(markerNumbers=markers, factor1=sense))

    def solve(self, wanted: Mapping[str, float]):
        """Lead the linkage from where it is to the wanted drives; those not named go back to as found."""
        goal = dict.fromkeys(self.held, 0.0) | dict(wanted)
        steps = max(1, ceil(max(abs(goal[name] - held) for name, held in self.held.items()) / _STEP))
        start = dict(self.held)
        for share in np.linspace(0, 1, steps + 1)[1:]:
            for name, (constraint, parameter, as_found) in self.driven.items():
                self.held[name] = float(start[name] + share * (goal[name] - start[name]))
                self.system.SetObjectParameter(constraint, parameter, as_found + self.held[name])
            self.system.SolveStatic(_settings(), updateInitialValues=True)  # raises where there is no solution

    def position(self, body, as_found):
        """Where a point of a body is now."""
        local = list(as_found - self.origins[body])
        return self.system.GetObjectOutputBody(self.bodies[body], exudyn.OutputVariableType.Position, local)

    def rotation(self, body):
        """How a body has turned, as a matrix."""
        turn = self.system.GetObjectOutputBody(self.bodies[body], exudyn.OutputVariableType.RotationMatrix)
        return np.reshape(turn, (3, 3))

    def direction(self, body, as_found):
        """Where a direction of a body points now."""
        return self.rotation(body) @ as_found

    def turned(self, body, on, along):
        """Angle [rad] by which a body has turned on another about a line given as found."""
        relative = self.rotation(on).T @ self.rotation(body)
        twice_sine = np.array(
            [relative[2, 1] - relative[1, 2], relative[0, 2] - relative[2, 0], relative[1, 0] - relative[0, 1]]
        )
        return np.arctan2(twice_sine @ along / np.linalg.norm(along), np.trace(relative) - 1)


def _settings():
    settings = exudyn.SimulationSettings()
    settings.solution.file.write = False
    settings.staticSolver.verboseMode = 0
    settings.staticSolver.newton.relativeTolerance = 1e-30  # the absolute one decides
    settings.staticSolver.newton.absoluteTolerance = TOLERANCE
    return settings

"""The two demo linkages once more, as rigid bodies and joints of a general multibody library (exudyn).

Built from the pivots alone and solved as a static problem without forces: each body has six freedoms in Euler
parameters, and joints and drives together take away exactly all of them. Nothing of the program's own linkage is
used. Roll bars are left out, since they do not move a linkage.
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
    """Wheel axis, pointing left: square to the wheel plane's traces in the transverse and in the ground plane."""
    out = 1.0 if side == "left" else -1.0
    upward = np.array([0.0, out * np.sin(camber), np.cos(camber)])
    forward = np.array([np.cos(toe), -out * np.sin(toe), 0.0])
    normal = np.cross(upward, forward)
    return normal / np.linalg.norm(normal)


class Multibody:
    """Rigid bodies, joints between points given as found, and drives on coordinates of bodies' own points."""

    def __init__(self):
        self.container = exudyn.SystemContainer()  # kept: the system dies with it
        self.system = self.container.AddSystem()
        self.still = self.system.AddNode(NodePointGround())
        self.bodies = {"ground": self.system.AddObject(ObjectGround())}
        self.origins = {"ground": np.zeros(3)}
        self.nodes = {}
        self.drives = {}
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

    def rod(self, first, first_point, second, second_point):
        """A rod of the length found between two points."""
        markers = self._markers(first, first_point, second, second_point)
        length = float(np.linalg.norm(second_point - first_point))
        self.system.AddObject(DistanceConstraint(markerNumbers=markers, distance=length))

    def drive(self, name, body, letter):
        """Displacement of a body's own point along x, y or z is given."""
        markers = [
            self.system.AddMarker(MarkerNodeCoordinate(nodeNumber=node, coordinate=coordinate))
            for node, coordinate in ((self.still, 0), (self.nodes[body], "xyz".index(letter)))
        ]
        self.drives[name] = self.system.AddObject(CoordinateConstraint(markerNumbers=markers, offset=0.0))
        self.held[name] = 0.0

    def solve(self, wanted: Mapping[str, float]):
        """Lead the linkage from where it is to the wanted drives."""
        steps = max(1, ceil(max(abs(wanted[name] - held) for name, held in self.held.items()) / _STEP))
        start = dict(self.held)
        for share in np.linspace(0, 1, steps + 1)[1:]:
            for name, constraint in self.drives.items():
                self.held[name] = float(start[name] + share * (wanted[name] - start[name]))
                self.system.SetObjectParameter(constraint, "offset", self.held[name])
            if not self.system.SolveStatic(_settings(), updateInitialValues=True):
                raise AssertionError(f"the multibody library found no solution for {self.held}")

    def position(self, body, as_found):
        """Where a point of a body is now."""
        local = list(as_found - self.origins[body])
        return self.system.GetObjectOutputBody(self.bodies[body], exudyn.OutputVariableType.Position, local)

    def direction(self, body, as_found):
        """Where a direction of a body points now."""
        turn = self.system.GetObjectOutputBody(self.bodies[body], exudyn.OutputVariableType.RotationMatrix)
        return np.reshape(turn, (3, 3)) @ as_found


def _settings():
    settings = exudyn.SimulationSettings()
    settings.solution.file.write = False
    settings.staticSolver.verboseMode = 0
    settings.staticSolver.newton.relativeTolerance = 1e-30  # the absolute one decides
    settings.staticSolver.newton.absoluteTolerance = TOLERANCE
    return settings


def strut_multibody(corners):
    """The strut axle; drives are ``left``, ``right`` (wheel travel) and ``rack``."""
    model = Multibody()
    model.body("rack", np.zeros(3))
    model.slide("ground", "rack", np.zeros(3), (0.0, 1.0, 0.0))
    model.drive("rack", "rack", "y")
    for side, corner in corners.items():
        arm, knuckle = f"{side}.arm", f"{side}.knuckle"
        model.body(arm, 0.5 * (corner.arm_front + corner.arm_rear))
        model.hinge("ground", arm, corner.arm_front, corner.arm_front - corner.arm_rear)
        model.body(knuckle, corner.wheel_centre)
        model.ball(arm, knuckle, corner.ball_joint)
        strut_line = corner.strut_top - corner.strut_foot
        model.on_line(knuckle, corner.strut_foot, "ground", corner.strut_top, strut_line)
        model.rod("rack", corner.tie_rod_inner, knuckle, corner.tie_rod_outer)
        model.drive(side, knuckle, "z")
    model.system.Assemble()
    return model


def beam_multibody(points, rod, turning):
    """The beam axle with its Panhard rod; ``points`` by side and name, ``rod`` its body and axle end.

    The hub carrier of the side ``turning`` turns about the tube's line. Drives are ``left`` and ``right``.
    """
    model = Multibody()
    carrier = f"{turning}.carrier"
    body_of = {side: carrier if side == turning else "tube" for side in SIDES}
    for side in SIDES:
        model.body(body_of[side], points[side]["wheel_centre"])
    tube_line = points["left"]["tube_end"] - points["right"]["tube_end"]
    model.hinge("tube", carrier, points[turning]["tube_end"], tube_line)
    for side in SIDES:
        eye = points[side]["arm_bush"]
        model.on_line("ground", eye, body_of[side], eye, (0.0, 1.0, 0.0))
        model.drive(side, body_of[side], "z")
    model.rod("ground", rod[0], "tube", rod[1])
    model.system.Assemble()
    return model

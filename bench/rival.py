"""The general multibody library at its quickest: what it takes for the same positions, and for the same outputs.

Its solver object is kept from one position to the next, its Jacobian too for as long as the iteration converges with it,
and the linear solver is the quickest one for few bodies; each position starts from the one before. Reading its states
needs a few calls from Python for each body; it gives no derivatives, so these are central differences, for which it
solves two more positions for each drive.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import exudyn
import numpy as np
from tests.verification.multibody import TOLERANCE, Multibody

from jounce.linkage.measured import MeasureSet
from jounce.linkage.measures import Component
from jounce.linkage.mechanism import Mechanism
from jounce.linkage.place import Placed
from jounce.linkage.tree import GROUND, Direction, Point

STEP = 2e-4
"""Change of a drive for a central difference [m]."""
NUMBERS = 12
"""Of a body: where its own point is, and its rotation matrix, row after row."""


class Rival:
    """A linkage in the multibody library, driven by its wheels' travels."""

    def __init__(self, twin: Multibody, drives: Sequence[str]) -> None:
        self.twin, self.drives = twin, tuple(drives)
        self.bodies = tuple(body for body in twin.bodies if body != "ground")
        self._solver = exudyn.MainSolverStatic()
        self._settings = _quickest()
        self.twin.solve({})

    def go(self, wanted: Sequence[float]) -> None:
        """Solve one position, starting from where the linkage is."""
        twin = self.twin
        for drive, value in zip(self.drives, wanted, strict=True):
            constraint, parameter, as_found = twin.driven[drive]
            twin.held[drive] = float(value)
            twin.system.SetObjectParameter(constraint, parameter, as_found + float(value))
        if not self._solver.SolveSystem(twin.system, self._settings):
            raise ArithmeticError(f"no position for {wanted}")
        data = twin.system.systemData
        data.SetSystemState(data.GetSystemState(), exudyn.ConfigurationType.Initial)

    def read(self, numbers: np.ndarray) -> None:
        """Read every body, into shape (bodies, 12)."""
        system, kind = self.twin.system, exudyn.OutputVariableType
        for row, body in zip(numbers, self.bodies, strict=True):
            number = self.twin.bodies[body]
            row[:3] = system.GetObjectOutputBody(number, kind.Position)
            row[3:] = system.GetObjectOutputBody(number, kind.RotationMatrix)

    def outputs(self, wanted: Sequence[float]) -> tuple[np.ndarray, np.ndarray]:
        """All bodies at one position, (bodies, 12), and their derivatives by each drive, (drives, bodies, 12)."""
        value = np.empty((len(self.bodies), NUMBERS))
        beside = np.empty((len(self.drives), 2, *value.shape))
        self.go(wanted)
        self.read(value)
        for k in range(len(self.drives)):
            for end, sign in enumerate((1.0, -1.0)):
                there = [travel + sign * STEP * (i == k) for i, travel in enumerate(wanted)]
                self.go(there)
                self.read(beside[k, end])
        return value, (beside[:, 0] - beside[:, 1]) / (2 * STEP)


def _quickest() -> exudyn.SimulationSettings:
    settings = exudyn.SimulationSettings()
    settings.solution.file.write = False
    settings.staticSolver.verboseMode = 0
    settings.staticSolver.computeLoadsJacobian = 0
    settings.staticSolver.adaptiveStep = False
    settings.staticSolver.newton.relativeTolerance = 1e-30  # the absolute one decides
    settings.staticSolver.newton.absoluteTolerance = TOLERANCE
    settings.staticSolver.newton.useModifiedNewton = True
    settings.linearSolver.solverType = exudyn.LinearSolverType.EigenDense
    return settings


def same_outputs(mechanism: Mechanism, bodies: Mapping[str, str], origins: Mapping[str, np.ndarray]) -> MeasureSet:
    """The rival's twelve numbers of each body as measures of the program's own linkage.

    Args:
        mechanism: the program's linkage
        bodies: its body for each of the rival's
        origins: where the rival's own points are as found [m]

    """
    measures = {}
    ground = [Direction(GROUND, axis) for axis in np.eye(3)]
    for name, body in bodies.items():
        for i in range(3):
            measures[f"{name} {i}"] = Component(Point(body, origins[name]), ground[i])
        for i in range(3):
            for k in range(3):
                measures[f"{name} {i} {k}"] = Component(Direction(body, np.eye(3)[k]), ground[i])
    return MeasureSet(mechanism.tree, measures)


def disagreement(rival: Rival, placed: Placed, travels: Sequence[str], measured: MeasureSet) -> tuple[float, float]:
    """Largest difference of the rival's values and derivatives from the program's, in the given positions [m, - and /m].

    Args:
        rival: at the same pivots
        placed: the program's positions, driven by the travels
        travels: names of the drives
        measured: see `same_outputs`

    """
    value, rate = placed.motions([{name: 1.0} for name in travels], second=False).first(measured)
    at = placed.mechanism.taken(tuple(travels)).values(placed.pose)
    worst = [0.0, 0.0]
    for state in range(len(value)):
        theirs, by_drive = rival.outputs(at[state])
        worst[0] = max(worst[0], float(np.abs(theirs.reshape(-1) - value[state]).max()))
        worst[1] = max(worst[1], float(np.abs(by_drive.reshape(len(travels), -1).T - rate[state]).max()))
    return worst[0], worst[1]

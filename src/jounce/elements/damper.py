"""Dampers: lengths between which they work, gas force on the rod, force over rod speed."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jounce.conventions.errors import InputError
from jounce.conventions.units import MM
from jounce.elements.law import Linear
from jounce.elements.limits import check_length, check_not_negative
from jounce.numerics.arrays import Array


@dataclass(frozen=True, slots=True)
class ForceVelocity:
    """Damper force over rod speed, from a test bench: rows of speed [m/s], bump force and rebound force [N].

    All three are written without sign, shape (rows,) each. Speeds rise; the row of no speed and no force may be left
    out. Between the rows, and beyond the last one, the force follows straight lines.

    Signs of the result: speed is positive in bump (the damper shortens), and so is the force that resists it.

    >>> curve = ForceVelocity(np.array([0.1, 0.3]), np.array([150.0, 350.0]), np.array([300.0, 900.0]))
    >>> curve.force(np.array([-0.3, 0.0, 0.2])).tolist()
    [-900.0, 0.0, 250.0]
    """

    speed: Array
    bump_force: Array
    rebound_force: Array

    def __post_init__(self) -> None:
        rows = {"speed": self.speed, "bump_force": self.bump_force, "rebound_force": self.rebound_force}
        for name, values in rows.items():
            rows[name] = np.asarray(values, dtype=np.float64)
        _check_curve(rows["speed"], rows["bump_force"], rows["rebound_force"])
        for name, values in rows.items():
            object.__setattr__(self, name, values if rows["speed"][0] == 0 else np.append(0.0, values))

    def force(self, speed: float | Array) -> Array:
        """Force that resists a rod speed [m/s], positive in bump, negative in rebound, in N."""
        rate, row, size = self._piece(speed)
        forces = np.where(np.asarray(speed) < 0, self.rebound_force[row], self.bump_force[row])
        return np.asarray(np.copysign(forces + rate * (size - self.speed[row]), speed) * (size > 0))

    def damping(self, speed: float | Array) -> Array:
        """Slope of the force over rod speed [m/s], in N s/m; at rest the mean of bump and rebound."""
        rate, _, size = self._piece(speed)
        at_rest = 0.5 * (self.bump_force[1] + self.rebound_force[1]) / self.speed[1]
        return np.asarray(np.where(size == 0, at_rest, rate))

    def _piece(self, speed: float | Array) -> tuple[Array, Array, Array]:
        """Slope, first row and size of the speed on the straight piece that holds it."""
        size = np.abs(np.asarray(speed, dtype=np.float64))
        row = np.clip(np.searchsorted(self.speed, size, side="right") - 1, 0, len(self.speed) - 2)
        steps = np.diff(self.speed)
        bump, rebound = np.diff(self.bump_force) / steps, np.diff(self.rebound_force) / steps
        return np.where(np.asarray(speed) < 0, rebound[row], bump[row]), np.asarray(row), size


@dataclass(frozen=True, slots=True)
class Damper:
    """A damper between two eyes: lengths in m, gas force in N, fields one value or one per variant.

    ``closed_length`` is where it is metal to metal, ``open_length`` where it tops out. ``gas_force`` pushes the rod out
    with a constant force: its rise over the stroke is left out. Without a curve the force over speed is not known.

    >>> damper = Damper(closed_length=0.320, open_length=0.480, gas_force=120.0)
    >>> round(float(damper.stroke) * 1e3, 6), round(float(damper.bump_left(0.390)) * 1e3, 6)
    (160.0, 70.0)
    """

    closed_length: float | Array
    open_length: float | Array
    gas_force: float | Array = 0.0
    curve: ForceVelocity | None = None

    def __post_init__(self) -> None:
        check_length("closed length of the damper", self.closed_length, 0.010, 3.0)
        check_length("open length of the damper", self.open_length, 0.010, 3.0)
        check_not_negative("gas force of the damper", self.gas_force, "N")
        opened, closed = np.broadcast_arrays(np.asarray(self.open_length, float), np.asarray(self.closed_length, float))
        bad = np.flatnonzero(opened <= closed)
        if bad.size:
            raise InputError(
                "The damper is not longer open than closed",
                found=f"{opened.flat[bad[0]] / MM:.6g} mm open",
                allowed=f"more than {closed.flat[bad[0]] / MM:.6g} mm",
                todo="Exchange the two lengths or measure again.",
            )

    @property
    def stroke(self) -> Array:
        """Travel of the rod from open to closed [m]."""
        return np.asarray(np.asarray(self.open_length) - self.closed_length)

    @property
    def gas_law(self) -> Linear:
        """The gas force over the damper's compression from any length [m]; it pushes the ends apart."""
        return Linear(rate=0.0, preload=self.gas_force)

    def bump_left(self, length: float | Array) -> Array:
        """Travel left until the damper is closed at a length between its eyes [m]; negative: shorter than it can be."""
        return np.asarray(np.asarray(length) - self.closed_length)

    def droop_left(self, length: float | Array) -> Array:
        """Travel left until the damper tops out at a length between its eyes [m]; negative: longer than it can be."""
        return np.asarray(np.asarray(self.open_length) - length)


def _check_curve(speed: Array, bump: Array, rebound: Array) -> None:
    if speed.ndim != 1 or not speed.size or speed.shape != bump.shape or speed.shape != rebound.shape:
        raise InputError(
            "The rows of a damper curve do not match",
            found=f"{speed.size} speeds, {bump.size} bump forces, {rebound.size} rebound forces",
            allowed="one bump force and one rebound force for each speed",
            todo="Write each row as speed, bump force, rebound force.",
        )
    for name, values, unit in (("rod speed", speed, "m/s"), ("bump force", bump, "N"), ("rebound force", rebound, "N")):
        check_not_negative(f"{name} of a damper curve (written without sign)", values, unit)
    resting = speed[0] == 0
    if np.any(np.diff(speed) <= 0) or speed[-1] == 0 or not np.all(np.isfinite([speed, bump, rebound])):
        raise InputError(
            "The speeds of a damper curve must rise",
            found=", ".join(f"{v:.6g}" for v in speed) + " m/s",
            todo="Put the rows in order of speed, each speed once, one of them above zero.",
        )
    if resting and (bump[0] or rebound[0]):
        raise InputError(
            "A damper curve has a force at no speed",
            found=f"{bump[0]:.6g} N bump, {rebound[0]:.6g} N rebound at 0 m/s",
            allowed="0 N",
            todo="Give the gas force as gas_force and the curve without it.",
        )

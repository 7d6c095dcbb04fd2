"""Damper force over rod speed: straight lines between the rows of a test bench."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jounce.conventions.errors import InputError
from jounce.elements.springs.limits import check_not_negative
from jounce.numerics.arrays import Array


@dataclass(frozen=True, slots=True)
class ForceVelocity:
    """Damper force over rod speed, from a test bench: rows of speed [m/s], bump force and rebound force [N].

    All three are written without sign, shape (rows,) each. Speeds rise; the row of no speed and no force may be left
    out. Between the rows the force follows straight lines. Beyond the last row it goes on along the last of them, level
    where that one falls, so that a damper never drives what it should damp; ``known`` tells what lies beyond.

    Signs of the result: speed is positive in bump (the damper shortens), and so is the force that resists it.

    >>> curve = ForceVelocity(np.array([0.1, 0.3]), np.array([150.0, 350.0]), np.array([300.0, 900.0]))
    >>> curve.force(np.array([-0.3, 0.0, 0.2])).tolist()
    [-900.0, 0.0, 250.0]
    >>> curve.known(np.array([-0.3, 0.31])).tolist()
    [True, False]
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

    @property
    def known_to(self) -> float:
        """Speed of the last row: beyond it nothing was measured [m/s]."""
        return float(self.speed[-1])

    def known(self, speed: float | Array) -> Array:
        """Whether a rod speed [m/s] lies within the rows, true or false [-]."""
        return np.asarray(np.abs(np.asarray(speed)) <= self.known_to)

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
        last = len(self.speed) - 1
        row = np.clip(np.searchsorted(self.speed, size, side="right") - 1, 0, last)
        bump, rebound = _slopes(self.speed, self.bump_force), _slopes(self.speed, self.rebound_force)
        return np.where(np.asarray(speed) < 0, rebound[row], bump[row]), np.asarray(row), size


def _slopes(speed: Array, force: Array) -> Array:
    """Slope of the piece behind each row; behind the last one that of the piece before it, or none if that falls."""
    slopes = np.diff(force) / np.diff(speed)
    return np.append(slopes, max(slopes[-1], 0.0))


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
    rising = np.all(np.diff(speed) > 0) and speed[-1] > 0 and np.all(np.isfinite([speed, bump, rebound]))
    if not rising:
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

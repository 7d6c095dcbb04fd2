"""A corner of a car that is pushed down and let go, and what a phone on its sill records: made without the product.

Two masses, a spring, a damper and dry friction between them, a tyre below; stepped by a general solver (LSODA). The phone
adds noise, leans, tells gravity with it, and its clock jitters and counts whole milliseconds.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.integrate import solve_ivp

GRAVITY = 9.80665


@dataclass(frozen=True)
class Corner:
    """A quarter of a car at its wheel: frequency on the spring alone [Hz], damping ratio there, friction [N]."""

    frequency: float
    ratio: float
    friction: float
    mass: float = 240.0
    unsprung: float = 28.0
    tyre: float = 170e3

    @property
    def spring(self) -> float:
        """Rate [N/m]."""
        return self.mass * (2 * np.pi * self.frequency) ** 2

    @property
    def damping(self) -> float:
        """Force per speed [N s/m]."""
        return 2 * self.ratio * np.sqrt(self.spring * self.mass)

    def let_go(self, depth: float, moments: np.ndarray) -> np.ndarray:
        """Acceleration of the body upwards after it was held down so deep [m/s²]."""

        def rates(_: float, state: np.ndarray) -> list[float]:
            body, axle, rising, axle_rising = state
            force = self._strut(body - axle, rising - axle_rising)
            return [rising, axle_rising, -force / self.mass, (force - self.tyre * axle) / self.unsprung]

        start = [-depth, -depth * self.spring / (self.spring + self.tyre), 0.0, 0.0]
        span = (0.0, float(moments[-1]))
        body, axle, rising, axle_rising = solve_ivp(
            rates, span, start, method="LSODA", t_eval=moments, rtol=1e-7, atol=1e-9, max_step=2e-3
        ).y
        return -self._strut(body - axle, rising - axle_rising) / self.mass

    def _strut(self, rise: np.ndarray, rising: np.ndarray) -> np.ndarray:
        return self.spring * rise + self.damping * rising + self.friction * np.tanh(rising / 0.003)


def recorded(corner: Corner, seed: int, rate: float = 100.0, pushes: int = 6, noise: float = 0.03):
    """Times [s] and three accelerations [m/s²] of a phone: pushed down by 35 mm, held, let go, some times.

    Each push is a smooth way down of 0.8 s; it is as deep as a hand hits it, a fifth more or less.
    """
    rng = np.random.default_rng(seed)
    pieces, now = [(np.arange(0.0, 1.0, 1e-3), np.zeros(1000))], 1.0
    for _ in range(pushes):
        depth = 0.035 * (1 + rng.uniform(-0.2, 0.2))
        way = np.arange(0.0, 1.2, 1e-3)
        share = np.clip(way / 0.8, 0, 1)
        bent = -depth * (60 * share - 180 * share**2 + 120 * share**3) / 0.8**2
        pieces.append((now + way, np.where(share < 1, bent, 0.0)))
        now += 1.2
        free = np.arange(0.0, 3.2, 1e-3)
        pieces.append((now + free, corner.let_go(depth, free)))
        now += 3.2
        pieces.append((now + np.arange(0.0, 0.6, 1e-3), np.zeros(600)))
        now += 0.6
    times, upward = (np.concatenate(part) for part in zip(*pieces, strict=True))
    told = np.arange(0.0, now - 0.02, 1 / rate)
    told = np.sort(told + rng.uniform(-1.5e-3, 1.5e-3, len(told)))
    lean = np.array([0.05, -0.03, 1.0])
    felt = np.outer(np.interp(told, times, upward) + GRAVITY, lean / np.linalg.norm(lean))
    return np.round(told - told[0], 3), felt + rng.normal(0.0, noise, felt.shape)


def as_csv(times: np.ndarray, felt: np.ndarray, head: str = "time (s),x (m/s^2),y (m/s^2),z (m/s^2)") -> str:
    """The file of a recorder."""
    rows = (f"{t:.3f},{x:.4f},{y:.4f},{z:.4f}" for t, (x, y, z) in zip(times, felt, strict=True))
    return "\n".join((head, *rows)) + "\n"

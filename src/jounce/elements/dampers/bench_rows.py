"""A damper's test on a bench made into rows: means at chosen speeds, how far the points spread, and where there are none.

Speed and force of a point are positive in bump: the damper shortens, and what resists that. Gas, which pushes the rod out
in both directions, shows as a mean of the two; it is told apart where the rod all but rests.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jounce.conventions.errors import InputError
from jounce.elements.dampers.force_velocity import ForceVelocity
from jounce.numerics.arrays import Array, BoolArray, IntArray

TEST_SPEEDS = (0.052, 0.13, 0.26, 0.39, 0.52, 1.05)
"""Rod speeds at which dampers are usually tested [m/s]: common practice."""

WINDOW = 0.1
"""Points within this share of a chosen speed make its mean [-]."""

NEAR = 0.03
"""So near to a chosen speed there must be points, or it has none: means are not carried farther [-]."""

_AT = 0.01  # points that come so near from one side hold a line's end at that speed [-]

SLOW = 0.06
"""Rod speed up to which the force is carried to rest by a straight line, to find the gas force [m/s]: common practice."""

_FEWEST = 4  # points of one direction from which a line is carried to rest [-]

_SENSES = (1.0, -1.0)


@dataclass(frozen=True, slots=True)
class BenchPoints:
    """Points of a test in the order in which they were taken: speed [m/s], force [N], number of the run, (points,) each."""

    speed: Array
    force: Array
    run: IntArray


@dataclass(frozen=True, slots=True)
class BenchMean:
    """Points of one direction about one speed.

    Attributes:
        force: their mean at that speed, by a straight line through them, in the sense of `BenchPoints` [N]
        spread: standard deviation from that line; 0 for one or two points [N]
        count: how many
        hysteresis: mean while the rod grows faster less mean while it slows down, against the motion; None where only
            one of the two was seen [N]

    """

    force: float
    spread: float
    count: int
    hysteresis: float | None


@dataclass(frozen=True, slots=True)
class Gap:
    """Rod speeds between which one direction has no points although a chosen speed lies there [m/s]."""

    direction: str
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class BenchTest:
    """What a test says.

    Attributes:
        speeds: chosen speeds up to the fastest that both directions reached, shape (speeds,) [m/s]
        bump: mean of each, None where there are no points
        rebound: likewise, forces negative
        gas_force: what pushes the rod out [N]
        gas_told: whether it was given
        gas_speed: rod speed at which it was told apart, 0 where both directions were carried to rest [m/s]
        friction: half of the difference of the two at rest; None where they were not carried there [N]
        gaps: speeds without points
        fastest_bump: fastest speed reached in bump [m/s]
        fastest_rebound: likewise, without sign [m/s]
        runs: number of runs

    """

    speeds: Array
    bump: tuple[BenchMean | None, ...]
    rebound: tuple[BenchMean | None, ...]
    gas_force: float
    gas_told: bool
    gas_speed: float
    friction: float | None
    gaps: tuple[Gap, ...]
    fastest_bump: float
    fastest_rebound: float
    runs: int

    @property
    def known_to(self) -> float:
        """Fastest speed that both directions reached [m/s]."""
        return min(self.fastest_bump, self.fastest_rebound)

    @property
    def missing(self) -> tuple[float, ...]:
        """Chosen speeds without points in one direction or both [m/s]."""
        both = zip(self.speeds, self.bump, self.rebound, strict=True)
        return tuple(float(speed) for speed, bump, rebound in both if bump is None or rebound is None)

    @property
    def curve(self) -> ForceVelocity:
        """Force over speed without the gas, from the speeds that have points in both directions.

        Raises:
            InputError: a force that would drive the rod once the gas is taken off
        """
        rows = [
            (v, bump.force - self.gas_force, self.gas_force - rebound.force)
            for v, bump, rebound in zip(self.speeds, self.bump, self.rebound, strict=True)
            if bump is not None and rebound is not None
        ]
        speed, bump, rebound = (np.array(column) for column in zip(*rows, strict=True))
        if min(bump.min(), rebound.min()) < 0:
            worst = int(np.argmin(np.minimum(bump, rebound)))
            raise InputError(
                "Without the gas force this test has a damper that drives its rod",
                found=f"{min(bump[worst], rebound[worst]):.6g} N at {speed[worst]:.6g} m/s, gas {self.gas_force:.6g} N",
                todo="Check the sign of the forces, or tell the gas force as it was weighed.",
            )
        return ForceVelocity(speed, bump, rebound)


def averaged(points: BenchPoints, speeds: tuple[float, ...] = TEST_SPEEDS, gas_force: float | None = None) -> BenchTest:
    """Rows of a test at chosen speeds.

    Nothing is carried beyond the fastest points, and a speed without points stays without a mean.

    Args:
        points: the test
        speeds: chosen speeds, rising [m/s]
        gas_force: what pushes the rod out where it was weighed; else it is the mean of both directions, carried to
            rest by straight lines where there are slow points enough, else at the slowest chosen speed [N]

    Raises:
        InputError: no chosen speed has points in both directions

    """
    most = [float(np.max(sense * points.speed, initial=0.0)) for sense in _SENSES]
    known_to = min(most)
    chosen = np.array([v for v in speeds if v <= known_to * (1 + _AT)])
    bump, rebound = (tuple(_mean(points, sense, float(v)) for v in chosen) for sense in _SENSES)
    both = [(float(v), b, r) for v, b, r in zip(chosen, bump, rebound, strict=True) if b is not None and r is not None]
    if not both:
        raise InputError(
            "No chosen speed has points in both directions",
            found=f"bump up to {most[0]:.6g} m/s, rebound up to {most[1]:.6g} m/s",
            allowed=", ".join(f"{v:g}" for v in speeds) + f" m/s, each with points within {NEAR:.0%}",
            todo="Choose other speeds, or check the signs and units of the columns.",
        )
    at_rest = [_at_rest(points, sense) for sense in _SENSES]
    known_at_rest = at_rest[0] is not None and at_rest[1] is not None
    at, slow_bump, slow_rebound = both[0]
    ends = (at_rest[0] or 0.0, at_rest[1] or 0.0) if known_at_rest else (slow_bump.force, slow_rebound.force)
    gas = 0.5 * sum(ends) if gas_force is None else gas_force
    gaps = (*_gaps(points, chosen, bump, "bump"), *_gaps(points, chosen, rebound, "rebound"))
    return BenchTest(
        chosen,
        bump,
        rebound,
        gas_force=gas,
        gas_told=gas_force is not None,
        gas_speed=0.0 if known_at_rest else at,
        friction=0.5 * (ends[0] - ends[1]) if known_at_rest else None,
        gaps=gaps,
        fastest_bump=most[0],
        fastest_rebound=most[1],
        runs=len(np.unique(points.run)),
    )


def _at_rest(points: BenchPoints, sense: float) -> float | None:
    """Force of one direction carried to rest; None without slow points enough, or all at one speed."""
    speed = sense * points.speed
    slow = (speed > 0) & (speed <= SLOW)
    if slow.sum() < _FEWEST or speed[slow].min() > 0.5 * SLOW or np.ptp(speed[slow]) < 0.25 * SLOW:
        return None
    return float(np.polyfit(speed[slow], points.force[slow], 1)[1])


def _mean(points: BenchPoints, sense: float, speed: float) -> BenchMean | None:
    near = np.abs(sense * points.speed - speed) <= WINDOW * speed
    force, off = points.force[near], sense * points.speed[near] - speed
    if not near.any() or np.abs(off).min() > NEAR * speed:
        return None
    slope = 0.0
    held = off.min() <= _AT * speed and off.max() >= -_AT * speed
    if held and np.ptp(off) > _AT * speed:
        slope = float(np.polyfit(off, force, 1)[0])
    mean = float(np.mean(force - slope * off))
    rest = force - slope * off - mean
    count = int(near.sum())
    spread = float(np.sqrt(np.sum(rest**2) / (count - 2))) if count > 2 else 0.0
    growing = _growing(points)[near]
    seen = growing.any() and (~growing).any()
    loop = sense * float(rest[growing].mean() - rest[~growing].mean()) if seen else None
    return BenchMean(mean, spread, count, loop)


def _growing(points: BenchPoints) -> BoolArray:
    """Whether the size of the speed grows from each point to the next, within its run."""
    growing = np.zeros(len(points.speed), dtype=bool)
    for run in np.unique(points.run):
        own = np.flatnonzero(points.run == run)
        if own.size > 1:
            growing[own] = np.gradient(np.abs(points.speed[own])) > 0
    return growing


def _gaps(points: BenchPoints, chosen: Array, means: tuple[BenchMean | None, ...], direction: str) -> list[Gap]:
    sense = 1.0 if direction == "bump" else -1.0
    seen = np.sort(sense * points.speed[sense * points.speed > 0])
    found: list[Gap] = []
    for speed, mean in zip(chosen, means, strict=True):
        if mean is not None:
            continue
        below, above = seen[seen < speed], seen[seen > speed]
        gap = Gap(direction, float(below[-1]) if below.size else 0.0, float(above[0]) if above.size else float("inf"))
        if gap not in found:
            found.append(gap)
    return found

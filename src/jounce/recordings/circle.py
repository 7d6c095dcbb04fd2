"""What whole laps both ways round a circle tell of a car: roll and steering-wheel angle per lateral acceleration.

Steady-state circular driving at constant radius (ISO 4138, quoted from memory). Over a whole lap the road's slope falls
out; what leans the sensor falls out between left and right; both are left as one offset of the sensor.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from scipy.special import stdtrit

from jounce.conventions.certainty import DEVIATIONS_SHOWN
from jounce.conventions.constants import GRAVITY
from jounce.conventions.errors import Impossible
from jounce.conventions.units import Kind, show
from jounce.numerics.arrays import Array
from jounce.recordings.bounce import Estimate
from jounce.recordings.laps import FeltDrive

__all__ = ["MOST_ACROSS", "CircleDrive", "DrivenLaps", "Unsure", "circled", "of_felt"]

MOST_ACROSS = 5.0
"""Lateral acceleration up to which laps count: beyond it a car no longer leans and steers in proportion [m/s²]."""
_FEWEST = 3  # each way
_REACHED = 2.5  # m/s² at least, each way
_APART = 1.5  # m/s² between the slowest and the fastest at least, each way


@dataclass(frozen=True, slots=True)
class DrivenLaps:
    """Some laps one way round at one speed.

    Attributes:
        turn: 1 to the left, -1 to the right
        across: lateral acceleration, by radius and time [m/s²]
        angle: how far the body leans outwards [rad]; None where it was not told
        steer: angle of the steering wheel into the turn [rad]; None where it was not told
        felt: size of what the sensor felt over what it feels standing [-]; None without a sensor

    """

    turn: float
    across: float
    angle: float | None
    steer: float | None = None
    felt: float | None = None


@dataclass(frozen=True, slots=True)
class Unsure:
    """What all laps share, as one standard deviation.

    Attributes:
        radius: share of the radius [-]
        scales: how far the scales of a sensor's two axes differ [-]; 0 where the lean was seen from outside

    """

    radius: float
    scales: float = 0.0


@dataclass(frozen=True, slots=True)
class CircleDrive:
    """What the laps say together.

    Attributes:
        laps: those that count
        fast: how many were too fast to count
        roll: outwards per lateral acceleration [rad/(m/s²)]; None where no lean was told
        steering: of the steering wheel into the turn per lateral acceleration [rad/(m/s²)]; None likewise
        lean: of the sensor itself, to the right positive [rad]
        bent: deviations by which a line that need not go through straight ahead would miss it [-]
        radius_felt: share by which the radius would have to be longer for what the sensor felt [-]; None without one

    """

    laps: tuple[DrivenLaps, ...]
    fast: int
    roll: Estimate | None
    steering: Estimate | None
    lean: float = 0.0
    bent: float = 0.0
    radius_felt: float | None = None


Aboard = Literal["sensor", "outside"]
"""Whether the lean was told by something aboard, which feels the turn itself too, or seen from outside."""


def circled(laps: Sequence[DrivenLaps], told_by: Aboard, unsure: Unsure) -> CircleDrive:
    """Gradients from laps both ways round.

    Args:
        laps: each as it was driven; lean by ``told_by``: of something aboard that of the apparent vertical
        told_by: whether the lean was told aboard or seen from outside
        unsure: what all laps share

    Raises:
        Impossible: one way only, too few laps, or too little between slow and fast
    """
    used = tuple(one for one in laps if one.across <= MOST_ACROSS)
    _enough(used, len(laps) - len(used))
    leaning, steered = (tuple(one for one in used if value(one) is not None) for value in (_angle, _steer))
    roll, lean, bent = None, 0.0, 0.0
    if leaning:
        _enough(leaning, 0)
        roll, lean, bent = _roll(leaning, told_by, unsure)
    steering = None
    if steered:
        _enough(steered, 0)
        steering = _steering(steered, unsure)
    return CircleDrive(used, len(laps) - len(used), roll, steering, lean, bent, _radius_felt(used))


def _angle(one: DrivenLaps) -> float | None:
    return one.angle


def _steer(one: DrivenLaps) -> float | None:
    return one.steer


def _enough(laps: Sequence[DrivenLaps], fast: int) -> None:
    """That there is enough of both ways."""
    besides = f"; {fast} {'was' if fast == 1 else 'were'} faster than counts" if fast else ""
    for turn, way in ((1.0, "left"), (-1.0, "right")):
        across = [one.across for one in laps if one.turn == turn]
        if not across:
            raise Impossible(
                f"There are no laps to the {way}{besides}. One way only, the road's slope and the sensor's own lean are "
                "told as roll: drive the same speeds the other way round."
            )
        if len(across) < _FEWEST:
            raise Impossible(
                f"{len(across)} laps to the {way} count{besides}; {_FEWEST} and more are needed, each at an even speed."
            )
        if max(across) < _REACHED or max(across) - min(across) < _APART:
            slowest, fastest, reach, apart = (
                show(one, Kind.ACCELERATION) for one in (min(across), max(across), _REACHED, _APART)
            )
            raise Impossible(
                f"To the {way} the laps lie between {slowest} and {fastest} across{besides}: too little to tell "
                f"a gradient. Drive from walking pace up to {reach} at least, slowest and fastest {apart} apart or more."
            )


def _columns(laps: Sequence[DrivenLaps]) -> tuple[Array, Array]:
    return np.array([one.turn for one in laps]), np.array([one.across for one in laps])


def _roll(laps: Sequence[DrivenLaps], told_by: Aboard, unsure: Unsure) -> tuple[Estimate, float, float]:
    """Roll gradient, the sensor's own lean, and by how many deviations a line of its own misses straight ahead."""
    turn, across = _columns(laps)
    told = np.array([one.angle for one in laps])

    def line(longer: float, wider: float) -> _LapLine:
        lateral = across * (1 + longer)
        lean = np.arctan(np.tan(told) * (1 + wider))
        rolled = lean - np.arctan(lateral / GRAVITY) if told_by == "sensor" else lean
        return _line(np.column_stack((lateral, turn)), rolled)

    found = line(0.0, 0.0)
    bent = 0.0
    if len(laps) > len(found.values) + 1:
        rolled = told - np.arctan(across / GRAVITY) if told_by == "sensor" else told
        free = _line(np.column_stack((across, turn, np.ones(len(laps)))), rolled)
        bent = float(free.values[2] / free.deviations[2]) if free.deviations[2] else 0.0
    return _estimate(found, line, unsure), float(found.values[1]), bent


def _steering(laps: Sequence[DrivenLaps], unsure: Unsure) -> Estimate:
    turn, across = _columns(laps)
    told = np.array([one.steer for one in laps])

    def line(longer: float, _: float) -> _LapLine:
        return _line(np.column_stack((across * (1 + longer), turn, np.ones(len(laps)))), told)

    return _estimate(line(0.0, 0.0), line, replace(unsure, scales=0.0))


@dataclass(frozen=True, slots=True)
class _LapLine:
    """Least squares: values, their deviations by what is left over, and how many numbers are left over."""

    values: Array
    deviations: Array
    free: int


def _line(matrix: Array, told: Array) -> _LapLine:
    """A line through laps that scatter more the faster they are: told by what is left of each lap itself.

    Deviations by the squares that are left, each enlarged by how much the lap draws the line to itself (HC3: MacKinnon
    and White, Journal of Econometrics 29 (1985) 305, from memory).
    """
    inverse = np.linalg.inv(matrix.T @ matrix)
    values = inverse @ matrix.T @ told
    left = told - matrix @ values
    pulled = np.einsum("ij,jk,ik->i", matrix, inverse, matrix)
    each = (left / np.maximum(1 - pulled, 1e-3)) ** 2
    spread = inverse @ (matrix.T * each) @ matrix @ inverse
    return _LapLine(values, np.sqrt(np.diag(spread)), len(told) - matrix.shape[1])


def _estimate(found: _LapLine, line: Callable[[float, float], _LapLine], unsure: Unsure) -> Estimate:
    """The slope with the band that holds nine of ten: the laps' scatter, and what all of them share."""
    slope = float(found.values[0])
    shared = [line(unsure.radius, 0.0).values[0] - slope, line(0.0, unsure.scales).values[0] - slope]
    own = stdtrit(found.free, 0.95) * float(found.deviations[0])
    return Estimate(slope, float(np.hypot(own, DEVIATIONS_SHOWN * float(np.hypot(*shared)))))


def _radius_felt(laps: Sequence[DrivenLaps]) -> float | None:
    """How much longer the radius would have to be for the size of what the sensor felt, which needs no radius."""
    felt = [(one.across, one.felt) for one in laps if one.felt is not None and one.across > _REACHED / 2]
    if not felt:
        return None
    across, size = np.array(felt).T
    by_size = GRAVITY**2 * np.maximum(size**2 - 1, 0)
    return float(np.sqrt((by_size @ across**2) / (across**2 @ across**2))) - 1


def of_felt(drives: Sequence[FeltDrive], radius: float) -> list[DrivenLaps]:
    """Laps that a sensor felt, its axes found from the laps themselves: across is what turns with the turn.

    Args:
        drives: recordings of both ways, the sensor fixed alike in all
        radius: of the circle that the sensor was driven on [m]

    Raises:
        Impossible: laps one way only
    """
    every = [(drive.turn, one) for drive in drives for one in drive.laps]
    standing = float(np.mean([drive.standing for drive in drives]))
    if len({turn for turn, _ in every}) < 2:
        _enough([DrivenLaps(turn, radius * one.turning, None) for turn, one in every], 0)
    across = np.array([radius * one.turning for _, one in every])
    turn = np.array([turn for turn, _ in every])
    felt = np.array([one.felt for _, one in every])
    (way, middle), *_ = np.linalg.lstsq(np.column_stack((turn * across, np.ones(len(turn)))), felt, rcond=None)
    way = way / np.linalg.norm(way)
    up = middle - (middle @ way) * way
    up = up / np.linalg.norm(up)
    lean = turn * np.arctan2(felt @ way, felt @ up)
    steer = _into_the_turn(turn, [one.steering for _, one in every])
    return [
        DrivenLaps(turn[k], across[k], lean[k], steer[k], float(np.linalg.norm(felt[k])) / standing)
        for k in range(len(every))
    ]


def _into_the_turn(turn: Array, steering: Sequence[float | None]) -> list[float | None]:
    """Steering-wheel angles into the turn, whichever way the file counts them."""
    if any(one is None for one in steering):
        return [None] * len(steering)
    told = np.array(steering, dtype=float)
    mean = told[turn > 0].mean() - told[turn < 0].mean()
    sense = 1.0 if mean >= 0 else -1.0
    return [float(one) for one in turn * sense * told]

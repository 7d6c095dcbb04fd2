"""The car on a random road: shaking at the seat, pitch, roll, strokes and tyre loads, by spectra.

The car is linear about where it sits. Dampers with curves are replaced by the straight lines that fit the rod speeds of
this very road and speed best, found in turns until speeds and lines agree. Stops and lift-off are not met: how often
they would be is told by the strokes and loads beside what is left of them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from jounce.behaviour.ride.comfort import BAND, seat_weighting
from jounce.behaviour.ride.dampers import Curves, at_random, at_swinging
from jounce.behaviour.ride.road_surface import Road
from jounce.behaviour.ride.small_motions import CORNERS, SmallMotions
from jounce.behaviour.ride.vibration import Output, Vibration, spectra
from jounce.behaviour.road.forces import FREEDOMS, PITCH, ROLL
from jounce.conventions.axes import Corner
from jounce.conventions.errors import NotConverged
from jounce.numerics.arrays import Array

_LINES = 1600
FREQUENCIES = np.geomspace(BAND[0] / 5, BAND[1], _LINES)
"""Frequencies of the spectra; RMS values are taken over `comfort.BAND` [Hz]."""
_ROUNDS, _AGREED = 60, 1e-9


@dataclass(frozen=True, slots=True)
class RandomRide:
    """The car on one road at one speed; RMS values over 0.5 to 80 Hz.

    Attributes:
        road: the road
        speed: of the car [m/s]
        weighted: at the seat, weighted by Wk [m/s²]
        acceleration: at the seat, unweighted [m/s²]
        over_axle: of the body over front and rear axle, shape (2,) [m/s²]
        pitch_acceleration: [rad/s²]
        roll_acceleration: [rad/s²]
        stroke: wheel travel of each wheel, shape (4,) [m]
        load: tyre load variation of each, shape (4,) [N]
        load_share: the same of the load standing, shape (4,) [-]
        rod_speed: of each damper, shape (4,) [m/s]
        damping: straight line of each damper at these speeds, by corner [N s/m]

    """

    road: Road
    speed: float
    weighted: float
    acceleration: float
    over_axle: Array
    pitch_acceleration: float
    roll_acceleration: float
    stroke: Array
    load: Array
    load_share: Array
    rod_speed: Array
    damping: Mapping[Corner, float]


def random_ride(motions: SmallMotions, curves: Curves, road: Road, speed: float, seat: Array) -> RandomRide:
    """Drive a car over a random road.

    Args:
        motions: the car about where it sits
        curves: curves of all four dampers
        road: the road
        speed: of the car [m/s]
        seat: where a person sits, body axes as found, shape (3,) [m]

    Raises:
        NotConverged: the dampers' lines find no agreement with the speeds
    """
    ground = road.heights(FREQUENCIES, speed, motions.foot)
    damping = _agreeing(motions, curves, ground)
    system = motions.damped(damping)
    outputs = ride_outputs(motions, seat)
    found = spectra(system, outputs, FREQUENCIES, ground)
    weight = seat_weighting(FREQUENCIES) ** 2
    rms = {output.name: _rms(found[:, k]) for k, output in enumerate(outputs)}
    stroke, load = (np.array([rms[f"{what} {k}"] for k in range(CORNERS)]) for what in ("stroke", "load"))
    return RandomRide(
        road,
        speed,
        _rms(found[:, 0] * weight),
        rms["seat"],
        np.array([rms["over front"], rms["over rear"]]),
        rms["pitch"],
        rms["roll"],
        stroke,
        load,
        load / motions.load,
        _rod_speeds(motions, system, ground),
        damping,
    )


def ride_outputs(motions: SmallMotions, seat: Array) -> tuple[Output, ...]:
    """What is asked of a car on a road: seat first, then body, strokes and loads.

    Args:
        motions: the car about where it sits
        seat: where a person sits, body axes as found, shape (3,) [m]
    """
    nothing, flat = np.zeros(FREEDOMS), np.zeros(CORNERS)
    one = np.eye(FREEDOMS)
    front, rear = (np.array([motions.foot[rows, 0].mean(), 0.0, 0.0]) for rows in (slice(2), slice(2, 4)))
    accelerations = {
        "seat": motions.raised(seat),
        "over front": motions.raised(front),
        "over rear": motions.raised(rear),
        "pitch": one[PITCH],
        "roll": one[ROLL],
    }
    found = [Output(name, nothing, row, flat) for name, row in accelerations.items()]
    found += [Output(f"stroke {k}", one[3 + k], nothing, flat) for k in range(CORNERS)]
    tyres = np.diag(motions.tyre_rate)
    found += [Output(f"load {k}", -motions.undamped.push[:, k], nothing, tyres[k]) for k in range(CORNERS)]
    return tuple(found)


def _agreeing(motions: SmallMotions, curves: Curves, ground: Array) -> dict[Corner, float]:
    """Straight lines of the dampers that belong to the rod speeds they themselves lead to."""
    damping = {corner: at_swinging(curves[corner], 0.1) for corner in motions.corners}
    for _ in range(_ROUNDS):
        speeds = _rod_speeds(motions, motions.damped(damping), ground)
        new = {corner: at_random(curves[corner], float(v)) for corner, v in zip(motions.corners, speeds, strict=True)}
        apart = max(abs(new[corner] - damping[corner]) / max(new[corner], 1.0) for corner in new)
        damping = new
        if apart < _AGREED:
            return damping
    raise NotConverged(
        f"The dampers on this road: lines and speeds still differ by {apart:.1e} after {_ROUNDS} rounds."
    )


def _rod_speeds(motions: SmallMotions, system: Vibration, ground: Array) -> Array:
    freedoms = system.response(FREQUENCIES)
    rods = np.einsum("ci,nij->ncj", motions.damper_rate, freedoms) * (2j * np.pi * FREQUENCIES)[:, None, None]
    density = np.einsum("nci,nij,ncj->nc", rods, ground, rods.conj()).real
    return np.array([_rms(density[:, k]) for k in range(CORNERS)])


def _rms(density: Array) -> float:
    """Root mean square over the band of comfort."""
    inside = (BAND[0] * (1 - 1e-12) <= FREQUENCIES) & (BAND[1] * (1 + 1e-12) >= FREQUENCIES)
    return float(np.sqrt(np.trapezoid(density[inside], FREQUENCIES[inside])))

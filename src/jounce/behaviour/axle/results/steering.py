"""What the steering gear does: to each wheel, and to the turn that both describe."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from jounce.behaviour.axle.results.analytic import divided
from jounce.behaviour.axle.results.reading import AxleKinematics
from jounce.behaviour.axle.results.steering_axis import steering_axis
from jounce.behaviour.axle.results.wheel import camber_rate
from jounce.layouts.naming import SIDES, SideName
from jounce.numerics.arrays import Array
from jounce.numerics.complex_step import bearing

_STRAIGHT = 1e-6  # a gear or wheels that have moved less than this describe no turn [m or rad]


def steered_wheel(reading: AxleKinematics, side: SideName) -> Mapping[str, Array]:
    """Changes of a wheel per movement of the gear and per its own steer angle, wheel travels held [rad/m or -]."""
    if reading.gear is None:
        return {}
    turned = reading.rate("steer", side, "steer")
    values = {f"steer_per_{reading.gear}": turned}
    values["steer_camber"] = divided(camber_rate(reading, side, "steer"), turned)
    if reading.has(side, "caster"):
        values["steer_caster"] = divided(reading.rate("steer", side, "caster"), turned)
    return values


def steering(reading: AxleKinematics) -> Mapping[str, Array]:
    """The gear and the turn: travel [m], angles [rad], ratio [-], Ackermann share [-], turning circle [m]."""
    if reading.gear is None:
        return {}
    drive = reading.value(reading.gear)
    values = {
        "rack_travel" if reading.gear == "rack" else "pitman_angle": drive,
        **_handwheel(reading, drive),
    }
    track = _kingpin_track(reading)
    if track is not None:
        values["kingpin_track"] = track
    if track is not None and reading.context.wheelbase is not None:
        values |= _turn(reading, track, reading.context.wheelbase)
    return values


def _handwheel(reading: AxleKinematics, drive: Array) -> Mapping[str, Array]:
    """Steering-wheel angle and overall ratio; the pinion or box is such that a left turn of one is one of the other."""
    per_handwheel = reading.context.drive_per_handwheel
    if per_handwheel is None:
        return {}
    mean = 0.5 * (reading.rate("steer", "left", "steer") + reading.rate("steer", "right", "steer"))
    sense = np.where(mean.real < 0, -1.0, 1.0)
    return {
        "handwheel_angle": sense * drive / per_handwheel,
        "steering_ratio": divided(sense, mean * per_handwheel),
    }


def _kingpin_track(reading: AxleKinematics) -> Array | None:
    where = []
    for side in SIDES:
        axis = steering_axis(reading, side)
        if axis is None:
            return None
        where.append(axis.through(reading.point(side, "contact"), reading.road_normal)[:, 1])
    return np.asarray(where[0] - where[1])


def _turn(reading: AxleKinematics, track: Array, wheelbase: Array) -> Mapping[str, Array]:
    """Ackermann's condition and the turning circle."""
    turned = np.stack([reading.change(side, "steer") for side in SIDES])
    left = np.where(turned.real.sum(0) < 0, -1.0, 1.0)
    on_the_left = reading.forward * left > 0  # a rear axle steered to the left turns the car to the right
    inner, outer = (left * np.where(on_the_left, turned[i], turned[1 - i]) for i in (0, 1))
    moved = np.abs(reading.value(str(reading.gear)).real) > _STRAIGHT
    turning = moved & (np.minimum(inner.real, outer.real) > _STRAIGHT)
    share = track / wheelbase
    ideal_inner = bearing(np.sin(outer), np.cos(outer) - share * np.sin(outer))
    ideal_outer = bearing(np.sin(inner), np.cos(inner) + share * np.sin(inner))
    # From the other axle's line to the outer wheel's contact point, along the car.
    found = [reading.found(side, "wheel_x") for side in SIDES]
    ahead = [
        reading.forward * (reading.value(s, "contact_x") - x) + wheelbase for s, x in zip(SIDES, found, strict=True)
    ]
    whole = [left * reading.value(side, "steer") for side in SIDES]
    radius = divided(np.where(on_the_left, ahead[1], ahead[0]), np.sin(np.where(on_the_left, whole[1], whole[0])))
    values = {
        "ideal_inner_steer": left * ideal_inner,
        "ideal_outer_steer": left * ideal_outer,
        "ackermann": divided(inner - outer, ideal_inner - outer),
        "turning_circle": 2 * radius,
    }
    return {name: np.where(turning, value, np.nan) for name, value in values.items()}

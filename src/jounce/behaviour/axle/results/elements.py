"""What hangs on a wheel: spring, damper, torsion bar, roll bars, arms, drive shaft."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from jounce.behaviour.axle.results.analytic import between, divided
from jounce.behaviour.axle.results.reading import AxleKinematics, Path
from jounce.layouts.naming import SideName, named
from jounce.linkage.measures import Distance
from jounce.numerics.arrays import Array
from jounce.numerics.complex_step import bearing, size
from jounce.numerics.vectors import Y, Z, length, unit


def springs_and_dampers(reading: AxleKinematics, side: SideName) -> Mapping[str, Array]:
    """Lengths [m], ratios [-], tilts [rad]; a torsion bar's twist [rad] and ratio [rad/m]."""
    values: dict[str, Array] = {}
    for part in ("damper", "spring"):
        if reading.has(side, part):
            values |= {
                f"{part}_length": reading.value(side, part),
                f"{part}_ratio": -_ratio(reading, "motion", side, part),
                f"{part}_roll_ratio": -_ratio(reading, "opposite", side, part),
                **_tilt(reading, side, part),
            }
    if reading.has(side, "torsion_bar"):
        values["torsion_bar_angle"] = reading.value(side, "torsion_bar")
        values["torsion_bar_ratio"] = _ratio(reading, "motion", side, "torsion_bar")
    return values


def bars(reading: AxleKinematics, side: SideName) -> Mapping[str, Array]:
    """This side's halves of the anti-roll bars: angles [rad] and ratios [rad/m]."""
    values: dict[str, Array] = {}
    for bar in ("roll_bar", "roll_bar_2"):
        if reading.has(side, f"{bar}_angle"):
            values[f"{bar}_angle"] = reading.value(side, f"{bar}_angle")
            values[f"{bar}_ratio"] = _ratio(reading, "motion", side, f"{bar}_angle")
    return values


def arms(reading: AxleKinematics, side: SideName) -> Mapping[str, Array]:
    """Turns of the arms from as found, and the slope of a beam's trailing arm [rad]."""
    angles = ("arm_angle", "lower_arm_angle", "upper_arm_angle")
    values = {angle: reading.change(side, angle) for angle in angles if reading.has(side, angle)}
    bush = reading.linkage.sites.get(named(reading.axle, side, "arm_bush"))
    if bush is not None:
        line = reading.point(side, "wheel") - reading.position(bush.second)
        values["trailing_arm_slope"] = bearing(line[:, 2], size(line[:, 0]))
    return values


def drive_shafts(reading: AxleKinematics, side: SideName) -> Mapping[str, Array]:
    """Joint angles [rad] and plunge [m] of a drive shaft, where there is one."""
    if side not in reading.linkage.drive_shafts:
        return {}
    inner, outer = reading.linkage.drive_shafts[side]
    shaft = reading.position(outer) - reading.position(inner)
    found = length(np.atleast_2d(outer.at) - np.atleast_2d(inner.at))[..., 0]
    return {
        "drive_shaft_outer_angle": between(shaft, reading.direction(reading.linkage.wheels[side].axis)),
        "drive_shaft_inner_angle": between(shaft, Y[None]),
        "drive_shaft_plunge": length(shaft)[..., 0] - found,
    }


def _ratio(reading: AxleKinematics, path: Path, side: SideName, measure: str) -> Array:
    return divided(reading.rate(path, side, measure), reading.rate(path, side, "travel"))


def _tilt(reading: AxleKinematics, side: SideName, part: str) -> Mapping[str, Array]:
    """Angle of the part's line to the body's vertical; a leaf has no such line."""
    measure = reading.stand.measures[named(reading.axle, side, part)]
    if not isinstance(measure, Distance):
        return {}
    line = reading.position(measure.end) - reading.position(measure.start)
    return {f"{part}_tilt": between(unit(line), Z[None])}

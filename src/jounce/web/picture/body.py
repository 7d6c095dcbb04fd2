"""The car's body as an outline: arches where they were measured, the rest drawn for the eye from the body's style.

Between the arches and beyond the wheels nothing of it was measured: it says where front and rear, floor and roof are,
and is sent as an outline for that reason. It moves as the body does.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from jounce.car.file.document import CarDocument
from jounce.conventions.axes import ENDS, SIDES, End, Side
from jounce.numerics.arrays import Array
from jounce.web.charts.travel_curves import StandingAxle
from jounce.web.picture.scene import bare, tenths

__all__ = ["outline"]

Line = Sequence[tuple[float, float]]

_NOSE: Line = ((0.70, 0.30), (0.74, 0.44), (0.72, 0.58), (0.66, 0.70), (0.55, 0.75), (-0.28, 0.93))
"""Front bumper to the foot of the windscreen: x from the front wheels, z over the road [m]."""
_STYLES: Mapping[str, tuple[Line, Line]] = {
    "hatchback": (
        ((-0.98, 1.36), (-1.25, 1.40)),
        ((0.28, 1.36), (-0.46, 0.92), (-0.56, 0.80), (-0.58, 0.40), (-0.52, 0.30)),
    ),
    "saloon": (
        ((-0.98, 1.34), (-1.25, 1.37)),
        ((0.62, 1.34), (0.06, 0.97), (-0.70, 0.94), (-0.78, 0.78), (-0.78, 0.42), (-0.70, 0.31)),
    ),
    "coupe": (
        ((-1.02, 1.24), (-1.30, 1.27)),
        ((0.66, 1.23), (-0.32, 0.95), (-0.62, 0.90), (-0.68, 0.72), (-0.68, 0.42), (-0.60, 0.31)),
    ),
    "estate": (
        ((-0.98, 1.36), (-1.25, 1.41)),
        ((-0.42, 1.37), (-0.74, 0.92), (-0.80, 0.80), (-0.80, 0.42), (-0.72, 0.31)),
    ),
    "van": (
        ((-0.92, 1.42), (-1.15, 1.60)),
        ((-0.42, 1.60), (-0.58, 1.50), (-0.60, 0.80), (-0.60, 0.42), (-0.54, 0.31)),
    ),
}
"""By a word of the body's style: windscreen's head and roof, x from the front wheels; the tail, x from the rear ones."""
_SILL, _BELT = 0.24, 0.93
_INWARD = 0.22
"""How far the roof's edge lies inside the side, per height over the belt [m/m]."""
_ROUND = 0.14
"""How far from a corner its rounding begins [m]."""
_ARCH_STEPS = 14
_BESIDE_TYRE = 0.10
"""The side lies this far outside the wheels' middle planes [m]."""


def outline(document: CarDocument, axles: Sequence[StandingAxle]) -> dict[str, Any]:
    """Lines of the body in its own axes: both sides, and across from one to the other.

    Args:
        document: the car
        axles: front and rear
    """
    centres = {
        (end, side): bare(axle.model.linkage.wheels[side.value].centre.at)
        for end, axle in zip(ENDS, axles, strict=True)
        for side in SIDES
    }
    rear = float(centres[End.REAR, Side.LEFT][0])
    wide = max(abs(float(at[1])) for at in centres.values()) + _BESIDE_TYRE
    style = next((word for word in _STYLES if word in document.car.body), "hatchback")
    roof, tail = _STYLES[style]
    tail = [(rear + x, z) for x, z in tail]
    ends = {}
    sides: list[list[int]] = []
    for side in SIDES:
        arches = [_arch(centres[end, side], document.heights.corner(end, side).value) for end in ENDS]
        sill = [point for arch in arches for point in arch]
        rounded = _rounded([*_NOSE, *roof, *tail])
        ends[side] = _placed(rounded[1::3], wide, side)
        sides.append(tenths(_placed([*rounded, *reversed(sill)], wide, side).ravel()))
    across = [tenths(np.concatenate([ends[side][k] for side in SIDES])) for k in range(len(ends[Side.LEFT]))]
    glass = [tenths(_placed(_glass(roof, tail), wide, side).ravel()) for side in SIDES]
    return {"sides": sides, "across": across, "glass": glass}


def _arch(centre: Array, height: float) -> list[tuple[float, float]]:
    """The edge of an arch from front to rear, as far round the wheel as the sill leaves it."""
    low = np.arcsin(np.clip((_SILL - centre[2]) / height, -0.9, 0.9))
    angles = np.linspace(low, np.pi - low, _ARCH_STEPS)
    return [(float(centre[0] + height * np.cos(a)), float(centre[2] + height * np.sin(a))) for a in angles]


def _glass(roof: Line, tail: Line) -> list[tuple[float, float]]:
    """The side window: inside of windscreen pillar, roof and tail."""
    front, rear = roof[0], tail[0]
    foot = _NOSE[-1]
    behind = next((x for x, z in tail if z < 1.0), rear[0])
    low = _BELT + 0.03
    return [
        (foot[0] - 0.24, low),
        (front[0] - 0.10, front[1] - 0.06),
        (rear[0] + 0.06, rear[1] - 0.07),
        (max(behind, rear[0] - 0.5) + 0.28, low),
        (foot[0] - 0.24, low),
    ]


def _rounded(line: Line) -> list[tuple[float, float]]:
    """Every corner as three points on a curve through it; the second of them is where a line runs across."""
    flat = np.array([line[0], *line, line[-1]], dtype=np.float64)
    made = []
    for before, corner, after in zip(flat[:-2], flat[1:-1], flat[2:], strict=True):
        cut = min(_ROUND, *(0.45 * float(np.linalg.norm(one - corner)) for one in (before, after)))
        one, two = (
            corner + cut * (far - corner) / max(float(np.linalg.norm(far - corner)), 1e-9) for far in (before, after)
        )
        made += [one, 0.25 * one + 0.5 * corner + 0.25 * two, two]
    return [(float(x), float(z)) for x, z in made]


def _placed(line: Line, wide: float, side: Side) -> Array:
    """Points of a side in the body's axes, leaning inward over the belt."""
    flat = np.array(line, dtype=np.float64)
    y = side.outward * (wide - _INWARD * np.maximum(flat[:, 1] - _BELT, 0.0) * 2)
    return np.stack((flat[:, 0], y, flat[:, 1]), axis=-1)

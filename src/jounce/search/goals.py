"""What a package shall achieve: windows for the numbers that a driver feels, each with a weight and a reason."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jounce.conventions.errors import InputError
from jounce.conventions.quantities import RESULTS
from jounce.conventions.units import Kind
from jounce.numerics.arrays import Array


@dataclass(frozen=True, slots=True)
class Metric:
    """A number of a package.

    Attributes:
        name: its name in goals
        label: name for people
        kind: what it measures
        scale: how far outside a window counts as one whole miss [SI]

    """

    name: str
    label: str
    kind: Kind
    scale: float


METRICS: dict[str, Metric] = {
    metric.name: metric
    for metric in (
        Metric("front_frequency", "front ride frequency", Kind.FREQUENCY, 0.10),
        Metric("rear_frequency", "rear ride frequency", Kind.FREQUENCY, 0.10),
        Metric("frequency_ratio", "rear over front frequency", Kind.RATIO, 0.10),
        Metric(
            "roll_gradient",
            RESULTS["roll_gradient"].label,
            Kind.ANGLE_PER_ACCELERATION,
            float(np.radians(0.5)) / 9.80665,
        ),
        Metric("front_share", RESULTS["front_share_of_transfer"].label, Kind.SHARE, 0.03),
        Metric("rear_lift", RESULTS["rear_lift"].label, Kind.ACCELERATION, 0.05 * 9.80665),
        Metric("front_bump", "front bump travel to the end", Kind.LENGTH, 0.010),
        Metric("rear_bump", "rear bump travel to the end", Kind.LENGTH, 0.010),
        Metric("front_free", "front travel to the rubber", Kind.LENGTH, 0.005),
        Metric("rear_free", "rear travel to the rubber", Kind.LENGTH, 0.005),
    )
}
"""Numbers of which goals may speak; the price has a limit of its own."""


@dataclass(frozen=True, slots=True)
class Goal:
    """A window for one number.

    Attributes:
        metric: which number
        low: least wanted [SI]
        high: most wanted [SI]
        weight: how much a miss counts beside the others [-]
        reason: why it is wanted, as the customer would say it

    """

    metric: str
    low: float
    high: float
    weight: float = 1.0
    reason: str = ""

    def __post_init__(self) -> None:
        if self.metric not in METRICS:
            raise InputError(
                "There is no such goal", found=self.metric, allowed=", ".join(METRICS), todo="Choose one of them."
            )
        if not self.low <= self.high:
            raise InputError(
                f"The window for {METRICS[self.metric].label} is empty",
                found=f"{self.low:.6g} to {self.high:.6g}",
                todo="Give the smaller number first.",
            )

    def outside(self, value: float) -> float:
        """How far a value lies below (negative) or above the window; none within it [SI]."""
        return value - min(max(value, self.low), self.high)

    def miss(self, values: Array) -> Array:
        """How far values lie outside the window, in whole misses; infinite for no number [-]."""
        below, above = self.low - values, values - self.high
        outside = np.maximum(np.maximum(below, above), 0.0) / METRICS[self.metric].scale
        return np.asarray(np.where(np.isnan(values), np.inf, outside))


def usual_goals() -> tuple[Goal, ...]:
    """Goals for a brisk road car that also sees club days; common practice, no source."""
    per_g = float(np.radians(1.0)) / 9.80665
    return (
        Goal("front_frequency", 1.45, 1.75, 1.0, "firm but still a road car"),
        Goal("frequency_ratio", 1.05, 1.25, 1.0, "flat over bumps at speed"),
        Goal("roll_gradient", 3.5 * per_g, 4.6 * per_g, 1.0, "less roll without being harsh"),
        Goal("front_share", 0.46, 0.54, 1.0, "turns in, does not run wide"),
        Goal("rear_lift", 0.90 * 9.80665, 1.30 * 9.80665, 1.0, "all four wheels on the ground in a normal corner"),
        Goal("front_bump", 0.050, 0.150, 1.0, "travel left before anything is solid"),
        Goal("rear_bump", 0.050, 0.150, 1.0, "travel left before anything is solid"),
        Goal("front_free", 0.010, 0.060, 0.5, "does not sit on its rubbers"),
        Goal("rear_free", 0.010, 0.060, 0.5, "does not sit on its rubbers"),
    )

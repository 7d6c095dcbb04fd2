"""Dampers that suit the springs: critical damping at the wheel and at the rod, the forces to order, what is there now.

The ratio told here is the plain one, ``c / (2 √(k m))`` with wheel rate and body mass over the wheel, tyre left out; the
modes of the whole car have ratios of their own.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jounce.behaviour.ride.dampers import Curves
from jounce.behaviour.ride.modes import ride_ends
from jounce.behaviour.ride.small_motions import SmallMotions
from jounce.behaviour.road.forces import TRAVELS
from jounce.elements.dampers.bench_rows import TEST_SPEEDS
from jounce.elements.dampers.force_velocity import ForceVelocity
from jounce.numerics.arrays import Array

ORDER_SPEEDS = np.array(TEST_SPEEDS)
"""Rod speeds at which a damper is ordered: those at which it is tested [m/s]."""

_HEAVE, _ROLL = np.array([1.0, 1.0]), np.array([1.0, -1.0])


@dataclass(frozen=True, slots=True)
class Wish:
    """What is wanted of the dampers; all three shapes are common practice without a source.

    Attributes:
        ratio: damping ratio in heave at rod speeds up to the knee [-]
        rebound_share: rebound's part of bump and rebound together [-]
        knee: rod speed from which the force grows more slowly [m/s]
        beyond: slope beyond the knee, of the slope before it [-]

    """

    ratio: float = 0.35
    rebound_share: float = 2 / 3
    knee: float = 0.13
    beyond: float = 0.5

    def mean_force(self, damping: float, speed: Array) -> Array:
        """Mean of bump and rebound force [N] for a damping up to the knee [N s/m] at rod speeds [m/s]."""
        slow, fast = np.minimum(speed, self.knee), np.maximum(speed - self.knee, 0.0)
        return np.asarray(damping * (slow + self.beyond * fast))

    def bump(self, mean: Array) -> Array:
        """Bump force where the mean of bump and rebound is given [N]."""
        return np.asarray(2 * (1 - self.rebound_share) * mean)

    def rebound(self, mean: Array) -> Array:
        """Rebound force where the mean of bump and rebound is given [N]."""
        return np.asarray(2 * self.rebound_share * mean)


@dataclass(frozen=True, slots=True)
class AxleMatch:
    """One axle where the car sits, per wheel or damper.

    Attributes:
        name: front or rear
        wheel_rate: both wheels together, per wheel travel [N/m]
        roll_rate: wheels against each other, per wheel travel [N/m]
        body_mass: over one wheel [kg]
        half_track: [m]
        heave_ratio: rod travel per wheel travel, both wheels together [-]
        lean_ratio: the same with the wheels against each other, as the body rolls [-]

    """

    name: str
    wheel_rate: float
    roll_rate: float
    body_mass: float
    half_track: float
    heave_ratio: float
    lean_ratio: float

    @property
    def critical_at_wheel(self) -> float:
        """Critical damping in heave at one wheel: ``2 √(k m)`` [N s/m]."""
        return float(2 * np.sqrt(self.wheel_rate * self.body_mass))

    @property
    def critical_at_rod(self) -> float:
        """The same at the damper's rod: divided by the square of the motion ratio [N s/m]."""
        return self.critical_at_wheel / self.heave_ratio**2

    def ratio(self, damping: float) -> float:
        """Damping ratio in heave that a damper gives [-].

        Args:
            damping: force per rod speed [N s/m]
        """
        return damping / self.critical_at_rod

    def roll_damping(self, damping: float) -> float:
        """Moment per roll speed that two such dampers give the body [N m s/rad].

        Args:
            damping: force per rod speed [N s/m]
        """
        return 2 * damping * (self.lean_ratio * self.half_track) ** 2

    @property
    def roll_stiffness(self) -> float:
        """Moment per roll of the body, tyres left out [N m/rad]."""
        return 2 * self.roll_rate * self.half_track**2

    def forces(self, wish: Wish, speed: Array = ORDER_SPEEDS) -> tuple[Array, Array]:
        """Bump and rebound force to order at rod speeds [N].

        Args:
            wish: what is wanted
            speed: rod speeds [m/s]
        """
        mean = wish.mean_force(wish.ratio * self.critical_at_rod, speed)
        return wish.bump(mean), wish.rebound(mean)


def axle_matches(motions: SmallMotions) -> tuple[AxleMatch, AxleMatch]:
    """Both axles where the car sits.

    Args:
        motions: the car about where it sits
    """
    rise = motions.undamped.push / motions.tyre_rate
    springs = motions.undamped.stiffness - (rise * motions.tyre_rate) @ rise.T  # tyres taken out
    mass = ride_ends(motions).mass / 2
    found = []
    for axle, (name, travels) in enumerate(zip(motions.car.names, TRAVELS, strict=True)):
        own, rods = springs[travels, travels], motions.damper_rate[2 * axle : 2 * axle + 2, travels]
        track = motions.foot[2 * axle, 1] - motions.foot[2 * axle + 1, 1]
        together, against = -(rods @ _HEAVE), -(rods @ _ROLL) * _ROLL
        found.append(
            AxleMatch(
                name,
                float(_HEAVE @ own @ _HEAVE / 2),
                float(_ROLL @ own @ _ROLL / 2),
                float(mass[axle]),
                float(track / 2),
                float(np.sqrt(np.mean(together**2))),
                float(np.sqrt(np.mean(against**2))),
            )
        )
    return found[0], found[1]


def roll_ratio(matches: tuple[AxleMatch, AxleMatch], damping: tuple[float, float], roll_inertia: float) -> float:
    """Damping ratio of the body's roll on both axles together, tyres left out [-].

    Args:
        matches: front and rear axle
        damping: of one damper of each [N s/m]
        roll_inertia: of the body about its centre of gravity [kg m²]
    """
    moment = sum(axle.roll_damping(c) for axle, c in zip(matches, damping, strict=True))
    stiffness = sum(axle.roll_stiffness for axle in matches)
    return float(moment / (2 * np.sqrt(stiffness * roll_inertia)))


def mean_damping(curve: ForceVelocity, speed: Array) -> Array:
    """Mean of a curve's bump and rebound force over rod speed, shape as ``speed`` [N s/m].

    Args:
        curve: force over rod speed
        speed: above zero [m/s]
    """
    return np.asarray((curve.force(speed) - curve.force(-speed)) / (2 * speed))


def axle_curve(curves: Curves, axle: str) -> ForceVelocity | None:
    """The curve of an axle's left damper, which stands for both; None where it is not known."""
    return next((curve for (name, side), curve in curves.items() if name == axle and side == "left"), None)


def ratio_after(spring_factor: float) -> float:
    """What a damping ratio becomes, times, when the springs change and the dampers stay: ``1 / √factor`` [-].

    Args:
        spring_factor: new wheel rate over old [-]

    >>> round(ratio_after(1.5), 2), round(ratio_after(2.0), 2)
    (0.82, 0.71)

    """
    return float(spring_factor**-0.5)

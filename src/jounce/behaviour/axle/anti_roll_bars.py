"""Anti-roll bars where the car stands: what twists them, what that does to the wheel loads, which link length frees them.

A bar whose links differ in length, or whose car leans, is twisted at rest. It then carries load from one wheel of its axle
to the other, and over the body to the opposite axle: cross weight that no spring setting shows.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from jounce.behaviour.axle.contact import element_derivatives
from jounce.behaviour.axle.motions import AxleStates, place_axle, wheel_motions
from jounce.behaviour.solving import solved
from jounce.car.axles.axle import Axle
from jounce.car.mechanics.anti_roll_bar_shape import is_plain, straight_arm_bar
from jounce.car.mechanics.anti_roll_bars import FittedBar, fitted_bar
from jounce.car.mechanics.layout_input import ANTI_ROLL_BARS
from jounce.car.mechanics.model import AxleModel
from jounce.conventions.errors import Impossible
from jounce.layouts.anti_roll_bar import turned_about
from jounce.layouts.naming import SIDES, SideName, named
from jounce.linkage.measures import Distance
from jounce.linkage.place import Placed
from jounce.linkage.tree import Point
from jounce.numerics.arrays import Array
from jounce.numerics.rotations import cross
from jounce.numerics.vectors import length, unit

_LINK_STEPS = 40
_FOUND = 1e-12  # [rad]


@dataclass(frozen=True, slots=True)
class StaticAntiRollBar:
    """One bar where its axle stands, SI.

    Attributes:
        name: its section of the car file
        rate: torque per twist, all that gives in series [N m/rad]
        shares: share of the twist by part: bar, blades, links [-]
        formula: whether the rate is that of the straight-arm formula (else of the frame along its centre line)
        formula_rate: rate of the steel alone by the straight-arm formula, for a bar given by a centre line the nearest
            such bar [N m/rad]
        steel_rate: rate of the steel alone as used [N m/rad]
        twist: turn of the left half less the right half's, from free of load [rad]
        torque: that it carries, positive with the twist [N m]
        link_force: load of each drop link, positive in tension [N]
        wheel_load: what the bar puts under each wheel [N]
        link_length: distance of each link's two ends [m]
        free_link_length: length of each link that would free the bar as the axle stands, the other link as it is [m]
        peak_stress: largest equivalent stress in the bar at rest [Pa]
        stress_per_roll: largest equivalent stress per roll of the body against the road, bar free at no roll [Pa/rad]
        free_roll: roll angles between which worn links let the bar alone, the axle at this mean height [rad]; None
            without play

    """

    name: str
    rate: float
    shares: Mapping[str, float]
    formula: bool
    formula_rate: float
    steel_rate: float
    twist: float
    torque: float
    link_force: Mapping[SideName, float]
    wheel_load: Mapping[SideName, float]
    link_length: Mapping[SideName, float]
    free_link_length: Mapping[SideName, float]
    peak_stress: float
    stress_per_roll: float
    free_roll: tuple[float, float] | None


def anti_roll_bars_at_rest(
    section: Axle, axle: AxleModel, states: AxleStates | None = None
) -> tuple[StaticAntiRollBar, ...]:
    """Every bent anti-roll bar of an axle where it stands.

    Args:
        section: the axle's part of the document, of one car
        axle: the axle complete with its main springs
        states: the single state in which it stands, as found when left out

    Raises:
        Impossible: the linkage does not reach that state
    """
    standing = AxleStates() if states is None else states
    placed = place_axle(axle.stand, axle.name, standing)
    if not placed.reached.all():
        raise Impossible(f"The {axle.name} linkage does not reach the height asked for: choose a smaller change.")
    found = []
    for name in ANTI_ROLL_BARS:
        left, right = (getattr(one, name, None) for one in (section.left, section.right))
        if left is not None and right is not None:
            straight = straight_arm_bar(left).twist_rate
            bar = _OneBar(name, fitted_bar(left, right), axle, standing, placed)
            found.append(bar.sits(formula=is_plain(left, right), formula_rate=float(straight[0])))
    return tuple(found)


@dataclass(frozen=True, slots=True)
class _OneBar:
    """A bar on its axle in one placed state."""

    name: str
    bar: FittedBar
    axle: AxleModel
    states: AxleStates
    placed: Placed

    def sits(self, *, formula: bool, formula_rate: float) -> StaticAntiRollBar:
        element = self.axle.elements[self.measure]
        twist = float(element.displacement(self._twist(self.placed))[0])
        torque = float(element.law.force(np.array([twist]))[0])
        rate = float(self.bar.rate[0])
        stress = self.bar.stress_per_torque
        return StaticAntiRollBar(
            name=self.name,
            rate=rate,
            shares={part: float(np.ravel(give)[0]) * rate for part, give in self.bar.gives.items()},
            formula=formula,
            formula_rate=formula_rate,
            steel_rate=float(1 / np.ravel(self.bar.gives["bar"])[0]),
            twist=twist,
            torque=torque,
            link_force=self._link_forces(torque),
            wheel_load=self._wheel_loads(torque),
            link_length={side: float(length(self._ends(side)[0] - self._ends(side)[1])[0, 0]) for side in SIDES},
            free_link_length={side: self._free_length(side, twist) for side in SIDES},
            peak_stress=stress * abs(torque),
            stress_per_roll=stress * rate * abs(self._twist_per_roll()),
            free_roll=self._free_roll(),
        )

    @property
    def measure(self) -> str:
        return named(self.axle.name, f"{self.name}_twist")

    def _twist(self, placed: Placed) -> Array:
        return self.axle.stand.taken([self.measure]).values(placed.pose)[:, 0]

    def _ends(self, side: SideName) -> tuple[Array, Array]:
        """Where the two ends of a link are, the bar's first, each (1, 3) [m]."""
        link = self.axle.stand.measures[named(self.axle.name, side, f"{self.name}_link")]
        if not isinstance(link, Distance):
            raise TypeError("an anti-roll bar hangs on links")
        one, other = (self.axle.stand.position(self.placed.pose, point) for point in (link.start, link.end))
        return one, other

    def _bushes(self) -> tuple[Array, Array]:
        """Where the two bushes are, left and right, each (1, 3) [m]."""
        halves = {"left": self.bar.left, "right": self.bar.right}
        left, right = (
            self.axle.stand.position(
                self.placed.pose, Point(named(self.axle.name, side, f"{self.name}_half"), half.points.bush)
            )
            for side, half in halves.items()
        )
        return left, right

    def _link_forces(self, torque: float) -> dict[SideName, float]:
        """Tension of each link: a left half that leads is held back by its link."""
        left, right = self._bushes()
        axis = unit(left - right)
        forces: dict[SideName, float] = {}
        for side, bush, sense in zip(SIDES, (left, right), (1.0, -1.0), strict=True):
            end, far = self._ends(side)
            lever = np.sum(axis * cross(end - bush, unit(far - end)), axis=-1)
            forces[side] = float(sense * torque / lever[0])
        return forces

    def _wheel_loads(self, torque: float) -> dict[SideName, float]:
        """Virtual work of the bar's torque along each wheel's travel, as loads under the wheels."""
        line, first, _ = element_derivatives(self.axle, wheel_motions(self.placed, self.axle.name))
        row = line.measured.row
        slope = np.stack([first[0, row[named(self.axle.name, side, "road_height")]] for side in SIDES], axis=-1)
        loads = solved(slope, torque * first[0, row[self.measure]])
        return {side: float(loads[k]) for k, side in enumerate(SIDES)}

    def _free_length(self, side: SideName, twist: float) -> float:
        """The half turned back by the whole twist, its link then as long as its two ends lie apart."""
        left, right = self._bushes()
        end, far = self._ends(side)
        back = np.array([-twist if side == "left" else twist])
        return float(length(turned_about(end, left, unit(left - right), back) - far)[0, 0])

    def _at_roll(self, roll: float) -> Placed:
        height = float(np.ravel(np.asarray(self.states.left) + np.asarray(self.states.right))[0]) / 2
        return place_axle(
            self.axle.stand,
            self.axle.name,
            AxleStates(heave=height, roll=roll, rack=self.states.rack, settings=self.states.settings),
        )

    def _twist_per_roll(self) -> float:
        """Twist per roll of the body against the road, at no roll and this height [-]."""
        step = 1e-4
        values = [float(self._twist(self._at_roll(roll))[0]) for roll in (-step, step)]
        return (values[1] - values[0]) / (2 * step)

    def _free_roll(self) -> tuple[float, float] | None:
        """Roll angles at which the play is just taken up one way and the other."""
        gap, element = float(np.ravel(self.bar.gap)[0]), self.axle.elements[self.measure]
        if gap <= 0:
            return None
        slope = self._twist_per_roll()
        found = []
        for target in (-gap, gap):
            roll = 0.0
            for _ in range(_LINK_STEPS):
                placed = self._at_roll(roll)
                if not placed.reached.all():
                    raise Impossible("The play of the drop links is larger than the linkage's roll.")
                miss = target - float(element.displacement(self._twist(placed))[0])
                if abs(miss) < _FOUND:
                    break
                roll += miss / slope
            found.append(roll)
        return min(found), max(found)

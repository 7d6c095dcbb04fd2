"""An axle as it sits: preload, rates, frequencies, twist and stress, and the droop at which a spring comes loose."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from jounce.behaviour.contact import ContactState, contact_state, roll_stiffness
from jounce.behaviour.motions import AxleStates, place_axle, wheel_motions
from jounce.behaviour.preload import Preload, main_spring_name, preloads, spring_element
from jounce.car.model import AxleModel, Group
from jounce.conventions.constants import GRAVITY
from jounce.layouts.naming import SIDES, SideName
from jounce.numerics.arrays import Array

_DROOP_SEARCHED = 0.30  # [m]


@dataclass(frozen=True, slots=True)
class WheelSits:
    """One wheel as it sits, SI; ``loose_at`` is the droop [m] at which the spring carries nothing, None if it never does.

    Rates are for both wheels of the axle rising together. ``ride_frequency`` has the tyre in series,
    ``suspension_frequency`` has not; both are of the sprung mass over this wheel.
    """

    load: float
    sprung_mass: float
    preload: float
    wound_up: float
    motion_ratio: float
    wheel_rate: float
    wheel_rate_at_wheel_centre: float
    ride_rate: float
    ride_frequency: float
    suspension_frequency: float
    loose_at: float | None


@dataclass(frozen=True, slots=True)
class AxleSits:
    """Both wheels and the axle's roll stiffness [N m/rad] with its parts; tyres excluded."""

    wheels: Mapping[SideName, WheelSits]
    roll_stiffness: float
    roll_parts: Mapping[str, float]
    track: float


def loaded(axle: AxleModel) -> tuple[AxleModel, dict[SideName, Preload]]:
    """The axle with its main springs preloaded so that they carry the corner weights as found."""
    motions = wheel_motions(place_axle(axle.stand, axle.name, AxleStates()), axle.name)
    found = preloads(axle, motions, axle.corner_load)
    springs = {}
    for side in SIDES:
        spring = axle.main[side]
        value = axle.stand.reference_values([spring.measure])[:, 0]
        springs[main_spring_name(axle.name, side)] = spring_element(spring, found[side], value)
    groups: dict[str, Group] = {**axle.groups, **dict.fromkeys(springs, "main spring")}
    return replace(axle.with_elements(springs), groups=groups), found


def axle_sits(axle: AxleModel) -> AxleSits:
    """Everything about an axle as it was found standing.

    Args:
        axle: the axle, main springs not yet loaded
    """
    complete, found = loaded(axle)
    motions = wheel_motions(place_axle(axle.stand, axle.name, AxleStates()), axle.name)
    state = contact_state(complete, motions)
    loose = loose_droop(complete, found)
    wheels = {side: _wheel(axle, state, found[side], k, side, loose[side]) for k, side in enumerate(SIDES)}
    parts = {group: float(roll_stiffness(part, state.track)[0]) for group, part in state.parts.items()}
    return AxleSits(wheels, float(state.roll_stiffness[0]), parts, float(state.track[0]))


def _wheel(
    axle: AxleModel, state: ContactState, preload: Preload, index: int, side: SideName, loose: float | None
) -> WheelSits:
    rate = float(state.wheel_rate[0, index])
    tyre = float(axle.tyre_rate[side][0])
    sprung = float(axle.corner_load[side][0]) / GRAVITY - float(axle.unsprung[side][0])
    ride = 1 / (1 / rate + 1 / tyre)
    spring = axle.main[side]
    motions = wheel_motions(place_axle(axle.stand, axle.name, AxleStates()), axle.name)
    line = axle.stand.taken([spring.measure]).linearised(motions.placed.pose)
    ratio = spring.sense * float(motions.first(line)[0, 0].sum())
    return WheelSits(
        load=float(axle.corner_load[side][0]),
        sprung_mass=sprung,
        preload=float(preload.force[0]),
        wound_up=float(preload.displacement[0]),
        motion_ratio=ratio,
        wheel_rate=rate,
        wheel_rate_at_wheel_centre=float(state.wheel_rate_at_wheel_centre[0, index]),
        ride_rate=ride,
        ride_frequency=float(np.sqrt(ride / sprung) / (2 * np.pi)),
        suspension_frequency=float(np.sqrt(rate / sprung) / (2 * np.pi)),
        loose_at=loose,
    )


def loose_droop(axle: AxleModel, found: Mapping[SideName, Preload]) -> dict[SideName, float | None]:
    """Droop of both wheels together at which each main spring is slack [m, positive down].

    None when the spring still carries at the end of what the linkage reaches, 300 mm at most.
    """
    return {side: _first_zero(_WindUp(axle, side, found[side])) for side in SIDES}


@dataclass(frozen=True, slots=True)
class _WindUp:
    """What a spring is still wound up or compressed at a droop [rad or m]; NaN where the linkage does not reach."""

    axle: AxleModel
    side: SideName
    found: Preload

    def __call__(self, droop: Array) -> Array:
        axle, spring = self.axle, self.axle.main[self.side]
        placed = place_axle(axle.stand, axle.name, AxleStates(left=-droop, right=-droop))
        start = axle.stand.reference_values([spring.measure])[0, 0]
        value = axle.stand.taken([spring.measure]).values(placed.pose)[:, 0]
        left = self.found.displacement[0] + spring.sense * (value - start)
        return np.where(placed.reached, left, np.nan)


def _first_zero(function: _WindUp) -> float | None:
    """First droop at which the wind-up passes zero, by ever finer grids."""
    low, high = 0.0, _DROOP_SEARCHED
    for points in (61, *(13,) * 8):
        grid = np.linspace(low, high, points)
        slack = np.flatnonzero(function(grid) <= 0)
        if not len(slack):
            return None
        first = int(slack[0])
        low, high = float(grid[max(first - 1, 0)]), float(grid[first])
    return 0.5 * (low + high)

"""An axle where it stands: loads, rates, frequencies, what each spring carries and the droop at which it comes loose."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields, replace

import numpy as np

from jounce.behaviour.axle.contact import CONTACT_PATH, ContactState, contact_state, roll_stiffness
from jounce.behaviour.axle.motions import AxleStates, place_axle, wheel_motions
from jounce.behaviour.axle.preload import Preload, main_spring_name, preloads, slack_displacement, spring_element
from jounce.car.mechanics.model import AxleModel, Group
from jounce.conventions.constants import GRAVITY
from jounce.conventions.errors import Impossible
from jounce.conventions.units import Kind, show
from jounce.elements.root import where_it_crosses
from jounce.layouts.naming import SIDES, SideName
from jounce.linkage.balance import Element
from jounce.numerics.arrays import Array

_DROOP_SEARCHED = 0.30  # [m]


@dataclass(frozen=True, slots=True)
class StaticWheel:
    """One wheel where it stands, SI.

    ``spring_force`` [N or N m] and ``wound_up`` [m or rad] are the main spring's; ``motion_ratio`` is its displacement
    per wheel travel, both wheels together. Rates are for both wheels rising together; ``one_wheel_rate`` for this
    wheel alone. ``ride_frequency`` has the tyre in series, ``suspension_frequency`` has not; both are of the sprung
    mass over this wheel. ``loose_at`` is the droop from here [m] at which the spring carries nothing, None if it still
    carries at the end of what the linkage reaches.
    """

    load: float
    sprung_mass: float
    spring_force: float
    wound_up: float
    motion_ratio: float
    wheel_rate: float
    wheel_rate_at_wheel_centre: float
    one_wheel_rate: float
    ride_rate: float
    ride_frequency: float
    suspension_frequency: float
    loose_at: float | None


@dataclass(frozen=True, slots=True)
class StaticAxle:
    """Both wheels; roll stiffness [N m/rad] with its parts, tyres excluded; track at the contact points [m]."""

    wheels: Mapping[SideName, StaticWheel]
    roll_stiffness: float
    roll_parts: Mapping[str, float]
    track: float


def loaded(axle: AxleModel) -> tuple[AxleModel, dict[SideName, Preload]]:
    """The axle with its main springs preloaded so that they carry the corner weights as found.

    Raises:
        Impossible: a main spring would have to carry nothing, or to pull
    """
    motions = wheel_motions(place_axle(axle.stand, axle.name, AxleStates()), axle.name)
    found = preloads(axle, motions, axle.corner_load)
    springs: dict[SideName, Element] = {}
    for side in SIDES:
        spring = axle.main[side]
        _check_carries(axle, side, found[side].force)
        value = axle.stand.reference_values([spring.measure])[:, 0]
        springs[side] = spring_element(spring, found[side], value)
    return with_main_springs(axle, springs), found


def _check_carries(axle: AxleModel, side: SideName, force: Array) -> None:
    carried, load = float(np.real(force).min()), float(np.real(axle.corner_load[side]).flat[0])
    if carried <= 0 or np.isnan(carried):
        bar = axle.main[side].kind == "torsion bar"
        raise Impossible(
            f"The scale under the {axle.name} {side} wheel showed {show(load, Kind.FORCE)}, and by the measured points its "
            f"main spring would carry {show(carried, Kind.TORQUE if bar else Kind.FORCE)}: a standing car's spring pushes. "
            "Weigh again, look at what moves with the wheel, and measure the spring's seats or the bar's line again."
        )


def with_main_springs(axle: AxleModel, springs: Mapping[SideName, Element]) -> AxleModel:
    """The axle complete with its two main springs."""
    named_springs = {main_spring_name(axle.name, side): springs[side] for side in SIDES}
    groups: dict[str, Group] = {**axle.groups, **dict.fromkeys(named_springs, "main spring")}
    return replace(axle.with_elements(named_springs), groups=groups)


def axle_sits(axle: AxleModel, states: AxleStates | None = None, *, look_for_slack: bool = True) -> StaticAxle:
    """Everything about an axle where it stands.

    Args:
        axle: the axle complete with its main springs
        states: the single state in which it stands, as found when left out
        look_for_slack: whether to search the droop at which each spring comes loose (else ``loose_at`` is None)

    Raises:
        Impossible: the linkage does not reach that state
    """
    standing = AxleStates() if states is None else states
    found = standing_figures(axle, standing)
    wheels = {}
    for side in SIDES:
        loose = loose_at(axle, side, standing) if look_for_slack else None
        wheels[side] = StaticWheel(
            **{name: float(found.wheels[side][name][0]) for name in WHEEL_FIGURES}, loose_at=loose
        )
    parts = {group: float(part[0]) for group, part in found.roll_parts.items()}
    return StaticAxle(wheels, float(found.roll_stiffness[0]), parts, float(found.track[0]))


WHEEL_FIGURES = tuple(field.name for field in fields(StaticWheel) if field.name != "loose_at")
"""Names of what is known of a wheel where it stands, but for the droop at which its spring comes loose."""


@dataclass(frozen=True, slots=True)
class StandingFigures:
    """The figures of `StaticAxle` for every variant of an axle, each (variants,) [SI]."""

    wheels: Mapping[SideName, Mapping[str, Array]]
    roll_stiffness: Array
    roll_parts: Mapping[str, Array]
    track: Array


def standing_figures(axle: AxleModel, standing: AxleStates) -> StandingFigures:
    """All figures of an axle where it stands, one for each of its variants.

    Args:
        axle: the axle complete with its main springs
        standing: the state in which it stands

    Raises:
        Impossible: the linkage does not reach that state
    """
    placed = place_axle(axle.stand, axle.name, standing)
    if not placed.reached.all():
        raise Impossible(f"The {axle.name} linkage does not reach the height asked for: choose a smaller change.")
    motions = wheel_motions(placed, axle.name)
    state = contact_state(axle, motions)
    line = axle.stand.taken([axle.main[side].measure for side in SIDES]).linearised(placed.pose)
    ratios = motions.first(line).sum(axis=-1)
    wheels = {side: _wheel(axle, standing, state, k, ratios[:, k]) for k, side in enumerate(SIDES)}
    parts = {group: roll_stiffness(part, state.track) for group, part in state.parts.items() if group != CONTACT_PATH}
    return StandingFigures(wheels, state.roll_stiffness, parts, state.track)


def _wheel(axle: AxleModel, states: AxleStates, state: ContactState, index: int, ratio: Array) -> dict[str, Array]:
    side = SIDES[index]
    spring = axle.main[side]
    rate, load = state.wheel_rate[:, index], state.load[:, index]
    sprung = load / GRAVITY - axle.unsprung[side]
    if not (np.real(rate) > 0).all():
        raise Impossible(
            f"The {axle.name} {side} wheel does not stand where it was measured: raised, its spring pushes less instead of "
            "more. Measure the pivots and the spring again."
        )
    if not (np.real(sprung) > 0).all():
        raise Impossible(
            f"The {axle.name} {side} wheel would carry nothing of the body: the {float(np.real(load).min()):.0f} N under "
            "it are no more than what moves with the wheel weighs. Check the corner weights and the unsprung mass."
        )
    ride = 1 / (1 / rate + 1 / axle.tyre(side).stiffness(load))
    wound = _WindUp(axle, side, states)(np.zeros(1))
    return {
        "load": load,
        "sprung_mass": sprung,
        "spring_force": spring.law.force(wound + spring.law.start),
        "wound_up": wound,
        "motion_ratio": spring.sense * ratio,
        "wheel_rate": rate,
        "wheel_rate_at_wheel_centre": state.wheel_rate_at_wheel_centre[:, index],
        "one_wheel_rate": state.one_wheel_rate[:, index],
        "ride_rate": ride,
        "ride_frequency": np.sqrt(ride / sprung) / (2 * np.pi),
        "suspension_frequency": np.sqrt(rate / sprung) / (2 * np.pi),
    }


def spring_wound(axle: AxleModel, side: SideName, states: AxleStates, droop: float) -> float:
    """What a main spring is wound up or compressed, both wheels lowered by ``droop`` from their states [rad or m]."""
    return float(_WindUp(axle, side, states)(np.array([droop]))[0])


def loose_at(axle: AxleModel, side: SideName, states: AxleStates) -> float | None:
    """Droop from where the axle stands at which a main spring carries nothing; None where it always does [m]."""
    return _first_zero(_WindUp(axle, side, states))


def wound_up(axle: AxleModel, side: SideName, states: AxleStates, droop: Array) -> Array:
    """What a main spring is wound up or compressed at droops, of each variant; NaN out of reach [rad or m]."""
    return _WindUp(axle, side, states)(droop)


@dataclass(frozen=True, slots=True)
class _WindUp:
    """What a spring is still wound up or compressed at a droop from where the axle stands; NaN out of reach."""

    axle: AxleModel
    side: SideName
    states: AxleStates

    def __call__(self, droop: Array) -> Array:
        axle, spring = self.axle, self.axle.main[self.side]
        moved = replace(self.states, left=self.states.left - droop, right=self.states.right - droop)
        placed = place_axle(axle.stand, axle.name, moved)
        element = axle.elements[main_spring_name(axle.name, self.side)]
        value = axle.stand.taken([spring.measure]).values(placed.pose)[:, 0]
        # The law's own displacement, not its force: a loose coil's force stays at zero, and would hide where it came loose.
        wound = element.displacement(value) - slack_displacement(element)
        return np.where(placed.reached, wound, np.nan)


def _first_zero(function: _WindUp) -> float | None:
    """First droop at which the wind-up passes zero."""
    grid = np.linspace(0, _DROOP_SEARCHED, 61)
    slack = np.flatnonzero(function(grid) <= 0)
    if not len(slack):
        return None
    if slack[0] == 0:
        return 0.0
    first = int(slack[0])
    return float(where_it_crosses(function, grid[first - 1 : first], grid[first : first + 1], 1e-10)[0])

"""How far what a driver feels may be off: the stated ± followed through the car turning and braking.

The same derivatives as of the standing car (`input_slopes`), taken where the car rests in a corner and while it brakes.
What the tyres' own law of slip may be off is not in them: its numbers are looked up, not measured, so understeer and the
grip that is left have no band.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TypeVar

import numpy as np

from jounce.behaviour.bands import RestPlace, Slopes, VariedCar
from jounce.behaviour.road.brake import StraightAhead
from jounce.behaviour.road.corner import LINEAR_TO, Cornering
from jounce.behaviour.road.equilibrium import at_rest
from jounce.behaviour.road.feel import BRISK, HARD_BRAKE, Feel, TurnFeel
from jounce.behaviour.road.followed import PathEnd
from jounce.behaviour.road.forces import PITCH, ROLL, TRAVELS, ForceState
from jounce.behaviour.road.lift import TurnLimit
from jounce.behaviour.road.loading import Loading, steady
from jounce.numerics.arrays import Array

__all__ = ["felt_with_bands", "straight_ahead_bands", "turn_slopes"]

_BEFORE = 0.02  # a wheel that lifts is looked at so much before, for beyond it has no load [m/s²]
_Number = TypeVar("_Number", float, Array)
_NEAR_THE_END = 0.1  # so near where the car finds no rest, numbers grow beyond any band [m/s²]


@dataclass(frozen=True, slots=True)
class _State:
    """The car in one state: what is read there, and its derivatives by each input, shape (inputs,)."""

    values: Mapping[str, float]
    slopes: Mapping[str, Array]


def felt_with_bands(
    car: VariedCar, place: RestPlace, felt: tuple[Feel, Cornering], slopes: Slopes | None = None
) -> Feel:
    """What a driver feels, with bands that hold nine of ten.

    Args:
        car: the car and how it varies
        place: where it stands
        felt: what was worked out of it, and the sweep over both turns
        slopes: its derivatives there; worked out when left out
    """
    feel, sweep = felt
    at = _Motion(slopes or Slopes(car, place))
    standing = at.state(steady(), place.freedoms)
    left, right = (
        replace(one, bands={name: at.band(slope) for name, slope in _turn(at, standing, sweep, one, turn).items()})
        for one, turn in ((feel.left, 1.0), (feel.right, -1.0))
    )
    return replace(feel, left=left, right=right, bands={} if feel.dive is None else _braked(at, standing, place))


def turn_slopes(felt: tuple[Feel, Cornering], slopes: Slopes) -> dict[str, Array]:
    """Derivatives of what a driver feels in both turns, by ``turn.name`` as of `TurnFeel.bands`, each (inputs,).

    Args:
        felt: what was worked out of the car, and the sweep over both turns
        slopes: the car's derivatives where it stands
    """
    feel, sweep = felt
    at = _Motion(slopes)
    standing = at.state(steady(), slopes.place.freedoms)
    return {
        f"{word}.{name}": slope
        for word, one, turn in (("left", feel.left, 1.0), ("right", feel.right, -1.0))
        for name, slope in _turn(at, standing, sweep, one, turn).items()
    }


def straight_ahead_bands(car: VariedCar, place: RestPlace, told: StraightAhead) -> dict[str, Array]:
    """Bands of braking and driving, each (states,), not a number where the car does not rest.

    Args:
        car: the car and how it varies
        place: where it stands
        told: the states
    """
    at = _Motion(Slopes(car, place))
    standing = at.state(steady(), place.freedoms)
    every: dict[str, list[float]] = {}
    for k, reached in enumerate(told.states.reached):
        if reached:
            acting = told.acting.take(np.array([k]))
            found = _straight(at.state(acting, told.states.freedoms[k]), standing)
        else:
            found = {}
        for name in ("pitch", "front_travel", "rear_travel", "front_load", "rear_load", "front_used", "rear_used"):
            every.setdefault(name, []).append(at.band(found.get(name)))
    return {name: np.array(values) for name, values in every.items()}


class _Motion:
    """The car in motion, state by state."""

    def __init__(self, slopes: Slopes) -> None:
        self.slopes = slopes

    def state(self, acting: Loading, freedoms: Array) -> _State:
        """One state at rest."""
        values: dict[str, float] = {}

        def read(at: Array, found: ForceState) -> dict[str, Array]:
            told = _read(at, found)
            values.update({name: float(np.real(value[0])) for name, value in told.items()})
            return told

        return _State(values, self.slopes.about(freedoms, acting, read).results)

    def rest(self, across: float, near: Array) -> Array | None:
        """Freedoms at rest in a corner, from a state near by; None where it is not found."""
        found = at_rest(self.slopes.on_road, steady(across), near[None])
        return found.freedoms[0] if found.reached[0] else None

    def band(self, slope: Array | None) -> float:
        """Half width of a result's band from its derivatives."""
        return float("nan") if slope is None else self.slopes.band(slope).plus_minus


def _turn(at: _Motion, standing: _State, sweep: Cornering, told: TurnFeel, turn: float) -> dict[str, Array]:
    """Derivatives of one turn's numbers, by their names."""
    across = sweep.acting.across
    row = {size: int(np.argmin(np.abs(across - turn * size))) for size in (LINEAR_TO, BRISK)}
    slopes: dict[str, Array] = {}
    if told.roll_gradient is not None:
        gentle = at.state(steady(turn * LINEAR_TO), sweep.states.freedoms[row[LINEAR_TO]])
        slopes["roll_gradient"] = (gentle.slopes["roll"] - standing.slopes["roll"]) / LINEAR_TO
    if told.brisk is PathEnd.RESTS:
        brisk = at.state(steady(turn * BRISK), sweep.states.freedoms[row[BRISK]])
        slopes |= _brisk(brisk, standing, outer="right" if turn > 0 else "left")
    for axle, name in enumerate(("front", "rear")):
        lift = _lift(at, told.limits, sweep, axle, turn)
        if lift is not None:
            slopes[f"{name}_lift"] = lift
    return slopes


def _brisk(brisk: _State, standing: _State, outer: str) -> dict[str, Array]:
    more, moved = {}, {}
    for axle in ("front", "rear"):
        moved[axle] = _transfer(brisk.values, axle) - _transfer(standing.values, axle)
        more[axle] = _transfer(brisk.slopes, axle) - _transfer(standing.slopes, axle)
    both = moved["front"] + moved["rear"]
    return {
        "front_share": (more["front"] * moved["rear"] - more["rear"] * moved["front"]) / both**2,
        "outer_front_camber": brisk.slopes[f"front.{outer}.camber"],
        "front_steer": brisk.slopes["front.steer"] - standing.slopes["front.steer"],
        "rear_steer": brisk.slopes["rear.steer"] - standing.slopes["rear.steer"],
        "jacking": brisk.slopes["body_height"] - standing.slopes["body_height"],
    }


def _transfer(told: Mapping[str, _Number], axle: str) -> _Number:
    """Load moved to the right."""
    return (told[f"{axle}.right.load"] - told[f"{axle}.left.load"]) / 2


def _lift(at: _Motion, limits: TurnLimit, sweep: Cornering, axle: int, turn: float) -> Array | None:
    """Derivatives of the acceleration at which an inside wheel lifts: it is where the last of its load goes.

    They are looked at first just before, then a band before: there errors of a band's size take the rest of the load,
    whatever begins to touch in between. None where the wheel does not lift, or only where the car finds no rest beyond.
    """
    size = limits.of_axle(axle)
    if size is None or (limits.end is PathEnd.NO_REST and size > limits.farthest - _NEAR_THE_END):
        return None
    near = _lift_from(at, sweep, (axle, turn, size), _BEFORE)
    if near is None:
        return None
    return _lift_from(at, sweep, (axle, turn, size), max(at.band(near), _BEFORE))


def _lift_from(at: _Motion, sweep: Cornering, wheel: tuple[int, float, float], before: float) -> Array | None:
    """The same from so much before; None where the car does not rest there on that wheel."""
    axle, turn, size = wheel
    across = turn * (size - before)
    reached = np.flatnonzero(sweep.states.reached)
    near = sweep.states.freedoms[reached[np.argmin(np.abs(sweep.acting.across[reached] - across))]]
    freedoms = at.rest(across, near) if before < size else None
    if freedoms is None:
        return None
    state = at.state(steady(across), freedoms)
    name = f"{('front', 'rear')[axle]}.{'left' if turn > 0 else 'right'}.load"
    return state.slopes[name] * before / state.values[name] if state.values[name] > 0 else None


def _braked(at: _Motion, standing: _State, place: RestPlace) -> dict[str, float]:
    """Bands of hard braking."""
    found = at_rest(at.slopes.on_road, steady(0.0, -HARD_BRAKE), place.freedoms[None])
    if not found.reached[0]:
        return {}
    state = at.state(steady(0.0, -HARD_BRAKE), found.freedoms[0])
    told = _straight(state, standing)
    rear, front = (state.values[f"{axle}.load"] for axle in ("rear", "front"))
    share = (told["rear_load"] * front - told["front_load"] * rear) / (front + rear) ** 2
    slopes = {"dive": told["pitch"], "nose": told["front_travel"], "tail": told["rear_travel"]}
    return {name: at.band(slope) for name, slope in (slopes | {"rear_share_braked": share}).items()}


def _straight(state: _State, standing: _State) -> dict[str, Array]:
    beyond = {name: state.slopes[name] - standing.slopes[name] for name in ("pitch", "front.travel", "rear.travel")}
    told = {"pitch": beyond["pitch"], "front_travel": beyond["front.travel"], "rear_travel": beyond["rear.travel"]}
    for axle in ("front", "rear"):
        told[f"{axle}_load"], told[f"{axle}_used"] = state.slopes[f"{axle}.load"], state.slopes[f"{axle}.used"]
    return told


def _read(freedoms: Array, found: ForceState) -> dict[str, Array]:
    """What is read of a state, each (states,); a perturbation passes through."""
    told = {"roll": freedoms[:, ROLL], "pitch": freedoms[:, PITCH], "body_height": found.body_centre[:, 2]}
    steer = np.arctan(-found.axis[..., 0] / found.axis[..., 1])
    camber = np.arcsin(found.axis[..., 2]) * np.array([-1.0, 1.0])
    for k, axle in enumerate(("front", "rear")):
        told[f"{axle}.travel"] = freedoms[:, TRAVELS[k]].mean(axis=1)
        told[f"{axle}.steer"] = steer[:, k].mean(axis=1)
        told[f"{axle}.load"] = found.load[:, k].sum(axis=1)
        told[f"{axle}.used"] = _most_used(found.ahead[:, k], found.load[:, k])
        for i, side in enumerate(("left", "right")):
            told[f"{axle}.{side}.load"] = found.load[:, k, i]
            told[f"{axle}.{side}.camber"] = camber[:, k, i]
    return told


def _most_used(ahead: Array, load: Array) -> Array:
    """Share of its load that the wheel of an axle gives forward or back which gives most of it."""
    used = np.where(np.real(load) > 0, ahead * np.sign(np.real(ahead)) / np.where(np.real(load) > 0, load, 1.0), np.nan)
    most = np.argmax(np.nan_to_num(np.real(used)), axis=1)
    return np.asarray(used[np.arange(len(used)), most])

"""Setting a car on the scales: which spring settings give wanted heights and cross weight, and what nothing can give.

Four springs move four things: the body's mean height in front and behind, its lean from side to side, and the cross
weight. The weight of the left-hand side and of the front follow from where the centre of gravity is: no spring moves
them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import cast

import numpy as np

from jounce.behaviour.axle.preload import main_spring_name
from jounce.behaviour.road.axle_path import AxleOnBody
from jounce.behaviour.road.equilibrium import AtRest, at_rest
from jounce.behaviour.road.forces import TRAVELS, ForceState
from jounce.behaviour.road.input_slopes import VariedAxle, input_slopes
from jounce.behaviour.road.loading import Loading, steady
from jounce.behaviour.road.road_car import RoadCar
from jounce.behaviour.solving import solved
from jounce.conventions.errors import Impossible
from jounce.layouts.naming import SIDES, SideName
from jounce.numerics.arrays import Array
from jounce.numerics.complex_step import STEP

_ROUNDS = 12
_STEP = 1e-4  # of a spring's setting for the slopes [m or rad]
_CLOSE = 1e-9


@dataclass(frozen=True, slots=True)
class OnScales:
    """The car as it stands on four scales.

    Attributes:
        travel: wheel travels from as found, (front, rear) x (left, right) [m]; positive: the body is lower there
        load: loads [N]

    """

    travel: Array
    load: Array

    @property
    def cross_share(self) -> float:
        """Share of the weight on front right and rear left [-]."""
        return float((self.load[0, 1] + self.load[1, 0]) / self.load.sum())

    @property
    def left_share(self) -> float:
        """Share of the weight on the left [-]."""
        return float(self.load[:, 0].sum() / self.load.sum())

    @property
    def front_share(self) -> float:
        """Share of the weight on the front wheels [-]."""
        return float(self.load[0].sum() / self.load.sum())


@dataclass(frozen=True, slots=True)
class SpringSettings:
    """How much further each main spring is wound or its seat raised, and how the car stands then.

    Attributes:
        setting: (front, rear) x (left, right) [m or rad], positive lifts the car
        stands: heights and weights with it
        effect: change of front travel, rear travel, lean and cross share per unit of each setting, shape (4, 4)

    """

    setting: Array
    stands: OnScales
    effect: Array


def on_scales(car: RoadCar, acting: Loading | None = None) -> OnScales:
    """Weigh the car.

    Args:
        car: the car; see `RoadCar.without` for disconnected bars, `RoadCar.with_loads` for what is aboard
        acting: uneven ground; level when left out

    Raises:
        Impossible: the car finds no rest
    """
    rest = at_rest(car, acting or steady())
    if not rest.reached[0]:
        raise Impossible("The car does not come to rest on its wheels: a spring may be far too soft, short or loose.")
    return _scales(rest)


def with_settings(car: RoadCar, setting: Array) -> RoadCar:
    """The car with its main springs wound further or their seats raised.

    Args:
        car: the car
        setting: (front, rear) x (left, right), positive lifts the car; each one value or one per variant [m or rad]
    """
    axles = [_set(on_body, dict(zip(SIDES, setting[k], strict=True))) for k, on_body in enumerate(car.axles)]
    return replace(car, axles=(axles[0], axles[1]))


def slopes_of_settings(car: RoadCar, freedoms: Array) -> Array:
    """What each main spring's setting does to the four travels and to the cross share of a car at rest, shape (5, 4).

    Exact, by one imaginary perturbation of each setting: the freedoms follow by the car's own stiffness there.

    Args:
        car: the car
        freedoms: heave, pitch, roll and travels at rest, shape (7,) [m or rad]
    """
    own = 1j * STEP * np.eye(2)  # of the left spring in one variant, of the right one in the other
    none = np.zeros((2, 2))
    varied = [
        VariedAxle(k, with_settings(car, np.stack((own, none) if k == 0 else (none, own))), (2 * k, 2 * k + 1))
        for k in range(2)
    ]
    at = cast("Array", freedoms + 0j)  # complex, so that nothing on the way is made real
    found = input_slopes(car, varied, 4, at, steady(), _shares)
    travels = np.concatenate([np.arange(7)[one] for one in TRAVELS])
    return np.vstack((found.freedoms[:, travels].T, found.results["cross_share"]))


def _shares(_: Array, found: ForceState) -> dict[str, Array]:
    load = found.load
    return {"cross_share": (load[:, 0, 1] + load[:, 1, 0]) / load.sum(axis=(1, 2))}


def settings_for(
    car: RoadCar, front: float, rear: float, cross_share: float, lean: float = 0.0, near: Array | None = None
) -> SpringSettings:
    """Spring settings for wanted heights and cross weight, together.

    Args:
        car: the car as it is
        front: wanted mean travel of the front wheels from as found, positive lower [m]
        rear: wanted mean travel of the rear wheels [m]
        cross_share: wanted share of the weight on front right and rear left [-]
        lean: wanted mean of left less right travels [m]
        near: effect of the settings of a car like this one, shape (4, 4); it is then bettered from try to try (C. G.
            Broyden, Math. Comp. 19 (1965) 577-593) instead of being worked out in each, and told as it is in the end

    Raises:
        Impossible: no settings give it
    """
    wanted = np.array([front, rear, lean, cross_share])
    setting, step, before = np.zeros((2, 2)), np.zeros(4), np.zeros(4)
    effect = _effect(car, setting) if near is None else near
    for _ in range(_ROUNDS):
        stands = on_scales(with_settings(car, setting))
        miss = wanted - _told(stands)
        if np.abs(miss).max() < _CLOSE:
            return SpringSettings(setting, stands, effect)
        if near is None:
            effect = _effect(car, setting)
        elif step.any():
            effect = effect + np.outer(before - miss - effect @ step, step) / (step @ step)
        before, step = miss, solved(effect, miss)
        setting = setting + step.reshape(2, 2)
    raise Impossible("No spring settings give these heights and this cross weight together: ask for less.")


def evenly_loaded(car: RoadCar) -> RoadCar:
    """The car with its body's centre of gravity in the middle and even weights, as high as before: to compare turns.

    Args:
        car: the car
    """
    middle = replace(car, sprung_centre=car.sprung_centre * np.array([1.0, 0.0, 1.0]))
    front, rear = on_scales(car).travel.mean(axis=1)
    return with_settings(middle, settings_for(middle, float(front), float(rear), 0.5).setting)


def _effect(car: RoadCar, setting: Array) -> Array:
    columns = []
    for k in range(4):
        step = _STEP * np.eye(4)[k].reshape(2, 2)
        above, below = (_told(on_scales(with_settings(car, setting + sign * step))) for sign in (1, -1))
        columns.append((above - below) / (2 * _STEP))
    return np.stack(columns, -1)


def _told(stands: OnScales) -> Array:
    travel = stands.travel
    lean = float((travel[:, 0] - travel[:, 1]).mean())
    return np.array([travel[0].mean(), travel[1].mean(), lean, stands.cross_share])


def _scales(rest: AtRest) -> OnScales:
    return OnScales(rest.travel[0], rest.acted.load[0])


def _set(on_body: AxleOnBody, more: Mapping[SideName, float]) -> AxleOnBody:
    axle = on_body.axle
    elements = dict(axle.elements)
    for side in SIDES:
        name = main_spring_name(axle.name, side)
        spring = elements[name]
        elements[name] = replace(spring, zero=spring.zero - spring.sense * more[side])
    return AxleOnBody(replace(axle, elements=elements), on_body.settings)

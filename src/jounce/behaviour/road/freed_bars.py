"""What a bar that is twisted at rest does to the wheel loads: the whole car settled with it and with it freed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from jounce.behaviour.axle.anti_roll_bars import StaticAntiRollBar
from jounce.behaviour.road.axle_path import AxleOnBody
from jounce.behaviour.road.road_car import RoadCar
from jounce.behaviour.road.static_car import settle
from jounce.car.mechanics.model import AxleName
from jounce.conventions.axes import Corner
from jounce.layouts.naming import named


def loads_when_freed(car: RoadCar, axle: AxleName, bar: StaticAntiRollBar) -> Mapping[Corner, float]:
    """By how much each wheel load changes when a bar's link is set so that the bar is free as the car stands [N].

    The whole car is put in equilibrium with the bar freed where it stood; the small lean that follows is in it.

    Args:
        car: the car, parts and settings complete
        axle: the bar's axle
        bar: the bar where that axle stands

    Raises:
        Impossible: the car finds no rest
    """
    before, after = settle(car), settle(_freed(car, axle, bar))
    return {corner: after.load[corner] - before.load[corner] for corner in before.load}


def _freed(car: RoadCar, axle: AxleName, bar: StaticAntiRollBar) -> RoadCar:
    name = named(axle, f"{bar.name}_twist")
    number = car.names.index(axle)
    on_body = car.axles[number]
    element = on_body.axle.elements[name]
    loose = on_body.axle.with_elements({name: replace(element, zero=element.zero + bar.twist)})
    axles = [AxleOnBody(loose, on_body.settings) if k == number else one for k, one in enumerate(car.axles)]
    return replace(car, axles=(axles[0], axles[1]))

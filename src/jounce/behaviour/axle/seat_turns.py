"""What moving a spring seat does to heights and corner weights: the whole car settled before and after."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from jounce.behaviour.axle.preload import main_spring_name
from jounce.behaviour.whole_car import CarOnTyres, CarSits, Corner, settle
from jounce.car.mechanics.model import AxleModel
from jounce.linkage.balance import Element

__all__ = ["SeatEffect", "seat_effect", "with_seat_raised"]


@dataclass(frozen=True, slots=True)
class SeatEffect:
    """A seat raised by ``rise`` [m]: how much higher the body then stands over each wheel [m], and each load's change [N].

    Heights are of the body above the wheel centres, as they are measured at the arches.
    """

    corner: Corner
    rise: float
    height: Mapping[Corner, float]
    load: Mapping[Corner, float]


def seat_effect(
    car: CarOnTyres,
    models: tuple[AxleModel, AxleModel],
    corner: Corner,
    rise: float,
    joint_values: Mapping[str, float] | None = None,
) -> SeatEffect:
    """Turn one seat and let the car settle again.

    What comes out is neither the seat's own travel nor that divided by a motion ratio: the corner gives on its spring and
    on its tyre, the other three carry the difference, and the anti-roll bars hand it across.

    Args:
        car: the car on its tyres
        models: both axles complete with their main springs
        corner: axle and side of the seat
        rise: how much further up the spring's seat is set, along the spring [m]
        joint_values: adjusted rods and top plates

    Raises:
        Impossible: the car finds no rest before or after
    """
    elements = {**models[0].elements, **models[1].elements}
    before = settle(car, elements, joint_values)
    after = settle(car, with_seat_raised(elements, corner, rise), joint_values)
    return SeatEffect(corner, rise, *_changes(before, after))


def with_seat_raised(elements: Mapping[str, Element], corner: Corner, rise: float) -> dict[str, Element]:
    """The elements with one main spring's seat set further up; a torsion bar is wound further instead.

    Args:
        elements: elements of both axles
        corner: axle and side of the seat
        rise: by how much [m or rad]
    """
    axle, side = corner
    name = main_spring_name(axle, side)
    spring = elements[name]
    return {**elements, name: replace(spring, zero=spring.zero - spring.sense * rise)}


def _changes(before: CarSits, after: CarSits) -> tuple[dict[Corner, float], dict[Corner, float]]:
    heights = {corner: before.travel[corner] - after.travel[corner] for corner in before.travel}
    loads = {corner: after.load[corner] - before.load[corner] for corner in before.load}
    return heights, loads

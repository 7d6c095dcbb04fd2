"""A car in one state with the file that tells of it, and the same car with a part exchanged and all else as it is set."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from jounce.behaviour.axle.preload import main_spring_name
from jounce.behaviour.road.axle_path import AxleOnBody
from jounce.behaviour.road.road_car import RoadCar
from jounce.car.axles.axle import Axle
from jounce.car.file.document import CarDocument
from jounce.car.mechanics.model import AXLES, AxleModel, AxleName
from jounce.conventions.axes import SIDES, Corner, End
from jounce.elements.law import Shifted, SpringLaw
from jounce.layouts.naming import SideName
from jounce.linkage.balance import Element

__all__ = ["WorkCar", "displaced_at_found", "with_axle", "with_spring_laws"]


@dataclass(frozen=True, slots=True)
class WorkCar:
    """A car as found or as planned.

    Attributes:
        document: the car with the parts of that state
        car: the same on its road, springs loaded and settings made
        seats: how far above the measured place each threaded seat is set; 0 where it is not named [m]
        bolts: turns that the adjusting bolt of each torsion bar was turned up by; none where it is not named

    """

    document: CarDocument
    car: RoadCar
    seats: Mapping[Corner, float] = field(default_factory=dict)
    bolts: Mapping[Corner, float] = field(default_factory=dict)

    def section(self, axle: AxleName) -> Axle:
        """An axle's part of the document.

        Args:
            axle: front or rear
        """
        return self.document.axle(End(axle))

    def model(self, axle: AxleName) -> AxleModel:
        """An axle as mechanics, complete with its main springs.

        Args:
            axle: front or rear
        """
        return self.car.axles[AXLES.index(axle)].axle

    def changed(self, axle: AxleName, change: Callable[[Any], Any]) -> CarDocument:
        """The document with both sides of an axle changed alike; nothing is checked again.

        Args:
            axle: front or rear
            change: one side's section as it is then
        """
        section = self.section(axle)
        sides = {str(side): change(section.side(side)) for side in SIDES}
        return self.document.model_copy(update={axle: section.model_copy(update=sides)})


def with_axle(car: RoadCar, model: AxleModel, settings: Mapping[str, float] | None = None) -> RoadCar:
    """The car with one axle made anew.

    Args:
        car: the car
        model: the axle as it is then, complete with its main springs
        settings: its adjusted joints; as they are when left out [m or rad]
    """
    axles = tuple(
        AxleOnBody(model, on_body.settings if settings is None else settings)
        if on_body.axle.name == model.name
        else on_body
        for on_body in car.axles
    )
    return replace(car, axles=(axles[0], axles[1]))


def displaced_at_found(model: AxleModel, side: SideName) -> float:
    """What a main spring is compressed or wound up, from where it carries nothing, with the wheel as found [m or rad].

    Args:
        model: the axle complete with its main springs
        side: left or right
    """
    element = model.elements[main_spring_name(model.name, side)]
    if not isinstance(element.law, SpringLaw):
        raise TypeError(f"{type(element.law).__name__} is not the law of a main spring")
    value = model.stand.reference_values([element.measure])[:, 0]
    return float((element.displacement(value) - element.law.start)[0])


def with_spring_laws(
    model: AxleModel, laws: Mapping[SideName, SpringLaw], displaced: Mapping[SideName, float]
) -> AxleModel:
    """The axle with other main springs.

    Args:
        model: the axle complete with its main springs
        laws: what each spring pushes over its displacement from where it carries nothing
        displaced: its displacement with the wheel as found [m or rad]
    """
    elements = dict(model.elements)
    main = dict(model.main)
    for side, law in laws.items():
        spring = model.main[side]
        at = model.stand.reference_values([spring.measure])[:, 0]
        moved = Shifted(law, displaced[side] + law.start)
        elements[main_spring_name(model.name, side)] = Element(spring.measure, moved, spring.sense, at)
        main[side] = replace(spring, law=law, stack=None)
    return replace(model, elements=elements, main=main)

"""A planned car with its levers elsewhere, put to rest as a whole."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from jounce.behaviour.road.road_car import RoadCar
from jounce.behaviour.road.weigh import settings_for, with_settings
from jounce.car.file.document import CarDocument
from jounce.car.mechanics.model import AXLES, AxleName
from jounce.case.case import Case
from jounce.checks.ends_of_travel import end_of_travel
from jounce.numerics.arrays import Array
from jounce.wanted.main_springs import stiffer_springs
from jounce.wanted.roll_bars import thicker_bar
from jounce.wanted.stood import Stood, stand
from jounce.wanted.work_car import WorkCar

__all__ = ["MovableCar", "movable"]


@dataclass(frozen=True, eq=False)
class MovableCar:
    """A planned car that can be moved; without slots, since what is worked out of it is kept.

    Attributes:
        measured: the car as it was measured
        work: the planned car
        today: it at rest
        bump: by axle how far both wheels go up from there until something is solid; None where that is not known [m]

    """

    measured: CarDocument
    work: WorkCar
    today: Stood
    bump: Mapping[AxleName, float | None]

    @cached_property
    def effect(self) -> Array:
        """What each spring's setting moves where the planned car stands, shape (4, 4), as of `SpringSettings`."""
        front, rear = (self.today.lower(axle) for axle in AXLES)
        return self._set(self.work.car, front, rear, None)[1]

    def stands(self, values: Mapping[str, float]) -> Stood:
        """The whole car at rest with levers elsewhere: other parts first, then all four springs set for its heights.

        Springs of another size carry what the planned ones carry where it stands; cross weight and the lean from side to
        side stay. Angles and rods stay as they are set.

        Args:
            values: where the levers are, by key; those that are not named stay [SI]

        Raises:
            Impossible: it finds no rest, or no settings give its heights
        """
        work = self.work
        for axle in AXLES:
            if f"{axle}.spring" in values:
                part = stiffer_springs(work, axle, self.today)
                work = replace(work, car=part.fitted(values[f"{axle}.spring"]))
        for axle in AXLES:
            if f"{axle}.bar" in values:
                work = replace(work, car=thicker_bar(work, axle).fitted(values[f"{axle}.bar"]))
        front, rear = (values.get(f"{axle}.height", self.today.lower(axle)) for axle in AXLES)
        return stand(self._set(work.car, front, rear, self.effect)[0])

    def _set(self, car: RoadCar, front: float, rear: float, near: Array | None) -> tuple[RoadCar, Array]:
        """The car with its springs set for heights, and what the settings move."""
        travel = self.today.sits.travel
        lean = sum(travel[axle, "left"] - travel[axle, "right"] for axle in AXLES) / len(AXLES)
        found = settings_for(car, front, rear, self.today.sits.cross_share, lean, near)
        return with_settings(car, found.setting), found.effect


def movable(case: Case) -> MovableCar:
    """A job's planned car, to be moved.

    Args:
        case: the job on its car

    Raises:
        Impossible: the plan cannot be
    """
    planned, plan = case.planned, case.plan
    work = WorkCar(planned.document, planned.car)
    ends = {axle: end_of_travel(plan.planned, axle, "bump") for axle in AXLES}
    bump = {axle: None if end is None else end.travel for axle, end in ends.items()}
    return MovableCar(case.car, work, stand(work.car), bump)

"""A planned car with its levers elsewhere, put to rest as a whole."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

from jounce.behaviour.road.road_car import RoadCar
from jounce.behaviour.road.weigh import settings_for, with_settings
from jounce.car.file.document import CarDocument
from jounce.car.file.quantity import Measured
from jounce.car.mechanics.model import AXLES, AxleName
from jounce.car.parts.stop import BumpStopSection
from jounce.case.case import Case
from jounce.checks.limits import CheckLimits
from jounce.conventions.axes import Corner
from jounce.job.loads import attitude_at
from jounce.layouts.naming import SIDES
from jounce.live.held_camber import HeldCamber, held_camber
from jounce.numerics.arrays import Array
from jounce.wanted.anti_roll_bars import thicker_bar
from jounce.wanted.damper_ends import remade
from jounce.wanted.main_springs import stiffer_springs
from jounce.wanted.stood import Stood, stand
from jounce.wanted.work_car import WorkCar

__all__ = ["MovableCar", "movable", "rubber_key"]


@dataclass(frozen=True, eq=False)
class MovableCar:
    """A planned car that can be moved; without slots, since what is worked out of it is kept.

    Attributes:
        measured: the car as it was measured
        work: the planned car
        today: it at rest
        held: by axle what sets the camber that the job wants; without those whose camber stays as it is
        limits: what the checks hold to

    """

    measured: CarDocument
    work: WorkCar
    today: Stood
    held: Mapping[AxleName, HeldCamber]
    limits: CheckLimits

    @cached_property
    def effect(self) -> Array:
        """What each spring's setting moves where the planned car stands, shape (4, 4), as of `SpringSettings`."""
        front, rear = (self.today.lower(axle) for axle in AXLES)
        return self._set(self.work.car, front, rear, None)[1]

    def stands(self, values: Mapping[str, float]) -> Stood:
        """The whole car at rest with levers elsewhere: other parts first, then all four springs set for its heights.

        Springs of another size carry what the planned ones carry where it stands; cross weight and the lean from side to
        side stay. Camber and toe are as wanted where a job wants a camber; other angles and rods stay as they are set.
        Forces of dampers move nothing at rest.

        Args:
            values: where the levers are, by key; those that are not named stay [SI]

        Raises:
            Impossible: it finds no rest, or no settings give its heights
        """
        work = self._with_rubbers(values)
        for axle in AXLES:
            if f"{axle}.spring" in values:
                part = stiffer_springs(work, axle, self.today)
                work = replace(work, car=part.fitted(values[f"{axle}.spring"]))
        for axle in AXLES:
            if f"{axle}.bar" in values:
                work = replace(work, car=thicker_bar(work, axle).fitted(values[f"{axle}.bar"]))
        front, rear = (values.get(f"{axle}.height", self.today.lower(axle)) for axle in AXLES)
        return stand(self._set(self._with_angles(work.car, front, rear, values), front, rear, self.effect)[0])

    def with_rubbers(self, values: Mapping[str, float]) -> Stood:
        """The planned car where it stands, with bump rubbers elsewhere that it does not touch there.

        Args:
            values: where the levers are, by key; those of rubbers count [SI]
        """
        return Stood(self._with_rubbers(values).car, self.today.sits)

    def _with_rubbers(self, values: Mapping[str, float]) -> WorkCar:
        work = self.work
        for axle in AXLES:
            if f"{axle}.rubber" in values:
                value = Measured(values[f"{axle}.rubber"])
                document = work.changed(axle, lambda one, value=value: _with_rubber(one, value))  # type: ignore[misc]
                work = replace(work, document=document, car=remade(work, axle, document))
        return work

    def _with_angles(self, car: RoadCar, front: float, rear: float, values: Mapping[str, float]) -> RoadCar:
        """The car with the camber wanted where it will stand; its tyres, which carry the same, lean it no further."""
        if not {f"{axle}.{moved}" for axle in AXLES for moved in ("height", "camber")} & {*values}:
            return car
        sits, found = self.today.sits, self.measured
        lower = dict(zip(AXLES, (front, rear), strict=True))
        at: dict[Corner, float] = {
            (axle, side): sits.travel[axle, side] + lower[axle] - self.today.lower(axle)
            for axle in AXLES
            for side in SIDES
        }
        now, then = attitude_at(found, sits.travel), attitude_at(found, at)
        attitude = sits.pitch + then[0] - now[0], sits.roll + then[1] - now[1]
        for axle, held in self.held.items():
            travels = {side: at[axle, side] for side in SIDES}
            car = held.put(car, travels, attitude, values.get(f"{axle}.camber", held.today))
        return car

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
    planned = case.planned
    work = WorkCar(planned.document, planned.car)
    held = {axle: one for axle in AXLES if (one := held_camber(case, axle)) is not None}
    return MovableCar(case.car, work, stand(work.car), held, case.rules.limits)


def rubber_key(stop: BumpStopSection) -> str:
    """The number that tells where a bump rubber touches.

    Args:
        stop: the rubber
    """
    return "gap" if stop.gap is not None else "free_height"


def _with_rubber(one: Any, value: Measured) -> Any:
    """One side's section with its rubber elsewhere."""
    stop: BumpStopSection = one.bump_stop
    return one.model_copy(update={"bump_stop": stop.model_copy(update={rubber_key(stop): value})})

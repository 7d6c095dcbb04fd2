"""The camber that a job wants of an axle, set where the car stands: whatever the hand moves, the top plates go after it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from jounce.behaviour.axle.motions import AxleStates
from jounce.behaviour.axle.travel import column_map
from jounce.behaviour.road.road_car import RoadCar
from jounce.car.axles.axle import Axle
from jounce.car.mechanics.model import AXLES, AxleName
from jounce.case.case import Case
from jounce.conventions.axes import End
from jounce.job.settings import WantedAngles, aims_of, setter_of, wheel_settings
from jounce.job.shim_range import ANY_SHIM
from jounce.job.slot_range import NO_END
from jounce.layouts.adjusters import Aim, is_shim
from jounce.layouts.naming import SIDES, SideName, named, outward
from jounce.wanted.work_car import with_axle

__all__ = ["HeldCamber", "held_camber"]

_REACHED = 1e-4  # how far the planned camber may be off what is wanted [rad]


@dataclass(frozen=True, slots=True)
class HeldCamber:
    """What sets the camber of an axle's wheels, and what is wanted of them.

    Attributes:
        axle: front or rear
        mover: what moves the upper joints, in words of the trade; hub shims among them
        joints: the joints that can be set on the axle, by what for
        wanted: the angles, without an end to what sets them
        today: the camber wanted [rad]
        reach: least and most way of what sets it, inward of as found; endless where nobody told [m]

    """

    axle: AxleName
    mover: str
    joints: Mapping[Aim, str]
    wanted: WantedAngles
    today: float
    reach: tuple[float, float]

    def put(self, car: RoadCar, at: Mapping[SideName, float], attitude: tuple[float, float], camber: float) -> RoadCar:
        """The car with the axle's wheels at a camber, their toe as wanted.

        Args:
            car: the car
            at: travels of the axle's wheels [m]
            attitude: pitch and roll of the body there [rad]
            camber: of both wheels [rad]

        Raises:
            Impossible: no setting gives it
        """
        on_body = car.axles[AXLES.index(self.axle)]
        left, right = (at[side] for side in SIDES)
        states = AxleStates(left=left, right=right, settings=on_body.settings, attitude=attitude)
        wanted = replace(self.wanted, camber=dict.fromkeys(SIDES, camber))
        put = wheel_settings(on_body.axle, states, self.joints, wanted)
        return with_axle(car, on_body.axle, {**(on_body.settings or {}), **put.values})

    def inward(self, car: RoadCar) -> dict[SideName, float]:
        """How far what sets it stands inward of as found, by side [m]; empty where shims set it.

        Args:
            car: the car with its settings
        """
        if is_shim(self.joints["camber"]):
            return {}
        on_body = car.axles[AXLES.index(self.axle)]
        names = [named(self.axle, side, self.joints["camber"]) for side in SIDES]
        found = on_body.axle.stand.reference_values(names)[0]
        settings = on_body.settings or {}
        return {
            side: -outward(side) * (float(np.asarray(settings.get(name, was))) - float(was))
            for side, name, was in zip(SIDES, names, found, strict=True)
        }


def held_camber(case: Case, axle: AxleName) -> HeldCamber | None:
    """What sets an axle's camber; None where none is wanted or links would set it, or what does stands at an end or a step.

    Args:
        case: the job on its car
        axle: front or rear

    Raises:
        Impossible: the plan cannot be
    """
    section: Axle = case.with_parts.axle(End(axle))
    joints, angles = aims_of(section), case.wishes.axles[axle].angles
    if "camber" not in joints or angles.camber is None or angles.links or case.plan.settings[axle].held:
        return None
    wanted = [angles.camber.get(side) for side in SIDES]
    stands = column_map(case.plan.planned.geometry[axle])
    first = wanted[0]
    if first is None or any(
        one is None or abs(one - first) > _REACHED or abs(float(stands[f"{side}_camber"][0]) - one) > _REACHED
        for side, one in zip(SIDES, wanted, strict=True)
    ):
        return None
    endless = replace(angles, slots=NO_END, shims=ANY_SHIM)
    return HeldCamber(axle, setter_of(section, "camber"), joints, endless, first, angles.slots.ends("camber"))

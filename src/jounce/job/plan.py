"""The plan: the car as found, as planned, and the settings that lead from one to the other.

Order of the calculation, which is also the order of the work: bars, then springs for the heights wanted; with the bars
on whole teeth the springs' seats for the cross weight wanted; the Panhard rod; top plates, then tie rods; then the
whole car is let down on its tyres with the settings as they can really be made (whole teeth, quarter turns), and
everything is read where it then stands.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from jounce.behaviour.axle.motions import AxleStates
from jounce.behaviour.axle.reach import Met, first_hard, stops_met
from jounce.behaviour.axle.static import StaticAxle, axle_sits, loaded, with_main_springs
from jounce.behaviour.axle.travel import TravelTable, states_table
from jounce.behaviour.bands import StandingAxles
from jounce.behaviour.road.of_document import car_of
from jounce.behaviour.road.static_car import StaticCar, settle
from jounce.car.axles.beam_panhard import BeamPanhardAxle
from jounce.car.axles.strut_torsion_bar import StrutTorsionBarAxle
from jounce.car.file.document import CarDocument
from jounce.car.mechanics.assembly import axle_model
from jounce.car.mechanics.layout_input import SIDE_OF
from jounce.car.mechanics.model import AXLES, AxleModel
from jounce.conventions.axes import Corner, End, Side
from jounce.conventions.errors import Impossible, InputError
from jounce.conventions.units import Kind, show
from jounce.elements.law import Linear
from jounce.job.corner_weighting import Seats, trimmed
from jounce.job.loads import attitude_at, loads_at
from jounce.job.settings import (
    BarSetting,
    PerchSetting,
    RodSetting,
    WheelSetting,
    bar_settings,
    needed_springs,
    perch_settings,
    plate_joints,
    rod_setting,
    wheel_settings,
)
from jounce.layouts.naming import SIDES, SideName, named
from jounce.linkage.balance import Element

_ROUNDS = 10  # a round brings settings and position a hundredfold closer; a rod between two quarter turns may not rest
_AGREED = 1e-12  # change of any wheel travel from one round to the next at which they agree [m]
_OTHER_END = 0.05  # travel from as found at which every linkage still stands, to look from one end to the other [m]


@dataclass(frozen=True, slots=True)
class Wishes:
    """What is asked of the planned car, SI.

    ``lower`` is how much lower each corner shall stand than as found [m]; ``cross_share`` the wanted share on front right
    and rear left; ``camber``, ``toe`` and ``caster`` of each front wheel, to the road, None to leave it; ``plate_inward``
    and ``plate_rearward`` the top plates' displacement, unused where camber or caster is wanted; ``same_rear_spring`` that
    the coils stay.
    """

    lower: Mapping[Corner, float]
    cross_share: float
    camber: float | None = None
    toe: float | None = None
    plate_inward: float = 0.0
    plate_rearward: float = 0.0
    same_rear_spring: bool = False
    caster: float | None = None


@dataclass(frozen=True, slots=True)
class CarState:
    """The car in one standing position: both axles' mechanics, the whole car, geometry there, stops from there."""

    models: tuple[AxleModel, AxleModel]
    sits: StaticCar
    axles: Mapping[str, StaticAxle]
    geometry: Mapping[str, TravelTable]
    stops: Mapping[str, tuple[Met, ...]]
    states: Mapping[str, AxleStates]

    @property
    def standing(self) -> StandingAxles:
        """Where it stands, how its body leans, what was adjusted, and what its wheels carry more than when weighed."""
        adjusted: dict[str, float] = {}
        for model in self.models:
            settings = self.states[model.name].settings or {}
            for name, value in settings.items():
                found = float(model.stand.reference_values([name])[0, 0])
                adjusted[name] = float(np.asarray(value)) - found
        more: dict[tuple[str, SideName], float] = {
            (model.name, side): self.sits.load[model.name, side] - float(model.corner_load[side][0])
            for model in self.models
            for side in SIDES
        }
        return StandingAxles(self.sits.travel, adjusted, more, (self.sits.pitch, self.sits.roll))

    @property
    def front_share_of_roll_stiffness(self) -> float:
        """Front share of the roll stiffness, tyres excluded [-]."""
        front, rear = (self.axles[name].roll_stiffness for name in ("front", "rear"))
        return front / (front + rear)


@dataclass(frozen=True, slots=True)
class JobPlan:
    """As found, as planned, and the settings in between."""

    found: CarState
    planned: CarState
    bars: Mapping[SideName, BarSetting]
    perches: Mapping[SideName, PerchSetting]
    rod: RodSetting
    wheels: Mapping[SideName, WheelSetting]
    toe_left_alone: Mapping[SideName, float]
    camber_left_alone: Mapping[SideName, float]


@dataclass(frozen=True, slots=True)
class WantedStand:
    """The car held at the heights wanted, whatever its springs, dampers and stops are.

    Attributes:
        found: the car as found
        models: both axles with nothing but plain springs that carry the car there
        settings: adjusted joints by name [m or rad]
        rod: what centres the axle there
        wheels: what gives the wanted angles there

    """

    found: CarState
    models: tuple[AxleModel, AxleModel]
    settings: Mapping[str, float]
    rod: RodSetting
    wheels: Mapping[SideName, WheelSetting]


def wanted_stand(document: CarDocument, planned_document: CarDocument, wishes: Wishes) -> WantedStand:
    """Put a car where it is wanted before anybody knows which parts will hold it there.

    Args:
        document: the car as measured
        planned_document: the same with what of the change is settled
        wishes: what is asked of it

    Raises:
        Impossible: the linkage does not reach there
    """
    found = car_before(document)
    return _Planner(planned_document, found, wishes).stand()


def make_plan(
    document: CarDocument, planned_document: CarDocument, wishes: Wishes, found: CarState | None = None
) -> JobPlan:
    """Work out a change.

    Args:
        document: the car as measured
        planned_document: the same with the planned parts
        wishes: what is asked of it
        found: the car as it was found; worked out when left out

    Raises:
        Impossible: the wanted position is out of the linkage's reach, or the car finds no rest
    """
    return _Planner(planned_document, found or car_before(document), wishes).plan()


def car_before(document: CarDocument, models: tuple[AxleModel, AxleModel] | None = None) -> CarState:
    """The car as it was found, of any layout.

    Args:
        document: the car as measured
        models: both axles, loaded as weighed; put together when left out

    Raises:
        Impossible: the car finds no rest
    """
    front, rear = models or (loaded(axle_model(document, axle))[0] for axle in AXLES)
    return _state(document, (front, rear), {})


class _Planner:
    """Settings and standing position of the planned car, in turns until they agree."""

    def __init__(self, document: CarDocument, found: CarState, wishes: Wishes) -> None:
        if not isinstance(document.front, StrutTorsionBarAxle) or not isinstance(document.rear, BeamPanhardAxle):
            raise InputError(
                "A plan needs a torsion-bar strut axle in front and a beam axle behind",
                found=f"{document.front.layout} and {document.rear.layout}",
                todo="Choose another car.",
            )
        self.document, self.found, self.wishes = document, found, wishes
        self.front_section, self.rear_section = document.front, document.rear
        self.front, self.rear = axle_model(document, "front"), axle_model(document, "rear")

    def stand(self) -> WantedStand:
        """Hold it where it is wanted."""
        front_at, rear_at = ({side: self.wishes.lower[axle, side] for side in SIDES} for axle in ("front", "rear"))
        rod = rod_setting(self.rear_section, self.rear, AxleStates(left=rear_at["left"], right=rear_at["right"]))
        attitude = self._attitude()
        wheels, front_values = self._wheels(front_at, attitude)
        rear_values = {named("rear", "panhard"): rod.set_length}
        loads = self._loads()
        models = (
            _on_plain_springs(
                self.front, _states(front_at, front_values, attitude), {s: loads["front", s] for s in SIDES}
            ),
            _on_plain_springs(self.rear, _states(rear_at, rear_values, attitude), {s: loads["rear", s] for s in SIDES}),
        )
        return WantedStand(self.found, models, {**front_values, **rear_values}, rod, wheels)

    def plan(self) -> JobPlan:
        """Find settings, then let the car down on its tyres."""
        lower = self.wishes.lower
        for model in (self.front, self.rear):
            _refuse_beyond_stops(model, {side: lower[model.name, side] for side in SIDES})
        front_at = {side: lower["front", side] for side in SIDES}
        rear_at = {side: lower["rear", side] for side in SIDES}
        rod = rod_setting(self.rear_section, self.rear, AxleStates(left=rear_at["left"], right=rear_at["right"]))
        rear_values = {named("rear", "panhard"): rod.set_length}
        wheels, front_values = self._wheels(front_at, self._attitude())
        loads = self._loads()
        bars, front_springs = bar_settings(
            self.front_section,
            self.found.models[0],
            self.front,
            _states(front_at, front_values, self._attitude()),
            {side: loads["front", side] for side in SIDES},
        )
        perches, rear_springs = perch_settings(
            self.rear_section,
            self.found.models[1],
            self.rear,
            _states(rear_at, rear_values, self._attitude()),
            {side: loads["rear", side] for side in SIDES},
            same_spring=self.wishes.same_rear_spring,
        )
        front = with_main_springs(self.front, front_springs)

        def cross_share(springs: Mapping[SideName, Element]) -> float:
            on_seats = (front, with_main_springs(self.rear, springs))
            return settle(car_of(self.document, *on_seats, {**front_values, **rear_values}), lower).cross_share

        threads = {side: self.rear_section.side(SIDE_OF[side]).perch for side in SIDES}
        seats = trimmed(Seats(perches, rear_springs), threads, cross_share, self.wishes.cross_share)
        models = (front, with_main_springs(self.rear, seats.elements))
        at: Mapping[Corner, float] = lower
        for _ in range(_ROUNDS):  # angles and rod are set where the car really stands, not where it was wished
            sits = settle(car_of(self.document, *models, {**front_values, **rear_values}), at)
            before, at = at, sits.travel
            front_at, rear_at = ({side: sits.travel[axle, side] for side in SIDES} for axle in ("front", "rear"))
            if max(abs(sits.travel[corner] - travel) for corner, travel in before.items()) <= _AGREED:
                break
            rod = rod_setting(self.rear_section, self.rear, AxleStates(left=rear_at["left"], right=rear_at["right"]))
            rear_values = {named("rear", "panhard"): rod.set_length}
            wheels, front_values = self._wheels(front_at, (sits.pitch, sits.roll))
        planned = _state(self.document, models, {**front_values, **rear_values}, at)
        alone = states_table(
            self.front.stand,
            self.front.linkage,
            replace(planned.states["front"], settings=self._plates()),
            (1.0, 1.0),
        )
        angles = {column.name: float(column.values[0]) for column in alone.columns}
        return JobPlan(
            self.found,
            planned,
            bars,
            seats.settings,
            rod,
            wheels,
            {side: angles[f"{side}_toe"] for side in SIDES},
            {side: angles[f"{side}_camber"] for side in SIDES},
        )

    def _plates(self) -> dict[str, float]:
        """Top plates where the job puts them."""
        return plate_joints(self.wishes.plate_inward, self.wishes.plate_rearward)

    def _attitude(self) -> tuple[float, float]:
        """Pitch and roll that the wanted heights give the body [rad]."""
        return attitude_at(self.document, self.wishes.lower)

    def _wheels(
        self, at: Mapping[SideName, float], attitude: tuple[float, float]
    ) -> tuple[dict[SideName, WheelSetting], dict[str, float]]:
        wishes = self.wishes
        camber = None if wishes.camber is None else dict.fromkeys(SIDES, wishes.camber)
        toe = None if wishes.toe is None else dict.fromkeys(SIDES, wishes.toe)
        caster = None if wishes.caster is None else dict.fromkeys(SIDES, wishes.caster)
        return wheel_settings(self.front, _states(at, self._plates(), attitude), camber, toe, caster)

    def _loads(self) -> dict[Corner, float]:
        """Wheel loads at the wanted heights."""
        loads = loads_at(self.document, self.found.sits.load, self.wishes.lower, self.wishes.cross_share)
        return {corner: float(load) for corner, load in loads.items()}


def _on_plain_springs(model: AxleModel, standing: AxleStates, loads: Mapping[SideName, float]) -> AxleModel:
    """An axle that nothing but two springs of its main springs' rates holds where it shall stand.

    Raises:
        Impossible: the linkage does not reach there
    """
    bare = replace(model, elements={}, groups={})
    placed, needed = needed_springs(bare, standing, loads)
    springs = {}
    for side in SIDES:
        spring = model.main[side]
        at = model.stand.taken([spring.measure]).values(placed.pose)[:, 0]
        rate = float(np.ravel(spring.law.stiffness(needed[side].displacement))[0])
        law = Linear(rate, float(needed[side].force[0]))
        springs[side] = Element(spring.measure, law, spring.sense, at)
    return with_main_springs(bare, springs)


def _refuse_beyond_stops(model: AxleModel, lower: Mapping[SideName, float]) -> None:
    """Say so when a wanted height lies beyond where the wheels can go at all.

    Raises:
        Impossible: with how far the axle can be lowered or raised, and what ends it
    """
    met = stops_met(model, (lower["left"], lower["right"]))
    for at, way, word in (("bump", 1.0, "lowered"), ("droop", -1.0, "raised")):
        end = first_hard(met, at)
        if end is None or end.travel > 0:
            continue
        asked = max(way * value for value in lower.values())
        # From the other end of the travel: what ends it is the first stop on the way, even one that is past as found.
        first = first_hard(stops_met(model, (-way * _OTHER_END, -way * _OTHER_END)), at) or end
        most = first.travel - _OTHER_END
        raise Impossible(
            f"The {model.name} cannot be {_moved(asked, word)}: the wheels come to their end ({first.name}) when it is "
            f"{_moved(most, word)}. Ask for another height under "
            f"[wanted.{model.name}], or choose other dampers or bump stops.",
            place=f"wanted.{model.name}",
        )


def _moved(by: float, word: str) -> str:
    """How far an axle is lowered or raised, in words; a negative movement is one the other way [m]."""
    other = "raised" if word == "lowered" else "lowered"
    return f"{word if by >= 0 else other} by {show(abs(by), Kind.LENGTH)}"


def _states(
    at: Mapping[SideName, float], values: Mapping[str, float], attitude: tuple[float, float] = (0.0, 0.0)
) -> AxleStates:
    return AxleStates(left=at["left"], right=at["right"], settings=dict(values), attitude=attitude)


def _state(
    document: CarDocument,
    models: tuple[AxleModel, AxleModel],
    joint_values: Mapping[str, float],
    near: Mapping[Corner, float] | None = None,
) -> CarState:
    """Let the car down and read everything where it stands."""
    sits = settle(car_of(document, *models, joint_values), near)
    states: dict[str, AxleStates] = {}
    axles: dict[str, StaticAxle] = {}
    geometry: dict[str, TravelTable] = {}
    stops: dict[str, tuple[Met, ...]] = {}
    for model in models:
        own = {name: value for name, value in joint_values.items() if name.startswith(model.name + ".")}
        at = {side: sits.travel[model.name, side] for side in SIDES}
        states[model.name] = _states(at, own, (sits.pitch, sits.roll))
        axles[model.name] = axle_sits(model, states[model.name])
        geometry[model.name] = states_table(model.stand, model.linkage, states[model.name], (1.0, 1.0))
        stops[model.name] = stops_met(model, (at["left"], at["right"]), own)
    return CarState(models, sits, axles, geometry, stops, states)


def value_of(table: TravelTable, name: str) -> float | None:
    """One number of a standing position's geometry, SI; None where it does not exist."""
    value = next(float(column.values[0]) for column in table.columns if column.name == name)
    return None if np.isnan(value) else value


def height(document: CarDocument, state: CarState, corner: Corner) -> float:
    """Wheel centre to arch where the car stands [m]."""
    end = End.FRONT if corner[0] == "front" else End.REAR
    side = Side.LEFT if corner[1] == "left" else Side.RIGHT
    return document.heights.corner(end, side).value - state.sits.travel[corner]

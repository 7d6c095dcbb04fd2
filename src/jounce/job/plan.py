"""The plan: the car as found, as planned, and the settings that lead from one to the other.

Order of the calculation, which is also the order of the work, on whatever the axles have of it: torsion bars and spring
seats for the heights wanted; with bars on whole teeth the seats of one axle for the cross weight wanted; the rod that
holds an axle sideways, and the links that set where it points; what moves the upper joints, then tie rods; then the whole
car is let down on its tyres with the settings as they can really be made (whole teeth, quarter turns), and everything is
read where it then stands.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, cast

import numpy as np

from jounce.behaviour.axle.motions import AxleStates, place_axle
from jounce.behaviour.axle.reach import Met, first_hard, stops_met
from jounce.behaviour.axle.static import StaticAxle, axle_sits, loaded, with_main_springs
from jounce.behaviour.axle.travel import TravelTable, column_map, states_table
from jounce.behaviour.bands import StandingAxles
from jounce.behaviour.road.of_document import car_of
from jounce.behaviour.road.static_car import StaticCar, settle
from jounce.car.file.document import CarDocument
from jounce.car.mechanics.assembly import axle_model
from jounce.car.mechanics.layout_input import SIDE_OF
from jounce.car.mechanics.model import AXLES, AxleModel, AxleName
from jounce.car.parts import Perch
from jounce.conventions.axes import Corner, End, Side
from jounce.conventions.errors import Impossible
from jounce.conventions.units import Kind, show
from jounce.elements.law import Linear
from jounce.job.corner_weighting import Seats, seat_moved, trimmed
from jounce.job.drop_links import LinkSetting, link_joints, links_set
from jounce.job.least_bad import SeatPlaces, least_bad, misses_of, places_of, reset
from jounce.job.loads import attitude_at, loads_at
from jounce.job.settings import (
    AxleSettings,
    AxleWishes,
    PerchSetting,
    RodSetting,
    WheelSetting,
    bar_settings,
    joints_set,
    needed_springs,
    rod_setting,
    seat_settings,
    setter_of,
    slot_joints,
    trailing_of,
    wheel_settings,
)
from jounce.job.shortfall import PlannedAxle, Shortfall, shortfalls
from jounce.job.trailing_links import TrailingSetting, trailing_setting
from jounce.job.watt_bracket import BracketSetting, bracket_setting
from jounce.layouts.adjusters import WATT_BRACKET, Aim, is_shim
from jounce.layouts.naming import SIDES, SideName, named
from jounce.linkage.balance import Element
from jounce.numerics.arrays import Array

_ROUNDS = 10  # a round brings settings and position a hundredfold closer; a rod between two quarter turns may not rest
_ROUNDS_OF_LINKS = (
    60  # a link lets its bar go, and the bar was holding the car: each round leaves up to half of the last
)
_ROUNDS_OF_SEATS = 2  # while seats are sought: what the second leaves of their effect is a thousandth of a step
_TURNS_OF_LINKS = 2  # links and what centres the axle in turns: either moves the other by a hundredth of itself or less
_AGREED = 1e-12  # change of any wheel travel from one round to the next at which they agree [m]
_OTHER_END = 0.05  # travel from as found at which every linkage still stands, to look from one end to the other [m]


@dataclass(frozen=True, slots=True)
class Wishes:
    """What is asked of the planned car, SI.

    ``lower`` is how much lower each corner shall stand than as found [m]; ``cross_share`` the wanted share on front right
    and rear left; ``axles`` what is asked of each axle besides.
    """

    lower: Mapping[Corner, float]
    cross_share: float
    axles: Mapping[str, AxleWishes]


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
    """As found, as planned, and the settings in between, by axle.

    ``short`` tells the wishes that an adjuster ends before.
    """

    found: CarState
    planned: CarState
    settings: Mapping[str, AxleSettings]
    short: tuple[Shortfall, ...] = ()


@dataclass(frozen=True, slots=True)
class WantedStand:
    """The car held at the heights wanted, whatever its springs, dampers and stops are.

    Attributes:
        found: the car as found
        models: both axles with nothing but plain springs that carry the car there
        settings: adjusted joints by name [m or rad]
        axles: by axle what centres it there, and what gives its wheels the wanted angles

    """

    found: CarState
    models: tuple[AxleModel, AxleModel]
    settings: Mapping[str, float]
    axles: Mapping[str, AxleSettings]


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


def axle_set_at(
    planned_document: CarDocument,
    found: CarState,
    wishes: Wishes,
    axle: AxleName,
    travels: Mapping[SideName, float],
    attitude: tuple[float, float],
) -> tuple[AxleModel, AxleStates]:
    """An axle with what centres it and sets its angles put right where its wheels stand, without springs.

    Args:
        planned_document: the car with the planned parts
        found: the car as it was found
        wishes: what is asked of it
        axle: front or rear
        travels: of its wheels, from as found [m]
        attitude: pitch and roll of the body [rad]

    Raises:
        Impossible: an angle cannot be set there
    """
    k = AXLES.index(axle)
    one = _AxlePlanner(planned_document, axle, found.models[k], wishes.axles[axle])
    return one.model, _states(travels, one.placing(travels, attitude).values, attitude)


def plan_on_springs(
    planned_document: CarDocument,
    found: CarState,
    wishes: Wishes,
    springs: Mapping[str, tuple[AxleSettings, Mapping[SideName, Element]]],
    near: CarState,
) -> JobPlan:
    """A plan whose springs are set already: rods, links and angles are put right where the car stands on them.

    Args:
        planned_document: the car with the planned parts
        found: the car as it was found
        wishes: what is asked of it
        springs: by axle its settings, of which those of springs are taken, and the springs themselves
        near: where the car stands about

    Raises:
        Impossible: the car finds no rest, or an angle cannot be set there
    """
    planner = _Planner(planned_document, found, wishes)
    sits = near.sits
    placings = planner.placings(sits.travel, (sits.pitch, sits.roll))
    settings = [AxleSettings(bars=one.bars, seats=one.seats) for one, _ in (springs[axle] for axle in AXLES)]
    return planner.set_on(settings, [springs[axle][1] for axle in AXLES], (sits.travel, placings))


def car_before(document: CarDocument, models: tuple[AxleModel, AxleModel] | None = None) -> CarState:
    """The car as it was found, of any layout.

    Args:
        document: the car as measured
        models: both axles, loaded as weighed; put together when left out

    Raises:
        Impossible: the car finds no rest
    """
    front, rear = models or (loaded(axle_model(document, axle))[0] for axle in AXLES)
    return stands_at(document, (front, rear), {})


@dataclass(frozen=True, slots=True)
class _Placing:
    """Rods and plates of an axle for one place of its wheels: the settings, and the joint values that go with them."""

    rod: RodSetting | None
    bracket: BracketSetting | None
    trailing: TrailingSetting | None
    wheels: Mapping[SideName, WheelSetting]
    values: Mapping[str, float]
    held: Mapping[str, float]
    links: Mapping[str, LinkSetting]


class _AxlePlanner:
    """The settings of one axle."""

    def __init__(self, document: CarDocument, axle: AxleName, found: AxleModel, wishes: AxleWishes) -> None:
        self.section, self.found, self.wishes = document.axle(End(axle)), found, wishes
        self.model = axle_model(document, axle)
        self.joints, self.trailing_links = joints_set(self.section, wishes.angles), trailing_of(self.section)

    def placing(self, at: Mapping[SideName, float], attitude: tuple[float, float]) -> _Placing:
        """What centres the axle and gives its wheels the wanted angles.

        Args:
            at: wheel travels [m]
            attitude: pitch and roll of the body there [rad]
        """
        rod, bracket, values = self._centred(at, {})
        trailing, wish = None, self.wishes.trailing
        if wish is not None and self.trailing_links is not None:
            for _ in range(_TURNS_OF_LINKS):
                states = _states(at, {**values, **self.slots()}, attitude)
                trailing = trailing_setting(wish, self.trailing_links, self.model, states)
                rod, bracket, values = self._centred(at, trailing.values)
        states = _states(at, {**values, **self.slots()}, attitude)
        put = wheel_settings(self.model, states, self.joints, self.wishes.angles)
        values = {**values, **put.values}
        links = links_set(self.model, _states(at, values, attitude), self.wishes.free_bars)
        return _Placing(rod, bracket, trailing, put.wheels, {**values, **links.values}, put.held, links.links)

    def _centred(
        self, at: Mapping[SideName, float], links: Mapping[str, float]
    ) -> tuple[RodSetting | None, BracketSetting | None, dict[str, float]]:
        """What puts the axle in the middle, with its trailing links set; the joint values of both."""
        standing, name = _states(at, links), self.model.name
        if self.joints.get("centre") == WATT_BRACKET.joint:
            if self.wishes.bracket is None:
                return None, None, {**links}
            bracket = bracket_setting(self.wishes.bracket, self.model, standing)
            return None, bracket, {**links, named(name, WATT_BRACKET.joint): bracket.set_place}
        if "centre" not in self.joints:
            return None, None, {**links}
        rod = rod_setting(cast("Any", self.section).panhard, self.model, standing)
        return rod, None, {**links, named(name, self.joints["centre"]): rod.set_length}

    def slots(self) -> dict[str, float]:
        """The joints that slots move, where the job puts them."""
        return slot_joints(self.model.name, self.joints, self.wishes.angles)

    def springs(
        self, states: AxleStates, loads: Mapping[SideName, float]
    ) -> tuple[AxleSettings, dict[SideName, Element]]:
        """Index of the bars, or seats of coils or leaves, and the springs with them.

        Args:
            states: where the axle is wanted, its joints set
            loads: wheel loads there [N]
        """
        if self.model.main["left"].kind == "torsion bar":
            bars, elements = bar_settings(self.section, self.found, self.model, states, loads)
            return AxleSettings(bars=bars), elements
        seats, elements = seat_settings(self.section, self.found, self.model, states, loads, self.wishes)
        return AxleSettings(seats=seats), elements

    def perches(self) -> dict[SideName, Perch | None]:
        """The threads of its spring seats."""
        return {side: getattr(self.section.side(SIDE_OF[side]), "perch", None) for side in SIDES}

    def alone(self, planned: AxleStates) -> dict[tuple[str, SideName], float]:
        """Camber and toe with what sets them as it was found.

        Args:
            planned: where the axle stands in the end
        """
        asked = self.wishes.angles
        if "toe" not in self.joints or (is_shim(self.joints["toe"]) and not (asked.camber or asked.toe)):
            return {}
        kept = {self._centring(), *self._trailing()}
        values = {name: value for name, value in (planned.settings or {}).items() if name in kept}
        states = replace(planned, settings={**values, **self.slots()})
        table = states_table(self.model.stand, self.model.linkage, states, (1.0, 1.0))
        stands = {column.name: float(column.values[0]) for column in table.columns}
        return {(angle, side): stands[f"{side}_{angle}"] for angle in ("toe", "camber") for side in SIDES}

    def _centring(self) -> str:
        return named(self.model.name, self.joints["centre"]) if "centre" in self.joints else ""

    def _trailing(self) -> tuple[str, ...]:
        """Joints of the links that set where it points."""
        links = self.trailing_links
        return () if links is None else tuple(joint for side in SIDES for joint in links.of_side(self.model.name, side))


class _Planner:
    """Settings and standing position of the planned car, in turns until they agree."""

    def __init__(self, document: CarDocument, found: CarState, wishes: Wishes) -> None:
        self.document, self.found, self.wishes = document, found, wishes
        self.axles = tuple(
            _AxlePlanner(document, axle, model, wishes.axles[axle])
            for axle, model in zip(AXLES, found.models, strict=True)
        )

    def stand(self) -> WantedStand:
        """Hold it where it is wanted."""
        attitude, loads = attitude_at(self.document, self.wishes.lower), self._loads()
        placings = self.placings(self.wishes.lower, attitude)
        front, rear = (
            _on_plain_springs(
                axle.model,
                _states(self._at(self.wishes.lower, axle), placing.values, attitude),
                {side: loads[axle.model.name, side] for side in SIDES},
            )
            for axle, placing in zip(self.axles, placings, strict=True)
        )
        settings: dict[str, AxleSettings] = {
            axle.model.name: AxleSettings(rod=placing.rod, wheels=placing.wheels, links=placing.links)
            for axle, placing in zip(self.axles, placings, strict=True)
        }
        return WantedStand(self.found, (front, rear), _values(placings), settings)

    def plan(self) -> JobPlan:
        """Find settings, then let the car down on its tyres."""
        lower = self.wishes.lower
        for axle in self.axles:
            _refuse_beyond_stops(axle.model, self._at(lower, axle))
        attitude, loads = attitude_at(self.document, lower), self._loads()
        placings = self.placings(lower, attitude)
        sprung = [
            axle.springs(
                _states(self._at(lower, axle), placing.values, attitude),
                {side: loads[axle.model.name, side] for side in SIDES},
            )
            for axle, placing in zip(self.axles, placings, strict=True)
        ]
        settings, elements = self._within_reach(*self._trimmed(sprung, placings), placings)
        return self.set_on(settings, elements, (lower, placings))

    def set_on(
        self,
        settings: Sequence[AxleSettings],
        elements: Sequence[Mapping[SideName, Element]],
        begun: tuple[Mapping[Corner, float], list[_Placing]],
    ) -> JobPlan:
        """Let the car down on springs that are set, and put right where it stands what centres it and sets its angles."""
        front, rear = self._on_springs(elements)
        freed = any(axle.wishes.free_bars is not None for axle in self.axles)
        rounds = _ROUNDS_OF_LINKS if freed else _ROUNDS
        at, placings = self._let_down((front, rear), begun[1], rounds, begun[0])
        planned = stands_at(self.document, (front, rear), _values(placings), at)
        told: dict[str, AxleSettings] = {
            axle.model.name: replace(
                springs,
                rod=placing.rod,
                bracket=placing.bracket,
                trailing=placing.trailing,
                wheels=placing.wheels,
                mover=setter_of(axle.section, "camber"),
                toe_rod=setter_of(axle.section, "toe"),
                alone=axle.alone(planned.states[axle.model.name]),
                held=placing.held,
                shims=axle.wishes.angles.shims,
                links=placing.links,
                joints=axle.wishes.joints,
            )
            for axle, springs, placing in zip(self.axles, settings, placings, strict=True)
        }
        short = [lack for axle in self.axles for lack in self._short(axle, told[axle.model.name], planned)]
        return JobPlan(self.found, planned, told, tuple(short))

    def _short(self, axle: _AxlePlanner, settings: AxleSettings, planned: CarState) -> tuple[Shortfall, ...]:
        """What an axle's adjusters lack for what was wanted of it."""
        name, geometry = axle.model.name, column_map(planned.geometry[axle.model.name])
        aims: tuple[Aim, ...] = ("camber", "caster", "toe")
        angles = {(side, aim): geometry.get(f"{side}_{aim}") for side in SIDES for aim in aims}
        heights: dict[SideName, tuple[float, float]] = {}
        for side in SIDES:
            stands = height(self.document, planned, (name, side))
            off = planned.sits.travel[name, side] - self.wishes.lower[name, side]
            heights[side] = (stands + off, stands)
        return shortfalls(
            PlannedAxle(
                name,
                axle.section,
                axle.wishes,
                settings,
                {key: float(value[0]) for key, value in angles.items() if value is not None},
                heights,
                (self.wishes.cross_share, planned.sits.cross_share),
                float(geometry["axle_shift"][0]) if "axle_shift" in geometry else 0.0,
                _twists(planned.models[AXLES.index(name)], planned.states[name]) if settings.links else {},
            )
        )

    def _on_springs(self, elements: Sequence[Mapping[SideName, Element]]) -> tuple[AxleModel, AxleModel]:
        """Both axles with their main springs."""
        front, rear = (
            with_main_springs(axle.model, springs) for axle, springs in zip(self.axles, elements, strict=True)
        )
        return front, rear

    def _let_down(
        self,
        models: tuple[AxleModel, AxleModel],
        placings: list[_Placing],
        rounds: int,
        near: Mapping[Corner, float] | None = None,
    ) -> tuple[Mapping[Corner, float], list[_Placing]]:
        """Angles and rod set where the car really stands, not where it was wished, in turns until both agree."""
        at: Mapping[Corner, float] = self.wishes.lower if near is None else near
        for _ in range(rounds):
            sits = settle(car_of(self.document, *models, _values(placings)), at)
            before, at = at, sits.travel
            if max(abs(sits.travel[corner] - travel) for corner, travel in before.items()) <= _AGREED:
                break
            placings = self.placings(sits.travel, (sits.pitch, sits.roll))
        return at, placings

    def _within_reach(
        self,
        settings: list[AxleSettings],
        elements: list[Mapping[SideName, Element]],
        placings: list[_Placing],
    ) -> tuple[list[AxleSettings], list[Mapping[SideName, Element]]]:
        """All seats of the car set together where one is at its end; as they are where each reaches its height."""
        places: dict[Corner, SeatPlaces] = {}
        for axle, own in zip(self.axles, settings, strict=True):
            for side, seat in own.seats.items():
                goes = places_of(seat, axle.perches()[side], axle.wishes.shackles, axle.wishes.spacer)
                if goes is not None:
                    places[axle.model.name, side] = goes
        seats: dict[Corner, PerchSetting] = {
            corner: settings[AXLES.index(corner[0])].seats[corner[1]] for corner in places
        }
        if not any(places[corner].beyond(seat.wanted or 0.0) for corner, seat in seats.items()):
            return settings, elements

        def put(on: Mapping[Corner, float]) -> list[Mapping[SideName, Element]]:
            moved = [dict(springs) for springs in elements]
            for (axle, side), seat in on.items():
                springs = moved[AXLES.index(axle)]
                springs[side] = seat_moved(springs[side], seat - seats[axle, side].seat)
            return [*moved]

        def missed(on: Mapping[Corner, float]) -> Array:
            models = self._on_springs(put(on))
            at, set_there = self._let_down(models, placings, _ROUNDS_OF_SEATS)
            sits = settle(car_of(self.document, *models, _values(set_there)), at)
            lower = [sits.travel[corner] - travel for corner, travel in self.wishes.lower.items()]
            return misses_of(lower, sits.cross_share - self.wishes.cross_share)

        chosen, best = least_bad(places, {corner: seat.seat for corner, seat in seats.items()}, missed)
        told = [*settings]
        for corner, place in chosen.items():
            number, put_so = AXLES.index(corner[0]), reset(seats[corner], places[corner], place, best[corner])
            told[number] = replace(told[number], seats={**told[number].seats, corner[1]: put_so})
        return told, put(chosen)

    def _trimmed(
        self, sprung: Sequence[tuple[AxleSettings, dict[SideName, Element]]], placings: Sequence[_Placing]
    ) -> tuple[list[AxleSettings], list[Mapping[SideName, Element]]]:
        """The seats of one axle turned against each other for the cross weight: those behind, where they have threads."""
        settings, elements = [one for one, _ in sprung], [springs for _, springs in sprung]
        threaded = [k for k, axle in enumerate(self.axles) if settings[k].seats and None not in axle.perches().values()]
        if not threaded:
            return settings, [*elements]
        turned = threaded[-1]

        def cross_share(springs: Mapping[SideName, Element]) -> float:
            front, rear = self._on_springs([springs if k == turned else own for k, own in enumerate(elements)])
            return settle(car_of(self.document, front, rear, _values(placings)), self.wishes.lower).cross_share

        seats = trimmed(
            Seats(settings[turned].seats, elements[turned]),
            self.axles[turned].perches(),
            cross_share,
            self.wishes.cross_share,
        )
        settings[turned] = replace(settings[turned], seats=seats.settings)
        on_seats: list[Mapping[SideName, Element]] = [*elements]
        on_seats[turned] = seats.elements
        return settings, on_seats

    def placings(self, travel: Mapping[Corner, float], attitude: tuple[float, float]) -> list[_Placing]:
        """What centres both axles and sets their angles, the wheels there."""
        return [axle.placing(self._at(travel, axle), attitude) for axle in self.axles]

    @staticmethod
    def _at(travel: Mapping[Corner, float], axle: _AxlePlanner) -> dict[SideName, float]:
        return {side: travel[axle.model.name, side] for side in SIDES}

    def _loads(self) -> dict[Corner, float]:
        """Wheel loads at the wanted heights, with what is put into the car or taken out of it."""
        before: dict[Corner, Array | float] = {
            (model.name, side): self.found.sits.load[model.name, side]
            + float(axle.model.corner_load[side][0] - model.corner_load[side][0])
            for axle, model in zip(self.axles, self.found.models, strict=True)
            for side in SIDES
        }
        loads = loads_at(self.document, before, self.wishes.lower, self.wishes.cross_share)
        return {corner: float(load) for corner, load in loads.items()}


def _values(placings: Sequence[_Placing]) -> dict[str, float]:
    """Values of all joints that are set [m]."""
    return {name: value for placing in placings for name, value in placing.values.items()}


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


def stands_at(
    document: CarDocument,
    models: tuple[AxleModel, AxleModel],
    joint_values: Mapping[str, float],
    near: Mapping[Corner, float] | None = None,
) -> CarState:
    """Let a car down on its tyres and read everything where it then stands.

    Args:
        document: the car
        models: both axles, complete with their springs
        joint_values: joints that are set, by name [m or rad]
        near: wheel travels to start from; as found when left out [m]

    Raises:
        Impossible: the car finds no rest
    """
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


def _twists(model: AxleModel, standing: AxleStates) -> dict[str, float]:
    """By how much each anti-roll bar is twisted from free where its axle stands [rad]."""
    pose = place_axle(model.stand, model.name, standing).pose
    found = {}
    for bar in link_joints(model, "left"):
        measure = named(model.name, f"{bar}_twist")
        element = model.elements[measure]
        found[bar] = float(element.displacement(model.stand.taken([measure]).values(pose)[:, 0])[0])
    return found


def value_of(table: TravelTable, name: str) -> float | None:
    """One number of a standing position's geometry, SI; None where it does not exist."""
    value = next(float(column.values[0]) for column in table.columns if column.name == name)
    return None if np.isnan(value) else value


def height(document: CarDocument, state: CarState, corner: Corner) -> float:
    """Wheel centre to arch where the car stands [m]."""
    end = End.FRONT if corner[0] == "front" else End.REAR
    side = Side.LEFT if corner[1] == "left" else Side.RIGHT
    return document.heights.corner(end, side).value - state.sits.travel[corner]

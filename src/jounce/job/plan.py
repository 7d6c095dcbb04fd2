"""The plan: the car as found, as planned, and the settings that lead from one to the other.

All wishes of the car are one problem, on whatever the axles have to set. Where the wheels stand, the rods, links, plates
and shims that give each axle its middle, its direction and its angles are solved for exactly; with them so set in every
trial, all springs that can be set are sought together for the four heights and the cross weight (`springs_together`).
Then everything goes to real steps in the order of the work, the rest set anew after each: teeth of torsion bars, spring
seats, links that set where an axle points, the rod that holds it sideways, what moves the upper joints, tie rods, last the
drop links. So set the whole car is let down on its tyres, and everything is read where it then stands.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, cast

import numpy as np

from jounce.behaviour.axle.motions import AxleStates, place_axle
from jounce.behaviour.axle.reach import StopContact, first_hard, stops_met
from jounce.behaviour.axle.static import StaticAxle, axle_sits, loaded, with_main_springs
from jounce.behaviour.axle.travel import TravelTable, column_map, states_table
from jounce.behaviour.bands import StandingAxles
from jounce.behaviour.road.of_document import car_of
from jounce.behaviour.road.static_car import StaticCar, settle
from jounce.behaviour.road.weigh import slopes_of_settings
from jounce.car.file.document import CarDocument
from jounce.car.mechanics.assembly import axle_model
from jounce.car.mechanics.layout_input import SIDE_OF
from jounce.car.mechanics.model import AXLES, AxleModel, AxleName
from jounce.conventions.axes import CORNERS, Corner, End, Side
from jounce.conventions.errors import Impossible
from jounce.conventions.units import Kind, show
from jounce.elements.law import Linear
from jounce.job.drop_links import LinksSet, link_joints, links_set, without_freed_bars
from jounce.job.index.hanging import hanging_point
from jounce.job.loads import attitude_at, loads_at
from jounce.job.settings import (
    AxleSettings,
    AxleWishes,
    BarSetting,
    RodSetting,
    WheelSetting,
    bar_settings,
    index_of_bar,
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
from jounce.job.spring_moved import spring_moved
from jounce.job.springs_together import (
    ANYWHERE,
    BarPlaces,
    SpringAdjuster,
    SpringSet,
    misses_of,
    places_of,
    reset,
    set_together,
    slopes_of,
)
from jounce.job.trailing_links import TrailingSetting, trailing_setting
from jounce.job.watt_bracket import BracketSetting, bracket_setting
from jounce.job.wishes_at_odds import WishesAtOdds, wishes_at_odds
from jounce.layouts.adjusters import WATT_BRACKET, Aim, is_shim
from jounce.layouts.naming import SIDES, SideName, named
from jounce.linkage.balance import Element
from jounce.numerics.arrays import Array

_ROUNDS = 10  # a round brings settings and position a hundredfold closer; a rod between two quarter turns may not rest
_TURNS_OF_LINKS = 3  # links and what centres the axle in turns: either moves the other by a hundredth of itself or less
_AGREED = 1e-11  # change of any wheel travel from one round to the next at which they agree [m]
_NO_MOVE = 5e-5  # less than is shown of a height [m]
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
    stops: Mapping[str, tuple[StopContact, ...]]
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

    ``short`` tells the wishes that an adjuster ends before, ``at_odds`` what of heights and cross weight no springs give
    together; None where nothing was set for them.
    """

    found: CarState
    planned: CarState
    settings: Mapping[str, AxleSettings]
    short: tuple[Shortfall, ...] = ()
    at_odds: WishesAtOdds | None = None


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
    links: LinksSet


class _AxlePlanner:
    """The settings of one axle."""

    def __init__(self, document: CarDocument, axle: AxleName, found: AxleModel, wishes: AxleWishes) -> None:
        self.section, self.found, self.wishes = document.axle(End(axle)), found, wishes
        self.model = axle_model(document, axle)
        self.joints, self.trailing_links = joints_set(self.section, wishes.angles), trailing_of(self.section)

    def placing(
        self, at: Mapping[SideName, float], attitude: tuple[float, float], links: LinksSet | None = None
    ) -> _Placing:
        """What centres the axle and gives its wheels the wanted angles.

        Args:
            at: wheel travels [m]
            attitude: pitch and roll of the body there [rad]
            links: drop links that are set already; set here when left out
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
        if links is None:
            links = links_set(self.model, _states(at, values, attitude), self.wishes.free_bars)
        return _Placing(rod, bracket, trailing, put.wheels, {**values, **links.values}, put.held, links)

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

    def adjusters(self, settings: AxleSettings) -> Iterator[SpringAdjuster]:
        """Its springs that can be set.

        Args:
            settings: as the height of each alone asks
        """
        for side, bar in settings.bars.items():
            yield SpringAdjuster(self._corner(side), bar.index.wanted, BarPlaces(self._one(side).torsion_bar))
        for side, seat in settings.seats.items():
            thread = getattr(self._one(side), "perch", None)
            goes = places_of(seat, thread, self.wishes.shackles, self.wishes.spacer)
            if goes is not None:
                yield SpringAdjuster(self._corner(side), seat.wanted or 0.0, goes)
            elif seat.wanted is None:
                yield SpringAdjuster(self._corner(side), 0.0, ANYWHERE)

    def stands(self, settings: AxleSettings) -> dict[Corner, float]:
        """Where its springs are set, those of unknown length none at all [rad or m].

        Args:
            settings: of the axle
        """
        bars = {self._corner(side): bar.index.reached for side, bar in settings.bars.items()}
        seats = {self._corner(side): 0.0 if s.wanted is None else s.seat for side, s in settings.seats.items()}
        return bars | seats

    def reset(self, settings: AxleSettings, put: Mapping[Corner, SpringSet]) -> AxleSettings:
        """The settings with springs set elsewhere.

        Args:
            settings: as the height of each alone asks
            put: where they are set
        """
        bars, seats = {**settings.bars}, {**settings.seats}
        for one in self.adjusters(settings):
            side, spring = one.corner[1], put[one.corner]
            if isinstance(one.places, BarPlaces):
                index = index_of_bar(one.places.bar, spring.sought)
                free = bars[side].free_arm_angle + bars[side].index.reached - index.reached
                hanging = hanging_point(self.model.linkage, side)
                bars[side] = BarSetting(index, free, np.nan if hanging is None else float(hanging.rise(free)[0]))
            elif one.places is not ANYWHERE:
                seats[side] = reset(seats[side], one.places, spring)
        return replace(settings, bars=bars, seats=seats)

    def _corner(self, side: SideName) -> Corner:
        return self.model.name, side

    def _one(self, side: SideName) -> Any:
        return self.section.side(SIDE_OF[side])

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
            axle.model.name: AxleSettings(
                rod=placing.rod,
                bracket=placing.bracket,
                trailing=placing.trailing,
                wheels=placing.wheels,
                links=placing.links.links,
            )
            for axle, placing in zip(self.axles, placings, strict=True)
        }
        return WantedStand(self.found, (front, rear), _values(placings), settings)

    def plan(self) -> JobPlan:
        """Find settings, then let the car down on its tyres."""
        for axle in self.axles:
            _refuse_beyond_stops(axle.model, self._at(self.wishes.lower, axle))
        return self.set_on(*self._together(*self.by_own_heights()))

    def by_own_heights(self) -> tuple[list[tuple[AxleSettings, dict[SideName, Element]]], list[_Placing]]:
        """Springs of each axle as the height and the load of each corner alone ask, the car held at the heights wanted."""
        lower = self.wishes.lower
        attitude, loads = attitude_at(self.document, lower), self._loads()
        placings = self.placings(lower, attitude)
        begun = [
            axle.springs(
                _states(self._at(lower, axle), placing.values, attitude),
                {side: loads[axle.model.name, side] for side in SIDES},
            )
            for axle, placing in zip(self.axles, placings, strict=True)
        ]
        return begun, placings

    def set_on(
        self,
        settings: Sequence[AxleSettings],
        elements: Sequence[Mapping[SideName, Element]],
        begun: tuple[Mapping[Corner, float], list[_Placing]],
    ) -> JobPlan:
        """Let the car down on springs that are set, and put right where it stands what centres it and sets its angles.

        A bar that is to be free carries nothing where its links are set: they are set on the car without it, then stay.
        """
        at, placings = self._let_down(self._without_freed(elements), begun)
        front, rear = self._on_springs(elements)
        if any(placing.links.links for placing in placings):
            at, placings = self._let_down((front, rear), (at, placings), [placing.links for placing in placings])
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
                rods=axle.wishes.angles.rods,
                link_ranges=axle.wishes.angles.links,
                links=placing.links.links,
                joints=axle.wishes.joints,
            )
            for axle, springs, placing in zip(self.axles, settings, placings, strict=True)
        }
        short = [lack for axle in self.axles for lack in self._short(axle, told[axle.model.name], planned)]
        return JobPlan(self.found, planned, told, tuple(short), self._at_odds(planned, placings))

    def _at_odds(self, planned: CarState, placings: Sequence[_Placing]) -> WishesAtOdds:
        """What of the wishes no springs give, where the car stands."""
        lower, sits = self.wishes.lower, planned.sits
        car = car_of(self.document, *planned.models, _values(placings))
        return wishes_at_odds(
            slopes_of(slopes_of_settings(car, sits.freedoms)),
            misses_of([sits.travel[c] - lower[c] for c in CORNERS], sits.cross_share - self.wishes.cross_share),
            misses_of([lower[c] for c in CORNERS], self.wishes.cross_share - self.found.sits.cross_share),
            self.wishes.cross_share,
        )

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

    def _without_freed(self, elements: Sequence[Mapping[SideName, Element]]) -> tuple[AxleModel, AxleModel]:
        """Both axles with their main springs, without the bars whose links are to be set so that they carry nothing."""
        front, rear = (
            without_freed_bars(model, axle.wishes.free_bars)
            for model, axle in zip(self._on_springs(elements), self.axles, strict=True)
        )
        return front, rear

    def _let_down(
        self,
        models: tuple[AxleModel, AxleModel],
        begun: tuple[Mapping[Corner, float], list[_Placing]],
        links: Sequence[LinksSet | None] = (None, None),
    ) -> tuple[Mapping[Corner, float], list[_Placing]]:
        """Angles and rod set where the car really stands, not where it was wished, in turns until both agree."""
        at, placings = begun
        for _ in range(_ROUNDS):
            sits = settle(car_of(self.document, *models, _values(placings)), at)
            before, at = at, sits.travel
            if max(abs(sits.travel[corner] - travel) for corner, travel in before.items()) <= _AGREED:
                break
            placings = self.placings(sits.travel, (sits.pitch, sits.roll), links)
        return at, placings

    def _together(
        self, begun: Sequence[tuple[AxleSettings, dict[SideName, Element]]], placings: list[_Placing]
    ) -> tuple[list[AxleSettings], list[dict[SideName, Element]], tuple[Mapping[Corner, float], list[_Placing]]]:
        """All springs that can be set, set together for the heights and the cross weight; where the car then stands.

        Each trial stands where the last one stood, with what centres it and sets its angles as that needed it: trials come
        closer to each other faster than a place moves these.
        """
        settings, elements = [one for one, _ in begun], [springs for _, springs in begun]
        adjusters = [one for axle, own in zip(self.axles, settings, strict=True) for one in axle.adjusters(own)]
        stands = {c: at for axle, own in zip(self.axles, settings, strict=True) for c, at in axle.stands(own).items()}
        columns = [CORNERS.index(one.corner) for one in adjusters]
        last: tuple[Mapping[Corner, float], list[_Placing]] = self.wishes.lower, placings

        def put(at: Mapping[Corner, float]) -> list[dict[SideName, Element]]:
            return [
                {
                    side: spring_moved(spring, at.get((axle.model.name, side), was[side]) - was[side])
                    for side, spring in own.items()
                }
                for axle, own in zip(self.axles, elements, strict=True)
                for was in [{side: stands[axle.model.name, side] for side in SIDES}]
            ]

        def missed(at: Array) -> tuple[Array, Array]:
            nonlocal last
            springs = put({one.corner: float(place) for one, place in zip(adjusters, at, strict=True)})
            car = car_of(self.document, *self._without_freed(springs), _values(last[1]))
            sits = settle(car, last[0])
            last = sits.travel, self.placings(sits.travel, (sits.pitch, sits.roll))
            lower = [sits.travel[corner] - self.wishes.lower[corner] for corner in CORNERS]
            slopes = slopes_of(slopes_of_settings(car, sits.freedoms))
            return misses_of(lower, sits.cross_share - self.wishes.cross_share), slopes[:, columns]

        if not adjusters:
            return settings, elements, last
        springs = dict(zip((one.corner for one in adjusters), set_together(adjusters, missed), strict=True))
        told = [axle.reset(own, springs) for axle, own in zip(self.axles, settings, strict=True)]
        return told, put({corner: one.setting for corner, one in springs.items()}), last

    def placings(
        self,
        travel: Mapping[Corner, float],
        attitude: tuple[float, float],
        links: Sequence[LinksSet | None] = (None, None),
    ) -> list[_Placing]:
        """What centres both axles and sets their angles, the wheels there; drop links as they are set already, if so."""
        return [
            axle.placing(self._at(travel, axle), attitude, one) for axle, one in zip(self.axles, links, strict=True)
        ]

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
        cannot = "stay as high as found" if abs(asked) < _NO_MOVE else f"be {_moved(asked, word)}"
        already = "already when" if most < 0 <= asked else "when"
        raise Impossible(
            f"The {model.name} cannot {cannot}: the wheels come to their end ({first.name}) {already} it is "
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
    stops: dict[str, tuple[StopContact, ...]] = {}
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

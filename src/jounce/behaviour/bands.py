"""How far each result may be off because of what was measured: every stated ± followed through the calculation.

Each input with a ± is an independent error of known standard deviation; its effect on a result is the result's exact
derivative, and the effects are added as squares. A car that was changed stands somewhere else for every error: its
derivatives go through the place where it comes to rest (`input_slopes`). A result's main causes say which measurement to
repeat. What a ± means is settled in `jounce.conventions.certainty`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Protocol, cast

import numpy as np

from jounce.behaviour.axle.motions import AxleStates, place_axle, wheel_motions
from jounce.behaviour.axle.preload import preloads, spring_element
from jounce.behaviour.axle.static import loaded, standing_figures, with_main_springs
from jounce.behaviour.axle.travel import states_table
from jounce.behaviour.crossings import Crossing, bump_stops, crossed, crossings
from jounce.behaviour.road.forces import PITCH, ROLL, TRAVELS, ForceState
from jounce.behaviour.road.input_slopes import InputSlopes, Read, VariedAxle, input_slopes
from jounce.behaviour.road.loading import Loading, steady
from jounce.behaviour.road.of_document import car_of
from jounce.behaviour.road.road_car import Load, road_car
from jounce.car.file.document import CarDocument
from jounce.car.file.inputs import InputRef, all_inputs, measured
from jounce.car.file.variants import varied
from jounce.car.mechanics.assembly import axle_model
from jounce.car.mechanics.model import AXLES, AxleModel, AxleName
from jounce.conventions.certainty import SHOWN_PER_TYPED
from jounce.layouts.naming import SIDES, SideName
from jounce.numerics.arrays import Array
from jounce.numerics.complex_step import STEP


@dataclass(frozen=True, slots=True)
class Band:
    """Half width of a result's band as it is shown [SI], and the inputs that make it.

    ``causes`` are the largest first, each with the band that it alone would make, signed as the result moves [SI].
    """

    plus_minus: float
    causes: tuple[tuple[str, float], ...]


@dataclass(frozen=True, slots=True)
class StandingAxles:
    """Where the axles stand, what was adjusted, and what the wheels carry there.

    ``travel`` of each wheel [m]; ``adjusted`` is by how much joints were changed from as found, a rod's length or a
    plate's place [m] (a rod is made longer by so much, whatever its length is); ``load_change`` is what each wheel
    carries more than when the car was weighed [N], so that a scale's error reaches every standing position; ``attitude``
    is how the body stands over its road, pitch (positive nose down) and roll (positive right side down) [rad].
    """

    travel: Mapping[tuple[str, SideName], float]
    adjusted: Mapping[str, float]
    load_change: Mapping[tuple[str, SideName], float] = field(default_factory=dict)
    attitude: tuple[float, float] = (0.0, 0.0)

    def carried(self, axle: AxleModel) -> dict[SideName, Array]:
        """What each wheel of an axle carries [N]."""
        return {side: axle.corner_load[side] + self.load_change.get((axle.name, side), 0.0) for side in SIDES}

    def states(self, axle: AxleModel) -> AxleStates:
        """What this axle is given, with the lengths that its own rods then have."""
        left, right = (self.travel[axle.name, side] for side in SIDES)
        settings = settings_of(axle, self.adjusted)
        return AxleStates(left=left, right=right, settings=settings, attitude=self.attitude)


def settings_of(axle: AxleModel, adjusted: Mapping[str, float]) -> dict[str, Array]:
    """Values of an axle's adjusted joints, by how much each was changed from as found [m or rad]."""
    names = [name for name in adjusted if name.startswith(axle.name + ".")]
    found = axle.stand.reference_values(names) if names else np.zeros((1, 0))
    return {name: found[:, i] + adjusted[name] for i, name in enumerate(names)}


def as_found_standing() -> StandingAxles:
    """The car as it was measured."""
    return StandingAxles({(axle, side): 0.0 for axle in AXLES for side in SIDES}, {})


def figures(document: CarDocument, axle: AxleName, standing: StandingAxles) -> dict[str, Array]:
    """The results of one axle that carry bands, by ``axle.side.quantity`` or ``axle.quantity``, each (variants,) [SI].

    Args:
        document: the car, or one document that stands for many variants of it
        axle: which axle
        standing: where it stands
    """
    return figures_of(*_standing_model(document, axle, standing))


def figures_of(model: AxleModel, states: AxleStates) -> dict[str, Array]:
    """The same of an axle that is complete with its springs.

    Args:
        model: the axle
        states: where it stands
    """
    axle = model.name
    sits = standing_figures(model, states)
    found = {f"{axle}.roll_stiffness": sits.roll_stiffness}
    for side in SIDES:
        for name in ("wheel_rate", "ride_rate", "ride_frequency", "suspension_frequency", "spring_force", "wound_up"):
            found[f"{axle}.{side}.{name}"] = sits.wheels[side][name]
    table = states_table(model.stand, model.linkage, states, (1.0, 1.0))
    for column in table.columns:
        place, _, name = column.name.partition("_")
        key = f"{axle}.{place}.{name}" if place in SIDES else f"{axle}.{column.name}"
        if not np.isnan(column.values).all():
            found.setdefault(key, column.values)
    return found


def _standing_model(document: CarDocument, axle: AxleName, standing: StandingAxles) -> tuple[AxleModel, AxleStates]:
    """The axle with main springs that carry its loads where it stands."""
    model = axle_model(document, axle)
    states = standing.states(model)
    placed = place_axle(model.stand, axle, states)
    needed = preloads(model, wheel_motions(placed, axle), standing.carried(model))
    springs = {}
    for side in SIDES:
        spring = model.main[side]
        value = model.stand.taken([spring.measure]).values(placed.pose)[:, 0]
        springs[side] = spring_element(spring, needed[side], value)
    return with_main_springs(model, springs), states


class VariedCar(Protocol):
    """A car in one state, found or changed, whose variants can be made: what was set stays, what was measured errs."""

    @property
    def every_input(self) -> Sequence[InputRef]:
        """Every number that it is made of."""

    @property
    def inputs(self) -> Sequence[InputRef]:
        """Those with a stated ±."""

    def varied(self, inputs: Sequence[InputRef], changes: Array) -> CarVariants:
        """One variant for each input, changed by so much.

        Args:
            inputs: of `inputs`
            changes: of each, shape (inputs,), real or imaginary [SI]
        """


class CarVariants(Protocol):
    """Variants of a car."""

    @property
    def document(self) -> CarDocument:
        """The document that stands for them, with the parts of the state."""

    def axle(self, name: AxleName) -> AxleModel:
        """An axle complete with its main springs, as they were set."""


@dataclass(frozen=True, slots=True)
class FoundCar:
    """The car as it was measured; its springs carry what was weighed."""

    document: CarDocument

    @property
    def every_input(self) -> Sequence[InputRef]:
        """Every number of the document."""
        return all_inputs(self.document)

    @property
    def inputs(self) -> Sequence[InputRef]:
        """Those with a stated ±."""
        return measured(self.every_input)

    def varied(self, inputs: Sequence[InputRef], changes: Array) -> FoundCar:
        """Variants, as of `VariedCar`."""
        return FoundCar(varied(self.document, inputs, changes))

    def axle(self, name: AxleName) -> AxleModel:
        """An axle complete with its main springs."""
        return loaded(axle_model(self.document, name))[0]


@dataclass(frozen=True, slots=True)
class RestPlace:
    """Where a car stands.

    ``freedoms`` are heave, pitch, roll and the four wheel travels [m or rad], shape (7,);
    ``adjusted`` as in `StandingAxles`.
    """

    freedoms: Array
    adjusted: Mapping[str, float]


def bands(document: CarDocument, progress: Callable[[float], None] | None = None) -> dict[str, Band]:
    """Bands of all results of the car as it was found.

    Args:
        document: the car with its stated ±
        progress: told the share done, from 0 to 1

    Returns:
        Bands by result; a result that no stated ± reaches has a band of zero.
    """
    return bands_at(FoundCar(document), RestPlace(np.zeros(7), {}), progress)


def bands_at(car: VariedCar, place: RestPlace, progress: Callable[[float], None] | None = None) -> dict[str, Band]:
    """Bands of all results of a car in one state, which comes to rest anew for every error.

    Args:
        car: the car and how it varies
        place: where it stands
        progress: told the share done, from 0 to 1
    """
    return Slopes(car, place).bands(progress)


def heights_at(car: VariedCar, place: RestPlace) -> dict[str, Band]:
    """Bands of the four heights and of what the standing car's scales show, alone: much quicker than all.

    Args:
        car: the car and how it varies
        place: where it stands
    """
    slopes = Slopes(car, place)
    return {name: slopes.band(slope) for name, slope in slopes.standing()}


class Slopes:
    """Derivatives of all results by all inputs.

    Args:
        car: the car and how it varies
        place: where it stands

    """

    def __init__(self, car: VariedCar, place: RestPlace) -> None:
        self.place, self.inputs = place, list(car.inputs)
        self.still = car.varied((), np.zeros(0))
        self.models = {axle: self.still.axle(axle) for axle in AXLES}
        self.on_road = car_of(
            self.still.document, self.models["front"], self.models["rear"], self._settings(self.models)
        )
        self.reaching = {axle: [k for k, one in enumerate(self.inputs) if reaches(one, axle)] for axle in AXLES}
        self.varied: dict[AxleName, CarVariants] = {}
        for axle in AXLES:
            own = [self.inputs[k] for k in self.reaching[axle]]
            if own:
                self.varied[axle] = car.varied(own, np.full(len(own), 1j * STEP))
        self.perturbed = {axle: variants.axle(axle) for axle, variants in self.varied.items()}

    def bands(self, progress: Callable[[float], None] | None = None) -> dict[str, Band]:
        """Bands of all results.

        Args:
            progress: told the share done, from 0 to 1
        """
        return {name: self.band(slope) for name, slope in self.all(progress or (lambda _: None))}

    def all(self, progress: Callable[[float], None]) -> Iterator[tuple[str, Array]]:
        """Each result with its derivatives, shape (inputs,)."""
        yield from self.standing()
        progress(0.2)
        parts: dict[str, Array] = {}
        for k, axle in enumerate(AXLES):
            for name, slope in self._of_axle(axle, self.rest.freedoms[:, [PITCH, ROLL, 3 + 2 * k, 4 + 2 * k]]):
                yield name, slope
                if name.endswith(".roll_stiffness"):
                    parts[axle] = slope
            progress(0.6 + 0.4 * k)
        stiffness = [
            float(standing_figures(self.models[axle], self._states(self.models[axle])).roll_stiffness[0])
            for axle in AXLES
        ]
        front, rear = stiffness
        yield "front_share", (parts["front"] * rear - parts["rear"] * front) / (front + rear) ** 2

    @cached_property
    def rest(self) -> InputSlopes:
        """How the place where the car comes to rest changes."""
        return self.about(self.place.freedoms, steady(), _standing_results)

    def about(self, freedoms: Array, acting: Loading, read: Read, aboard: tuple[Load, ...] = ()) -> InputSlopes:
        """How a place where the car comes to rest, and what is read there, changes.

        Args:
            freedoms: at rest there, shape (7,) [m or rad]
            acting: what happens to the car, one state
            read: takes the results
            aboard: what rides besides what was weighed, its place and mass known exactly
        """
        cars = [replace(one, car=one.car.with_loads(aboard)) if aboard else one for one in self._cars]
        return input_slopes(self.on_road.with_loads(aboard), cars, len(self.inputs), freedoms, acting, read)

    def band(self, slope: Array) -> Band:
        """A result's band from its derivatives.

        Args:
            slope: by each input, shape (inputs,)
        """
        return _band(self.inputs, self._widths, slope)

    @cached_property
    def _widths(self) -> Array:
        """Half width of each input's shown band, shape (inputs,) [SI]."""
        return np.array([one.plus_minus for one in self.inputs], dtype=np.float64) * SHOWN_PER_TYPED

    def standing(self) -> Iterator[tuple[str, Array]]:
        """Heights over the wheels, and what scales show of the standing car, each with its derivatives."""
        heights = self._heights()
        for n, corner in enumerate((axle, side) for axle in AXLES for side in SIDES):
            yield f"{corner[0]}.{corner[1]}.height", heights[corner] - self.rest.freedoms[:, 3 + n]
        yield from self.rest.results.items()

    def bump_stops(self) -> Iterator[tuple[Crossing, Array]]:
        """The bump from where the car stands at which each stop of each wheel is met, with its derivatives."""
        for k, axle in enumerate(AXLES):
            begun = bump_stops(self.models[axle], self._states(self.models[axle]))

            def told(model: AxleModel, at: AxleStates, begun: Sequence[Crossing] = begun) -> dict[str, Array]:
                return crossed(model, at, begun)

            by_name = {one.name: one for one in begun}
            for name, slope in self._through(axle, self.rest.freedoms[:, [PITCH, ROLL, 3 + 2 * k, 4 + 2 * k]], told):
                yield by_name[name], slope

    def _settings(self, models: Mapping[AxleName, AxleModel]) -> dict[str, float]:
        every: dict[str, Array] = {}
        for model in models.values():
            every |= settings_of(model, self.place.adjusted)
        return cast("dict[str, float]", every)  # variants stand where a number stood

    @cached_property
    def _cars(self) -> list[VariedAxle]:
        cars = []
        for number, axle in enumerate(AXLES):
            if axle not in self.varied:
                continue
            models = {**self.models, axle: self.perturbed[axle]}
            # What both axles share is perturbed with each in turn; the centre of gravity's height belongs to neither.
            variants = self.varied["front" if number == 0 else axle]
            mass = (variants if number == 0 else self.still).document.mass
            car = road_car(
                models["front"],
                models["rear"],
                mass.centre_of_gravity_height.value,
                self._settings(models),
                self.on_road.driveline,
            )
            cars.append(VariedAxle(number, replace(car, sharing=self.on_road.sharing), self.reaching[axle]))
        return cars

    def _heights(self) -> dict[tuple[str, SideName], Array]:
        """Derivatives of wheel centre to arch as found by each input; they are inputs themselves."""
        return {
            (axle, side): np.array([float(one.path == f"heights.{axle}_{side}") for one in self.inputs])
            for axle in AXLES
            for side in SIDES
        }

    def _states(self, model: AxleModel) -> AxleStates:
        left, right = self.place.freedoms[TRAVELS[AXLES.index(model.name)]]
        pitch, roll = self.place.freedoms[[PITCH, ROLL]]
        settings = settings_of(model, self.place.adjusted)
        return AxleStates(left=float(left), right=float(right), settings=settings, attitude=(float(pitch), float(roll)))

    def _of_axle(self, axle: AxleName, place: Array) -> Iterator[tuple[str, Array]]:
        """Results of an axle: what inputs do where it stands, and what they do by moving it."""
        begun = crossings(self.models[axle], self._states(self.models[axle]))
        return self._through(axle, place, lambda model, at: figures_of(model, at) | crossed(model, at, begun))

    def _through(
        self, axle: AxleName, place: Array, told: Callable[[AxleModel, AxleStates], dict[str, Array]]
    ) -> Iterator[tuple[str, Array]]:
        """Whatever is told of an axle, likewise; ``place`` is how its pitch, roll and travels follow the inputs."""
        model = self.models[axle]
        states = self._states(model)
        known = told(model, states)
        pitch, roll = states.attitude
        ways = 1j * STEP * np.eye(4)
        moved = told(
            model,
            replace(
                states,
                left=states.left + ways[2],
                right=states.right + ways[3],
                attitude=(pitch + ways[0], roll + ways[1]),
            ),
        )
        perturbed = self.perturbed.get(axle)
        direct = {} if perturbed is None else told(perturbed, self._states(perturbed))
        for name in known:
            slope = np.zeros(len(self.inputs))
            if name in direct:
                slope[self.reaching[axle]] = np.imag(direct[name]) / STEP
            if name in moved:
                slope = slope + place @ np.broadcast_to(np.imag(moved[name]) / STEP, 4)
            yield name, slope


def _standing_results(freedoms: Array, found: ForceState) -> dict[str, Array]:
    """Loads, cross weight, lean and pitch of the standing car."""
    load = found.load
    results = {f"{axle}.{side}.load": load[:, k, i] for k, axle in enumerate(AXLES) for i, side in enumerate(SIDES)}
    total = load.sum(axis=(1, 2))
    return results | {
        "cross_weight": (load[:, 0, 1] + load[:, 1, 0]) / total,
        "pitch": freedoms[:, 1],
        "roll": freedoms[:, 2],
    }


def reaches(reference: InputRef, axle: AxleName) -> bool:
    """Whether an input belongs to an axle's own part of a document, or to none.

    Args:
        reference: the input
        axle: which axle
    """
    return next((part for part in reference.path.split(".")[:2] if part in AXLES), axle) == axle


def _band(inputs: Sequence[InputRef], widths: Array, slope: Array) -> Band:
    changes = np.where(np.isnan(slope), 0.0, slope * widths)
    size = float(np.sqrt(np.sum(changes**2)))
    causes = [(inputs[k].path, float(changes[k])) for k in np.argsort(-np.abs(changes), kind="stable")[:5]]
    return Band(size, tuple((path, change) for path, change in causes if abs(change) > 1e-9 * max(size, 1e-300)))

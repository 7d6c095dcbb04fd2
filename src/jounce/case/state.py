"""One state of a car, as found or as planned: how it stands, how sure that is, and what a driver feels."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np

from jounce.behaviour.axle.motions import AxleStates
from jounce.behaviour.axle.static import loaded
from jounce.behaviour.bands import Band, FoundCar, RestPlace, StandingAxles, VariedCar, as_found_standing
from jounce.behaviour.road.corner import Cornering
from jounce.behaviour.road.feel import Feel
from jounce.behaviour.road.of_document import car_of
from jounce.behaviour.road.road_car import RoadCar
from jounce.car.file.document import CarDocument
from jounce.car.mechanics.assembly import axle_model
from jounce.car.mechanics.model import AXLES, AxleModel
from jounce.conventions.quantities import RESULTS
from jounce.job.document import JobDocument
from jounce.job.kept import Changed, kept_of, place_of
from jounce.job.on_road import CarInState, car_in, felt
from jounce.job.plan import CarState, JobPlan, car_before
from jounce.job.setting_bands import every_band
from jounce.ledger.learned import widened_band

__all__ = ["FOUND", "PLANNED", "CaseState", "FoundState", "PlannedState"]

FOUND, PLANNED = "found", "planned"
"""What the two states are called beside each other."""


@dataclass(frozen=True, eq=False)
class CaseState(ABC):
    """A state of a case; what follows is worked out when it is asked for first, and kept.

    Attributes:
        title: "found" or "planned"
        document: the car as it is then

    """

    title: str
    document: CarDocument

    @property
    @abstractmethod
    def models(self) -> tuple[AxleModel, AxleModel]:
        """Front and rear axle, complete with their main springs."""

    @property
    @abstractmethod
    def places(self) -> Mapping[str, AxleStates]:
        """Where each axle stands, from as measured, and what is adjusted on it."""

    @property
    @abstractmethod
    def of_axles(self) -> StandingAxles:
        """Where the axles stand, for each that is made anew: what was adjusted, and what the wheels carry."""

    @property
    @abstractmethod
    def standing(self) -> CarState:
        """How it stands, with geometry and stops from there."""

    @property
    @abstractmethod
    def varies(self) -> VariedCar:
        """How it varies by the numbers of its files, what was set kept."""

    @property
    @abstractmethod
    def state(self) -> CarInState:
        """The car on its road, and how it varies by what was measured."""

    @property
    def car(self) -> RoadCar:
        """The car on its road."""
        return self.state.road

    @cached_property
    def bands(self) -> Mapping[str, Band]:
        """How sure everything is that is told of it, its settings among it."""
        return every_band(self.state.slopes)

    @property
    def feel(self) -> Feel:
        """What a driver feels, each number with its band; some seconds of work."""
        return self._felt[0]

    @property
    def sweep(self) -> Cornering:
        """The sweep over both turns that the feel was read from."""
        return self._felt[1]

    @cached_property
    def _felt(self) -> tuple[Feel, Cornering]:
        return felt(self.state)


@dataclass(frozen=True, eq=False)
class FoundState(CaseState):
    """A car as it was measured, of any layout."""

    @cached_property
    def models(self) -> tuple[AxleModel, AxleModel]:
        """Both axles, their springs preloaded so that they carry what was weighed."""
        front, rear = (loaded(axle_model(self.document, axle))[0] for axle in AXLES)
        return front, rear

    @property
    def places(self) -> Mapping[str, AxleStates]:
        """As measured, both."""
        return dict.fromkeys(AXLES, AxleStates())

    @property
    def of_axles(self) -> StandingAxles:
        """As measured and as weighed."""
        return as_found_standing()

    @cached_property
    def standing(self) -> CarState:
        """How it stands.

        Raises:
            Impossible: the car finds no rest
        """
        return car_before(self.document, self.models)

    @property
    def varies(self) -> VariedCar:
        """By the numbers of the car's file."""
        return FoundCar(self.document)

    @cached_property
    def state(self) -> CarInState:
        """The car on its road."""
        return CarInState(car_of(self.document, *self.models), self.varies, RestPlace(np.zeros(7), {}))


@dataclass(frozen=True, eq=False)
class PlannedState(CaseState):
    """A car after the work.

    Attributes:
        measured: the car as it was measured
        job: the change list
        plan: what came out
        widened: by what the bands of each quantity are multiplied, by the last word of its key; empty for none [-]

    """

    measured: CarDocument
    job: JobDocument
    plan: JobPlan
    widened: Mapping[str, float] = field(default_factory=dict)

    @cached_property
    def bands(self) -> Mapping[str, Band]:
        """How sure everything is that is told of it, with what the shop's ledger has taught of its bands."""
        own = every_band(self.state.slopes)
        if not self.widened:
            return own
        return {key: replace(band, plus_minus=self._learned(key, band.plus_minus)) for key, band in own.items()}

    def _learned(self, key: str, band: float) -> float:
        """A band with what the ledger has taught of its quantity."""
        name = key.rpartition(".")[2]
        return widened_band(band, self.widened[name], RESULTS[name].kind) if name in self.widened else band

    @property
    def models(self) -> tuple[AxleModel, AxleModel]:
        """Both axles with their new parts, as they are set."""
        return self.plan.planned.models

    @property
    def places(self) -> Mapping[str, AxleStates]:
        """Where the plan lets it down, and its settings."""
        return {axle: self.plan.planned.states[axle] for axle in AXLES}

    @property
    def of_axles(self) -> StandingAxles:
        """Where the plan lets it down."""
        return self.plan.planned.standing

    @property
    def standing(self) -> CarState:
        """How it stands on its tyres."""
        return self.plan.planned

    @property
    def varies(self) -> VariedCar:
        """By the numbers of the car's file and of the job's new parts."""
        return Changed(self.measured, self.job, kept_of(self.job, self.plan))

    @cached_property
    def state(self) -> CarInState:
        """The car on its road."""
        planned = self.plan.planned
        place = place_of(planned.sits, planned.standing.adjusted)
        return CarInState(car_in(self.document, planned), self.varies, place)

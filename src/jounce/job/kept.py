"""The changed car with its settings kept: what was set stays as it was set, what was measured may be otherwise.

Teeth, turns of a thread and places of a plate are counted and hold; a bar's wind-up as found, a coil's length between its
seats and every part's rate follow from what was measured of them. So the bands of a plan tell where the car may come to
stand, and an error belongs to the part of which it was measured: the car's numbers err in the car as found and as planned
alike, those of new parts in the planned car alone, whatever their text says.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from jounce.behaviour.axle.preload import slack_displacement
from jounce.behaviour.axle.static import loaded, with_main_springs
from jounce.behaviour.bands import RestPlace
from jounce.behaviour.road.static_car import StaticCar
from jounce.car.file.document import CarDocument
from jounce.car.file.inputs import InputRef, all_inputs, measured
from jounce.car.file.variants import varied
from jounce.car.mechanics.assembly import axle_model
from jounce.car.mechanics.free_length import free_length
from jounce.car.mechanics.layout_input import SIDE_OF
from jounce.car.mechanics.model import AXLES, AxleModel, AxleName
from jounce.conventions.axes import Corner
from jounce.elements.law import Linear, Shifted
from jounce.job.apply import exchanged
from jounce.job.document import JobDocument
from jounce.job.joint_spacers import BumpSetting
from jounce.job.plan import JobPlan
from jounce.layouts.naming import SIDES, SideName, named
from jounce.linkage.balance import Element
from jounce.numerics.arrays import Array


@dataclass(frozen=True, slots=True)
class Seat:
    """A spring's seat, set to so many turns from the lowest, or at a place above the measured one [m].

    ``same_spring``: the spring stays, so that its compression as found is known. ``compressed`` is what a coil of unknown
    free length is taken to be compressed as found [m].
    """

    turns: float | None
    height: float
    same_spring: bool
    compressed: float


@dataclass(frozen=True, slots=True)
class KeptSettings:
    """Settings that are kept: turns of torsion bars from their free angle as found [rad], and seats of coils.

    A main spring that is in neither stays as it was found. ``held`` are joint values that no angle sets, since they are at
    an end or on a step of their range [m]; ``bump_steer`` is by axle what was set for the bump steer wanted.
    """

    turns: Mapping[Corner, float]
    seats: Mapping[Corner, Seat]
    held: Mapping[str, float] = field(default_factory=dict)
    bump_steer: Mapping[str, BumpSetting] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Changed:
    """The car after the work.

    ``found`` is the car as measured; ``job`` its change list, None where only settings change.
    """

    found: CarDocument
    job: JobDocument | None
    kept: KeptSettings

    @property
    def every_input(self) -> Sequence[InputRef]:
        """Every number of the car and of its new parts."""
        new = [] if self.job is None else all_inputs(self.job)
        return [*all_inputs(self.found), *filter(_of_parts, new)]

    @property
    def inputs(self) -> Sequence[InputRef]:
        """Those with a stated ±."""
        return measured(self.every_input)

    @property
    def document(self) -> CarDocument:
        """The car with its new parts."""
        return self.found if self.job is None else exchanged(self.found, self.job)

    def varied(self, inputs: Sequence[InputRef], changes: Array) -> Changed:
        """Variants, as of `jounce.behaviour.bands.Car`."""
        found = varied(self.found, inputs, changes, lambda one: not _of_parts(one))
        job = None if self.job is None else varied(self.job, inputs, changes, _of_parts)
        return replace(self, found=found, job=job)

    def axle(self, name: AxleName) -> AxleModel:
        """An axle complete with its main springs, as they are set."""
        found, model = loaded(axle_model(self.found, name))[0], axle_model(self.document, name)
        return with_main_springs(model, {side: self._spring(found, model, side) for side in SIDES})

    def _spring(self, found: AxleModel, model: AxleModel, side: SideName) -> Element:
        spring, was = model.main[side], found.elements[named(found.name, side, "main_spring")]
        corner = (model.name, side)
        if corner in self.kept.turns:
            wound = was.law.force(np.zeros(1)) / found.main[side].rate + self.kept.turns[corner]
            return Element(spring.measure, Linear(spring.rate, spring.rate * wound))
        if corner not in self.kept.seats:
            return was
        seat = self.kept.seats[corner]
        between = model.stand.reference_values([spring.measure])[:, 0]
        moved = spring.sense * (between - found.stand.reference_values([spring.measure])[:, 0])
        law = Shifted(spring.law, self._compressed(corner, seat, was, between, moved))
        return Element(spring.measure, law, spring.sense, between)

    def _compressed(self, corner: Corner, seat: Seat, was: Element, between: Array, moved: Array) -> Array:
        """What a spring would be compressed with the wheel as found, ``moved`` of it by seats elsewhere [m]."""
        axle, side = corner
        one = getattr(self.document, axle).side(SIDE_OF[side])
        perch, free = getattr(one, "perch", None), free_length(one)
        height = seat.height
        if perch is not None and seat.turns is not None:
            height = perch.lowest.value + seat.turns * perch.pitch.value
        if seat.same_spring:
            return np.asarray(height - slack_displacement(was) + moved)
        if free is None:
            return np.asarray(seat.compressed + 0.0 * between)
        return np.asarray(free - between + height)


def kept_of(job: JobDocument, plan: JobPlan) -> KeptSettings:
    """The settings of a plan.

    Args:
        job: the change list
        plan: what came out
    """
    turns: dict[Corner, float] = {}
    seats: dict[Corner, Seat] = {}
    for model in plan.planned.models:
        axle, change = model.name, job.change.of(model.name)
        turns |= {(axle, side): bar.index.reached for side, bar in plan.settings[axle].bars.items()}
        for side, perch in plan.settings[axle].seats.items():
            law = model.elements[named(axle, side, "main_spring")].law
            by = float(np.ravel(law.by)[0]) if isinstance(law, Shifted) else 0.0
            seats[axle, side] = Seat(perch.turns, perch.seat, change.same_spring, by)
    held = {joint: value for settings in plan.settings.values() for joint, value in settings.held.items()}
    bump = {axle: own.bump_steer for axle, own in plan.settings.items() if own.bump_steer is not None}
    return KeptSettings(turns, seats, held, bump)


def place_of(sits: StaticCar, adjusted: Mapping[str, float]) -> RestPlace:
    """Where a car sits, as its bands want to know it.

    Args:
        sits: the car at rest
        adjusted: by how much joints were changed [m or rad]
    """
    travels = [sits.travel[axle, side] for axle in AXLES for side in SIDES]
    return RestPlace(np.array([sits.heave, sits.pitch, sits.roll, *travels]), adjusted)


def _of_parts(reference: InputRef) -> bool:
    return reference.path.startswith("change.")

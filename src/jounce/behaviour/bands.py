"""How far each result may be off because of what was measured: every stated ± followed through the calculation.

Each input with a band is moved by it, one at a time, and the results' changes are added as squares: inputs are taken
as independent and the effect of each as linear over its band. A result's main causes say which measurement to repeat.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

import numpy as np

from jounce.behaviour.motions import AxleStates, place_axle, wheel_motions
from jounce.behaviour.preload import preloads, spring_element
from jounce.behaviour.sits import standing_figures, with_main_springs
from jounce.behaviour.travel import states_table
from jounce.car.assembly import axle_model
from jounce.car.document import CarDocument
from jounce.car.inputs import InputRef, measured_inputs
from jounce.car.model import AXLES, AxleModel, AxleName
from jounce.car.variants import varied
from jounce.layouts.naming import SIDES, SideName
from jounce.numerics.arrays import Array


@dataclass(frozen=True, slots=True)
class Band:
    """Half width of a result's band [SI], and the inputs that make it, the largest first, each with its own share [SI]."""

    plus_minus: float
    causes: tuple[tuple[str, float], ...]


@dataclass(frozen=True, slots=True)
class Standing:
    """Where the axles stand, what was adjusted, and what the wheels carry there.

    ``travel`` of each wheel [m]; ``adjusted`` is by how much joints were changed from as found, a rod's length or a
    plate's place [m] (a rod is made longer by so much, whatever its length is); ``load_change`` is what each wheel
    carries more than when the car was weighed [N], so that a scale's error reaches every standing position.
    """

    travel: Mapping[tuple[str, SideName], float]
    adjusted: Mapping[str, float]
    load_change: Mapping[tuple[str, SideName], float] = field(default_factory=dict)

    def states(self, axle: AxleModel) -> AxleStates:
        """What this axle is given, with the lengths that its own rods then have."""
        names = [name for name in self.adjusted if name.startswith(axle.name + ".")]
        found = axle.stand.reference_values(names) if names else np.zeros((1, 0))
        settings = {name: found[:, i] + self.adjusted[name] for i, name in enumerate(names)}
        left, right = (self.travel[axle.name, side] for side in SIDES)
        return AxleStates(left=left, right=right, settings=settings)


def as_found_standing() -> Standing:
    """The car as it was measured."""
    return Standing({(axle, side): 0.0 for axle in AXLES for side in SIDES}, {})


def figures(document: CarDocument, axle: AxleName, standing: Standing) -> dict[str, Array]:
    """The results of one axle that carry bands, by ``axle.side.quantity`` or ``axle.quantity``, each (variants,) [SI].

    Args:
        document: the car, or one document that stands for many variants of it
        axle: which axle
        standing: where it stands
    """
    model, states = _standing_model(document, axle, standing)
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


def _standing_model(document: CarDocument, axle: AxleName, standing: Standing) -> tuple[AxleModel, AxleStates]:
    """The axle with main springs that carry its loads where it stands."""
    model = axle_model(document, axle)
    states = standing.states(model)
    placed = place_axle(model.stand, axle, states)
    carried = {side: model.corner_load[side] + standing.load_change.get((axle, side), 0.0) for side in SIDES}
    needed = preloads(model, wheel_motions(placed, axle), carried)
    springs = {}
    for side in SIDES:
        spring = model.main[side]
        value = model.stand.taken([spring.measure]).values(placed.pose)[:, 0]
        springs[side] = spring_element(spring, needed[side], value)
    return with_main_springs(model, springs), states


def bands(
    document: CarDocument, standing: Standing, progress: Callable[[float], None] | None = None
) -> dict[str, Band]:
    """Bands of all results where the car stands.

    Args:
        document: the car with its stated bands
        standing: where it stands
        progress: told the share done, from 0 to 1

    Returns:
        Bands by result; a result that no stated ± reaches has a band of zero.
    """
    found: dict[str, Band] = {}
    for number, axle in enumerate(AXLES):
        nominal = figures(document, axle, standing)
        # The other axle's own numbers do not reach this one.
        inputs = [i for i in measured_inputs(document) if i.path.partition(".")[0] not in AXLES or reaches(i, axle)]
        if inputs:
            moved = figures(varied(document, inputs, np.array([i.plus_minus for i in inputs])), axle, standing)
        for key, value in nominal.items():
            changes = np.broadcast_to(moved[key] - value, len(inputs)) if inputs and key in moved else np.zeros(0)
            # A centre that goes to infinity within the band leaves no number there.
            found[key] = _band([(i.path, float(c)) for i, c in zip(inputs, changes, strict=False) if not np.isnan(c)])
        if progress is not None:
            progress((number + 1) / len(AXLES))
    return found


def reaches(reference: InputRef, axle: AxleName) -> bool:
    """Whether an input belongs to an axle's own part of the document."""
    return reference.path.partition(".")[0] == axle


def _band(changes: list[tuple[str, float]]) -> Band:
    size = float(np.sqrt(sum(change**2 for _, change in changes)))
    causes = sorted(changes, key=lambda cause: -abs(cause[1]))
    return Band(size, tuple((path, change) for path, change in causes[:5] if abs(change) > 1e-9 * max(size, 1e-300)))

"""What every pivot coordinate, length and rate of the car does to every result: exact derivatives.

The whole calculation runs once on a document in which each input, one per variant, carries an imaginary perturbation. Where
the linkage is placed, the last Newton step in complex numbers is the implicit function theorem; everything after it is
algebra. So the derivatives are those of the equations themselves, to rounding, for results that come from positions, from
first derivatives (ratios, centres) and from second ones (wheel rates) alike.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from jounce.behaviour.bands import StandingAxles, VariedCar, figures, reaches
from jounce.car.file.inputs import InputRef
from jounce.car.mechanics.model import AxleName
from jounce.conventions.units import DEG, MM, Kind
from jounce.numerics.arrays import Array
from jounce.numerics.complex_step import STEP

_ROUNDING = 1e-12  # of the strongest


@dataclass(frozen=True, slots=True)
class Influences:
    """Derivatives of an axle's results by the inputs.

    Attributes:
        inputs: the inputs, with place, value and kind
        values: each result where the axle stands [SI]
        derivatives: by result, change per change of each input, shape (inputs,) [SI]

    """

    inputs: tuple[InputRef, ...]
    values: Mapping[str, float]
    derivatives: Mapping[str, Array]

    def strongest(self, result: str) -> list[tuple[InputRef, float]]:
        """Inputs by how much one small step of each moves a result, the strongest first.

        Args:
            result: name of the result

        Returns:
            Each input with the change of the result for one step (`small_step`) [SI]; none that reaches it by no more
            than rounding

        """
        changes = self.derivatives[result] * np.array([small_step(reference) for reference in self.inputs])
        order = np.argsort(-np.abs(changes), kind="stable")
        least = _ROUNDING * float(np.abs(changes).max(initial=0.0))
        return [(self.inputs[i], float(changes[i])) for i in order if abs(changes[i]) > least]


def small_step(reference: InputRef) -> float:
    """What counts as one small step of an input: 1 mm, 0.1 degree, 1 % of anything else [SI].

    Args:
        reference: the input

    """
    return {Kind.LENGTH: MM, Kind.ANGLE: 0.1 * DEG}.get(reference.kind, 0.01 * abs(reference.value))


def influences(
    car: VariedCar, axle: AxleName, standing: StandingAxles, inputs: Sequence[InputRef] | None = None
) -> Influences:
    """Derivatives of all results of an axle.

    Args:
        car: the car, as found or changed
        axle: which axle
        standing: where it stands
        inputs: what is varied; when left out every number that can reach this axle

    Raises:
        Impossible: the axle cannot stand there

    """
    if inputs is None:
        inputs = [ref for ref in car.every_input if reaches(ref, axle)]
    found = figures(car.varied(inputs, np.full(len(inputs), 1j * STEP)).document, axle, standing)
    nominal = figures(car.varied((), np.zeros(0)).document, axle, standing)
    derivatives = {
        key: np.broadcast_to(np.imag(values), len(inputs)) / STEP for key, values in found.items() if key in nominal
    }
    return Influences(tuple(inputs), {key: float(nominal[key][0]) for key in derivatives}, derivatives)

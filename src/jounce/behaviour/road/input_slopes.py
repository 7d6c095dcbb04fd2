"""What every measured number does to the car where it stands or corners, the car coming to rest anew for each.

By the implicit function theorem: where the forces F(q, p) are in balance, an input p moves the freedoms q by
``dq/dp = -(dF/dq)⁻¹ dF/dp``, and a result g(q, p) by ``dg/dq dq/dp + dg/dp``. All four derivatives come from the same
forces, worked out with an imaginary perturbation of each freedom and of each input.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from jounce.behaviour.road.forces import FREEDOMS, TRAVELS, ForceState, acted
from jounce.behaviour.road.loading import Loading
from jounce.behaviour.road.road_car import RoadCar
from jounce.behaviour.solving import solved
from jounce.numerics.arrays import Array
from jounce.numerics.complex_step import STEP

Read = Callable[[Array, ForceState], Mapping[str, Array]]
"""Results of a batch of states from its freedoms (states, 7) and what acts there, each (states,)."""


@dataclass(frozen=True, slots=True)
class VariedAxle:
    """The car with one axle in variants, each with an imaginary perturbation of one input.

    ``axle`` is 0 in front, 1 behind; ``inputs`` says for each variant which input it is. Inputs that both axles share
    are in both: what they do adds up.
    """

    axle: int
    car: RoadCar
    inputs: Sequence[int]


@dataclass(frozen=True, slots=True)
class InputSlopes:
    """Derivatives by each input about one state, shape (inputs,): of the freedoms (inputs, 7) and of results by name."""

    freedoms: Array
    results: Mapping[str, Array]


def input_slopes(
    car: RoadCar, varied: Sequence[VariedAxle], count: int, at: Array, acting: Loading, read: Read
) -> InputSlopes:
    """Derivatives about a state at rest.

    Args:
        car: the car as it is
        varied: the same with its inputs perturbed, axle by axle
        count: number of inputs
        at: freedoms at rest, shape (7,) [m or rad]
        acting: what happens to the car, one state
        read: takes the results
    """
    ways = at + 1j * STEP * np.eye(FREEDOMS)
    front, rear = (on_body.at(ways[:, travels])[0] for on_body, travels in zip(car.axles, TRAVELS, strict=True))
    by_freedom = acted(car, ways, (front, rear), acting.repeated(FREEDOMS))
    told = {name: _slope(values) for name, values in read(ways, by_freedom).items()}
    unbalanced = np.zeros((count, FREEDOMS))
    direct = {name: np.zeros(count) for name in told}
    for one in varied:
        still = np.repeat(at[None], len(one.inputs), axis=0)
        paths = []
        for k, travels in enumerate(TRAVELS):
            if k == one.axle:
                paths.append(one.car.axles[k].at(still[:, travels])[0])
            else:
                paths.append(car.axles[k].at(still[:1, travels])[0].take(np.zeros(len(still), dtype=np.intp)))
        found = acted(one.car, still, (paths[0], paths[1]), acting.repeated(len(still)))
        np.add.at(unbalanced, list(one.inputs), _slope(found.unbalanced))
        for name, values in read(still, found).items():
            np.add.at(direct[name], list(one.inputs), _slope(values))
    moved = -solved(_slope(by_freedom.unbalanced).T, unbalanced.T).T
    return InputSlopes(np.asarray(moved), {name: direct[name] + moved @ told[name] for name in told})


def _slope(values: Array) -> Array:
    return np.asarray(np.imag(values) / STEP)

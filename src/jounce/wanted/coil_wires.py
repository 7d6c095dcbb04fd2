"""Shear stress of a coil's wire with the wheels at the end of their bump travel, beside what such a wire may see.

Source: EN 13906-1 (from a public transcription), as `jounce.elements.springs.coil_stress` and
`jounce.elements.bars.materials` have it; also Shigley's Mechanical Engineering Design, 10-2.
"""

from __future__ import annotations

import numpy as np

from jounce.behaviour.axle.static import spring_wound
from jounce.car.mechanics.model import AXLES, AxleName
from jounce.car.parts import Spring
from jounce.conventions.errors import Impossible, InputError
from jounce.conventions.units import Kind
from jounce.elements.bars.materials import hot_formed_solid_stress_limit
from jounce.elements.springs.coil import active_turns
from jounce.elements.springs.coil_stress import coil_shear_stress
from jounce.layouts.naming import SIDES
from jounce.wanted.damper_ends import end_of_bump
from jounce.wanted.seek import Figure
from jounce.wanted.stood import Stood

__all__ = ["force_at_full_bump", "turns_of_the_wire", "wire_figures"]


def force_at_full_bump(stood: Stood, axle: AxleName, most: float = np.inf) -> float:
    """What the more loaded coil of an axle carries where its bump travel ends, or where it is solid before [N].

    Args:
        stood: the car at rest
        axle: front or rear
        most: compression at which a coil is solid [m]

    Raises:
        Impossible: nothing that is told ends the travel
    """
    travel = end_of_bump(stood, axle)
    model, states = stood.car.axles[AXLES.index(axle)].axle, stood.states(axle)
    forces = []
    for side in SIDES:
        law = model.main[side].law
        wound = np.array([min(spring_wound(model, side, states, -travel), most)])
        forces.append(float(np.ravel(law.force(wound + law.start))[0]))
    return max(forces)


def wire_figures(stood: Stood, axle: AxleName, coil: Spring) -> list[Figure]:
    """Stress of a coil's wire at full bump, and what such a wire may see pressed solid; none of what is not known.

    Args:
        stood: the car at rest with two such coils
        axle: front or rear
        coil: what the coils are wound of
    """
    if coil.wire is None or coil.coil is None:
        return []
    wire = float(np.ravel(coil.wire.value)[0])
    try:
        force = force_at_full_bump(stood, axle, _compression_solid(coil))
    except Impossible:
        return []
    stress = float(np.ravel(coil_shear_stress(force, wire, coil.coil))[0])
    return [Figure(_STRESS, Kind.STRESS, stress), Figure(_LIMIT, Kind.STRESS, _limit(wire))]


_STRESS = "stress of the wire at full bump or solid"
_LIMIT = "stress that such a wire may see"


def _compression_solid(coil: Spring) -> float:
    """By how much a coil is compressed when it is solid; endless where that is not known, or another goes with it [m]."""
    if coil.free_length is None or coil.solid is None or coil.helper is not None or coil.tender is not None:
        return np.inf
    return float(np.ravel(coil.free_length.value - coil.solid)[0])


def _limit(wire: float) -> float | None:
    """Of a published chart; None for a wire that it has not [Pa]."""
    try:
        return float(hot_formed_solid_stress_limit(wire))
    except InputError:
        return None


def turns_of_the_wire(coil: Spring, rate: float) -> list[Figure]:
    """Turns that a coil of another rate has, wound of the wire and to the width of one that is known.

    Args:
        coil: the one that is known
        rate: rate of the other [N/m]
    """
    if coil.wire is None or coil.coil is None:
        return []
    turns = active_turns(coil.shear_modulus.value, coil.wire.value, coil.coil, rate)
    return [Figure("turns that work, of the old ones' wire and width", Kind.RATIO, float(np.ravel(turns)[0]))]

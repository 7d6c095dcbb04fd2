"""What springs, bars and stops carry along any states of an axle, how stiff it is there, and the stress of its bars."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from jounce.behaviour.axle.contact import ContactState, contact_state
from jounce.behaviour.axle.motions import AxleStates, place_axle, wheel_motions
from jounce.behaviour.axle.preload import main_spring_name, slack_displacement
from jounce.car.axles.axle import Axle
from jounce.car.mechanics.anti_roll_bars import fitted_bar
from jounce.car.mechanics.layout_input import ANTI_ROLL_BARS, SIDE_OF
from jounce.car.mechanics.model import AxleModel
from jounce.car.mechanics.torsion_bars import torsion_bar
from jounce.layouts.naming import SIDES, SideName, named
from jounce.linkage.balance import Element
from jounce.linkage.place import Placed
from jounce.numerics.arrays import Array

__all__ = ["bar_stresses", "springing"]


def springing(axle: AxleModel, states: AxleStates) -> dict[str, Array]:
    """Loads, rates and what each spring, bar and stop carries, by the names of ``SPRINGING_QUANTITIES``.

    Args:
        axle: the axle complete with its main springs
        states: where it is put

    Returns:
        Columns, a wheel's with ``left_`` or ``right_`` in front, each (states,) [SI]; NaN where it is not reached.
    """
    placed = place_axle(axle.stand, axle.name, states)
    state = contact_state(axle, wheel_motions(placed, axle.name))
    values: dict[str, Array] = {}
    for k, side in enumerate(SIDES):
        of_wheel = _rates(axle, state, k) | _main_spring(axle, side, placed) | _bump_stop(axle, side, placed)
        values |= {f"{side}_{name}": value for name, value in of_wheel.items()}
    for bar in (*ANTI_ROLL_BARS, "inner_bar"):
        element = next((e for e in axle.elements.values() if e.measure == named(axle.name, f"{bar}_twist")), None)
        if element is not None:
            values[f"{bar}_torque"] = _force(axle, element, placed)
    values["roll_stiffness"] = state.roll_stiffness
    return {name: np.where(placed.reached, value, np.nan) for name, value in values.items()}


def bar_stresses(section: Axle, values: Mapping[str, Array]) -> dict[str, Array]:
    """Stress of each bar whose torque is known [Pa].

    Args:
        section: the axle's part of the document, of one car
        values: columns of `springing` [SI]
    """
    found: dict[str, Array] = {}
    for side in SIDES:
        torque = values.get(f"{side}_torsion_bar_torque")
        if torque is not None:
            found[f"{side}_torsion_bar_stress"] = torsion_bar(section.side(SIDE_OF[side]).torsion_bar).shear_stress(
                torque
            )
    for name in ANTI_ROLL_BARS:
        if f"{name}_torque" in values:
            bar = fitted_bar(getattr(section.left, name), getattr(section.right, name))
            found[f"{name}_stress"] = bar.stress_per_torque * np.abs(values[f"{name}_torque"])
    inner = getattr(section, "inner_bar", None)  # without one a beam's own tube twists
    if inner is not None and "inner_bar_torque" in values:
        found["inner_bar_stress"] = torsion_bar(inner).shear_stress(np.abs(values["inner_bar_torque"]))
    return found


def _rates(axle: AxleModel, state: ContactState, k: int) -> dict[str, Array]:
    load, rate = state.load[:, k], state.wheel_rate[:, k]
    tyre = axle.tyre(SIDES[k])
    carrying = np.where(load > 0, load, np.nan)  # a tyre in the air has no rate
    return {
        "load": load,
        "wheel_rate": rate,
        "wheel_rate_at_wheel_centre": state.wheel_rate_at_wheel_centre[:, k],
        "one_wheel_rate": state.one_wheel_rate[:, k],
        "ride_rate": 1 / (1 / rate + 1 / tyre.stiffness(carrying)),
    }


def _main_spring(axle: AxleModel, side: SideName, placed: Placed) -> dict[str, Array]:
    spring, element = axle.main[side], axle.elements[main_spring_name(axle.name, side)]
    value = axle.stand.taken([spring.measure]).values(placed.pose)[:, 0]
    wound = element.displacement(value) - slack_displacement(element)
    force = spring.law.force(wound + spring.law.start)
    if spring.kind == "torsion bar":
        return {"torsion_bar_torque": force, "torsion_bar_twist": wound}
    return {"spring_force": force, "spring_compression": wound}


def _bump_stop(axle: AxleModel, side: SideName, placed: Placed) -> dict[str, Array]:
    element = axle.elements.get(named(axle.name, side, "bump_stop"))
    return {} if element is None else {"bump_stop_force": _force(axle, element, placed)}


def _force(axle: AxleModel, element: Element, placed: Placed) -> Array:
    value = axle.stand.taken([element.measure]).values(placed.pose)[:, 0]
    return np.asarray(element.law.force(element.displacement(value)))

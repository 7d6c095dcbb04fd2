"""Where an axle is put: travels, roll and steering from where its car stands, and what can be adjusted on it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import cast

import numpy as np
from numpy.typing import ArrayLike

from jounce.behaviour.axle.motions import MODES, AxleStates, MotionName, steering_drive
from jounce.behaviour.axle.travel import motion_states
from jounce.car.mechanics.model import AxleModel
from jounce.conventions.errors import InputError
from jounce.conventions.quantity import OURS, TRADE, Quantity
from jounce.conventions.units import Kind
from jounce.layouts.adjusters import TRAILING_ARM, WATT_BRACKET, is_shim
from jounce.layouts.naming import SIDES, outward
from jounce.linkage.measures import Distance
from jounce.numerics.arrays import Array

__all__ = ["Drive", "drives_of", "given_arrays", "put"]

_TRAVELS = (
    ("heave", Kind.LENGTH, "bump", "Travel of both wheels"),
    ("left", Kind.LENGTH, "bump", "Travel of the left wheel"),
    ("right", Kind.LENGTH, "bump", "Travel of the right wheel"),
    ("roll", Kind.ANGLE, "right side down", "Roll of the body against the road"),
)
_PLATES = {"top_plate_y": ("top_plate_inward", "inward"), "top_plate_x": ("top_plate_rearward", "rearward")}


_SHIMMED = {"camber": "the top leans outward", "toe": "toe-in"}


@dataclass(frozen=True, slots=True)
class Drive:
    """Something that an axle is given.

    ``joint`` is what is adjusted, empty for a travel, roll or the steering; ``sense`` says which way of it counts [-].
    """

    quantity: Quantity
    joint: str = ""
    sense: float = 1.0


def drives_of(model: AxleModel) -> dict[str, Drive]:
    """Everything that an axle can be given, by name.

    Args:
        model: the axle

    Returns:
        ``heave``, ``left``, ``right``, ``roll``, its steering ``rack`` or ``pitman``, and what is adjusted: each rod of the
        layout by its name, a strut's top plates, trailing arms, shims under hubs. Adjustments count from how the car
        stands [m or rad].
    """
    found = {name: Drive(_drive(name, kind, sense, words)) for name, kind, sense, words in _TRAVELS}
    gear = steering_drive(model.stand, model.name)
    if gear == "rack":
        found["rack"] = Drive(_drive("rack", Kind.LENGTH, "to the left", "Displacement of the rack"))
    elif gear == "pitman":
        found["pitman"] = Drive(
            _drive("pitman", Kind.ANGLE, "the relay rod moves to the left", "Turn of the pitman arm")
        )
    for joint in model.stand.joints:
        place, _, last = joint.removeprefix(f"{model.name}.").rpartition(".")
        if last in _PLATES and place in SIDES:
            name, way = f"{place}_{_PLATES[last][0]}", _PLATES[last][1]
            sense = -outward(place) if last == "top_plate_y" else -1.0
            found[name] = Drive(_drive(name, Kind.LENGTH, way, "Displacement of the top plate"), joint, sense)
        elif last == WATT_BRACKET.joint:
            words = "Displacement of the bracket of the Watt linkage's rocker"
            found[last] = Drive(_drive(last, Kind.LENGTH, "to the left", words), joint)
        elif is_shim(last):
            angle = last.removeprefix("shim_")
            words = f"How much shims under the hub make its {angle} grow"
            found[f"{place}_{last}"] = Drive(_drive(f"{place}_{last}", Kind.ANGLE, _SHIMMED[angle], words), joint)
        elif last == TRAILING_ARM.joint:
            words = "Change of the trailing arm's length, its bush kept in its place on the body"
            name = f"{place}_trailing_arm"
            found[name] = Drive(_drive(name, Kind.LENGTH, "longer", words), joint, TRAILING_ARM.sense)
        elif isinstance(model.stand.measures[joint], Distance):
            name = f"{place}_{last}".lstrip("_")
            found[name] = Drive(_drive(name, Kind.LENGTH, "longer", "Change of the rod's length"), joint)
    return found


def _drive(name: str, kind: Kind, positive_when: str, words: str) -> Quantity:
    source = TRADE if name in MODES else OURS
    return Quantity(name, kind, "drive", "drives", positive_when, f"{words}, from where the car stands.", source)


def given_arrays(given: Mapping[str, ArrayLike], drives: Mapping[str, Drive], place: str) -> dict[str, Array]:
    """What was given as arrays of one length.

    Args:
        given: by drive, single numbers or shape (states,) [m; angles: rad]
        drives: what can be given
        place: what they are given to, for messages

    Raises:
        InputError: an unknown drive, no numbers, or numbers that do not go together
    """
    unknown = [name for name in given if name not in drives]
    if unknown:
        raise InputError(
            "This cannot be driven or adjusted on this axle",
            found=", ".join(unknown),
            allowed=", ".join(drives),
            place=place,
        )
    try:
        arrays = {name: np.atleast_1d(np.asarray(values, dtype=np.float64)) for name, values in given.items()}
        states = np.broadcast_shapes((1,), *(one.shape for one in arrays.values()))
    except (TypeError, ValueError):
        states = ()
    if len(states) != 1 or not states[0] or not all(np.isfinite(one).all() for one in arrays.values()):
        raise InputError(
            "What an axle is given are numbers",
            found=", ".join(f"{name} of shape {np.shape(values)}" for name, values in given.items()) or "nothing",
            allowed="finite numbers in SI, single or one for each state, all lists equally long",
            place=place,
        )
    return {name: np.broadcast_to(one, states) for name, one in arrays.items()} or {"heave": np.zeros(1)}


def put(model: AxleModel, standing: AxleStates, given: Mapping[str, Array]) -> AxleStates:
    """An axle moved and adjusted from where its car stands.

    Args:
        model: the axle
        standing: its one state there
        given: by drive, each (states,) [m; angles: rad]

    Raises:
        InputError: drives that exclude each other
    """
    drives = drives_of(model)
    moved = {name: values for name, values in given.items() if not drives[name].joint} or {"heave": np.zeros(1)}
    first = next((name for name in ("roll", "heave", "left", "right") if name in moved), next(iter(moved)))
    motion = cast("MotionName", first if first in MODES else "steer")
    others = {name: values for name, values in moved.items() if name != first}
    states = motion_states(motion, moved[first], others, first)  # type: ignore[arg-type]  # held drives may vary too
    settings: dict[str, Array | float] = dict(standing.settings or {})
    for name, more in given.items():
        joint = drives[name].joint
        if joint:
            now = settings.get(joint, float(model.stand.reference_values([joint])[0, 0]))
            settings[joint] = now + drives[name].sense * more
    return replace(
        states,
        left=states.left + standing.left,
        right=states.right + standing.right,
        heave=states.heave + 0.5 * (standing.left + standing.right),
        settings=settings or None,
        attitude=standing.attitude,
    )

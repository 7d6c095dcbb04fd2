"""Drives that a person gives values: where an axle is put (``--at``) or what is held along a motion (``--also``)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from jounce.behaviour.axle.motions import AxleStates
    from jounce.car.mechanics.model import AxleModel
    from jounce.conventions.units import Kind

AT_HELP = 'where the wheels are: "heave=20", "left=30", "roll=1.5", "rack=10"; as found when left out'


def states_at(written: Sequence[str], model: AxleModel, units: str) -> AxleStates | None:
    """What an axle is given, SI; None for as found.

    Args:
        written: texts "name=value", values in the unit set or with a unit
        model: the axle
        units: unit set of bare numbers

    Raises:
        InputError: an unknown name, one given twice, no value, or drives that exclude each other
    """
    return _states(drives_written(written, ("--at", "This is no place to put the axle"), drive_kinds(model), units))


def drive_kinds(model: AxleModel) -> dict[str, Kind]:
    """What can be driven on an axle, and what each drive measures."""
    from jounce.behaviour.axle.motions import steering_drive
    from jounce.conventions.units import Kind

    kinds = {"heave": Kind.LENGTH, "roll": Kind.ANGLE, "left": Kind.LENGTH, "right": Kind.LENGTH}
    gear = steering_drive(model.stand, model.name)
    if gear is not None:
        kinds[gear] = Kind.ANGLE if gear == "pitman" else Kind.LENGTH
    return kinds


def drives_written(
    written: Sequence[str], asked: tuple[str, str], kinds: Mapping[str, Kind], units: str
) -> dict[str, float]:
    """Values of drives as a person wrote them behind an option, SI.

    Args:
        written: texts "name=value", values in the unit set or with a unit
        asked: the option, and what is said of a text that does not answer it
        kinds: what may be written
        units: unit set of bare numbers

    Raises:
        InputError: an unknown name, one given twice, or no value
    """
    from jounce.conventions.errors import InputError, at
    from jounce.conventions.units import read, unit_of

    option, refusal = asked
    given: dict[str, float] = {}
    for text in written:
        name, equals, value = (part.strip() for part in text.partition("="))
        if name not in kinds or not equals or name in given:
            raise InputError(
                refusal,
                found=f'{option} "{text}"',
                allowed=f"once each: {', '.join(kinds)}; written as name=value",
                todo="Correct the option.",
            )
        with at(f'{option} "{text}"'):
            given[name] = read(value, kinds[name], unit_of(kinds[name], units).symbol)
    return given


def _states(given: dict[str, float]) -> AxleStates | None:
    from typing import cast

    import numpy as np

    from jounce.behaviour.axle.motions import MODES, MotionName
    from jounce.behaviour.axle.travel import motion_states

    if not given:
        return None
    first, *_ = given
    motion = cast("MotionName", first if first in MODES else "steer")
    others = {name: value for name, value in given.items() if name != first}
    return motion_states(motion, np.array([given[first]]), others, first)

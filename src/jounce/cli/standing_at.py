"""Where an axle is put before something is asked of it: the option ``--at`` of several commands."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from jounce.behaviour.motions import AxleStates
    from jounce.car.model import AxleModel

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
    from jounce.behaviour.motions import steering_drive
    from jounce.conventions.errors import InputError, at
    from jounce.conventions.units import Kind, read, unit_of

    gear = steering_drive(model.stand, model.name)
    kinds = {"heave": Kind.LENGTH, "roll": Kind.ANGLE, "left": Kind.LENGTH, "right": Kind.LENGTH}
    if gear is not None:
        kinds[gear] = Kind.ANGLE if gear == "pitman" else Kind.LENGTH
    given: dict[str, float] = {}
    for text in written:
        name, equals, value = (part.strip() for part in text.partition("="))
        if name not in kinds or not equals or name in given:
            raise InputError(
                "This is no place to put the axle",
                found=f'--at "{text}"',
                allowed=f"once each: {', '.join(kinds)}; written as name=value",
                todo="Correct the option.",
            )
        with at(f'--at "{text}"'):
            given[name] = read(value, kinds[name], unit_of(kinds[name], units).symbol)
    return _states(given)


def _states(given: dict[str, float]) -> AxleStates | None:
    from typing import cast

    import numpy as np

    from jounce.behaviour.motions import MODES, MotionName
    from jounce.behaviour.travel import motion_states

    if not given:
        return None
    first, *_ = given
    motion = cast("MotionName", first if first in MODES else "steer")
    others = {name: value for name, value in given.items() if name != first}
    return motion_states(motion, np.array([given[first]]), others, first)

"""What a question of one axle asks for alike: which axle, where it is put from where its car stands, which car of a job."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import numpy as np

from jounce.behaviour.axle.drives import Drive, drives_of, put
from jounce.behaviour.axle.motions import AxleStates
from jounce.car.mechanics.model import AxleModel
from jounce.case.case import CaseState
from jounce.conventions.errors import InputError, at
from jounce.conventions.units import Kind, read, unit_of
from jounce.questions.question import Asked, Choice, Lines, Written

__all__ = ["AT", "AXLE", "axle_of", "drives_read", "put_at", "read_at", "state_lines", "titled"]

AXLE = Choice("axle", "which axle", "front", {"front": "front", "rear": "rear"})
AT = Written(
    "at", 'where the wheels are, from where the car stands: "heave=20", "left=30", "roll=1.5", "rack=10"', many=True
)


def axle_of(asked: Asked, one: CaseState) -> AxleModel:
    """The axle that is asked for.

    Args:
        asked: what is asked
        one: the car
    """
    return next(model for model in one.models if model.name == asked.word("axle"))


def titled(asked: Asked, one: CaseState) -> str:
    """What an answer of this axle is called.

    Args:
        asked: what is asked
        one: the car
    """
    places = ", ".join(asked.texts("at"))
    where = f" at {places}" if places else ""
    return f"{asked.case.name}, as {one.title}: {asked.word('axle')} axle{where}"


def read_at(text: str, kind: Kind, place: str, units: str) -> float:
    """What was written, in SI.

    Args:
        text: a number, or one with its unit
        kind: what it measures
        place: what it is called, for messages
        units: unit set of a bare number

    Raises:
        InputError: it is no such number
    """
    with at(place):
        return read(text, kind, unit_of(kind, units).symbol)


def drives_read(asked: Asked, name: str, drives: Mapping[str, Drive], refusal: str) -> dict[str, float]:
    """Values of drives as they were written, "heave=20" [SI].

    Args:
        asked: what is asked
        name: what asks for them
        drives: what may be given
        refusal: what is said of a text that is none

    Raises:
        InputError: an unknown drive, one given twice, or no value
    """
    given: dict[str, float] = {}
    for text in asked.texts(name):
        drive, equals, value = (part.strip() for part in text.partition("="))
        if drive not in drives or not equals or drive in given:
            allowed = f"once each: {', '.join(drives)}; written as name=value"
            raise InputError(refusal, found=f'"{text}"', allowed=allowed, todo="Correct it.")
        given[drive] = read_at(value, drives[drive].quantity.kind, f'"{text}"', asked.units)
    return given


def put_at(asked: Asked, one: CaseState, model: AxleModel) -> AxleStates | None:
    """Where the wheels are asked to be; None for where the car stands.

    Args:
        asked: what is asked
        one: the car
        model: its axle

    Raises:
        InputError: no such place, or drives that exclude each other
    """
    moving = {name: drive for name, drive in drives_of(model).items() if not drive.joint}
    given = drives_read(asked, "at", moving, "This is no place to put the axle")
    if not given:
        return None
    return put(model, one.places[model.name], {name: np.array([value]) for name, value in given.items()})


def state_lines(asked: Asked, rows_of: Callable[[CaseState], Lines]) -> Lines:
    """The rows of each car that is asked for, the heads once; where there are two, each row names its car.

    Args:
        asked: what is asked
        rows_of: rows of one of them, the first its heads
    """
    several = len(asked.states) > 1
    for i, one in enumerate(asked.states):
        for k, row in enumerate(rows_of(one)):
            if k or not i:
                yield [one.title if k else "car", *row] if several else row

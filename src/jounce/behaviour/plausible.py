"""Remarks on what follows from a car's numbers: loads, rates, frequencies and angles that no such car has.

A slip in one coordinate may leave every number of the file possible; what the whole makes of it is not.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from jounce.behaviour.axle.motions import AxleStates
from jounce.behaviour.axle.static import StandingFigures, loaded, standing_figures
from jounce.behaviour.axle.travel import states_table
from jounce.car.file.document import CarDocument
from jounce.car.file.remark import Remark, in_words
from jounce.car.file.usual import USUAL
from jounce.car.mechanics.assembly import axle_model
from jounce.car.mechanics.free_length import free_length
from jounce.car.mechanics.layout_input import SIDE_OF
from jounce.car.mechanics.model import AXLES, AxleModel, AxleName
from jounce.conventions.axes import End
from jounce.conventions.errors import JounceError
from jounce.conventions.units import Kind, show
from jounce.layouts.naming import SIDES, SideName
from jounce.numerics.arrays import Array

__all__ = ["all_remarks", "result_remarks"]

TODO = "Look at the points of this axle again, their signs and decimal points, and at the spring."

_OF_MOTION = (
    *("bump_camber", "bump_steer", "bump_caster", "half_track_gradient", "recession_gradient"),
    *("spring_tilt", "damper_tilt", "damper_ratio", "roll_centre_height", "roll_bar_ratio", "drive_shaft_inner_angle"),
    *("drive_shaft_outer_angle", "rod_slope", "axle_roll_steer"),
)
"""Columns of the travel table that are looked at on every axle that has them."""
_OF_STEERING = ("caster", "kingpin_inclination", "scrub_radius", "trail", "hub_trail")
"""The same of a steered axle."""


def all_remarks(document: CarDocument) -> tuple[Remark, ...]:
    """Remarks on what a car's document says and on what follows from it; those alone where nothing can follow.

    Args:
        document: the car

    """
    try:
        return (*document.remarks(), *result_remarks(document))
    except JounceError:  # whoever asks for a result is told; the remarks may say why
        return document.remarks()


def result_remarks(document: CarDocument) -> tuple[Remark, ...]:
    """Remarks on loads, rates, frequencies and angles of both axles where the car stands.

    Args:
        document: the car

    Raises:
        JounceError: an axle cannot be put together, or does not carry what was weighed

    """
    return tuple(remark for axle in AXLES for remark in dict.fromkeys(_of_axle(document, axle)))


def _of_axle(document: CarDocument, name: AxleName) -> Iterator[Remark]:
    model = loaded(axle_model(document, name))[0]
    figures = standing_figures(model, AxleStates())
    places = _springs(document, name)
    for what, value in _standing(model, figures):
        usual = USUAL[what]
        if usual.misses(value):
            text = f"{name} axle, {usual.words}: {usual.shown(value)} is unusual; usual are {usual.range}. {TODO}"
            yield Remark((f"{name}.pivots", places["left"]), text)
    yield from _on_the_scales(document, model, figures, places)
    yield from _moving(document, model)


def _springs(document: CarDocument, name: AxleName) -> dict[SideName, str]:
    """Where the key of each side's main spring stands that says most of it."""
    end, found = End(name), {}
    for side in SIDES:
        one = document.axle(end).side(SIDE_OF[side])
        keys = (("spring", "rate"), ("torsion_bar", "diameter"), ("leaf", "rate"))
        section, key = next(pair for pair in keys if getattr(one, pair[0], None) is not None)
        found[side] = document.place_of(end, SIDE_OF[side], section, key)
    return found


def _standing(model: AxleModel, figures: StandingFigures) -> Iterator[tuple[str, float]]:
    for side in SIDES:
        wheel = figures.wheels[side]
        yield "suspension_frequency", _first(wheel["suspension_frequency"])
        tyre, rate = _first(model.tyre(side).stiffness(wheel["load"])), _first(wheel["wheel_rate"])
        unsprung = _first(np.asarray(model.unsprung[side]))
        yield "hop_frequency", float(np.sqrt((tyre + rate) / unsprung) / (2 * np.pi))
        if model.main[side].kind != "torsion bar":
            yield "spring_ratio", _first(wheel["motion_ratio"])
        yield "one_wheel", _first(wheel["one_wheel_rate"]) / rate
    yield "roll_stiffness", _first(figures.roll_stiffness)


def _moving(document: CarDocument, model: AxleModel) -> Iterator[Remark]:
    table = states_table(model.stand, model.linkage, AxleStates(), (1.0, 1.0))
    steered = any(getattr(document.axle(End(model.name)), key, None) for key in ("steering", "steering_box"))
    for column in table.columns:
        place, _, rest = column.name.partition("_")
        quantity = rest if place in SIDES else column.name
        if quantity not in _OF_MOTION and not (steered and quantity in _OF_STEERING):
            continue
        usual, value = USUAL[quantity], _first(column.values)
        value = abs(value) if usual.low == -usual.high else value
        if usual.misses(value):
            yield Remark(
                (f"{model.name}.pivots",),
                f"{model.name} axle, {usual.words}: {usual.shown(value)} is unusual; usual are {usual.range}. {TODO}",
            )


def _on_the_scales(
    document: CarDocument, model: AxleModel, figures: StandingFigures, places: dict[SideName, str]
) -> Iterator[Remark]:
    """A coil's or leaf's own force, by its length without load and its rate, against what the scale asks for."""
    for side in SIDES:
        spring, end = model.main[side], End(model.name)
        told = free_length(document.axle(end).side(SIDE_OF[side]))
        if told is None:
            continue
        between = _first(model.stand.reference_values([spring.measure])[:, 0])
        free, leaf = _first(told), spring.kind == "leaf"
        own = _first(spring.law.force(np.array([max(free - between, 0.0)])))
        asked = _first(figures.wheels[side]["spring_force"])
        if not USUAL["coil_on_scales"].misses(own / asked):
            continue
        weight = f"mass.{end}_{side}"
        section, key = ("leaf", "free_camber") if leaf else ("spring", "free_length")
        length, what = document.place_of(end, SIDE_OF[side], section, key), key.replace("_", " ")
        where = "from its seat to its eyes" if leaf else "between its seats"
        yield Remark(
            (length, places[side], weight),
            f"{in_words(length)} {_mm(free)} and the {_mm(between)} {where} make {show(own, Kind.FORCE)} at its "
            f"rate; {in_words(weight)}, {show(document.mass.corner(end, SIDE_OF[side]).value, Kind.MASS)}, asks it for "
            f"{show(asked, Kind.FORCE)}. They contradict each other: measure the {what}, the seats and the rate "
            "again, or weigh again.",
            contradicts=True,
        )


def _first(values: Array) -> float:
    return float(np.real(np.ravel(values)[0]))


def _mm(length: float) -> str:
    return show(length, Kind.LENGTH)

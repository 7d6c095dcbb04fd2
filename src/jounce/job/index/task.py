"""The axle to be indexed, of a car as found or of a job, with where the whole car then comes to stand."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from jounce.behaviour.axle.motions import AxleStates
from jounce.behaviour.axle.reach import StopContact, first_hard, stops_met
from jounce.behaviour.axle.static import loaded, with_main_springs
from jounce.behaviour.bands import RestPlace, heights_at
from jounce.behaviour.road.of_document import car_of
from jounce.behaviour.road.static_car import settle
from jounce.car.file.document import CarDocument
from jounce.car.mechanics.assembly import axle_model
from jounce.car.mechanics.layout_input import spring_kind
from jounce.car.mechanics.model import AXLES, AxleModel, AxleName
from jounce.conventions.axes import Corner, End
from jounce.conventions.errors import Impossible, InputError
from jounce.conventions.units import Kind, show
from jounce.elements.law import Linear
from jounce.job.apply import planned_document
from jounce.job.document import JobDocument
from jounce.job.index.heights import StandingTurns, without_main_springs, wound_as_found
from jounce.job.index.marks import IndexSetting
from jounce.job.index.plan import IndexTask, bar_section
from jounce.job.kept import Changed, KeptSettings, kept_of, place_of
from jounce.job.loads import wanted_loads
from jounce.job.plan import JobPlan
from jounce.job.settings import index_of_bar
from jounce.layouts.naming import SIDES, SideName
from jounce.linkage.balance import Element
from jounce.numerics.arrays import Array


def indexed_axle(document: CarDocument, asked: str = "") -> AxleName:
    """The axle that torsion bars spring.

    Args:
        document: the car
        asked: "front" or "rear", empty for the one that has such bars, the front one where both have

    Raises:
        InputError: no torsion bar where it is asked for
    """
    kinds = {axle: spring_kind(document.axle(End(axle))) for axle in AXLES}
    having = [axle for axle in AXLES if kinds[axle] == "torsion bar"]
    for axle in having:
        if asked in ("", axle):
            return axle
    raise InputError(
        "There is no torsion bar to index",
        found="; ".join(f"{axle}: {kind}" for axle, kind in kinds.items() if asked in ("", axle)) or f'"{asked}"',
        allowed=" or ".join(having) or "a car with torsion bars",
        todo="Choose another axle or another car.",
    )


def task_of_plan(
    document: CarDocument, job: JobDocument, plan: JobPlan, lower: Mapping[Corner, float], axle: str = ""
) -> IndexTask:
    """An axle of a plan that torsion bars spring.

    Args:
        document: the car as measured
        job: the change list
        plan: what came out
        lower: how much lower than as found each corner was wanted [m]
        axle: "front" or "rear", empty for the one that has such bars, the front one where both have
    """
    axle = indexed_axle(document, axle)
    k = AXLES.index(axle)
    found, model, state = plan.found.models[k], plan.planned.models[k], plan.planned
    own = {side: lower[axle, side] for side in SIDES}
    loads = {side: np.array([state.sits.load[axle, side]]) for side in SIDES}
    return IndexTask(
        document,
        planned_document(document, job),
        axle,
        StandingTurns(without_main_springs(model), wound_as_found(found), state.states[axle], loads),
        own,
        {side: state.sits.travel[axle, side] for side in SIDES},
        {side: plan.settings[axle].bars[side].index for side in SIDES},
        _bands(Changed(document, job, kept_of(job, plan)), place_of(state.sits, state.standing.adjusted), axle),
        _ends(model, state.stops[axle]),
    )


def task_of_car(document: CarDocument, axle: AxleName, lower: Mapping[SideName, float]) -> IndexTask:
    """An axle of a car as found, with the bars that it has.

    Args:
        document: the car as measured
        axle: which axle, sprung by torsion bars
        lower: how much lower than as found each side is wanted [m]

    Raises:
        Impossible: the height is out of the linkage's reach, or the car does not come to rest
    """
    front, rear = (loaded(axle_model(document, name))[0] for name in AXLES)
    models: dict[str, AxleModel] = {"front": front, "rear": rear}
    bare = axle_model(document, axle)
    _refuse_beyond_stops(bare, lower)
    states = AxleStates(left=lower["left"], right=lower["right"])
    turns = StandingTurns(bare, wound_as_found(models[axle]), states, _loads_lowered(document, models, axle, lower))
    turns.reach()
    wanted = turns.at(0.0).turn
    chosen = {side: index_of_bar(bar_section(document, axle, side), float(wanted[side][0])) for side in SIDES}
    models[axle] = with_main_springs(bare, _indexed(bare, turns, chosen))
    sits = settle(car_of(document, models["front"], models["rear"]))
    loads = {side: np.array([sits.load[axle, side]]) for side in SIDES}
    stands = {side: sits.travel[axle, side] for side in SIDES}
    return IndexTask(
        document,
        document,
        axle,
        replace(turns, loads=loads, standing=AxleStates(left=stands["left"], right=stands["right"])),
        lower,
        stands,
        chosen,
        _bands(Changed(document, None, _kept(axle, chosen)), place_of(sits, {}), axle),
        _ends(bare, stops_met(bare, (stands["left"], stands["right"]))),
    )


def _refuse_beyond_stops(model: AxleModel, lower: Mapping[SideName, float]) -> None:
    ends, most = _ends(model, stops_met(model)), {"bump": max(lower.values()), "droop": -min(lower.values())}
    for at, asked in most.items():
        end = ends[at]
        if end is not None and asked >= end.travel:
            raise Impossible(
                f"The {model.name} cannot be {'lowered' if at == 'bump' else 'raised'} by {show(asked, Kind.LENGTH)}: the "
                f"wheels come to their end ({end.name}) after {show(end.travel, Kind.LENGTH)}. Ask for less, or plan other "
                "dampers or bump stops in a job."
            )


def _indexed(bare: AxleModel, turns: StandingTurns, chosen: Mapping[SideName, IndexSetting]) -> dict[SideName, Element]:
    """The bars as elements with their index; their measure is zero as found."""
    springs: dict[SideName, Element] = {}
    for side in SIDES:
        rate = float(bare.main[side].rate[0])
        wound = float(np.asarray(turns.wound_found[side])) + chosen[side].reached
        springs[side] = Element(bare.main[side].measure, Linear(rate, rate * wound))
    return springs


def _loads_lowered(
    document: CarDocument, models: Mapping[str, AxleModel], axle: AxleName, lower: Mapping[SideName, float]
) -> dict[SideName, Array]:
    """Wheel loads with one axle lowered; cross weight as found.

    The body pitches over wheels that roll with it, so its centre of gravity moves towards the lowered axle by the pitch
    times its height above the wheel centres.
    """
    found: dict[Corner, float] = {
        (name, side): float(models[name].corner_load[side][0]) for name in AXLES for side in SIDES
    }
    total = sum(found.values())
    cross = (found["front", "right"] + found["rear", "left"]) / total
    wheels = {name: models[name].linkage.wheels["left"].centre.at for name in AXLES}
    wheelbase = float(np.ravel(wheels["front"])[0] - np.ravel(wheels["rear"])[0])
    nose_down = (1 if axle == "front" else -1) * sum(lower.values()) / 2
    above = document.mass.centre_of_gravity_height.value - float(np.mean([np.ravel(at)[2] for at in wheels.values()]))
    gain = total * above * nose_down / wheelbase**2
    loads = wanted_loads(found, cross, gain)
    return {side: np.array([loads[axle, side]]) for side in SIDES}


def _kept(axle: AxleName, chosen: Mapping[SideName, IndexSetting]) -> KeptSettings:
    return KeptSettings({(axle, side): index.reached for side, index in chosen.items()}, {})


def _bands(car: Changed, place: RestPlace, axle: AxleName) -> dict[SideName, float]:
    """Bands of the standing heights, the index and every other setting kept [m]."""
    found = heights_at(car, place)
    return {side: found[f"{axle}.{side}.height"].plus_minus for side in SIDES}


def _ends(model: AxleModel, met: tuple[StopContact, ...]) -> dict[str, StopContact | None]:
    """Hard ends of travel; None where no part's own limit is known, so that only the bare linkage would end it."""
    return {
        at: first_hard(met, at) if any(stop.hard and stop.at == at for stop in model.stops) else None
        for at in ("bump", "droop")
    }

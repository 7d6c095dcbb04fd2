"""`jounce weigh`: the car on four scales, with what is aboard, and settings for wanted heights and cross weight."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from jounce.cli.answers import JSON_HELP, UNITS_HELP

if TYPE_CHECKING:
    from jounce.behaviour.road.road_car import RoadCar
    from jounce.job.answer_table import AnswerTable
    from jounce.questions.weighing import Wanted


def weigh(
    file: Annotated[Path, typer.Argument(help="car file, or job file for the car as planned")],
    aboard: Annotated[
        list[str] | None, typer.Option("--aboard", help='a place of the car file: "passenger", "boot=40 kg"')
    ] = None,
    bars_off: Annotated[bool, typer.Option("--bars-off", help="anti-roll bars disconnected")] = False,  # noqa: FBT002
    cross: Annotated[str, typer.Option(help='cross weight wanted: "50 %"')] = "",
    front: Annotated[str, typer.Option(help='how much lower the front is to stand: "10 mm"')] = "",
    rear: Annotated[str, typer.Option(help="how much lower the rear is to stand")] = "",
    json_file: Annotated[str, typer.Option("--json", help=JSON_HELP)] = "",
    units: Annotated[str, typer.Option("--units", help=UNITS_HELP)] = "metric",
) -> None:
    """Corner weights and heights, and which spring settings give wanted ones - or why nothing can."""
    from dataclasses import replace

    from jounce.behaviour.road.of_document import aboard as loads_aboard
    from jounce.behaviour.road.weigh import on_scales, settings_for
    from jounce.case.case import case_of_file
    from jounce.cli.answers import tell_all
    from jounce.questions.past_the_end import past_the_end
    from jounce.questions.weighing import pressed_remarks, settings_table, uneven_table, weighing_table

    asked_for = case_of_file(file).last
    car = asked_for.car.with_loads(loads_aboard(asked_for.document, _masses(aboard or (), units)))
    if bars_off:
        car = car.without({"anti-roll bar", "inner bar"})
    name = asked_for.document.car.name
    stands = on_scales(car)
    past_end = [*past_the_end(car, stands.travel[None]), *pressed_remarks(car, stands, units)]
    tables: list[AnswerTable] = [
        weighing_table(asked_for.document, f"{name}, {asked_for.title}, on the scales", stands, past_end),
        uneven_table(car),
    ]
    wanted = _wanted(car, front, rear, cross, units)
    if wanted is not None:
        found = settings_for(car, wanted.front, wanted.rear, wanted.cross_share, wanted.lean)
        planned = replace(asked_for, title="as set")
        past_end = [*past_the_end(car, found.stands.travel[None]), *pressed_remarks(car, found.stands, units)]
        tables += [
            settings_table(asked_for.document, car, found),
            weighing_table(planned.document, f"{name}, {planned.title}, on the scales", found.stands, past_end),
        ]
    tell_all(tables, units, json_file)


def _wanted(car: RoadCar, front: str, rear: str, cross: str, units: str) -> Wanted | None:
    """What is asked for; where nothing is said of a thing it stays as it is."""
    from jounce.behaviour.road.weigh import on_scales
    from jounce.cli.answers import asked
    from jounce.conventions.units import Kind
    from jounce.questions.weighing import Wanted

    if not (front or rear or cross):
        return None
    stands = on_scales(car)
    lower = [asked(text, Kind.LENGTH, option, units) for text, option in ((front, "--front"), (rear, "--rear")) if text]
    travel = stands.travel.mean(axis=1)
    front_at = lower.pop(0) if front else float(travel[0])
    rear_at = lower.pop(0) if rear else float(travel[1])
    share = asked(cross, Kind.SHARE, "--cross", units) if cross else stands.cross_share
    return Wanted(front_at, rear_at, share, float((stands.travel[:, 0] - stands.travel[:, 1]).mean()))


def _masses(written: Sequence[str], units: str) -> dict[str, float | None]:
    from jounce.cli.answers import asked
    from jounce.conventions.units import Kind

    masses: dict[str, float | None] = {}
    for text in written:
        name, equals, value = (part.strip() for part in text.partition("="))
        masses[name] = asked(value, Kind.MASS, f'--aboard "{text}"', units) if equals else None
    return masses

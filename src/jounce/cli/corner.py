"""`jounce corner`: what cornering does, each turn for itself."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from jounce.cli.answers import JSON_HELP, UNITS_HELP

if TYPE_CHECKING:
    from jounce.behaviour.road.corner import Cornering
    from jounce.cli.cars_asked import CarAsked
    from jounce.job.answer_table import AnswerTable


def corner(
    file: Annotated[Path, typer.Argument(help="car file, or job file for as found beside as planned")],
    at: Annotated[str, typer.Option("--at", help='lateral acceleration told in detail: "0.6 g", "6 m/s²"')] = "0.6 g",
    ahead: Annotated[str, typer.Option(help='acceleration meanwhile, negative in braking: "-0.3 g"')] = "0 g",
    csv_file: Annotated[str, typer.Option("--csv", help="write the sweep to this file, or - for the screen")] = "",
    json_file: Annotated[str, typer.Option("--json", help=JSON_HELP)] = "",
    units: Annotated[str, typer.Option("--units", help=UNITS_HELP)] = "metric",
) -> None:
    """Roll, balance, wheel lift, loads and camber in steady cornering, left and right turn separately."""
    from jounce.cli.answers import asked, tell_all
    from jounce.cli.cars_asked import cars_asked
    from jounce.conventions.units import Kind

    cars = cars_asked(file)
    across = asked(at, Kind.ACCELERATION, "--at", units)
    along = asked(ahead, Kind.ACCELERATION, "--ahead", units)
    if csv_file:
        _write_sweep(cars, along, csv_file, units)
        if csv_file == "-":
            return
    tell_all(_tables(cars, across, along), units, json_file)


def _tables(cars: Sequence[CarAsked], across: float, along: float) -> list[AnswerTable]:
    import numpy as np

    from jounce.behaviour.road.corner import corner as cornered
    from jounce.behaviour.road.feel import feel
    from jounce.behaviour.road.weigh import evenly_loaded
    from jounce.job.on_road import felt
    from jounce.questions.cornering import cornering_table, detail_table, difference_table

    told = {one.title: felt(one.state)[0] for one in cars}
    name = cars[0].document.car.name
    detail = {one.title: cornered(one.car, np.array([across, -across]), along) for one in cars}
    return [
        cornering_table(f"{name} in a corner", told),
        detail_table(across, along, detail, _past_ends(cars, detail)),
        difference_table(told, {one.title: feel(evenly_loaded(one.car))[0] for one in cars}),
    ]


def _past_ends(cars: Sequence[CarAsked], detail: Mapping[str, Cornering]) -> list[str]:
    """A sentence for each wheel that the corner presses past the end of its travel."""
    from jounce.questions.past_the_end import past_the_end

    told = []
    for one in cars:
        states = detail[one.title].states
        turns = [f"{one.title}, {turn} turn:" for turn in ("left", "right")]
        reached = [turn for turn, good in zip(turns, states.reached, strict=True) if good]
        told += past_the_end(one.car, states.travel[states.reached], reached)
    return told


def _write_sweep(cars: Sequence[CarAsked], along: float, csv_file: str, units: str) -> None:
    from jounce.behaviour.road.corner import corner as cornered
    from jounce.behaviour.road.feel import SWEEP
    from jounce.car.file.writing import write_whole

    text = _csv({one.title: cornered(one.car, SWEEP, along) for one in cars}, units)
    if csv_file == "-":
        typer.echo(text, nl=False)
    else:
        write_whole(Path(csv_file), text)


def _csv(sweeps: dict[str, Cornering], units: str) -> str:
    import csv
    import io

    from jounce.conventions.units import column, to_display
    from jounce.questions.cornering import sweep_columns

    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    for i, (title, sweep) in enumerate(sweeps.items()):
        columns = sweep_columns(sweep)
        if i == 0:
            writer.writerow(["car", *(column(name, kind, units) for name, kind, _ in columns)])
        shown = [to_display(values, kind, units) for _, kind, values in columns]
        for k in range(len(sweep.acting)):
            if sweep.states.reached[k]:
                writer.writerow([title, *("" if v[k] != v[k] else f"{v[k] + 0.0:.6f}" for v in shown)])
    return out.getvalue()

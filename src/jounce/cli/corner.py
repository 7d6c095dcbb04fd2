"""`jounce corner`: what cornering does, each turn for itself."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from jounce.cli.answers import JSON_HELP, UNITS_HELP

if TYPE_CHECKING:
    from jounce.behaviour.road.corner import Cornering
    from jounce.case.case import CaseState


def corner(
    file: Annotated[Path, typer.Argument(help="car file, or job file for as found beside as planned")],
    at: Annotated[str, typer.Option("--at", help='lateral acceleration told in detail: "0.6 g", "6 m/s²"')] = "0.6 g",
    ahead: Annotated[str, typer.Option(help='acceleration meanwhile, negative in braking: "-0.3 g"')] = "0 g",
    csv_file: Annotated[str, typer.Option("--csv", help="write the sweep to this file, or - for the screen")] = "",
    json_file: Annotated[str, typer.Option("--json", help=JSON_HELP)] = "",
    units: Annotated[str, typer.Option("--units", help=UNITS_HELP)] = "metric",
) -> None:
    """Roll, balance, wheel lift, loads and camber in steady cornering, left and right turn separately."""
    from jounce.case.case import case_of_file
    from jounce.cli.answers import asked, tell_all
    from jounce.conventions.units import Kind
    from jounce.questions.catalogue import QUESTIONS

    case = case_of_file(file)
    across = asked(at, Kind.ACCELERATION, "--at", units)
    along = asked(ahead, Kind.ACCELERATION, "--ahead", units)
    if csv_file:
        _write_sweep(case.states, along, csv_file, units)
        if csv_file == "-":
            return
    tell_all(QUESTIONS["corner"].answer(case, {"at": (across,), "ahead": (along,)}, units), units, json_file)


def _write_sweep(cars: Sequence[CaseState], along: float, csv_file: str, units: str) -> None:
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

"""`jounce index`: which teeth give a height, and where the arm hangs before it is loaded."""

from __future__ import annotations

import json
from dataclasses import asdict
from pathlib import Path
from textwrap import fill
from typing import TYPE_CHECKING, Annotated

import typer

from jounce.cli.answers import JSON_HELP, UNITS_HELP

if TYPE_CHECKING:
    from collections.abc import Mapping

    from jounce.car.file.document import CarDocument
    from jounce.conventions.units import Kind
    from jounce.job.index.plan import BarIndex, IndexTask
    from jounce.layouts.naming import SideName


def index(
    file: Annotated[Path, typer.Argument(help="car file or job file", metavar="CAR-or-JOB")],
    axle: Annotated[str, typer.Option("--axle", help="front or rear; the one with torsion bars if left out")] = "",
    lower: Annotated[str, typer.Option("--lower", help="how much lower than as found both sides are to stand")] = "",
    height: Annotated[str, typer.Option("--height", help="wheel centre to arch for both sides")] = "",
    side: Annotated[str, typer.Option("--side", help="left or right; both if left out")] = "",
    within: Annotated[str, typer.Option("--within", help="heights listed, up and down from the wanted one")] = "15 mm",
    json_file: Annotated[str, typer.Option("--json", help=JSON_HELP)] = "",
    units: Annotated[str, typer.Option("--units", help=UNITS_HELP)] = "metric",
) -> None:
    """Re-index torsion bars: every pair of teeth near the wanted height, and what to set before loading.

    A job's height is the one it asks for, a car's is as found, unless --lower or --height says otherwise.
    """
    from jounce.car.file.writing import write_whole
    from jounce.cli.answers import asked
    from jounce.conventions.errors import InputError
    from jounce.conventions.units import Kind
    from jounce.job.index.plan import bar_indices

    if lower and height:
        raise InputError("A height is asked for twice", found="--lower and --height", todo="Give one of them.")
    if side not in ("", "left", "right"):
        raise InputError("There is no such side", found=f'--side "{side}"', allowed="left, right", todo="Correct it.")
    wanted = (
        asked(lower, Kind.LENGTH, "--lower", units) if lower else None,
        asked(height, Kind.LENGTH, "--height", units) if height else None,
    )
    task = _task(file, axle, wanted)
    found = bar_indices(task, abs(asked(within, Kind.LENGTH, "--within", units)))
    shown = {name: one for name, one in found.items() if side in ("", name)}
    if not json_file:
        _print(task, shown, units)
        return
    values = {"unit_system": "SI", "axle": task.axle, "sides": {name: asdict(one) for name, one in shown.items()}}
    text = json.dumps(values, indent=2, ensure_ascii=False, allow_nan=False)
    if json_file == "-":
        typer.echo(text)
    else:
        write_whole(Path(json_file), text + "\n")


def _task(file: Path, axle: str, wanted: tuple[float | None, float | None]) -> IndexTask:
    from dataclasses import replace

    from jounce.car.file.reading import read_car, read_text, read_toml
    from jounce.conventions.errors import at
    from jounce.job.apply import planned_document, wishes_of
    from jounce.job.file import read_job
    from jounce.job.index.task import indexed_axle, task_of_car, task_of_plan
    from jounce.job.plan import make_plan
    from jounce.layouts.naming import SIDES

    if "job" not in read_toml(read_text(file), str(file)):
        document = read_car(file)
        with at(str(file)):
            name = indexed_axle(document, axle)
            return task_of_car(document, name, _lower(document, name, wanted) or dict.fromkeys(SIDES, 0.0))
    job, document = read_job(file)
    with at(str(file)):
        planned = planned_document(document, job)
        name = indexed_axle(planned, axle)
        wishes = wishes_of(document, job)
        own = _lower(document, name, wanted)
        if own is not None:
            wishes = replace(wishes, lower={**wishes.lower, **{(name, one): own[one] for one in SIDES}})
        return task_of_plan(document, job, make_plan(document, planned, wishes), wishes.lower)


def _lower(document: CarDocument, axle: str, wanted: tuple[float | None, float | None]) -> dict[SideName, float] | None:
    """How much lower each side is wanted than as found [m]; None where nothing was asked."""
    from jounce.car.mechanics.given import SIDE_OF
    from jounce.conventions.axes import End
    from jounce.layouts.naming import SIDES

    lower, height = wanted
    if lower is not None:
        return dict.fromkeys(SIDES, lower)
    if height is None:
        return None
    end = End.FRONT if axle == "front" else End.REAR
    return {side: document.heights.corner(end, SIDE_OF[side]).value - height for side in SIDES}


def _print(task: IndexTask, shown: Mapping[SideName, BarIndex], units: str) -> None:
    from jounce.elements.bars.materials import NO_LIFE
    from jounce.job.index.words import INDEX_REMARKS

    typer.echo(f"{task.document.car.name}, {task.axle} torsion bars")
    typer.echo("Teeth are counted from the old marks.")
    for side, one in shown.items():
        _print_side(side, one, units)
    typer.echo("")
    for remark in (*INDEX_REMARKS, f"Load cycles that a bar lasts: {NO_LIFE}."):
        typer.echo(_wrapped(f"- {remark}", 2))


def _print_side(side: str, one: BarIndex, units: str) -> None:
    from jounce.job.index.words import index_sentences, which_way

    typer.echo(f"\n{side}")
    typer.echo(_wrapped(f"  {which_way(one)}"))
    for sentence in index_sentences(one, units):
        typer.echo(_wrapped(f"  {sentence}"))
    _print_rows(one, units)
    _print_places(one, units)


def _print_rows(one: BarIndex, units: str) -> None:
    from jounce.conventions.units import Kind, unit_of

    if not one.rows:
        return
    length, stress = (unit_of(kind, units).symbol for kind in (Kind.LENGTH, Kind.STRESS))
    bolt = any(row.bolt_heights for row in one.rows)
    heads = ["arm", "anchor", *(["bolt"] if bolt else []), "height", "miss", "hanging", "bump", "droop"]
    heads += ["with the bolt"] if bolt else []
    below = ["", "", *([""] if bolt else []), length, length, length, stress, "deg", *([length] if bolt else [])]
    cells = [heads, below]
    for row in one.rows:
        span = row.bolt_heights
        cells.append(
            [
                f"{'* ' if row.chosen else ''}{row.arm_teeth:+d}",
                f"{row.anchor_teeth:+d}",
                *([f"{row.bolt_turns:+.2f}"] if bolt else []),
                _number(row.height, Kind.LENGTH, units),
                _number(row.miss, Kind.LENGTH, units, sign=True),
                _number(row.hanging, Kind.LENGTH, units, sign=True),
                _number(row.stress, Kind.STRESS, units),
                _number(row.droop_twist, Kind.ANGLE, units, sign=True),
                *([" to ".join(_number(end, Kind.LENGTH, units) for end in span or ())] if bolt else []),
            ]
        )
    _print_cells(cells)
    typer.echo(
        _wrapped(
            f"  * chosen; hanging: {one.hanging_point or 'arm'} over the arm's pivot line, bar without load; "
            "bump, droop: stress and wind-up of the bar there (below 0: slack, or turned backwards)."
        )
    )


def _print_places(one: BarIndex, units: str) -> None:
    from jounce.conventions.units import Kind, unit_of

    kinds = (Kind.LENGTH, Kind.ANGLE, Kind.ANGLE, Kind.TORQUE, Kind.STRESS, Kind.STRESS, Kind.ENERGY)
    cells = [
        ["", "lower", "twist", "bar's", "torque", "stress", "margin", "energy"],
        ["", *(unit_of(kind, units).symbol for kind in kinds)],
    ]
    for place in one.places:
        values = (place.lower, place.twist, place.bar_twist, place.torque, place.stress, place.margin, place.energy)
        cells.append(
            [place.name.partition(":")[0], *(_number(v, k, units) for v, k in zip(values, kinds, strict=True))]
        )
    _print_cells(cells, left=True)
    ends = [place.name for place in one.places if ":" in place.name]
    if ends:
        typer.echo(_wrapped(f"  {'; '.join(ends)}."))


def _print_cells(cells: list[list[str]], *, left: bool = False) -> None:
    widths = [max(len(row[k]) for row in cells) for k in range(len(cells[0]))]
    for row in cells:
        shown = [
            cell.ljust(w) if left and not k else cell.rjust(w)
            for k, (cell, w) in enumerate(zip(row, widths, strict=True))
        ]
        typer.echo("  " + "  ".join(shown).rstrip())


def _number(value: float | None, kind: Kind, units: str, *, sign: bool = False) -> str:
    """A number without its unit, which stands over the column."""
    from jounce.conventions.units import show

    return "-" if value is None else show(value, kind, units, sign=sign).split(" ")[0]


def _wrapped(text: str, indent: int = 4) -> str:
    return fill(text, 80, subsequent_indent=" " * indent)

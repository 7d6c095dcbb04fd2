"""`jounce ride`: how the car swings, what its passengers feel, what its dampers should be."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from jounce.cli.answers import JSON_HELP, UNITS_HELP

if TYPE_CHECKING:
    from jounce.behaviour.ride.obstacles import Profile
    from jounce.case.case import Case
    from jounce.questions.ride import Ridden

_OVER_HELP = "also drive over this: bump, hump, pothole or step"
_SPEED_HELP = "speed of the car: 80 km/h on the road and 20 km/h over an obstacle when left out"


def ride(
    file: Annotated[Path, typer.Argument(help="car file, or job file for as found beside as planned")],
    speed: Annotated[str, typer.Option(help=_SPEED_HELP)] = "",
    road: Annotated[str, typer.Option(help="class of the road by ISO 8608, A (smooth) to H")] = "B",
    over: Annotated[str, typer.Option(help=_OVER_HELP)] = "",
    damping: Annotated[
        float, typer.Option(help="damping ratio in heave to order dampers for", min=0.05, max=2.0)
    ] = 0.35,
    csv_file: Annotated[str, typer.Option("--csv", help="write the drive over the obstacle, or - for the screen")] = "",
    json_file: Annotated[str, typer.Option("--json", help=JSON_HELP)] = "",
    units: Annotated[str, typer.Option("--units", help=UNITS_HELP)] = "metric",
) -> None:
    """Frequencies and damping, flat ride, comfort on a road, a drive over an obstacle, dampers to order."""
    from jounce.behaviour.ride.road_surface import road_class
    from jounce.case.case import case_of_file
    from jounce.cli.answers import asked, tell_all
    from jounce.conventions.units import Kind
    from jounce.questions.catalogue import QUESTIONS

    question = QUESTIONS["ride"]
    given = {**question.as_first(), "road": road_class(road).name, "over": over, "damping": (damping,)}
    told = asked(speed, Kind.DRIVING_SPEED, "--speed", units) if speed else None
    _check_speed(told)
    if told is not None:
        given |= {"speed": (told,), "slow": (told,)}
    obstacle = _obstacle(over, csv_file)
    case = case_of_file(file)
    if csv_file and obstacle is not None:
        _write_csv(_driven(case, obstacle, told), csv_file, units)
        if csv_file == "-":
            return
    tell_all(question.answer(case, given, units), units, json_file)


def _driven(case: Case, obstacle: Profile, speed: float | None) -> list[Ridden]:
    """Every state driven over an obstacle."""
    from jounce.conventions.units import KM_PER_H
    from jounce.questions.ridden import ridden

    road = ("B", speed or 80 * KM_PER_H)
    return [ridden(s.title, s.document, s.state, road, (obstacle, speed or 20 * KM_PER_H)) for s in case.states]


def _check_speed(speed: float | None) -> None:
    from jounce.conventions.errors import check_range
    from jounce.conventions.units import KM_PER_H

    if speed is not None:
        check_range("--speed", speed / KM_PER_H, 1, 300, "km/h", "Give a speed at which a car is driven.")


def _obstacle(over: str, csv_file: str) -> Profile | None:
    from jounce.behaviour.ride.obstacles import OBSTACLES
    from jounce.conventions.errors import InputError

    if over in OBSTACLES:
        return OBSTACLES[over]
    if over or csv_file:
        found = over or "--csv without --over"
        raise InputError("There is no such obstacle", found=found, allowed=", ".join(OBSTACLES), todo="Choose one.")
    return None


def _write_csv(cars: Sequence[Ridden], csv_file: str, units: str) -> None:
    import csv
    import io

    from jounce.car.file.writing import write_whole
    from jounce.conventions.errors import InputError
    from jounce.conventions.units import column, to_display
    from jounce.questions.ride import history_columns

    out, head = io.StringIO(), False
    writer = csv.writer(out, lineterminator="\n")
    for car in cars:
        if car.history is None:
            continue
        columns = history_columns(car.history)
        if not head:
            writer.writerow(["car", *(column(name, kind, units) for name, kind, _ in columns)])
            head = True
        shown = [to_display(values, kind, units) for _, kind, values in columns]
        for row in zip(*shown, strict=True):
            writer.writerow([car.title, *(f"{value + 0.0:.6g}" for value in row)])
    if not head:
        raise InputError("No drive can be written", found="dampers without a curve", todo="Give damper curves.")
    if csv_file == "-":
        typer.echo(out.getvalue(), nl=False)
    else:
        write_whole(Path(csv_file), out.getvalue())

"""`jounce damper`: quick questions about dampers, without a car."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from jounce.cli.answers import JSON_HELP, UNITS_HELP

if TYPE_CHECKING:
    from jounce.conventions.units import Kind
    from jounce.elements.dampers.bench_rows import BenchTest
    from jounce.elements.dampers.force_velocity import ForceVelocity
    from jounce.job.answer_table import AnswerTable
    from jounce.questions.damper import DamperColumn

Several = list[str] | None


def damper(  # the options are the command
    curve: Annotated[
        Several,
        typer.Option(help='rows of speed, bump, rebound: "0.052 60 110; 0.13 130 250"; again for another damper'),
    ] = None,
    knee: Annotated[
        Several,
        typer.Option(help='slope, knee speed, slope of bump, then of rebound: "1200 0.13 500; 2400 0.13 900"'),
    ] = None,
    bench: Annotated[Several, typer.Option(help="CSV of a test: columns speed and force, units in the head")] = None,
    file: Annotated[
        Several, typer.Option(help="TOML with the keys of a car file's damper; clicks give a column each")
    ] = None,
    speeds: Annotated[
        str, typer.Option("--speeds", help='rod speeds asked for, in place of the usual ones: "0.05 0.1 0.25"')
    ] = "",
    motion_ratio: Annotated[str, typer.Option("--motion-ratio", help="rod travel per wheel travel")] = "",
    sprung: Annotated[str, typer.Option("--sprung", help="mass over one wheel")] = "",
    wheel_rate: Annotated[str, typer.Option("--wheel-rate", help="rate at the wheel, tyre left out")] = "",
    spring_change: Annotated[str, typer.Option("--spring-change", help='change of the wheel rate: "+50 %"')] = "",
    stroke: Annotated[
        str, typer.Option("--stroke", help="of a steady sine of the rod, end to end; with --frequency")
    ] = "",
    frequency: Annotated[str, typer.Option("--frequency", help="of that sine: energy of a cycle and heat")] = "",
    gas: Annotated[str, typer.Option("--gas", help="gas force of the tests, where it was weighed")] = "",
    bump_negative: Annotated[bool, typer.Option("--bump-negative", help="the tests count bump speed negative")] = False,  # noqa: FBT002
    speed_unit: Annotated[str, typer.Option("--speed-unit", help="of the tests, if their heads name none")] = "",
    force_unit: Annotated[str, typer.Option("--force-unit", help="of the tests, if their heads name none")] = "",
    as_curve: Annotated[bool, typer.Option("--as-curve", help="print only the lines that a car file takes")] = False,  # noqa: FBT002
    json_file: Annotated[str, typer.Option("--json", help=JSON_HELP)] = "",
    units: Annotated[str, typer.Option("--units", help=UNITS_HELP)] = "metric",
) -> None:
    """Dampers side by side: forces at the usual test speeds, damping, and damping ratio at a wheel; tests on a bench.

    A damper is told by rows, by slopes and knees, by the points of a test, or by a file that may hold the settings of
    its adjuster. Beyond what was measured nothing is told.
    """
    from jounce.cli.answers import tell_all
    from jounce.conventions.units import Kind
    from jounce.questions.damper import Corner, DamperColumn, curve_line, damper_table

    asked_speeds = _speeds(speeds, units)
    columns = [DamperColumn(_short(text), _rows(text, units)) for text in curve or ()]
    columns += [DamperColumn(_short(text), _knees(text, units)) for text in knee or ()]
    weighed = _optional(gas, Kind.FORCE, "--gas", units)
    tests: list[AnswerTable] = []
    for path in bench or ():
        column, table = _tested(path, weighed, (bump_negative, speed_unit, force_unit), asked_speeds, units)
        columns.append(column)
        tests.append(table)
    columns += [column for path in file or () for column in _of_file(path)]
    if as_curve:
        for column in columns:
            typer.echo(f"# {column.name}\n{curve_line(column.curve)}")
        return
    corner = Corner(
        motion_ratio=_optional(motion_ratio, Kind.RATIO, "--motion-ratio", units),
        sprung_mass=_optional(sprung, Kind.MASS, "--sprung", units),
        wheel_rate=_optional(wheel_rate, Kind.SPRING_RATE, "--wheel-rate", units),
        spring_factor=_change(spring_change, units),
        stroke=_optional(stroke, Kind.LENGTH, "--stroke", units),
        frequency=_optional(frequency, Kind.FREQUENCY, "--frequency", units),
    )
    tell_all([*tests, damper_table(columns, corner, units, asked_speeds)], units, json_file)


def _optional(text: str, kind: Kind, option: str, units: str) -> float | None:
    from jounce.cli.answers import asked

    return asked(text, kind, option, units) if text else None


def _change(text: str, units: str) -> float | None:
    """New wheel rate over old from its change."""
    from jounce.conventions.units import Kind

    change = _optional(text, Kind.SHARE, "--spring-change", units)
    return None if change is None else 1 + change


def _speeds(text: str, units: str) -> tuple[float, ...]:
    """Rod speeds in rising order, each once."""
    from jounce.cli.answers import asked
    from jounce.conventions.errors import check_range
    from jounce.conventions.units import Kind
    from jounce.elements.dampers.bench_rows import TEST_SPEEDS

    if not text:
        return TEST_SPEEDS
    found = sorted({asked(cell, Kind.SPEED, "--speeds", units) for cell in text.replace(",", " ").split()})
    for speed in found:
        check_range("rod speed", speed, 0.001, 10, "m/s", "Check --speeds and its unit.")
    return tuple(found)


def _short(text: str) -> str:
    return text if len(text) <= 14 else f"{text[:12]}…"


def _numbers(text: str, kinds: tuple[Kind, ...], option: str, units: str) -> list[list[float]]:
    """Rows parted by semicolons, their numbers by blanks or commas."""
    from jounce.cli.answers import asked
    from jounce.conventions.errors import InputError

    rows = []
    for row in text.split(";"):
        cells = row.replace(",", " ").split()
        if len(cells) != len(kinds):
            allowed = f"{len(kinds)} numbers in each row, rows parted by ;"
            raise InputError(f"{option} cannot be read", found=f'"{row.strip()}"', allowed=allowed)
        rows.append([asked(cell, kind, option, units) for cell, kind in zip(cells, kinds, strict=True)])
    return rows


def _rows(text: str, units: str) -> ForceVelocity:
    import numpy as np

    from jounce.conventions.errors import at
    from jounce.conventions.units import Kind
    from jounce.elements.dampers.force_velocity import ForceVelocity

    rows = np.array(_numbers(text, (Kind.SPEED, Kind.FORCE, Kind.FORCE), "--curve", units))
    with at("--curve"):
        return ForceVelocity(rows[:, 0], rows[:, 1], rows[:, 2])


def _knees(text: str, units: str) -> ForceVelocity:
    from jounce.conventions.errors import InputError, at
    from jounce.conventions.units import Kind
    from jounce.elements.dampers.damper_knee import Knee, knee_curve

    rows = _numbers(text, (Kind.DAMPING, Kind.SPEED, Kind.DAMPING), "--knee", units)
    if len(rows) != 2:
        raise InputError("--knee needs bump and rebound", found=f"{len(rows)}", allowed="two rows parted by ;")
    with at("--knee"):
        bump, rebound = (Knee(*row) for row in rows)
        return knee_curve(bump, rebound)


def _tested(
    path: str, gas: float | None, reading: tuple[bool, str, str], speeds: tuple[float, ...], units: str
) -> tuple[DamperColumn, AnswerTable]:
    from pathlib import Path

    from jounce.car.file.damper_bench import read_bench
    from jounce.conventions.errors import at
    from jounce.elements.dampers.bench_rows import averaged
    from jounce.questions.damper import DamperColumn, bench_table

    bump_negative, speed_unit, force_unit = reading
    found = read_bench(path, bump_negative=bump_negative, speed_unit=speed_unit, force_unit=force_unit)
    with at(path):
        test: BenchTest = averaged(found.points, speeds, gas)
        column = DamperColumn(Path(path).stem, test.curve, test.missing)
    return column, bench_table(Path(path).name, test, found.remarks, units)


def _of_file(path: str) -> list[DamperColumn]:
    """The damper of a file; of one with an adjuster, each measured setting and where it stands."""
    from pathlib import Path

    from jounce.car.file.damper_file import read_damper
    from jounce.conventions.errors import InputError
    from jounce.questions.damper import DamperColumn

    told, name = read_damper(path), Path(path).stem
    force = told.force
    if force is None:
        raise InputError("This damper has no force over speed", todo="Give curve, knee or clicks.", place=path)
    if told.clicks is None:
        return [DamperColumn(name, force)]
    family, setting, rebound = told.clicks.family, told.clicks.setting, told.clicks.rebound_setting
    columns = [DamperColumn(f"click {at:g}", curve) for at, curve in zip(family.settings, family.curves, strict=True)]
    stands = f"set {setting:g}" if rebound is None else f"set {setting:g}/{rebound:g}"
    return [*columns, DamperColumn(stands, force)]

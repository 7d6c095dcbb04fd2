"""`jounce shelf`: the parts shelf on the command line."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path
from textwrap import fill
from typing import Annotated

import typer

from jounce.car.file.document import CarDocument
from jounce.car.file.quantity import Measured, MeasuredPoint
from jounce.car.file.reading import read_car
from jounce.car.file.writing import make_folder, write_new, write_whole
from jounce.cli.answers import JSON_HELP, UNITS_HELP
from jounce.conventions.axes import ENDS
from jounce.conventions.errors import InputError, JounceError
from jounce.shelf.csv_out import csv_files, wide_csv
from jounce.shelf.describe import known_rows, price_of, stock_of, unknown_rows
from jounce.shelf.file import read_csv_files, read_shelf
from jounce.shelf.fit import Fit, FitVerdict, companions, fit
from jounce.shelf.kinds import KINDS
from jounce.shelf.part import Part
from jounce.shelf.remarks import remarks_on
from jounce.shelf.shelf import Shelf
from jounce.shelf.toml import toml_text

shelf = typer.Typer(help="The parts shelf: what there is, what it fits, in and out as CSV.", no_args_is_help=True)

_File = Annotated[Path, typer.Argument(help="shelf file, TOML or CSV", metavar="SHELF")]
_Kind = Annotated[str, typer.Option("--kind", help="kind of part: coil, damper, torsion_bar, …")]
_Car = Annotated[Path | None, typer.Option("--fits", help="car file: does it fit there?", metavar="CAR")]
_Units = Annotated[str, typer.Option("--units", help=UNITS_HELP)]


@shelf.command(name="list")
def list_parts(
    file: _File,
    kind: _Kind = "",
    car: _Car = None,
    *,
    in_stock: Annotated[bool, typer.Option("--in-stock", help="only what is there")] = False,
    everything: Annotated[bool, typer.Option("--all", help="with --fits: also what does not fit")] = False,
    json_file: Annotated[str, typer.Option("--json", help=JSON_HELP)] = "",
) -> None:
    """List parts: code, name, maker, price, stock; with --fits those that fit a car, or may fit it."""
    parts, whole = _chosen(file, kind, in_stock=in_stock)
    fits = _fits(parts, whole, car)
    shown = [part for part in parts if everything or not fits or not fits[part.code].startswith("does not")]
    if json_file:
        _write(json_file, [_as_json(part, fits.get(part.code)) for part in shown])
        return
    rows = []
    for part in shown:
        fitting = (fits[part.code],) if fits else ()
        rows.append((part.code, part.name, part.maker, price_of(part), stock_of(part), *fitting))
    _print_rows(rows)
    left_out = len(parts) - len(shown)
    typer.echo(f"{len(shown)} parts{f'; {left_out} that do not fit are not listed' if left_out else ''}.")


@shelf.command()
def show(
    file: _File,
    code: Annotated[str, typer.Argument(help="code of the part", metavar="CODE")],
    car: _Car = None,
    beside: Annotated[list[str] | None, typer.Option("--with", help="code of a part fitted with it")] = None,
    units: _Units = "metric",
) -> None:
    """Show one part: what is known of it and from where, what is not, and with --fits why it does not fit a car."""
    whole = read_shelf(file)
    part = whole.part(code)
    typer.echo(f"{part.code}: {part.name} ({part.TITLE})")
    _print_rows([row for row in known_rows(part, units) if row[0] not in ("code", "name")])
    if unknown := unknown_rows(part):
        typer.echo("unknown, to be measured:")
        _print_rows(unknown)
    for remark in remarks_on(part):
        _say(f"unusual: {remark}")
    if car is not None:
        _tell_fit(whole, part, car, [whole.part(other) for other in beside or []], units)


@shelf.command()
def check(files: Annotated[list[Path], typer.Argument(help="shelf files, TOML or CSV", metavar="SHELF...")]) -> None:
    """Read shelf files and say what is wrong with them, all at once, what is unusual, and how much is not known."""
    failed = False
    for path in files:
        try:
            parts = read_shelf(path).parts
        except JounceError as error:
            failed = True
            typer.echo(str(error), err=True)
            continue
        lacking = sum(bool(part.unknown) for part in parts)
        typer.echo(f"{path}: {len(parts)} parts read well; {lacking} of them lack a number.")
        for part in parts:
            for remark in remarks_on(part):
                typer.echo(f"  unusual: {remark}")
    if failed:
        raise typer.Exit(2)


@shelf.command(name="import")
def import_csv(
    files: Annotated[list[Path], typer.Argument(help="CSV files", metavar="CSV...")],
    out: Annotated[Path, typer.Option("--out", help="shelf file to write, TOML; never an old one", metavar="SHELF")],
    kind: _Kind = "",
    *,
    keep_good: Annotated[bool, typer.Option("--keep-good", help="leave out bad lines, keep the good ones")] = False,
) -> None:
    """Make a shelf file of CSV files; if a line is bad, all bad ones are told and nothing is written."""
    reading = read_csv_files(files, kind)
    if not keep_good:
        reading.whole(", ".join(map(str, files)))
    for problem in reading.problems:
        typer.echo(f"left out: {problem}", err=True)
    write_new({out: toml_text(reading.good)})
    typer.echo(f"{len(reading.good.parts)} parts are in {out}.")


@shelf.command(name="export")
def export_csv(
    file: _File,
    out: Annotated[Path, typer.Argument(help="folder for one file a kind; with --wide, a file", metavar="OUT")],
    kind: _Kind = "",
    *,
    wide: Annotated[bool, typer.Option("--wide", help="all kinds in one file")] = False,
    semicolon: Annotated[bool, typer.Option("--semicolon", help="semicolons, and decimals with a comma")] = False,
) -> None:
    """Write parts as CSV for a spreadsheet; a file that is there already is never replaced."""
    parts = Shelf(tuple(_chosen(file, kind)[0]))
    if wide:
        texts = {out: wide_csv(parts, semicolon=semicolon)}
    else:
        texts = {out / name: text for name, text in csv_files(parts, semicolon=semicolon).items()}
        make_folder(out)
    write_new(texts)
    for path in texts:
        typer.echo(f"Wrote {path}.")


def _chosen(file: Path, kind: str, *, in_stock: bool = False) -> tuple[list[Part], Shelf]:

    if kind and kind not in KINDS:
        raise InputError("There is no such kind of part", found=f'--kind "{kind}"', allowed=", ".join(KINDS))
    whole = read_shelf(file)
    parts = [part for part in whole.parts if kind in ("", part.KIND) and (part.stock or not in_stock)]
    return parts, whole


def _fits(parts: Sequence[Part], whole: Shelf, car: Path | None) -> dict[str, str]:
    """What is to be said of each part's fit, by its code; nothing where no car is named."""
    if car is None:
        return {}

    document = read_car(car)
    return {part.code: _fit_words(part, whole, document) for part in parts}


def _fit_words(part: Part, whole: Shelf, document: CarDocument) -> str:
    """Where it fits, or with what, or what has to be measured, or that it does not."""
    found = _at_ends(part, document)
    places = [one.end.value for one in found if one.verdict is FitVerdict.FITS]
    if places:
        return f"fits {', '.join(places)}"
    unknown = [one for one in found if one.verdict is FitVerdict.UNKNOWN]
    if unknown:
        return f"unknown {unknown[0].end}: {len(unknown[0].reasons)} to measure"
    others = _partner_codes(part, whole, document)
    return f"fits with {', '.join(others)}" if others else "does not fit"


def _at_ends(part: Part, document: CarDocument) -> list[Fit]:

    return [fit(part, document, end) for end in ENDS if part.place in ("either", end)]


def _partner_codes(part: Part, whole: Shelf, document: CarDocument) -> list[str]:

    found = [
        other.code for one in _at_ends(part, document) for other in companions(part, document, one.end, whole.parts)
    ]
    return list(dict.fromkeys(found))


def _tell_fit(whole: Shelf, part: Part, car: Path, beside: Sequence[Part], units: str) -> None:

    document = read_car(car)
    found = fit(part, document, beside=beside)
    together = f" with {', '.join(other.code for other in beside)}" if beside else ""
    typer.echo(f"{document.car.name}, {found.end}{together}: {found.verdict}")
    for reason in found.reasons:
        _say(f"- {reason.sentence(units)}")
    others = _partner_codes(part, whole, document) if found.verdict is FitVerdict.DOES_NOT_FIT and not beside else []
    if others:
        _say(f"It fits together with {', '.join(others)}.")


def _as_json(part: Part, fits: str | None) -> dict[str, object]:

    told: dict[str, object] = {"kind": part.KIND}
    for key, value in part.values.items():
        if isinstance(value, Measured):
            told[key] = {"value": value.value, "plus_minus": value.plus_minus, "from": value.origin}
        elif isinstance(value, MeasuredPoint):
            told[key] = {"at": [value.x, value.y, value.z], "plus_minus": value.plus_minus, "from": value.origin}
        else:
            told[key] = str(value) if key == "price" else value
    return told | {"unknown": list(part.unknown)} | ({} if fits is None else {"fit": fits})


def _write(json_file: str, parts: list[dict[str, object]]) -> None:

    text = json.dumps({"unit_system": "SI", "parts": parts}, indent=2, ensure_ascii=False, allow_nan=False)
    if json_file == "-":
        typer.echo(text)
    else:
        write_whole(Path(json_file), text + "\n")


def _print_rows(rows: Sequence[tuple[str, ...]]) -> None:
    if not rows:
        return
    widths = [max(len(row[k]) for row in rows) for k in range(len(rows[0]))]
    for row in rows:
        typer.echo("  " + "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip())


def _say(text: str) -> None:
    typer.echo(fill(text, 80, initial_indent="  ", subsequent_indent="    "))

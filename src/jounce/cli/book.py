"""`jounce book`: the shop book on the command line."""

from __future__ import annotations

import mimetypes
from dataclasses import replace
from pathlib import Path
from typing import Annotated

import typer

from jounce.book import EntryKind
from jounce.book.entries import ONLY_ONE
from jounce.book.exchange import take_in, write_out
from jounce.book.outcomes import promises_found
from jounce.car.file.reading import parse_car, read_text, read_toml
from jounce.checks.rules import parse_rules
from jounce.cli.answers import JSON_HELP, UNITS_HELP, tell_all, write_values
from jounce.cli.in_book import BookPlace, ByWhom, EntryName, named_entry, opened_book
from jounce.cli.shop_day import answer, board, customer, move, quote
from jounce.conventions.errors import InputError
from jounce.job.file import parse_job
from jounce.measuring.afterwards import found_in
from jounce.questions.ledger import ledger_tables
from jounce.quote.shop import parse_shop
from jounce.shelf.book_entries import documents_of
from jounce.shelf.file import reading_of
from jounce.words.phrases import parse_phrases

book = typer.Typer(help="The shop book: cars, customers, jobs, kept with every change.", no_args_is_help=True)
for _command in (customer, board, move, quote, answer):
    book.command()(_command)

_File = Annotated[Path, typer.Argument(help="photo or sheet")]
_Folder = Annotated[Path, typer.Argument(help="folder of an export")]


@book.command()
def new(where: BookPlace, by: ByWhom = "") -> None:
    """Make an empty book."""
    if "://" not in where and Path(where).exists():
        raise InputError("There is a file of this name already", todo="Choose another name.", place=where)
    opened_book(where, by, make=True).close()
    typer.echo(f"An empty book is in {where}.")


@book.command(name="list")
def list_entries(where: BookPlace) -> None:
    """What is in the book."""
    opened = opened_book(where, "")
    for entry in opened.entries():
        typer.echo(f"{entry.id[:8]}  {entry.kind:11} {entry.name}  (version {entry.number})")


@book.command()
def keep(
    where: BookPlace,
    file: Annotated[Path, typer.Argument(help="car, job, shop, rules or phrases file")],
    belongs_to: Annotated[str, typer.Option("--of", help="the customer of a car, the car of a job")] = "",
    note: Annotated[str, typer.Option(help="what is said about it")] = "",
    by: ByWhom = "",
) -> None:
    """Keep a car, a job, the shop, its local rules or its phrases in the book; what is there already gets a new version."""
    opened, text = opened_book(where, by), read_text(file)
    kind, name = _read(text, str(file))
    owner = named_entry(opened, belongs_to).id if belongs_to else None
    there = [
        one
        for one in opened.entries(kind)
        if kind in ONLY_ONE or (one.name == name and (owner is None or one.belongs_to in (None, owner)))
    ]
    if kind == "job" and owner is None and not any(one.belongs_to for one in there):
        cars = [f'"{car.name}"' for car in opened.entries("car")]
        raise InputError(
            "A job belongs to a car of the book",
            found=f'"{name}" without one',
            allowed=", ".join(cars) or "no car is in the book yet",
            todo=f"Say which: --of {cars[0]}." if cars else "Keep its car first.",
        )
    if there:
        kept = opened.save(replace(there[0], name=name, content=text, belongs_to=owner or there[0].belongs_to), note)
    else:
        kept = opened.add(kind, name, text, owner, note)
    typer.echo(f"Kept: {kind} {kept.name}, version {kept.number}.")


@book.command()
def shelf(
    where: BookPlace,
    file: Annotated[Path, typer.Argument(help="shelf file, TOML or CSV", metavar="SHELF")],
    note: Annotated[str, typer.Option(help="what is said about it")] = "",
    by: ByWhom = "",
    *,
    keep_good: Annotated[bool, typer.Option("--keep-good", help="leave out bad parts, keep the good ones")] = False,
) -> None:
    """Fill the book's shelf from a file, all parts or none; one that is there and differs gets a new version."""
    opened, reading = opened_book(where, by), reading_of(file)
    if not keep_good:
        reading.whole(str(file))
    for problem in reading.problems:
        typer.echo(f"left out: {problem}", err=True)
    filled = opened.fill("part", documents_of(reading.good), note or f"from {file.name}")
    typer.echo(f"On the shelf: {filled.new} new parts, {filled.changed} changed, {filled.same} as they were.")


@book.command()
def history(where: BookPlace, entry: EntryName) -> None:
    """Every version of an entry: when, by whom, what was said."""
    opened = opened_book(where, "")
    for version in opened.versions(named_entry(opened, entry).id):
        at = version.at.astimezone().strftime("%Y-%m-%d %H:%M")
        note = f"  {version.note}" if version.note else ""
        typer.echo(f"{version.entry.number:4}  {at}  {version.by}{note}")


@book.command()
def show(
    where: BookPlace,
    entry: EntryName,
    number: Annotated[int, typer.Option("--version", help="an older version", min=0)] = 0,
) -> None:
    """The document of an entry, to the screen."""
    opened = opened_book(where, "")
    found = named_entry(opened, entry)
    for version in opened.versions(found.id):
        if version.entry.number == (number or found.number):
            typer.echo(version.entry.content, nl=False)
            return
    raise InputError("This entry has no such version", found=str(number), allowed=f"1 to {found.number}")


@book.command()
def restore(
    where: BookPlace,
    entry: EntryName,
    number: Annotated[int, typer.Option("--version", help="the version wanted", min=1)],
    by: ByWhom = "",
) -> None:
    """Make an older version the newest one; nothing is lost."""
    opened = opened_book(where, by)
    now = opened.restore(named_entry(opened, entry).id, number)
    typer.echo(f"{now.name} is as in version {number} again, now version {now.number}.")


@book.command()
def attach(where: BookPlace, entry: EntryName, file: _File, by: ByWhom = "") -> None:
    """Put a photo or a sheet to an entry."""
    opened = opened_book(where, by)
    try:
        content = file.read_bytes()
    except OSError as error:
        raise InputError(
            f"The file cannot be read ({error.strerror})", todo="Check the name.", place=str(file)
        ) from None
    media = mimetypes.guess_type(file.name)[0] or "application/octet-stream"
    put = opened.attach(named_entry(opened, entry).id, file.name, media, content)
    typer.echo(f"Kept: {put.name}, {put.size / 1024:.0f} kB.")


@book.command(name="export")
def export_entries(
    where: BookPlace,
    folder: Annotated[Path, typer.Argument(help="a folder that does not exist yet")],
    only: Annotated[str, typer.Option("--only", help="one entry with all that belongs to it")] = "",
) -> None:
    """Write the book, or one car or job, as plain files with their history."""
    opened = opened_book(where, "")
    count = write_out(opened, folder, named_entry(opened, only).id if only else None)
    typer.echo(f"{count} entries are in {folder}.")


@book.command(name="import")
def import_entries(where: BookPlace, folder: _Folder, by: ByWhom = "") -> None:
    """Read entries from an export; all or none."""
    typer.echo(f"{take_in(opened_book(where, by), folder)} entries were read in.")


@book.command()
def backup(where: BookPlace, to: Annotated[Path, typer.Argument(help="the copy")]) -> None:
    """Copy the whole book, sound even while others use it."""
    copied = opened_book(where, "").back_up(to)
    typer.echo(f"The copy is in {to}: {copied.entries} entries, {copied.files} files; it was compared with the book.")


@book.command()
def found(
    where: BookPlace,
    job: EntryName,
    file: Annotated[Path, typer.Argument(help="readings file, or the file of the car measured again")],
    by: ByWhom = "",
) -> None:
    """Keep what was measured on the finished car of a job; the ledger sets it beside what was promised."""
    opened, text = opened_book(where, by), read_text(file)
    owner = named_entry(opened, job)
    numbers = found_in(text, str(file))
    if owner.kind != "job" or not numbers:
        raise InputError(
            "Nothing of a planned car was measured here",
            found=f"{owner.kind} {owner.name}, {len(numbers)} numbers",
            allowed="a job, and heights, scales, angles of the car as it stands",
            todo="Name the job; give its readings file, or the file of its car measured again.",
        )
    opened.add("measurement", f"after the work, {owner.name}"[:200], text, owner.id)
    typer.echo(f"Kept: {len(numbers)} numbers measured after {owner.name}.")


@book.command()
def ledger(
    where: BookPlace,
    units: Annotated[str, typer.Option("--units", help=UNITS_HELP)] = "metric",
    json_file: Annotated[str, typer.Option("--json", help=JSON_HELP)] = "",
) -> None:
    """How many of the promised bands held: by quantity, axle, layout and season, whether by chance, and what drifts."""
    told = promises_found(opened_book(where, ""))
    tables = ledger_tables(told.outcomes, told.promised, units)
    if json_file:
        write_values([table.as_json() for table in tables], json_file)
    else:
        tell_all(tables, units)


def _read(text: str, name: str) -> tuple[EntryKind, str]:
    """What a file is, and what it calls itself; it is read as a whole."""
    written = read_toml(text, name)
    if "job" in written:
        return "job", parse_job(text, name).job.name
    if "shop" in written:
        return "shop", parse_shop(text, name).shop.name
    if "phrases" in written:
        return "phrases", parse_phrases(text, name).language
    if "rule" in written:
        return "rules", parse_rules(text, name).name
    return "car", parse_car(text, name).car.name

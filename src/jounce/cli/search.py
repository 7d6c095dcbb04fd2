"""`jounce search`: which parts of the shelf go together best for a job."""

from __future__ import annotations

import signal
from collections.abc import Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Annotated, Self

import typer

from jounce.car.file.document import CarDocument
from jounce.car.file.reading import read_text
from jounce.car.file.writing import taken, write_new
from jounce.checks.rules import NO_RULES, read_rules
from jounce.cli.answers import JSON_HELP, UNITS_HELP, tell_all, write_values
from jounce.cli.progress import shown_progress
from jounce.conventions.errors import InputError, JounceError, at
from jounce.job.document import JobDocument
from jounce.job.file import read_job
from jounce.search.alignment_parts import places_that_set
from jounce.search.build import search_space
from jounce.search.goals import Goal
from jounce.search.on_cluster import cluster_at
from jounce.search.result import SearchWishes
from jounce.search.run import Stopped
from jounce.search.run import search as search_all
from jounce.search.slots import USUAL_PLACES, Choosy, slot_named
from jounce.search.summary import Order, Summary, summarised, summary_of
from jounce.search.tasks import Run
from jounce.search.to_job import from_folder, job_text
from jounce.search.workers import Workers, own_processes
from jounce.search.written_goals import goals_of, read_goal
from jounce.shelf.file import read_shelf
from jounce.shelf.shelf import Shelf

STOPPED = 130
"""Exit code of a command that was ended by Ctrl-C."""
CALLED = ("good", "better", "best")


def search(
    job_files: Annotated[
        list[Path], typer.Argument(help="job files: the car, its wanted heights, its goals", metavar="JOB...")
    ],
    shelf: Annotated[Path, typer.Option(help="shelf file")],
    goal: Annotated[
        list[str] | None,
        typer.Option(
            help="a goal in place of the job's or the usual one, with weight and reason if wanted: "
            '"roll_gradient = 3.5 to 4.5 deg/g; weight 2; less roll"'
        ),
    ] = None,
    budget: Annotated[float, typer.Option(help="most that the parts may cost, in the shelf's currency", min=0)] = 0.0,
    place: Annotated[
        list[str] | None, typer.Option(help='a place to look for parts: "rear springs"; the usual ones if not given')
    ] = None,
    also: Annotated[list[str] | None, typer.Option(help="a place to look for parts besides these")] = None,
    in_stock: Annotated[bool, typer.Option("--in-stock", help="only parts that are there")] = False,  # noqa: FBT002
    unsure: Annotated[  # noqa: FBT002
        bool, typer.Option("--unsure", help="also parts of which it is not known whether they fit")
    ] = False,
    rules: Annotated[Path | None, typer.Option(help="rule set that the packages have to keep")] = None,
    why: Annotated[str, typer.Option(help='what speaks against these parts: "TB-26 C-45-240"')] = "",
    write: Annotated[
        list[str] | None,
        typer.Option(help='write a package as a new job file: "better=FILE.toml"', metavar="PACKAGE=FILE"),
    ] = None,
    cluster: Annotated[
        str, typer.Option(help="scheduler whose workers search: tcp://NAME:8786", metavar="ADDRESS")
    ] = "",
    json_file: Annotated[str, typer.Option("--json", help=JSON_HELP)] = "",
    units: Annotated[str, typer.Option("--units", help=UNITS_HELP)] = "metric",
) -> None:
    """Judge every combination of parts by goals and hard limits; tell a good, a better and the best package.

    The heights are those of the job. Of several jobs each is searched as a whole by one worker, at the same time, and they
    are told in the order asked. Ctrl-C stops, tells what was found so far, and ends with code 130.
    """
    files = _files(write or ())
    if files and len(job_files) > 1:
        raise InputError("Packages are written of one job at a time", found=f"{len(job_files)} jobs", todo="Name one.")
    parts = read_shelf(shelf)
    codes = tuple(why.replace(",", " ").split())
    for code in codes:
        parts.part(code)  # a slip of the pen is told before the long work
    wanted = SearchWishes((), budget or float("inf"), NO_RULES if rules is None else read_rules(rules))
    places = _Places(tuple(place or ()), tuple(also or ()))
    choosy = Choosy(in_stock=in_stock, unsure=unsure)
    asked = _Asked(wanted, places, choosy, codes, units)
    orders = _orders(job_files, asked, _goals(goal or (), units))
    try:
        with _Stop() as stop:
            if len(orders) > 1:
                raise typer.Exit(_tell_several(orders, _several(orders, parts, cluster, stop), json_file, units))
            summary = _one(orders[0], parts, cluster, stop)
    except Stopped as stopped:
        typer.echo(str(stopped), err=True)
        raise typer.Exit(STOPPED) from None
    except KeyboardInterrupt:
        typer.echo("The search was stopped at once: nothing was worked out to its end.", err=True)
        raise typer.Exit(STOPPED) from None
    if json_file:
        write_values(summary.values, json_file)
    if json_file != "-":
        _tell(summary, codes, units)
    _write_packages(summary, job_files[0], files)
    if summary.stopped:
        raise typer.Exit(STOPPED)


@dataclass(frozen=True, slots=True)
class _Places:
    """Places that were named: in place of the usual ones, and besides."""

    named: tuple[str, ...]
    also: tuple[str, ...]

    def of(self, document: CarDocument, job: JobDocument) -> tuple[str, ...]:
        """Places that are looked at for a job: where none was named, those of what may end before its wishes too."""
        return (*(self.named or (*USUAL_PLACES, *places_that_set(document, job))), *self.also)


@dataclass(frozen=True, slots=True)
class _Asked:
    """What is asked for of every job alike."""

    wanted: SearchWishes
    places: _Places
    choosy: Choosy
    codes: tuple[str, ...]
    units: str


def _orders(files: Sequence[Path], asked: _Asked, goals: Sequence[Goal]) -> list[Order]:
    """An order for each job."""
    orders = []
    for file in files:
        job, document = read_job(file)
        with at(str(file)):
            wanted = replace(asked.wanted, goals=goals_of(job, goals))
        places = asked.places.of(document, job)
        orders.append(Order(str(file), job, document, wanted, places, asked.choosy, asked.codes, asked.units))
    return orders


def _one(order: Order, shelf: Shelf, cluster: str, stop: _Stop) -> Summary:
    """A search whose parts are shared among the workers."""
    with at(order.name), _workers(cluster) as workers:  # they start meanwhile
        slots = [slot_named(name) for name in dict.fromkeys(order.places)]
        space = search_space(order.document, order.job, shelf, slots, order.choosy)
        with shown_progress("judging packages") as progress:
            return summary_of(search_all(space, order.wanted, workers, progress, stop.asked), order, shelf)


def _several(orders: Sequence[Order], shelf: Shelf, cluster: str, stop: _Stop) -> list[Summary | JounceError | None]:
    """A whole search for each worker; of each job what was found, what was wrong, or nothing where a stop came before."""
    found: list[Summary | JounceError | None] = [None] * len(orders)
    with _workers(cluster) as workers, shown_progress("searching for each job") as progress:
        run = Run(workers, progress, stop.asked)
        put = workers.put(shelf)
        for number, one in run.results(((_told, (order, put)) for order in orders), len(orders)):
            found[number] = one
    return found


def _told(order: Order, shelf: Shelf) -> Summary | JounceError:
    """A whole search, or what is wrong with it: the others go on."""
    try:
        return summarised(order, shelf)
    except JounceError as problem:
        return problem


def _workers(cluster: str) -> AbstractContextManager[Workers]:
    return cluster_at(cluster) if cluster else own_processes()


def _files(written: Sequence[str]) -> dict[str, Path]:
    """The job files to be written, by the package."""
    files: dict[str, Path] = {}
    for text in written:
        name, _, file = (part.strip() for part in text.partition("="))
        if name not in CALLED or not file:
            raise InputError(
                "It is not clear which package is to be written where",
                found=f'--write "{text}"',
                allowed='"better=FILE.toml", with good, better or best',
            )
        path = Path(file)
        if taken(path):
            raise InputError("There is a file of this name already", todo="Choose another name.", place=file)
        if not path.parent.is_dir():
            raise InputError("There is no such folder", todo="Make it, or choose another.", place=str(path.parent))
        files[name] = path
    return files


def _write_packages(summary: Summary, job_file: Path, files: dict[str, Path]) -> None:
    if not files:
        return
    missing = [name for name in files if name not in summary.packages]
    if missing:
        raise InputError(
            "There is no package to write",
            found=", ".join(missing),
            allowed=", ".join(summary.packages) or "none was found",
            todo="Widen the goals, or look in more places.",
        )
    with at(str(job_file)):
        text = read_text(job_file)
        texts = {
            path: from_folder(job_text(text, summary.packages[name]), job_file.parent, path.parent)
            for name, path in files.items()
        }
    write_new(texts)
    for name, path in files.items():
        typer.echo(f"The {name} package is in {path}.", err=True)


def _tell(summary: Summary, codes: Sequence[str], units: str) -> None:
    for line in summary.words:
        typer.echo(line)
    for table in summary.tables:
        typer.echo("")
        tell_all([table], units)
    if codes:
        typer.echo(f"\n{', '.join(codes)}:")
        for reason in summary.reasons:
            typer.echo(f"- {reason}")


def _tell_several(
    orders: Sequence[Order], found: Sequence[Summary | JounceError | None], json_file: str, units: str
) -> int:
    """What was found for each job, in the order asked; the exit code."""
    if json_file:
        told = (
            one.values if isinstance(one, Summary) else {"problem": "stopped" if one is None else str(one)}
            for one in found
        )
        jobs = [{"job": order.name} | values for order, values in zip(orders, told, strict=True)]
        write_values({"unit_system": "SI", "jobs": jobs}, json_file)
    for order, one in zip(orders, found, strict=True) if json_file != "-" else ():
        typer.echo(f"\n{order.name}\n{'=' * len(order.name)}\n")
        if isinstance(one, Summary):
            _tell(one, order.codes, units)
        else:
            typer.echo("It was stopped before this search had ended." if one is None else str(one))
    if None in found:
        return STOPPED
    return 1 if any(isinstance(one, JounceError) for one in found) else 0


class _Stop:
    """Ctrl-C asks the search to end instead of killing it; a second one does."""

    def __enter__(self) -> Self:

        self._asked = False
        self._before = signal.signal(signal.SIGINT, self._ask)
        return self

    def __exit__(self, *_: object) -> None:

        signal.signal(signal.SIGINT, self._before)

    def asked(self) -> bool:
        """Whether it was pressed."""
        return self._asked

    def _ask(self, *_: object) -> None:
        if self._asked:
            raise KeyboardInterrupt
        self._asked = True
        typer.echo("Stopping; once more stops at once.", err=True)


def _goals(written: Sequence[str], units: str) -> tuple[Goal, ...]:

    with at("--goal"):
        return tuple(read_goal(text, units) for text in written)

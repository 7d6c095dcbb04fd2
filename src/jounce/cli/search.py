"""`jounce search`: which parts of the shelf go together best for a job."""

from __future__ import annotations

import json
import signal
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any, Self

import typer

from jounce.car.file.reading import read_text
from jounce.car.file.writing import taken, write_new, write_whole
from jounce.checks.rules import NO_RULES, read_rules
from jounce.cli.answers import JSON_HELP, UNITS_HELP, tell_all
from jounce.cli.progress import shown_progress
from jounce.conventions.errors import InputError, at
from jounce.job.file import read_job
from jounce.search.build import search_space
from jounce.search.goals import Goal
from jounce.search.proof import Worked
from jounce.search.run import Result, SearchWishes, Stopped
from jounce.search.run import search as search_all
from jounce.search.shown import goals_table, nothing_words, packages_table, price_front_table
from jounce.search.slots import USUAL_PLACES, Choosy, slot_named
from jounce.search.to_job import from_folder, job_text
from jounce.search.why_not import why_not
from jounce.search.written_goals import goals_of, read_goal
from jounce.shelf.file import read_shelf

STOPPED = 130
"""Exit code of a command that was ended by Ctrl-C."""
CALLED = ("good", "better", "best")


def search(
    job_file: Annotated[Path, typer.Argument(help="job file: the car, its wanted heights, its goals", metavar="JOB")],
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
    json_file: Annotated[str, typer.Option("--json", help=JSON_HELP)] = "",
    units: Annotated[str, typer.Option("--units", help=UNITS_HELP)] = "metric",
) -> None:
    """Judge every combination of parts by goals and hard limits; tell a good, a better and the best package.

    The heights are those of the job. Ctrl-C stops, tells what was found so far, and ends with code 130.
    """
    files = _files(write or ())
    try:
        with _Stop() as stop:
            searched = _searched(
                job_file,
                shelf,
                _Asked(
                    goal or (), budget, (*(place or USUAL_PLACES), *(also or ())), why, units, in_stock, unsure, rules
                ),
                stop,
            )
    except Stopped as stopped:
        typer.echo(str(stopped), err=True)
        raise typer.Exit(STOPPED) from None
    except KeyboardInterrupt:
        typer.echo("The search was stopped at once: nothing was worked out to its end.", err=True)
        raise typer.Exit(STOPPED) from None
    _write_packages(searched, job_file, files)
    _tell(searched, json_file, units)
    if searched.result.stopped:
        raise typer.Exit(STOPPED)


@dataclass(frozen=True, slots=True)
class _Asked:
    """What is asked for besides the files."""

    goals: Sequence[str]
    budget: float
    places: Sequence[str]
    why: str
    units: str
    in_stock: bool
    unsure: bool
    rules: Path | None


@dataclass(frozen=True, slots=True)
class _Searched:
    """What was found, and what speaks against the parts that somebody asked about."""

    result: Result
    codes: Sequence[str]
    reasons: Sequence[str]


def _searched(job_file: Path, shelf: Path, asked: _Asked, stop: _Stop) -> _Searched:

    written = _goals(asked.goals, asked.units)
    job, document = read_job(job_file)
    choosy = Choosy(in_stock=asked.in_stock, unsure=asked.unsure)
    parts = read_shelf(shelf)
    codes = asked.why.replace(",", " ").split()
    for code in codes:
        parts.part(code)  # a slip of the pen is told before the long work
    rules = NO_RULES if asked.rules is None else read_rules(asked.rules)
    slots = [slot_named(name) for name in dict.fromkeys(asked.places)]
    with at(str(job_file)):
        wanted = SearchWishes(goals_of(job, written), asked.budget or float("inf"), rules)
        space = search_space(document, job, parts, slots, choosy)
        with shown_progress("judging packages") as progress:
            result = search_all(space, wanted, progress=progress, stop=stop.asked)
        reasons = why_not(result, parts, codes, choosy, asked.units) if codes else []
    return _Searched(result, codes, reasons)


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


def _write_packages(searched: _Searched, job_file: Path, files: dict[str, Path]) -> None:

    if not files:
        return
    result, three = searched.result, searched.result.three()
    if not three:
        raise InputError("There is no package to write", todo="Widen the goals, or look in more places.")
    with at(str(job_file)):
        text = read_text(job_file)
        texts = {
            path: from_folder(
                job_text(text, result.space.job(result.package(three[name]))), job_file.parent, path.parent
            )
            for name, path in files.items()
        }
    write_new(texts)
    for name, path in files.items():
        typer.echo(f"The {name} package is in {path}.", err=True)


def _tell(searched: _Searched, json_file: str, units: str) -> None:
    if json_file:
        text = json.dumps(_values(searched.result), indent=2, ensure_ascii=False, allow_nan=False)
        if json_file == "-":
            typer.echo(text)
            return

        write_whole(Path(json_file), text + "\n")
    _print(searched.result, units)
    if searched.codes:
        typer.echo(f"\n{', '.join(searched.codes)}:")
        for reason in searched.reasons:
            typer.echo(f"- {reason}")


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


def _values(result: Result) -> dict[str, Any]:
    three = result.three()
    numbers = sorted(set(three.values()) | set(result.price_front()))
    return {
        "unit_system": "SI",
        "combinations": result.combinations,
        "judged_in_pairs": result.found.looked,
        "meet_every_goal": result.found.met,
        "stopped": bool(result.stopped),
        "left_out_when_worked_out": result.proof.left_out,
        "goals": [
            {"metric": g.metric, "low": g.low, "high": g.high, "weight": g.weight, "reason": g.reason}
            for g in result.wanted.goals
        ],
        "packages": [
            {
                "called": [name for name, number in three.items() if number == k],
                "parts": {name: part.code for name, part in result.package(k).items()},
                "price": float(result.found.price[k]),
                "labour_hours": result.hours(k),
                "score": float(result.found.score[k]),
                "metrics": result.numbers(k),
                "outside": {g.metric: _outside(g, result.numbers(k)[g.metric]) for g in result.wanted.goals},
                "worked_out": result.worked(k) is not None,
                "does_all_that_is_asked": result.does_all(k),
                "checks_failed": list(_worked(result, k).wishes),
                "checks_unknown": list(_worked(result, k).unknown),
            }
            for k in numbers
        ],
        "picked": dict(result.space.picked.told),
        "too_little_known": list(result.space.refused),
    }


def _worked(result: Result, number: int) -> Worked:

    return result.worked(number) or Worked()


def _outside(goal: Goal, value: float | None) -> float | None:
    return None if value is None else goal.outside(value)


def _print(result: Result, units: str) -> None:

    found = result.found
    limits = sum(int((~axle.limits.kept).sum()) for axle in result.axles)
    typer.echo(
        f"{result.combinations:,} combinations. {limits:,} choices of one axle break a hard limit; "
        f"{found.looked:,} pairs of what is left, parts that push alike counted once, were judged; "
        f"{found.met:,} should meet every goal."
    )
    if result.stopped:
        typer.echo(f"Stopped before the end: {result.stopped}. What follows is the best of these.")
    if not len(found.score):
        for line in nothing_words(result):
            typer.echo(line)
        return
    for table in (packages_table(result, units), goals_table(result, units), price_front_table(result)):
        typer.echo("")
        tell_all([table], units)

"""`jounce search`: which parts of the shelf go together best for a job."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, Self

import typer

from jounce.cli.answers import JSON_HELP, UNITS_HELP

if TYPE_CHECKING:
    from jounce.job.search.goals import Goal
    from jounce.job.search.run import Result

USUAL_PLACES = (
    "front bars",
    "front dampers",
    "second front roll bar",
    "rear springs",
    "rear perches",
    "rear dampers",
    "inner bar",
)


def search(
    job_file: Annotated[Path, typer.Argument(help="job file: the car, its wanted heights", metavar="JOB")],
    shelf: Annotated[Path, typer.Option(help="shelf file")],
    goal: Annotated[
        list[str] | None,
        typer.Option(help='a window in place of the usual one: "roll_gradient=3.5..4.5 deg/g"'),
    ] = None,
    budget: Annotated[float, typer.Option(help="most that the parts may cost, in the shelf's currency", min=0)] = 0.0,
    place: Annotated[
        list[str] | None, typer.Option(help='a place to look for parts: "rear springs"; the usual ones if not given')
    ] = None,
    in_stock: Annotated[bool, typer.Option("--in-stock", help="only parts that are there")] = False,  # noqa: FBT002
    unsure: Annotated[  # noqa: FBT002
        bool, typer.Option("--unsure", help="also parts of which it is not known whether they fit")
    ] = False,
    why: Annotated[str, typer.Option(help='what speaks against these parts: "TB-26 C-45-240"')] = "",
    json_file: Annotated[str, typer.Option("--json", help=JSON_HELP)] = "",
    units: Annotated[str, typer.Option("--units", help=UNITS_HELP)] = "metric",
) -> None:
    """Judge every combination of parts by goals and hard limits; tell a good, a better and the best package.

    The heights are those of the job. Ctrl-C stops and tells what was found so far.
    """
    from jounce.cli.progress import shown_progress
    from jounce.conventions.errors import at
    from jounce.job.file import read_job
    from jounce.job.search.build import search_space
    from jounce.job.search.run import Wanted
    from jounce.job.search.run import search as searched
    from jounce.job.search.slots import Choosy, slot_named
    from jounce.job.search.why_not import why_not
    from jounce.job.shelf.file import read_shelf

    job, document = read_job(job_file)
    choosy = Choosy(in_stock=in_stock, unsure=unsure)
    parts = read_shelf(shelf)
    codes = why.replace(",", " ").split()
    for code in codes:
        parts.part(code)  # a slip of the pen is told before the long work
    slots = [slot_named(name) for name in place or USUAL_PLACES]
    wanted = Wanted(_goals(goal or (), units), budget or float("inf"))
    with at(str(job_file)):
        space = search_space(document, job, parts, slots, choosy)
        with _Stop() as stop, shown_progress("judging packages") as progress:
            result = searched(space, wanted, progress=progress, stop=stop.asked)
    if json_file:
        text = json.dumps(_values(result), indent=2, ensure_ascii=False, allow_nan=False)
        if json_file == "-":
            typer.echo(text)
            return
        from jounce.car.file import write_whole

        write_whole(Path(json_file), text + "\n")
    _print(result, units)
    if codes:
        typer.echo(f"\n{', '.join(codes)}:")
        for reason in why_not(result, parts, codes, choosy, units):
            typer.echo(f"- {reason}")


class _Stop:
    """Ctrl-C asks the search to end instead of killing it; a second one does."""

    def __enter__(self) -> Self:
        import signal

        self._asked = False
        self._before = signal.signal(signal.SIGINT, self._ask)
        return self

    def __exit__(self, *_: object) -> None:
        import signal

        signal.signal(signal.SIGINT, self._before)

    def asked(self) -> bool:
        """Whether it was pressed."""
        return self._asked

    def _ask(self, *_: object) -> None:
        if self._asked:
            raise KeyboardInterrupt
        self._asked = True


def _goals(written: Sequence[str], units: str) -> tuple[Goal, ...]:
    """The usual goals, those that were written in their place."""
    from jounce.cli.answers import asked
    from jounce.conventions.errors import InputError
    from jounce.job.search.goals import METRICS, Goal, usual_goals

    goals = {one.metric: one for one in usual_goals()}
    for text in written:
        name, _, window = (part.strip() for part in text.partition("="))
        low, dots, high = (part.strip() for part in window.partition(".."))
        if name not in METRICS or not dots:
            raise InputError(
                "This is no goal",
                found=f'--goal "{text}"',
                allowed=f"name=low..high with a name of {', '.join(METRICS)}",
                todo='Write it like "roll_gradient=3.5..4.5 deg/g".',
            )
        kind, option = METRICS[name].kind, f'--goal "{text}"'
        unit = high.split(" ", 1)[1] if " " in high else ""
        least = asked(f"{low} {unit}".strip() if not any(c.isalpha() for c in low) else low, kind, option, units)
        goals[name] = Goal(name, least, asked(high, kind, option, units), 1.0, "as asked for")
    return tuple(goals.values())


def _values(result: Result) -> dict[str, Any]:
    three = result.three()
    numbers = sorted(set(three.values()) | set(result.price_front()))
    return {
        "unit_system": "SI",
        "combinations": result.combinations,
        "judged_in_pairs": result.found.looked,
        "meet_every_goal": result.found.met,
        "stopped": result.stopped,
        "packages": [
            {
                "called": [name for name, number in three.items() if number == k],
                "parts": {name: part.code for name, part in result.package(k).items()},
                "price": float(result.found.price[k]),
                "labour_hours": result.hours(k),
                "score": float(result.found.score[k]),
                "metrics": {name: float(values[k]) for name, values in result.found.metrics.items()},
            }
            for k in numbers
        ],
        "too_little_known": list(result.space.refused),
    }


def _print(result: Result, units: str) -> None:
    from jounce.cli.answers import tell
    from jounce.job.search.shown import packages_table, price_front_table

    found = result.found
    limits = sum(int((~axle.limits.kept).sum()) for axle in result.axles)
    typer.echo(
        f"{result.combinations:,} combinations. {limits:,} choices of one axle break a hard limit; "
        f"{found.looked:,} pairs of what is left, parts that push alike counted once, were judged; "
        f"{found.met:,} meet every goal." + (" Stopped before the end." if result.stopped else "")
    )
    if not len(found.score):
        typer.echo("Nothing within the budget.")
        return
    typer.echo("")
    tell(packages_table(result), units)
    typer.echo("")
    tell(price_front_table(result), units)

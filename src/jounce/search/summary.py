"""What a search found as words, tables and plain values: light enough for a whole search to go to another machine."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from jounce.car.file.document import CarDocument
from jounce.conventions.errors import at
from jounce.job.answer_table import AnswerTable
from jounce.job.document import JobDocument
from jounce.search.build import search_space
from jounce.search.goals import Goal
from jounce.search.result import Result, SearchWishes, Worked
from jounce.search.run import search
from jounce.search.shown import goals_table, nothing_words, packages_table, price_front_table
from jounce.search.slots import Choosy, slot_named
from jounce.search.why_not import why_not
from jounce.search.workers import InPlace
from jounce.shelf.shelf import Shelf

__all__ = ["Order", "Summary", "summarised", "summary_of"]


@dataclass(frozen=True, slots=True)
class Order:
    """A search that is asked for.

    Attributes:
        name: of the job, for messages
        job: wishes, and parts that every package has
        document: the car as measured
        wanted: goals and limits
        places: names of the places for which parts are looked for
        choosy: which parts are looked at
        codes: parts that somebody asks about
        units: unit set of the numbers told

    """

    name: str
    job: JobDocument
    document: CarDocument
    wanted: SearchWishes
    places: tuple[str, ...]
    choosy: Choosy
    codes: tuple[str, ...] = ()
    units: str = "metric"


@dataclass(frozen=True, slots=True)
class Summary:
    """What is told of a search.

    Attributes:
        words: what was looked at, in sentences
        tables: packages, goals, prices; none where nothing was found
        values: the same as plain values [SI]
        packages: the job that the good, the better and the best package are
        stopped: in words what was left undone; empty when it was not stopped
        reasons: what speaks against the parts that somebody asked about

    """

    words: tuple[str, ...]
    tables: tuple[AnswerTable, ...]
    values: dict[str, Any]
    packages: dict[str, JobDocument]
    stopped: str = ""
    reasons: tuple[str, ...] = field(default=())


def summarised(order: Order, shelf: Shelf) -> Summary:
    """A whole search in the process that is at work.

    Args:
        order: what is asked for
        shelf: the shelf

    Raises:
        JounceError: as `search_space` and `search`, with the name of the job
    """
    with at(order.name):
        slots = [slot_named(name) for name in dict.fromkeys(order.places)]
        space = search_space(order.document, order.job, shelf, slots, order.choosy)
        return summary_of(search(space, order.wanted, InPlace()), order, shelf)


def summary_of(result: Result, order: Order, shelf: Shelf) -> Summary:
    """What is told of a result.

    Args:
        result: the search
        order: what was asked for
        shelf: the shelf
    """
    words, found = [_looked(result)], bool(len(result.found.score))
    if result.stopped:
        words.append(f"Stopped before the end: {result.stopped}. What follows is the best of these.")
    tables = (packages_table(result, order.units), goals_table(result, order.units), price_front_table(result))
    return Summary(
        (*words, *(() if found else nothing_words(result))),
        tables if found else (),
        _values(result),
        {name: result.job(k) for name, k in result.three().items()},
        result.stopped,
        _reasons(result, order, shelf),
    )


def _reasons(result: Result, order: Order, shelf: Shelf) -> tuple[str, ...]:
    codes: Sequence[str] = order.codes
    return tuple(why_not(result, shelf, codes, order.choosy, order.units)) if codes else ()


def _looked(result: Result) -> str:
    return (
        f"{result.combinations:,} combinations. {result.against_limits:,} choices of one axle break a hard limit; "
        f"{result.found.looked:,} pairs of what is left, parts that push alike counted once, were judged; "
        f"{result.found.met:,} should meet every goal."
    )


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
        "too_little_known": list(result.refused),
    }


def _worked(result: Result, number: int) -> Worked:
    return result.worked(number) or Worked()


def _outside(goal: Goal, value: float | None) -> float | None:
    return None if value is None else goal.outside(value)

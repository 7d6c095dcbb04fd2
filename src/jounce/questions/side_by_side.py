"""Jobs beside each other in words and tables: every number, what fails, what they are made of, where they differ most."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import groupby
from typing import Any

from jounce.case.beside import Beside, BesideRow, Variant
from jounce.checks import Check, Verdict, check_values, worst
from jounce.conventions.certainty import MEANING
from jounce.conventions.units import Kind, show
from jounce.job.answer_table import Answer, AnswerTable
from jounce.job.part_words import parts_of
from jounce.ledger.learned import learned_words
from jounce.quote.quote import rounded

__all__ = [
    "ABSENT",
    "VariantPrice",
    "VariantPrices",
    "alike",
    "beside_tables",
    "beside_values",
    "both",
    "check_rows",
    "failing",
    "furthest_apart",
    "named",
    "parts_apart",
    "refusals",
]

ABSENT = "–"
"""What stands where there is no number to be told."""
_CANNOT_BE = "cannot be"
_ENDS = {Verdict.FAIL: "checks that fail", Verdict.UNKNOWN: "checks not known", Verdict.PASS: "checks that pass"}


@dataclass(frozen=True, slots=True)
class VariantPrice:
    """What a job costs, with tax; it may be more where ``at_least`` is set."""

    gross: Decimal
    at_least: bool = False

    @property
    def text(self) -> str:
        """As it is told."""
        return f"{'from ' if self.at_least else ''}{rounded(self.gross):.2f}"


@dataclass(frozen=True, slots=True)
class VariantPrices:
    """What each job costs by the shelf's prices, None where that is not known; ``remarks`` are said below."""

    currency: str
    prices: tuple[VariantPrice | None, ...]
    remarks: tuple[str, ...] = ()

    @property
    def label(self) -> str:
        """What the line of the prices is called."""
        return f"to pay, {self.currency}"

    @property
    def texts(self) -> tuple[str, ...]:
        """Each as it is told."""
        return tuple(ABSENT if one is None else one.text for one in self.prices)


def beside_tables(found: Beside, units: str, prices: VariantPrices | None = None) -> list[AnswerTable]:
    """A table for each place of the car, then the checks; the letters are explained below the last one.

    Args:
        found: the jobs
        units: unit set of the numbers in words
        prices: what they cost; None where nobody asked
    """
    columns = ("as found", *(one.letter for one in found.variants))
    tables: list[AnswerTable] = []
    for place, rows in groupby(found.rows, lambda row: row.place):
        head = f"{_title(found)}: {place}" if not tables else place.capitalize()
        tables.append(AnswerTable(head, columns, tuple(_answer(row, found) for row in rows)))
    remarks = (
        *(named(one) for one in found.variants),
        f"{MEANING}; as planned with the settings of each job kept.",
        learned_words(found.widened),
        *refusals(found),
        *failing(found, units),
        *parts_apart(found, units),
        furthest_apart(found, units),
        *(() if prices is None else prices.remarks),
    )
    told = [Answer(name, Kind.RATIO, (ABSENT, *cells)) for name, cells in check_rows(found)]
    if prices is not None:
        told.append(Answer(prices.label, Kind.RATIO, (ABSENT, *prices.texts)))
    return [*tables, AnswerTable("Whether they fit and last", columns, tuple(told), tuple(filter(None, remarks)))]


def _title(found: Beside) -> str:
    return f"{found.car.name}, {len(found.variants)} jobs beside the car as found"


def _answer(row: BesideRow, found: Beside) -> Answer:
    """A row of a table; a number that does not exist is no unknown one."""
    values = tuple(ABSENT if value is None else value for value in row.values)
    return Answer(row.label, row.kind, values, bands=(row.found_band, *_bands(row, found)))


def _bands(row: BesideRow, found: Beside) -> Iterator[float | None]:
    for one, band in zip(found.variants, row.planned_bands, strict=True):
        yield None if one.refused else band


def check_rows(found: Beside) -> list[tuple[str, list[str]]]:
    """How many checks of each job fail, are not known and pass; a job that cannot be says so.

    Args:
        found: the jobs
    """
    rows = [
        (name, [ABSENT if one.refused else str(len(one.of(verdict))) for one in found.variants])
        for verdict, name in _ENDS.items()
    ]
    if len(found.possible) < len(found.variants):
        rows.insert(0, ("the plan", [_CANNOT_BE if one.refused else "can be" for one in found.variants]))
    return rows


def named(one: Variant) -> str:
    """Which job a letter stands for.

    Args:
        one: the job
    """
    told = ", ".join(filter(None, (f"revision {one.revision}", one.source)))
    return f"{one.letter}: {one.name} ({told})"


def refusals(found: Beside) -> list[str]:
    """Why a job cannot be, for each that cannot.

    Args:
        found: the jobs
    """
    return [f"{one.letter} {_CANNOT_BE}. {one.refused}" for one in found.variants if one.refused]


def failing(found: Beside, units: str) -> list[str]:
    """Each check that fails once with all jobs that fail it, those on which lives depend first.

    What one answer settles is one failure: an adjuster at its end leaves an angle unmet by the same sentence.

    Args:
        found: the jobs
        units: unit set of their numbers
    """
    answers: dict[str, dict[str, dict[str, Check]]] = {}  # by question, by letter, by code
    for one in found.variants:
        by_words: dict[str, dict[str, Check]] = {}
        for check in one.of(Verdict.FAIL):
            by_words.setdefault(check.said(units), {})[check.code] = check
        for checks in by_words.values():
            question = next(iter(checks.values())).question
            answers.setdefault(f"{'+'.join(checks)} {question}", {})[one.letter] = checks
    by_job = sorted(answers.values(), key=lambda jobs: not _is_critical(jobs))
    return [_failed(jobs, units) for jobs in by_job]


def _is_critical(jobs: Mapping[str, Mapping[str, Check]]) -> bool:
    return any(check.critical for checks in jobs.values() for check in checks.values())


def _failed(jobs: Mapping[str, Mapping[str, Check]], units: str) -> str:
    """A failure of one job or several: what all say once, else what each says."""
    first = next(iter(jobs.values()))
    question = next(iter(first.values())).question
    told = {letter: next(iter(checks.values())).said(units) for letter, checks in jobs.items()}
    same = len(set(told.values())) == 1
    words = next(iter(told.values())) if same else " ".join(f"{letter}: {said}" for letter, said in told.items())
    fails = "fails" if len(jobs) == 1 else "fail"
    danger = "DANGER. " if _is_critical(jobs) else ""
    return f"{both([*jobs])} {fails} {both([*first])}: {danger}{question} {words}"


def parts_apart(found: Beside, units: str, *, briefly: bool = False) -> list[str]:
    """The new parts: those of all jobs once, then what each has besides.

    Args:
        found: the jobs
        units: unit set of their numbers
        briefly: tell the parts of all by their names alone
    """
    lists = [parts_of(one.case.change_list, units) for one in found.variants]
    shared = [part for part in lists[0] if all(part in own for own in lists)]
    names = [part.partition(",")[0] for part in shared] if briefly else shared
    told = [f"Parts of all: {'; '.join(names)}."] if shared else []
    letters: dict[tuple[str, ...], list[str]] = {}
    for one, own in zip(found.variants, lists, strict=True):
        letters.setdefault(tuple(part for part in own if part not in shared), []).append(one.letter)
    more = " besides" if shared else ""
    return [*told, *(f"Parts of {both(of)}{more}: {'; '.join(own)}." for own, of in letters.items() if own)]


def both(letters: Sequence[str]) -> str:
    """Letters as a sentence lists them.

    Args:
        letters: at least one

    >>> both("ABC")
    'A, B and C'
    """
    return " and ".join(filter(None, (", ".join(letters[:-1]), letters[-1])))


def alike(found: Beside, row: BesideRow, units: str) -> bool:
    """Whether a row shows the same of every job that can be; not so where there are no two of them.

    Args:
        found: the jobs
        row: one of their rows
        units: unit set of its numbers
    """
    there = [value for one, value in zip(found.variants, row.planned, strict=True) if not one.refused]
    shown = {None if value is None else show(value, row.kind, units) for value in there}
    return len(there) > 1 and len(shown) == 1


def furthest_apart(found: Beside, units: str) -> str:
    """For each quantity the place where the jobs differ most; that they do not, where no number shows a difference.

    A difference of less than a tenth of what the jobs change in that quantity is left out.

    Args:
        found: the jobs
        units: unit set of the numbers
    """
    if len(found.possible) < 2:
        return ""
    apart = [row for row in found.rows if _shows(row, units)]
    widest: dict[str, BesideRow] = {}
    for row in apart:
        name = row.key.rpartition(".")[2]
        if _of_weight(row, units) and (name not in widest or _spread(row) > _spread(widest[name])):
            widest[name] = row
    if not widest:
        return (
            "The jobs differ by less than a tenth of what they change."
            if apart
            else "The jobs differ in none of these numbers."
        )
    told = "; ".join(f"{row.label}: {show(_spread(row), row.kind, units)}{_where(row)}" for row in widest.values())
    return f"Where the jobs differ most, each quantity at its widest. {told[0].upper()}{told[1:]}."


_LEAST = 0.1


def _spread(row: BesideRow) -> float:
    return row.spread or 0.0


def _shows(row: BesideRow, units: str) -> bool:
    """Whether the jobs' numbers of a row differ as they are shown."""
    return len({show(value, row.kind, units) for value in row.planned if value is not None}) > 1


def _of_weight(row: BesideRow, units: str) -> bool:
    """Whether the jobs differ by what shows, and by a good part of what they change."""
    if not any(digit in "123456789" for digit in show(_spread(row), row.kind, units)):
        return False
    if row.found is None:
        return True
    changes = [abs(value - row.found) for value in row.planned if value is not None]
    return _spread(row) >= _LEAST * max(changes)


def _where(row: BesideRow) -> str:
    return f" ({row.place})" if "." in row.key else ""


def beside_values(found: Beside, prices: VariantPrices | None = None) -> dict[str, Any]:
    """Everything in SI, for other programs.

    Args:
        found: the jobs
        prices: what they cost; None where nobody asked
    """
    costs = [None] * len(found.variants) if prices is None else [_price_values(one, prices) for one in prices.prices]
    return {
        "car": found.car.name,
        "unit_system": "SI",
        "jobs": [
            {
                "letter": one.letter,
                "name": one.name,
                "revision": one.revision,
                "source": one.source,
                "refused": one.refused,
                "worst": None if one.refused else worst(one.checks).value,
                "parts": parts_of(one.case.change_list, "metric"),
                "price": cost,
                "checks": [check_values(check) for check in one.checks],
            }
            for one, cost in zip(found.variants, costs, strict=True)
        ],
        "rows": [_row_values(row) for row in found.rows],
    }


def _price_values(one: VariantPrice | None, prices: VariantPrices) -> dict[str, str | bool] | None:
    if one is None:
        return None
    return {"gross": f"{rounded(one.gross):.2f}", "currency": prices.currency, "at_least": one.at_least}


def _row_values(row: BesideRow) -> Mapping[str, float | str | Sequence[float | None] | None]:
    return {
        "key": row.key,
        "label": row.label,
        "kind": row.kind.value,
        "found": row.found,
        "found_plus_minus": row.found_band,
        "planned": list(row.planned),
        "planned_plus_minus": list(row.planned_bands),
        "spread": row.spread,
    }

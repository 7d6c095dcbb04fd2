"""The ledger in tables and sentences: how many bands held, of what, whether by chance, what drifts, what it corrects."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from jounce.conventions.certainty import DEVIATIONS_SHOWN
from jounce.conventions.units import Kind, show
from jounce.job.answer_table import Answer, AnswerTable
from jounce.ledger.account import FIRST_ALARM, Account, account_of, grouped
from jounce.ledger.drift import drift_of
from jounce.ledger.outcome import Outcome
from jounce.ledger.score import BEST

__all__ = ["LEARNS", "ledger_sentences", "ledger_tables", "result_rows"]

LEARNS = "Bands learn from the ledger"
"""What the shop's switch is called."""

_COLUMNS = ("found", "of jobs", "inside", "share", "by chance", "misses", "bands × this")
_BY: tuple[tuple[str, Callable[[Outcome], str]], ...] = (
    ("by quantity", lambda one: one.quantity.replace("_", " ")),
    ("by axle and quantity", lambda one: one.place.replace("_", " ")),
    ("by layout", lambda one: one.promised.layout),
    ("by season", lambda one: one.season),
)
_SURE = 0.05
"""Probability below which a share is told as no chance."""

_ASK: dict[Kind, str] = {
    Kind.LENGTH: "is the edge of the arch still read at the same place, and the floor the same?",
    Kind.MASS: "were the scales checked with a known mass, and do the pads stand level?",
    Kind.ANGLE: "was the gauge set to zero on its bar?",
}


def ledger_tables(outcomes: Sequence[Outcome], promised: int, units: str = "metric") -> list[AnswerTable]:
    """The whole ledger, then by quantity, axle, layout and season.

    Args:
        outcomes: what was promised and found
        promised: how many numbers were promised
        units: unit set of the sentences
    """
    if not outcomes:
        return [AnswerTable("The ledger", ("promised", "found"), (_nothing(promised),), (_EMPTY,))]
    tables = [
        AnswerTable(
            "The ledger",
            _COLUMNS,
            (_row("everything", account_of(outcomes)),),
            tuple(_of_all(outcomes, promised, units)),
        )
    ]
    for title, by in _BY:
        groups = grouped(outcomes, by)
        rows = tuple(_row(name, account_of(group)) for name, group in groups.items())
        tables.append(AnswerTable(f"The ledger {title}", _COLUMNS, rows))
    return tables


_EMPTY = (
    "Nothing was found yet. Each number with a ± on a printed sheet of a job is kept here; what is measured on the "
    "finished car, on the job's page “Proof”, is set beside it by itself."
)


def _nothing(promised: int) -> Answer:
    return Answer("numbers", Kind.RATIO, (str(promised), "0"))


def _row(name: str, account: Account) -> Answer:
    low, high = account.interval
    return Answer(
        name,
        Kind.RATIO,
        (
            str(account.count),
            str(account.jobs),
            str(account.inside),
            f"{account.share:.0%} ({low:.0%} to {high:.0%})",
            _chance(account),
            f"{account.root_mean_square:.2f}",
            f"{account.correction:.2f}",
        ),
    )


def _chance(account: Account) -> str:
    """Whether the share inside is what chance does to right bands."""
    if account.alarm:
        return f"no, ALARM: {account.too_few:.2g}"
    if account.too_few < _SURE:
        return f"hardly: too few, {account.too_few:.2g}"
    if account.too_many < _SURE:
        return f"hardly: too many, {account.too_many:.2g}"
    return "yes"


def _of_all(outcomes: Sequence[Outcome], promised: int, units: str) -> Iterator[str]:
    account = account_of(outcomes)
    yield (
        f"{account.inside} of {account.count} numbers that were promised and measured lie inside both bands together; "
        f"nine of ten should. Promised were {promised}."
    )
    yield from ledger_sentences(outcomes, units)
    yield (
        "Misses: 1 where bands are right, more where they are too narrow, in standard deviations, root of the mean square. "
        f"Interval score {account.score:.2f}, best {BEST:.2f} for bands that are right. By chance: probability of as few, "
        f"or as many, inside if the bands were right; an alarm below 0.01, from the {FIRST_ALARM}th axle of a job on."
    )
    yield (
        "Numbers of one axle of one car share their errors and count as one in what is told of chance: of shares of "
        "0.5, 0.6, 0.7 or 0.8 inside, 8, 13, 25 or 78 such are needed to see them four times in five."
    )


def ledger_sentences(outcomes: Sequence[Outcome], units: str = "metric") -> Iterator[str]:
    """What the ledger says that somebody should do something about: alarms, and what drifts.

    Args:
        outcomes: what was promised and found
        units: unit set
    """
    for name, group in grouped(outcomes, lambda one: one.quantity.replace("_", " ")).items():
        account = account_of(group)
        if account.alarm:
            yield (
                f"ALARM, {name}: only {account.inside} of {account.count} inside. If the bands were right, so few would "
                f"be seen in {account.too_few:.1%} of cases. Look for a gauge that is off before widening bands."
            )
    for name, group in grouped(outcomes, lambda one: one.place).items():
        drift = drift_of(group)
        if drift is not None:
            before, after = (show(value, drift.kind, units, sign=True) for value in (drift.before, drift.after))
            yield (
                f"{name.replace('_', ' ').capitalize()} comes out {after} from what was promised since {drift.since}, "
                f"{drift.jobs} jobs; until then {before}: {_ASK.get(drift.kind, 'what was changed then?')}"
            )


def result_rows(outcomes: Sequence[Outcome]) -> tuple[Answer, ...]:
    """Promised, found, by how much it was missed, inside or not: a row for each number.

    Args:
        outcomes: of one job
    """
    return tuple(
        Answer(
            one.promised.key.replace(".", " ").replace("_", " "),
            one.promised.kind,
            (
                one.promised.value,
                one.found,
                one.difference,
                f"{'inside' if one.inside else 'OUTSIDE'}, {abs(one.apart) / DEVIATIONS_SHOWN:.1f} of the room",
            ),
            bands=(one.promised.band, one.plus_minus * DEVIATIONS_SHOWN / 2, one.half_width, None),
        )
        for one in outcomes
    )

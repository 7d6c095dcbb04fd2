"""Which adjuster a sentence means, and what one step of it does."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from jounce.asked.amounts import AmountUnit, Wording
from jounce.asked.wording import spelled
from jounce.conventions.errors import InputError
from jounce.conventions.units import show
from jounce.job.answer_table import Answer, AnswerTable
from jounce.job.remark import AnswerRemark, AnswerRemarkKind

__all__ = ["StepAsked", "most_moved", "step_asked", "table_of_step"]


@dataclass(frozen=True, slots=True)
class StepAsked:
    """An adjuster.

    Attributes:
        name: what it is called
        steps: finds it among the steps of the tables, the better pattern first
        moves: what it is turned for, by the names of the rows

    """

    name: str
    steps: tuple[str, ...]
    moves: str

    def said(self, table: AnswerTable, told: Wording, units: str) -> Iterator[str]:
        """What one step does, in sentences.

        Args:
            table: of that adjuster
            told: amounts of the sentence
            units: unit set
        """
        step = _step_of(table)
        yield f"One step: {step}."
        for row, name, value in most_moved(table, self.moves):
            by = show(value, row.kind, units, sign=True)
            if len(table.columns) == 1:
                yield f"It changes the {row.name} by {by}."
            else:
                yield f"Done at the {name}, it changes the {row.name} by {by}."
        turns = told.of(AmountUnit.TURNS)
        if turns and "turn" not in step:
            yield "A turn goes as far as the pitch of the thread, which the car file does not tell: multiply by it."


_ADJUSTERS = (
    (
        r"tie rods?|track rods?(?: end)?s?|spurstange\w*|spurstangenkopf\w*|steering arms?",
        StepAsked("tie rod", (r"tie rod", r"track rod", r"\btoe\b"), r"\btoe$"),
    ),
    (
        r"caster plate|rearward|nach hinten|nachlauf\w*",
        StepAsked("top plate rearward", (r"plate .*rearward", r"caster"), r"caster$|camber$"),
    ),
    (
        r"camber plates?|top (?:mounts?|plates?)|strut tops?|domlager\w*|sturzplatte\w*|dom\b|uniball\w*",
        StepAsked("top plate", (r"plate .*inward", r"camber"), r"camber$|toe$"),
    ),
    (r"shims?|washers?|unterlegscheibe\w*", StepAsked("shim", (r"shim.*camber", r"shim"), r"camber$|toe$")),
    (
        r"panhard\w*|pan hard|cross rod|querstange\w*|watt\w*",
        StepAsked("Panhard rod", (r"panhard", r"watt"), r"axle shift"),
    ),
    (r"trailing arms?|laengslenker\w*|trailing links?", StepAsked("trailing arm", (r"trailing",), r"toe$|track$")),
    (r"drop links?|koppelstange\w*|pendelstuetze\w*", StepAsked("drop link", (r"drop link",), r"cross weight|load$")),
    (
        r"teeth|tooth|splines?|zahn|zaehnen?|notch(?:es)?|verzahnung",
        StepAsked("tooth of the torsion bar", (r"tooth at the arm", r"tooth"), r"height$|cross weight"),
    ),
    (
        r"bolts?|adjusters?|adjusting|verstellschraube\w*|schraube\w*|einsteller\w*|versteller\w*",
        StepAsked("adjusting bolt", (r"bolt", r"tooth at the arm", r"seat"), r"height$|cross weight"),
    ),
    (
        r"collars?|sleeves?|seats?|perch(?:es)?|spring plates?|rings?|gewinde\w*|federteller\w*|coil ?overs?|spring",
        StepAsked("spring seat", (r"seat",), r"height$|cross weight"),
    ),
)
_ANY = StepAsked("the first adjuster", (r"",), r"height$|toe$|camber$")


def step_asked(text: str) -> StepAsked:
    """The adjuster that a sentence names; any where it names none.

    Args:
        text: the sentence

    >>> step_asked("what does one turn of the tie rod do").name
    'tie rod'
    """
    said = spelled(text)
    return next((step for words, step in _ADJUSTERS if re.search(rf"\b(?:{words})\b", said)), _ANY)


def table_of_step(tables: Sequence[AnswerTable], step: StepAsked) -> AnswerTable:
    """The table of an adjuster.

    Args:
        tables: of all adjusters
        step: the adjuster

    Raises:
        InputError: the car has no such adjuster
    """
    for pattern in step.steps:
        for table in tables:
            if re.search(pattern, _step_of(table), re.IGNORECASE):
                return table
    there = "; ".join(filter(None, map(_step_of, tables)))
    raise InputError(
        f"This car has no {step.name} that is turned",
        found=there or "no adjuster at all",
        todo="Put the adjustable part on a job, and ask of that.",
    )


def _step_of(table: AnswerTable) -> str:
    told = (line for line in table.remarks if isinstance(line, AnswerRemark))
    return next((line.of for line in told if line.kind is AnswerRemarkKind.STEP), "")


def most_moved(table: AnswerTable, moves: str) -> Iterator[tuple[Answer, str, float]]:
    """Of each sort of quantity that an adjuster is turned for the row that it moves most, and the column that does.

    Args:
        table: of the adjuster
        moves: finds the names of the rows
    """
    most: dict[str, tuple[Answer, str, float]] = {}
    for row in table.rows:
        sort = row.name.rsplit(" ", 1)[-1]
        for k, value in enumerate(row.values) if re.search(moves, row.name) else ():
            if isinstance(value, float) and abs(value) > max(_NOTHING, abs(most[sort][2]) if sort in most else 0.0):
                most[sort] = (row, table.columns[k], value)
    yield from most.values()


_NOTHING = 1e-5
"""Below this a change is none: a hundredth of a millimetre, or of a minute of arc."""

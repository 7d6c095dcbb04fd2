"""What a question's own tables tell a sentence: what the question is given, which of its numbers, and what they say."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from urllib.parse import urlencode

from jounce.asked.aboard import riding
from jounce.asked.amounts import AmountUnit, Wording
from jounce.asked.numbers import AnswerNumber
from jounce.asked.question_sentences import QuestionRead, result_named, said_of, side_of
from jounce.asked.recipes import AnswerRecipe
from jounce.asked.stepped import StepAsked, step_asked, table_of_step
from jounce.asked.wished_part import wish_of
from jounce.case.case import Case
from jounce.conventions.certainty import MEANING_OF_SOME
from jounce.conventions.constants import GRAVITY
from jounce.conventions.units import show
from jounce.job.answer_table import AnswerTable
from jounce.job.remark import AnswerRemarkKind, kind_of
from jounce.questions.catalogue import QUESTIONS
from jounce.questions.question import Asked, Number, Question, Sought
from jounce.wanted.counter.today import nothing_done

__all__ = ["ToldByQuestion", "asked_of", "page_values", "told_by_question"]

_MOST, _FEW = 10, 6
_STATES = frozenset({"found", "planned", "today", "with it"})
_CHOSEN = "* "
"""How the column begins that was chosen among many."""
_ENDS_AND_MIDDLE = range(3)


@dataclass(frozen=True, slots=True)
class ToldByQuestion:
    """What a question tells a sentence.

    Attributes:
        numbers: of its tables
        remarks: what has to be said besides
        sentences: of the verdict; none where its first numbers speak
        lacks: what has to be measured or told before it can be answered; empty where it is

    """

    numbers: tuple[AnswerNumber, ...]
    remarks: tuple[str, ...] = ()
    sentences: tuple[str, ...] = ()
    lacks: tuple[str, ...] = ()


def told_by_question(
    recipe: AnswerRecipe, case: Case, kind: str, told: Wording, text: str, units: str
) -> ToldByQuestion:
    """Ask the question of a kind, and read its tables.

    Args:
        recipe: how the kind is answered
        case: what it is asked of, what was asked for put on it
        kind: what is asked
        told: amounts of the sentence
        text: the sentence
        units: unit set

    Raises:
        InputError: the question cannot be asked of that car
    """
    asked = asked_of(recipe, case, kind, told, units, text)
    tables = list(QUESTIONS[recipe.question].answer(asked))
    if kind == "adjusters":
        return _of_step(tables[1:], step_asked(text), told, units)
    numbers: list[AnswerNumber] = []
    remarks: list[str] = []
    for table in tables:
        if len(numbers) < _MOST:
            remarks += [line for line in table.remarks if line != MEANING_OF_SOME][:_FEW]
        if kind != "teeth" or _chosen_of(table) is not None:
            numbers += _of_table(
                table, f"{asked.word('axle')} left " if kind == "bump-steer" else side_of(table, tables)
            )
    read = QuestionRead(asked, case, told, tables, tuple(numbers), remarks, units, text)
    found = said_of(kind, read)
    numbers.sort(key=found.leads)
    kept = [line for line in remarks if kind != "bump-steer" or kind_of(line) is not AnswerRemarkKind.ENDS]
    told_at_all = [] if kind == "comply" and found.lacks else numbers  # of ideal joints nothing gives
    return ToldByQuestion(tuple(told_at_all), tuple(dict.fromkeys(kept)), found.sentences, found.lacks)


def _of_step(tables: Sequence[AnswerTable], step: StepAsked, told: Wording, units: str) -> ToldByQuestion:
    """What one adjuster does, what it moves most told first."""
    table = table_of_step(tables, step)
    numbers = sorted(_of_table(table, ""), key=lambda one: not re.search(step.moves, one.label.partition(",")[0]))
    shown = [one for one in numbers if show(one.value, one.kind, units) != show(0.0, one.kind, units)]
    remarks = [line for line in table.remarks if kind_of(line) is not AnswerRemarkKind.STEP]
    return ToldByQuestion(tuple(shown), tuple(remarks), tuple(step.said(table, told, units)))


def _chosen_of(table: AnswerTable) -> int | None:
    return next((k for k, column in enumerate(table.columns) if column.startswith(_CHOSEN)), None)


def asked_of(recipe: AnswerRecipe, case: Case, kind: str, told: Wording, units: str, text: str = "") -> Asked:
    """The question of a kind, filled by a sentence.

    Args:
        recipe: how the kind is answered
        case: what it is asked of
        kind: what is asked
        told: amounts of the sentence
        units: unit set
        text: the sentence
    """
    question = QUESTIONS[recipe.question]
    given = _given_to(question, recipe, (kind, told, text), case)
    alone = case.job == nothing_done(case.car).job and recipe.question != "side-effects"
    on = Case(case.car, rules=case.rules, before=case.found) if alone else case
    return Asked(question.filled(given), units, on)


def page_values(recipe: AnswerRecipe, case: Case, kind: str, told: Wording, units: str, text: str) -> str:
    """What a sentence gives the question's own page, as the end of its address; empty where it gives nothing.

    Args:
        recipe: how the kind is answered
        case: what it is asked of
        kind: what is asked
        told: amounts of the sentence
        units: unit set of the page
        text: the sentence
    """
    question = QUESTIONS[recipe.question]
    given = _given_to(question, recipe, (kind, told, text), case)
    typed = {ask.name: _typed(ask, given[ask.name], units) for ask in question.asks if ask.name in given}
    kept = {name: value for name, value in typed.items() if value}
    return f"?{urlencode(kept)}" if kept else ""


def _typed(ask: Sought, value: object, units: str) -> str:
    """A value as it is typed on the question's page."""
    values = value if isinstance(value, tuple) else (value,)
    if isinstance(ask, Number):
        return "; ".join(show(one, ask.kind, units) for one in values if isinstance(one, float))
    return "; ".join(map(str, values))


def _given_to(
    question: Question, recipe: AnswerRecipe, sentence: tuple[str, Wording, str], case: Case
) -> Mapping[str, object]:
    """What a question is given of what its kind always asks and of a sentence: its kind, amounts and text."""
    names = {ask.name for ask in question.asks}
    return {name: value for name, value in {**recipe.given, **_given(*sentence, case)}.items() if name in names}


def _given(kind: str, told: Wording, text: str, case: Case) -> Mapping[str, object]:
    """What a sentence gives the question that answers it."""
    given: dict[str, object] = {}
    if told.places:
        given["axle"] = told.places[0]
    if kind == "teeth":
        given["lower"] = ((told.lower or {}).get("front", 0.0),)
        given["axle"] = ""
    if kind == "load":
        given["aboard"] = tuple(f"{one.name}={one.mass:g} kg" for one in riding(told, case))
    if kind == "brake" and (told.of(AmountUnit.LATERAL)):
        given["ahead"] = (-told.of(AmountUnit.LATERAL)[0] * GRAVITY,)
    if kind == "influence":
        given["result"] = result_named(text)
    if kind == "part-for":
        given |= wish_of(told, case)
    return given


def _of_table(table: AnswerTable, side: str) -> Iterator[AnswerNumber]:
    """The numbers of a table: of states beside each other the last, of points along something both ends and the middle.

    Of many that were tried it is the chosen one. A row whose name is there more than once belongs to the last one before
    it that is there once.
    """
    names = [row.name.strip(" ,") for row in table.rows]
    of = ""
    chosen = _chosen_of(table)
    for row, name in zip(table.rows, names, strict=True):
        once = names.count(name) == 1
        of = name if once else of
        if table.along and name == "travel":
            continue
        known = [(k, value) for k, value in enumerate(row.values) if isinstance(value, float)]
        beside = bool(table.columns) and set(table.columns) <= _STATES
        was = known[0][1] if beside and len(known) > 1 else None
        if beside:
            known = known[-1:]
        elif chosen is not None:
            known = [one for one in known if one[0] == chosen]
        elif table.along and len(known) > len(_ENDS_AND_MIDDLE):
            known = [known[0], known[len(known) // 2], known[-1]]
        for k, value in known:
            column = table.columns[k] if k < len(table.columns) else ""
            where = "" if len(table.columns) == 1 or beside or chosen is not None else f", {column}"
            before = "" if once or not of else f"{of}: "
            yield AnswerNumber(
                f"{side if chosen is not None or table.along else ''}{before}{name}{where}",
                row.kind,
                value,
                row.band(k),
                was,
            )

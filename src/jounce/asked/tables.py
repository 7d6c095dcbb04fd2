"""What a question's own tables tell a sentence: what the question is given, which of its numbers, and what they say."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from jounce.asked.aboard import riding
from jounce.asked.amounts import AmountUnit, Wording
from jounce.asked.numbers import AnswerNumber
from jounce.asked.recipes import AnswerRecipe
from jounce.asked.stepped import StepAsked, step_asked, table_of_step
from jounce.asked.wished_part import is_flat_ride, wish_of
from jounce.case.case import Case
from jounce.conventions.certainty import MEANING_OF_SOME
from jounce.conventions.constants import GRAVITY
from jounce.conventions.units import Kind, show
from jounce.job.answer_table import AnswerTable
from jounce.job.remark import AnswerRemark, AnswerRemarkKind, kind_of
from jounce.layouts.naming import SIDES
from jounce.questions.catalogue import QUESTIONS
from jounce.questions.question import Asked
from jounce.wanted.counter.today import nothing_done

__all__ = ["ToldByQuestion", "asked_of", "told_by_question"]

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

    """

    numbers: tuple[AnswerNumber, ...]
    remarks: tuple[str, ...] = ()
    sentences: tuple[str, ...] = ()


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
    asked = asked_of(recipe, case, kind, told, units)
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
                table, f"{asked.word('axle')} left " if kind == "bump-steer" else _side_of(table, tables)
            )
    said = _SAID.get(kind)
    read = _Read(asked, case, told, tables, tuple(numbers), remarks, units)
    sentences = () if said is None else tuple(said(read))
    if kind == "part-for":
        part = _part_of(read)
        numbers.sort(key=lambda one: one is not part)
    kept = [line for line in remarks if kind != "bump-steer" or kind_of(line) is not AnswerRemarkKind.ENDS]
    return ToldByQuestion(tuple(numbers), tuple(dict.fromkeys(kept)), sentences)


def _of_step(tables: Sequence[AnswerTable], step: StepAsked, told: Wording, units: str) -> ToldByQuestion:
    """What one adjuster does, what it moves most told first."""
    table = table_of_step(tables, step)
    numbers = sorted(_of_table(table, ""), key=lambda one: not re.search(step.moves, one.label.partition(",")[0]))
    shown = [one for one in numbers if show(one.value, one.kind, units) != show(0.0, one.kind, units)]
    remarks = [line for line in table.remarks if kind_of(line) is not AnswerRemarkKind.STEP]
    return ToldByQuestion(tuple(shown), tuple(remarks), tuple(step.said(table, told, units)))


def _chosen_of(table: AnswerTable) -> int | None:
    return next((k for k, column in enumerate(table.columns) if column.startswith(_CHOSEN)), None)


def asked_of(recipe: AnswerRecipe, case: Case, kind: str, told: Wording, units: str) -> Asked:
    """The question of a kind, filled by a sentence.

    Args:
        recipe: how the kind is answered
        case: what it is asked of
        kind: what is asked
        told: amounts of the sentence
        units: unit set
    """
    question = QUESTIONS[recipe.question]
    names = {ask.name for ask in question.asks}
    given = {name: value for name, value in {**recipe.given, **_given(kind, told, case)}.items() if name in names}
    alone = case.job == nothing_done(case.car).job and recipe.question != "side-effects"
    on = Case(case.car, rules=case.rules, before=case.found) if alone else case
    return Asked(question.filled(given), units, on)


def _given(kind: str, told: Wording, case: Case) -> Mapping[str, object]:
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
    if kind == "part-for":
        given |= wish_of(told, case)
    return given


def _side_of(table: AnswerTable, tables: Sequence[AnswerTable]) -> str:
    """Side of the car that a table tells, where there is one for each."""
    found = re.search(r"\b(left|right)\b", table.question)
    return f"{found[1]} " if found and sum(found[1] in one.question for one in tables) < len(tables) else ""


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


@dataclass(frozen=True, slots=True)
class _Read:
    """What was read of a question."""

    asked: Asked
    case: Case
    told: Wording
    tables: Sequence[AnswerTable]
    numbers: Sequence[AnswerNumber]
    remarks: Sequence[str]
    units: str

    def value(self, label: str) -> AnswerNumber | None:
        """The first number whose label holds some words."""
        return next((one for one in self.numbers if label in one.label), None)

    def of_kind(self, kind: AnswerRemarkKind) -> list[AnswerRemark]:
        """The remarks of a kind."""
        return [line for line in self.remarks if isinstance(line, AnswerRemark) and line.kind is kind]


def _teeth(read: _Read) -> Iterator[str]:
    for table in read.tables:
        side = _side_of(table, read.tables).strip()
        for line in table.remarks:
            if kind_of(line) is AnswerRemarkKind.CHOSEN and side:
                yield f"Torsion bar at the front {side}:"
            if kind_of(line) in {AnswerRemarkKind.CHOSEN, AnswerRemarkKind.REFUSED}:
                yield line


def _bump_steer(read: _Read) -> Iterator[str]:
    toes = [one for one in read.numbers if "toe" in one.label]
    if len(toes) < 2:
        return
    low, high = toes[0], toes[-1]
    axle = str(read.asked.word("axle"))
    first, last = (show(one.value, Kind.ANGLE, read.units) for one in (low, high))
    way = "in" if high.value > low.value else "out"
    far = show(_FAR, Kind.LENGTH, read.units)
    yield f"From {far} down to as much up the toe of the {axle} left wheel goes from {first} to {last}."
    if first == last:
        yield "That steers nothing that is felt."
    else:
        by = show(abs(high.value - low.value), Kind.ANGLE, read.units)
        yield f"So it toes {way} by {by} as the wheel goes up: what steers over bumps is that, and any play in its joints."


_FAR = 0.030
"""How far down and up bump steer is told [m]."""


def _load(read: _Read) -> Iterator[str]:
    for axle in ("front", "rear"):
        both = [one for one in read.numbers if one.label.startswith("lower than as found") and axle in one.label]
        if not both:
            continue
        by = sum(one.value for one in both) / len(both)
        way = "lower" if by >= 0 else "higher"
        yield f"At the {axle} it stands {show(abs(by), Kind.LENGTH, read.units)} {way} than as found with that."
    for axle in ("front", "rear"):
        if any(one.of == axle for one in read.of_kind(AnswerRemarkKind.REFUSED)):
            yield f"The {axle} wheels then stand in their bump rubbers: no bump travel is left, and it rides hard."


def _damping(read: _Read) -> Iterator[str]:
    for axle in ("front", "rear"):
        now = read.value(f"damping ratio in heave now, {axle}")
        if now is not None:
            yield f"Damping ratio at the {axle}: {show(now.value, now.kind, read.units)}."
        else:
            yield f"I do not know the damping ratio at the {axle}: its dampers' forces at speeds are not in the car file."
    yield "Common practice on the road is 0.2 to 0.5 of what stops it swinging: below that it swings on, above it is harsh."


def _part_for(read: _Read) -> Iterator[str]:
    axle = str(read.asked.word("axle"))
    cannot = read.of_kind(AnswerRemarkKind.CANNOT)
    if cannot:
        yield "No such part gives that on this car."
        yield cannot[0]
        return
    frequency = read.value(f"{axle} ride frequency") or read.value("ride frequency")
    part = _part_of(read)
    if part is not None:
        was = "" if part.found is None else f" (today {show(part.found, part.kind, read.units)})"
        yield f"It takes {show(part.value, part.kind, read.units)} as {part.label.partition(',')[0]} at the {axle}{was}."
    if frequency is not None:
        yield f"The body then swings at {show(frequency.value, frequency.kind, read.units)} over the {axle} wheels."
    yield from list(dict.fromkeys(read.of_kind(AnswerRemarkKind.IN_RUBBER)))[: len(SIDES)]
    if is_flat_ride(read.told):
        yield (
            "What was wanted was not said in numbers: taken is a rear ride frequency 15 % above the front's, which common "
            "practice calls a flat ride."
        )


def _part_of(read: _Read) -> AnswerNumber | None:
    """The number by which the part is chosen: a height is a matter of length first, all else of rate."""
    of_rate = ("rate of both", "free length of both", "diameter", "length")
    of_length = ("free length of both", "turn of both", "diameter", "rate of both", "length")
    return next(filter(None, map(read.value, of_length if read.told.lower else of_rate)), None)


_SAID: Mapping[str, Callable[[_Read], Iterator[str]]] = {
    "teeth": _teeth,
    "bump-steer": _bump_steer,
    "load": _load,
    "damping": _damping,
    "part-for": _part_for,
}

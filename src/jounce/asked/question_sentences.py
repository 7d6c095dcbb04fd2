"""What a question's tables say to a sentence, in a verdict's sentences, each whole in itself."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from jounce.asked.amounts import Wording
from jounce.asked.leading import asked_first
from jounce.asked.numbers import AnswerNumber
from jounce.asked.wished_part import is_flat_ride
from jounce.asked.wording import spelled
from jounce.case.case import Case
from jounce.conventions.units import Kind, show
from jounce.job.answer_table import Answer, AnswerTable
from jounce.job.remark import AnswerRemark, AnswerRemarkKind, kind_of
from jounce.layouts.naming import SIDES
from jounce.questions.question import Asked

__all__ = ["QuestionRead", "SaidOfTables", "result_named", "said_of", "side_of"]


def side_of(table: AnswerTable, tables: Sequence[AnswerTable]) -> str:
    """Side of the car that a table tells, where there is one for each.

    Args:
        table: the table
        tables: all of the answer
    """
    found = re.search(r"\b(left|right)\b", table.question)
    return f"{found[1]} " if found and sum(found[1] in one.question for one in tables) < len(tables) else ""


@dataclass(frozen=True, slots=True)
class QuestionRead:
    """What was read of a question.

    Attributes:
        asked: the question, filled
        case: what it was asked of
        told: amounts of the sentence
        tables: its answer
        numbers: of the tables, as they are told
        remarks: of the tables
        units: unit set
        text: the sentence

    """

    asked: Asked
    case: Case
    told: Wording
    tables: Sequence[AnswerTable]
    numbers: Sequence[AnswerNumber]
    remarks: Sequence[str]
    units: str
    text: str

    def value(self, label: str) -> AnswerNumber | None:
        """The first number whose label holds some words.

        Args:
            label: those words
        """
        return next((one for one in self.numbers if label in one.label), None)

    def shown(self, value: float, kind: Kind) -> str:
        """A value in the sentence's units.

        Args:
            value: SI
            kind: what it measures
        """
        return show(value, kind, self.units)

    def of_kind(self, kind: AnswerRemarkKind) -> list[AnswerRemark]:
        """The remarks of a kind.

        Args:
            kind: which
        """
        return [line for line in self.remarks if isinstance(line, AnswerRemark) and line.kind is kind]


def _teeth(read: QuestionRead) -> Iterator[str]:
    for table in read.tables:
        side = side_of(table, read.tables).strip()
        for line in table.remarks:
            if kind_of(line) is AnswerRemarkKind.CHOSEN and side:
                yield f"Torsion bar at the front {side}:"
            if kind_of(line) in {AnswerRemarkKind.CHOSEN, AnswerRemarkKind.REFUSED}:
                yield line


def _bump_steer(read: QuestionRead) -> Iterator[str]:
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


def _load(read: QuestionRead) -> Iterator[str]:
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


def _damping(read: QuestionRead) -> Iterator[str]:
    for axle in ("front", "rear"):
        now = read.value(f"damping ratio in heave now, {axle}")
        if now is not None:
            yield f"Damping ratio at the {axle}: {show(now.value, now.kind, read.units)}."
        else:
            yield f"I do not know the damping ratio at the {axle}: its dampers' forces at speeds are not in the car file."
    yield "Common practice on the road is 0.2 to 0.5 of what stops it swinging: below that it swings on, above it is harsh."


def _part_for(read: QuestionRead) -> Iterator[str]:
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


def _part_of(read: QuestionRead) -> AnswerNumber | None:
    """The number by which the part is chosen: a height is a matter of length first, all else of rate."""
    of_rate = ("rate of both", "free length of both", "diameter", "length")
    of_length = ("free length of both", "turn of both", "diameter", "rate of both", "length")
    return next(filter(None, map(read.value, of_length if read.told.lower else of_rate)), None)


def _travel(read: QuestionRead) -> Iterator[str]:
    """The quantity that the sentence names, at both ends of the travel and as it stands; camber where it names none."""
    rows = {row.name.strip(): row for row in read.tables[0].rows}
    names = [name for name in rows if name != "travel"]
    row = rows[names[asked_first(read.text, names)[0]]]
    columns = read.tables[0].columns
    points = [k for k, value in enumerate(row.values) if isinstance(value, float)]
    if len(points) < len(SIDES) + 1:
        return
    low, middle, high = (_at(read, row, columns, points[k]) for k in (0, len(points) // 2, -1))
    yield f"The {read.asked.word('axle')} left wheel's {row.name.strip()}: {low}; {middle}; {high}."


def _at(read: QuestionRead, row: Answer, columns: Sequence[str], k: int) -> str:
    value = row.values[k]
    return f"{read.shown(value, row.kind) if isinstance(value, float) else value} at {columns[k]}"


def _loads(read: QuestionRead) -> Iterator[str]:
    """What a part carries most, and in which case: the one that the sentence names, else the one that carries most."""
    cases, told = read.tables[0].remarks, read.tables[-1]
    row = _part_named(read.text, told.rows)
    sizes = {k: value for k, value in enumerate(row.values) if isinstance(value, float)}
    if not sizes:
        return
    most = max(sizes, key=lambda k: abs(sizes[k]))
    case = cases[most].partition(": ")[2] or cases[most]
    yield f"The {row.name} carries most in this case, {case}: {read.shown(sizes[most], row.kind)}."
    if 0 in sizes:
        yield f"With the car standing still it carries {read.shown(sizes[0], row.kind)}."


_PARTS: tuple[tuple[str, str], ...] = (
    (r"ball ?joints?|traggelenk\w*|kugelgelenk\w*|fuehrungsgelenk\w*", r"ball"),
    (r"top mounts?|strut tops?|domlager\w*", r"top"),
    (r"tie ?rods?|track rods?|spurstange\w*", r"tie rod"),
    (r"panhard\w*|cross rod", r"(?i)panhard"),
    (r"springs?|coils?|feder\w*|torsion\w*|drehst\w*", r"spring|torsion bar"),
    (r"arms?|wishbones?|links?|\w*lenker\w*", r"arm|wishbone|link"),
    (r"dampers?|shocks?|\w*daempfer\w*", r"damper"),
    (r"rack|steering|lenkgetriebe\w*", r"rack"),
)
"""Parts as a sentence names them, and what their rows are called."""


def _part_named(text: str, rows: Sequence[Answer]) -> Answer:
    said = spelled(text)
    for words, name in _PARTS:
        named = [row for row in rows if re.search(name, row.name)] if re.search(rf"\b(?:{words})\b", said) else []
        if named:
            return max(named, key=_largest)
    joints = [row for row in rows if row.kind is Kind.FORCE]
    return max(joints or rows, key=_largest)


def _largest(row: Answer) -> float:
    return max((abs(value) for value in row.values if isinstance(value, float)), default=0.0)


def _brake(read: QuestionRead) -> Iterator[str]:
    table = read.tables[-1]
    braked = [k for k, column in enumerate(table.columns) if column.startswith(("-", "\u2212"))] or [0]
    k = braked[len(braked) // 2]
    values = [(row.values[k], row.kind) for row in table.rows[:3]]
    told = [read.shown(value, kind) for value, kind in values if isinstance(value, float)]
    if len(told) == len(values):
        yield f"At {table.columns[k]} ahead the nose dips by {told[0]}."
        yield f"The front wheels then travel {told[1]} and the rear ones {told[2]}; up into the arch is positive."
    yield from read.of_kind(AnswerRemarkKind.CHOSEN)


def _comply(read: QuestionRead) -> Iterator[str]:
    rates = read.tables[0].rows[:2]
    toe = next((row for table in read.tables[1:] for row in table.rows if row.name.strip() == "toe"), None)
    told = [read.shown(row.values[0], row.kind) for row in rates if isinstance(row.values[0], float)]
    if len(told) == len(("on its bushes", "with ideal joints")):
        axle = read.asked.word("axle")
        yield f"On its bushes the {axle} left wheel has a rate of {told[0]}, with ideal joints {told[1]}."
    if toe is not None and isinstance(toe.values[0], float):
        by = read.shown(toe.values[0], toe.kind)
        yield f"A force to the left at both contact points turns the left wheel by {by} of toe."


def _influence(read: QuestionRead) -> Iterator[str]:
    result, rows = read.tables[0].rows[0], read.tables[-1].rows
    axle = read.asked.word("axle")
    if not rows:
        yield f"No number of the file moves the {axle} {result.name}."
        return
    yield f"What moves the {axle} {result.name} most:"
    for row in rows[:2]:
        step, change = row.values[:2]
        if isinstance(change, float):
            by = show(change, row.kind, read.units, sign=True)
            yield f"By {step} more of the {row.name} it changes by {by}."


_RESULTS: tuple[tuple[str, str], ...] = (
    (r"bump ?steer\w*|darts?|eigenlenk\w*", "left_bump_steer"),
    (r"roll cent\w*|rollzentr\w*|momentanzentr\w*", "roll_centre_height"),
    (r"camber|sturz\w*", "left_camber"),
    (r"caster|nachlauf\w*", "left_caster"),
    (r"scrub\w*|lenkrollradius", "left_scrub_radius"),
    (r"toe|spur|vorspur", "left_toe"),
    (r"track|spurweite", "track"),
    (r"frequency|hz|frequenz\w*|comfort\w*|komfort\w*", "left_ride_frequency"),
)


def result_named(text: str) -> str:
    """The result whose causes a sentence asks for; the wheel's rate where it names none.

    Args:
        text: the sentence

    >>> result_named("which point moves the roll centre most")
    'roll_centre_height'
    """
    said = spelled(text)
    return next((name for words, name in _RESULTS if re.search(rf"\b(?:{words})\b", said)), "left_wheel_rate")


_SAID: Mapping[str, Callable[[QuestionRead], Iterator[str]]] = {
    "teeth": _teeth,
    "bump-steer": _bump_steer,
    "load": _load,
    "damping": _damping,
    "part-for": _part_for,
    "travel": _travel,
    "loads": _loads,
    "brake": _brake,
    "comply": _comply,
    "influence": _influence,
}


@dataclass(frozen=True, slots=True)
class SaidOfTables:
    """What the tables say.

    Attributes:
        sentences: of the verdict; none where the first numbers speak
        lacks: what has to be measured or told before it can be answered; empty where it is
        first: label of the number that leads, or what it begins with; empty where they stand as they are

    """

    sentences: tuple[str, ...] = ()
    lacks: tuple[str, ...] = ()
    first: str = ""

    def leads(self, number: AnswerNumber) -> bool:
        """Whether a number does not lead: in this order they are told.

        Args:
            number: one of the answer
        """
        return bool(self.first) and not number.label.startswith(self.first)


def said_of(kind: str, read: QuestionRead) -> SaidOfTables:
    """What the tables of a kind say.

    Args:
        kind: what is asked
        read: what was read
    """
    said = _SAID.get(kind)
    if said is None:
        return SaidOfTables()
    first, lacks = "", tuple[str, ...]()
    if kind == "part-for":
        part = _part_of(read)
        first = "" if part is None else part.label
    elif kind == "loads":
        first = _part_named(read.text, read.tables[-1].rows).name
    elif kind == "damping":
        lacks = tuple(_dampers_lacking(read))
    elif kind == "comply" and read.of_kind(AnswerRemarkKind.CANNOT):
        axle = read.asked.word("axle")
        return SaidOfTables(
            ("I do not know yet.", *read.of_kind(AnswerRemarkKind.CANNOT)),
            (f"Tell the stiffness of the {axle} bushes: {axle}.bushes of the car.",),
        )
    return SaidOfTables(tuple(said(read)), lacks, first)


def _dampers_lacking(read: QuestionRead) -> Iterator[str]:
    """The forces that would tell the damping, where neither axle has them."""
    unknown = [axle for axle in ("front", "rear") if read.value(f"damping ratio in heave now, {axle}") is None]
    if len(unknown) == len(("front", "rear")):
        yield from (
            f"Measure the {axle} dampers' forces at speeds: {axle}.damper.curve of the car." for axle in unknown
        )

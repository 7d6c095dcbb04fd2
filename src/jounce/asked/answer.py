"""The answer to a question in words: a verdict, the tool's own numbers with their bands, what they rest on and leave out.

Nothing is told of words alone: each number is one of the case, of its checks or of a question's own tables.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from fnmatch import fnmatch

from jounce.asked.aboard import FRONT, Riding, named_aboard, not_placed, riding
from jounce.asked.amounts import AmountUnit, Wording, told_in
from jounce.asked.kinds import KINDS, UNKNOWN
from jounce.asked.leading import asked_first, called, of_axles
from jounce.asked.numbers import AnswerNumber
from jounce.asked.other_wheels import OtherWheel
from jounce.asked.passing import (
    KINDS_WITH_ANGLES,
    KINDS_WITH_HEIGHT,
    KINDS_WITH_LOAD,
    KINDS_WITH_WHEELS,
    asks_height,
    other_wheels,
    passing_case,
    understood_as,
)
from jounce.asked.recipes import RECIPES, AnswerRecipe
from jounce.asked.tables import page_values, told_by_question
from jounce.asked.understanding import understood
from jounce.asked.verdicts import spoken
from jounce.behaviour.bands import Band
from jounce.behaviour.road.feel import TurnFeel
from jounce.car.file.document import CarDocument
from jounce.car.file.walk import WAYS_ALONG, path_words
from jounce.car.mechanics.model import AXLES
from jounce.case.case import Case
from jounce.checks import Check, Verdict
from jounce.conventions.axes import End, Side
from jounce.conventions.certainty import MEANING_OF_SOME
from jounce.conventions.errors import InputError, JounceError
from jounce.conventions.quantities import RESULTS
from jounce.conventions.units import MM, Kind, show
from jounce.job.comparison import compare
from jounce.job.plan import JobPlan
from jounce.job.remark import AnswerRemarkKind, kind_of
from jounce.job.wording import settings_of, unmet_told
from jounce.layouts.naming import SIDES
from jounce.measuring.walk import reading_named
from jounce.questions.titles import OF_CARS
from jounce.wanted.counter.how_low import HowLow, LowMark, checks_of_room, held_at, how_low
from jounce.wanted.counter.today import nothing_done

__all__ = ["AnswerNumber", "DrawnBeside", "Priced", "SpokenAnswer", "answer_values", "answered", "message_of"]

NOT_COVERED = "Not in this answer: the law, makes of tyres and parts, how it feels to you."
_MOST = 10
"""So many numbers are told; the page has the rest."""
_FEW = 6
_LITTLE_SHOWN = 1e-12
_OF_PLACES = frozenset(
    {
        "axle_shift",
        "track",
        "roll_centre_height",
        "camber",
        "toe",
        "caster",
        "height",
        "rubber_at",
        "scrub_radius",
        "trail",
    }
)
"""Rows that the place of the wheels alone decides, whatever springs hold the car there."""
_OF_ROOM = frozenset({"rub", "wheels", "one-side"})
_NO_ROOM = 0.5 * MM
"""By so much a wall may stand further out unsaid."""
_NEAR = 2 * MM
"""So near to the height asked for the car has come to stand there."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnBeside:
    """What is drawn beside an answer.

    Attributes:
        case: what it was told of, what was asked for put on it
        plan: how that stands; of a car that is held at a height, held there
        changed: whether anything was put on the car, or the job does
        axles: "front" and "rear", those that are asked of
        stands: whether the car is drawn as it stands
        travel: curves along the wheels' travel, by their columns
        corner: curves of both turns, by their titles
        low: how low it can go; None where that was not asked

    """

    case: Case
    plan: JobPlan
    changed: bool
    axles: tuple[str, ...]
    stands: bool = False
    travel: tuple[str, ...] = ()
    corner: tuple[str, ...] = ()
    low: HowLow | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SpokenAnswer:
    """An answer.

    Attributes:
        question: the sentence that was asked
        kind: what was understood; `UNKNOWN` where nothing is answered
        understood: how it was understood, in words
        near: other kinds that it may have been
        sentences: of the verdict, each whole in itself
        numbers: the tool's own
        checks: sentences of the checks that decide
        steps: what is turned, in the order of work
        rests: what it rests on
        surer: what would make it surer, or what is missing, with its field
        besides: what has to be said besides
        cautions: what can hurt
        page: where more is told, from the page of the car or job; empty where nowhere
        known: whether it was answered; not where it cannot be told
        shown: what is drawn beside it; None where nothing is

    """

    question: str
    kind: str
    understood: str = ""
    near: tuple[str, ...] = ()
    sentences: tuple[str, ...] = ()
    numbers: tuple[AnswerNumber, ...] = ()
    checks: tuple[str, ...] = ()
    steps: tuple[str, ...] = ()
    rests: tuple[str, ...] = ()
    surer: tuple[str, ...] = ()
    besides: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    page: str = ""
    known: bool = False
    shown: DrawnBeside | None = field(default=None, repr=False, compare=False)

    @property
    def verdict(self) -> str:
        """What answers the question, in a few sentences."""
        return " ".join(self.sentences)


@dataclass(slots=True)
class _AnswerParts:
    """What comes together for an answer."""

    verdict: list[str] = field(default_factory=list)
    numbers: list[AnswerNumber] = field(default_factory=list)
    checks: list[Check] = field(default_factory=list)
    besides: list[str] = field(default_factory=list)
    bands: list[Band] = field(default_factory=list)
    surer: list[str] = field(default_factory=list)
    steps: list[str] = field(default_factory=list)
    shown: DrawnBeside | None = None
    wheels: Mapping[str, OtherWheel] = field(default_factory=dict)
    spoken: tuple[str, ...] = ()
    unknown: bool = False
    page: str = ""


Priced = Callable[[Case], tuple[str, str]]
"""What a job costs, as a sentence, and why that is not all of it; both empty where nothing is known."""


def answered(
    text: str,
    case: Case,
    units: str = "metric",
    kind: str = "",
    told: Wording | None = None,
    priced: Priced | None = None,
) -> SpokenAnswer:
    """The answer to a sentence, asked of a car or a job.

    Args:
        text: as it was typed
        case: what it is asked of; it stays as it is
        units: unit set of the sentences
        kind: what was chosen where it is not to be understood anew
        told: amounts where they were corrected
        priced: what a job costs, where there is a shelf to look it up

    Raises:
        InputError: no such kind
    """
    if kind and kind not in KINDS:
        raise InputError(
            "There is no such kind of question", found=kind[:40], allowed=", ".join(RECIPES), todo="Choose one."
        )
    meant = understood(text)
    amounts = told_in(text) if told is None else told
    near = tuple(one for one in meant.near if one != kind)
    if not kind and not meant.clear:
        verdict = "I do not know: that is not a question of the suspension, or I did not understand it."
        if meant.kind != UNKNOWN:
            verdict = "I am not sure what is asked. Did you mean one of these?"
        return SpokenAnswer(question=text, kind=UNKNOWN, near=near, sentences=(verdict,))
    chosen = kind or meant.kind
    if chosen == "bar" and amounts.bar is None:  # "22s instead of my 19s": what they are is said by the question
        amounts = replace(amounts, bar=amounts.thick)
    if chosen == UNKNOWN:
        return SpokenAnswer(
            question=text, kind=UNKNOWN, near=near, sentences=("I do not know: the mechanics do not tell it.",)
        )
    if chosen == "price" and case.job is not None and priced is not None:
        return _price(_answer(text, case, units, chosen, (amounts, near)), *priced(case))
    return _answer(text, case, units, chosen, (amounts, near))


_OF_JOB_AS_KEPT = (
    "That is of the job as it is kept, whatever else the sentence asks for: the quote has parts, work and tax."
)


def _price(told: SpokenAnswer, total: str, missing: str) -> SpokenAnswer:
    """The answer with what the job costs; of what was asked for besides, nothing is in it."""
    if not total:
        return replace(told, sentences=tuple(filter(None, (*told.sentences, missing))))
    besides = (_OF_JOB_AS_KEPT, *told.besides)
    return replace(told, known=True, sentences=tuple(filter(None, (total, missing))), besides=besides)


def _answer(text: str, case: Case, units: str, kind: str, meant: tuple[Wording, tuple[str, ...]]) -> SpokenAnswer:
    told, near = meant
    recipe = RECIPES[kind]
    words = [KINDS[kind], *understood_as(case, kind, told, units)]
    cautions = (recipe.caution,) if recipe.caution else ()
    page = _page_of(recipe, case)
    found = _AnswerParts()
    known = True
    try:
        if recipe.outside:
            found.verdict, known = ["I do not know.", recipe.outside], False
        elif recipe.needs:
            found.verdict, known = ["I do not know yet.", f"{recipe.needs}."], False
        else:
            if told.sizes and kind in KINDS_WITH_WHEELS:
                found.wheels = other_wheels(case, told)
            asked_of_it = passing_case(case, kind, told)
            if page == f"ask/{recipe.question}":
                page += page_values(recipe, asked_of_it, kind, told, units, text)
            _gather(recipe, asked_of_it, (kind, told), (text, units), found)
            known = not found.unknown
    except JounceError as error:
        found = _AnswerParts(verdict=["I do not know, or it cannot be:", str(error)])
        known = False
    failing = tuple(_asked_and_said(one, units) for one in found.checks if one.verdict is not Verdict.PASS)
    passing = tuple(_asked_and_said(one, units) for one in found.checks if one.verdict is Verdict.PASS)
    return SpokenAnswer(
        question=text,
        kind=kind,
        understood="; ".join(words),
        near=tuple(one for one in near if one != kind),
        sentences=tuple(found.verdict),
        numbers=tuple(found.numbers[:_MOST]),
        checks=tuple(dict.fromkeys((*failing, *passing)))[:_MOST],
        steps=tuple(found.steps),
        rests=tuple(_rests(case, found.bands)) if known or found.numbers else (),
        surer=tuple(dict.fromkeys((*_missing(found.checks, case.car), *found.surer, *_repeat(case.car, found.bands)))),
        besides=tuple(
            dict.fromkeys(
                line for line in (*found.besides, recipe.also, NOT_COVERED) if line and line not in found.verdict
            )
        ),
        cautions=cautions,
        page=found.page or page,
        known=known,
        shown=found.shown,
    )


def _asked_and_said(check: Check, units: str) -> str:
    return f"{check.question} {_capital(check.said(units))}"


def _page_of(recipe: AnswerRecipe, case: Case) -> str:
    if case.job is None:
        return recipe.alone or (f"ask/{recipe.question}" if recipe.question in OF_CARS else "")
    return recipe.page or (f"ask/{recipe.question}" if recipe.question in OF_CARS else "")


def _gather(
    recipe: AnswerRecipe, case: Case, asked: tuple[str, Wording], sentence: tuple[str, str], found: _AnswerParts
) -> None:
    """Numbers, checks and the verdict; of the sentence its text and the unit set."""
    (kind, told), (text, units) = asked, sentence
    found.besides += _unsaid(kind, told, case)
    found.besides += _of_sizes(case, kind, found)
    if recipe.stands or recipe.travel or recipe.corner:
        changed = case.job != nothing_done(case.car).job
        axles = tuple(axle for axle in AXLES if axle in (_axles_of(told) or AXLES))
        found.shown = DrawnBeside(
            case=case,
            plan=case.plan,
            changed=changed,
            axles=axles,
            stands=recipe.stands,
            travel=recipe.travel,
            corner=recipe.corner,
        )
    if recipe.way == "how-low":
        _how_low(case, units, found)
        return
    if recipe.way == "rules":
        _by_rules(case, units, found)
        return
    if kind == "settled" and told.lower:  # it tells how it stands, whichever way it is put
        told = replace(told, lower={axle: abs(by) for axle, by in told.lower.items()})
        _held(recipe, case, told, found)
        found.verdict += spoken(kind, case, told, units, compare(case.car, held_at(case, told.lower or {})))
        return
    if lacks := _lacking_in_sentence(kind, told, case):
        found.verdict, found.unknown = ["I do not know yet.", *lacks], True
        found.besides = [line for line in found.besides if line in lacks]
        return
    missed = _missed(told, case, units, wished=asks_height(kind, told))
    if missed and _is_held(recipe, case, asked, units, found):
        _held(recipe, case, told, found)
        found.spoken = spoken(kind, case, told, units, compare(case.car, held_at(case, told.lower or {})))
        _put_first(recipe, text, found)
        why = f"Its own springs do not bring it there ({missed}), so it is looked at held there, whatever springs do that."
        told_of_it = [*_verdict(recipe, found, units), *_further_out(kind, case, units)]
        found.verdict = [why, *told_of_it] if kind == "lower" else [*told_of_it, why]
        return
    _as_it_stands(recipe, case, asked, sentence, found)
    found.besides += unmet_told(case.plan, units) if told.lower else []
    if (recipe.page == "settings" and kind != "teeth") or _asks_angles(
        kind, told
    ):  # teeth of a height that is not the job's are told by their table
        found.steps += [
            line for line in settings_of(case.plan, units, case.planned.bands) if _is_step_of(line, kind, told)
        ]
    if missed:
        found.verdict.append(
            f"With what it has it does not come to stand there ({missed}); what follows is of where it does."
        )
    found.spoken = found.spoken or spoken(kind, case, told, units)
    found.verdict += [*_verdict(recipe, found, units), *_further_out(kind, case, units)]


def _lacking_in_sentence(kind: str, told: Wording, case: Case) -> tuple[str, ...]:
    """What has to be said first, so that there is anything to tell; empty where nothing has."""
    if kind == "load":
        return _nothing_rides(told, case)
    return (_SAY_HOW_MUCH,) if kind == "side-effects" and not told.lower and not case.side_effects else ()


def _is_held(recipe: AnswerRecipe, case: Case, asked: tuple[str, Wording], units: str, found: _AnswerParts) -> bool:
    """Whether a car that does not come to stand where it was asked for is held there.

    It is where the height alone decides, and where nothing that it has sets the height: the answer would be of a car that
    stays where it is. Where angles are set at its wheels it is not, as on plain springs nothing is.
    """
    kind, told = asked
    if _asks_angles(kind, told):
        return False
    stays = kind == "lower" and _stays(told, case)
    if stays:
        values = page_values(RECIPES["part-for"], case, "part-for", told, units, "")
        found.page = f"ask/part-for{values}"
        found.besides.append(_ASK_FOR_THE_PART)
    return recipe.held or stays


def _as_it_stands(
    recipe: AnswerRecipe, case: Case, asked: tuple[str, Wording], sentence: tuple[str, str], found: _AnswerParts
) -> None:
    """Numbers and checks of the car or job as it comes to stand."""
    (kind, told), (text, _) = asked, sentence
    if kind == "stance":
        found.numbers += _left_lower(case)
    if recipe.feel:
        _from_feel(recipe.feel, case, found)
    if recipe.rows:
        _from_rows(recipe.rows, case, found, _axles_of(told) if kind in _OF_ONE_AXLE else ())
    codes = (
        () if "roll-bar" in told.without and kind == "anti-roll-bar" else recipe.checks
    )  # a bar that is off is not loaded
    found.checks = [check for check in case.every_check if check.code in codes]
    if kind == "load" and any(_is_not_of_file(one, case) for one in riding(told, case)):
        found.checks = []  # they are of what the car file says that rides, not of that
    if recipe.of_checks:
        found.checks = of_axles(found.checks, told.places)
    if recipe.way == "faults":
        found.checks = [one for one in case.every_check if one.verdict is Verdict.FAIL]
        found.checks.sort(key=lambda one: not one.critical)
    if recipe.of_checks:
        found.numbers += [
            AnswerNumber(called(one), one.kind, one.value) for one in found.checks if one.value is not None
        ]
    elif not recipe.rows and not recipe.feel and recipe.question:
        _from_question(recipe, case, asked, sentence, found)
    _put_first(recipe, text, found)


def _is_step_of(line: str, kind: str, told: Wording) -> bool:
    """Whether a setting is of what was asked: for angles alone, only what is set at the wheels."""
    return not _asks_angles(kind, told) or bool(told.lower) or kind == "lower" or " wheel: " in line


def _axles_of(told: Wording) -> Sequence[str]:
    return told.places or [one.axle for one in told.angles]


def _asks_angles(kind: str, told: Wording) -> bool:
    return kind in KINDS_WITH_ANGLES and bool(told.angles)


def _put_first(recipe: AnswerRecipe, text: str, found: _AnswerParts) -> None:
    order = asked_first(text, [one.label for one in found.numbers], recipe.first)
    found.numbers = [found.numbers[k] for k in order]


def _unsaid(kind: str, told: Wording, case: Case) -> Iterator[str]:
    """What the sentence leaves open, or the car file has no place for."""
    if told.unsized and kind in KINDS_WITH_HEIGHT:
        yield "By how much it is to be lower or higher was not said: this is of the car as it stands."
    if kind == "load" or kind in KINDS_WITH_LOAD:
        left, no_place = not_placed(told, case)
        yield from _not_counted(left, no_place=no_place)
        if told.taken_out and kind == "load" and not told.of(AmountUnit.MASS):
            yield _SAY_HOW_HEAVY
        if any(one.name == FRONT for one in riding(told, case)):
            yield (
                "What is in front is taken to lie over the front wheel centres: put it on a job with its place to be exact."
            )
    yield from (f"{said} was said: this is of the larger." for said in told.ranges)


def _not_counted(left: int, *, no_place: bool) -> Iterator[str]:
    """People and loads that the car file has no place for."""
    if left:
        yield (
            f"The car file has no place for {left} of the people: they are not counted. "
            "Add places to it, and ask again."
        )
    if no_place:
        yield "The car file has no place for such a load: it is not counted. Add places.boot to it, and ask again."


def _left_lower(case: Case) -> Iterator[AnswerNumber]:
    """By how much the left stands lower than the right, which is what is seen of a car that sits to one side."""
    heights = {row.key: row for row in case.rows if row.key.endswith(".height")}
    for axle in AXLES:
        left, right = (heights[f"{axle}.{side}.height"] for side in SIDES)
        if left.planned is not None and right.planned is not None:
            yield AnswerNumber(f"{axle} left lower than right by", Kind.LENGTH, right.planned - left.planned)


def _of_sizes(case: Case, kind: str, found: _AnswerParts) -> Iterator[str]:
    """What is assumed of other tyres and rims; asked of wheels, their sizes are the first numbers."""
    wheels = found.wheels
    yield from dict.fromkeys(line for one in wheels.values() for line in one.assumed)
    for axle, one in wheels.items() if kind == "wheels" else ():
        more = one.outside / one.now.outside - 1
        was = case.car.axle(End(axle)).side(Side.LEFT).wheel
        found.numbers += [
            AnswerNumber(f"{axle} tyre, outer diameter", Kind.LENGTH, one.outside, found=one.now.outside),
            AnswerNumber(
                f"{axle} tyre, width of its section",
                Kind.LENGTH,
                one.width,
                found=None if was.tyre_width is None else was.tyre_width.value,
            ),
            AnswerNumber(f"{axle} wheels, way in one turn, more than today", Kind.SHARE, more),
        ]


def _further_out(kind: str, case: Case, units: str) -> Iterator[str]:
    """That a tyre's outer wall stands further out than where its way to the arch was read; nothing where none does."""
    if kind not in _OF_ROOM:
        return
    out = {}
    for end in End:
        was, now = (document.axle(end).side(Side.LEFT) for document in (case.car, case.with_parts))
        moved = (now.pivots.wheel_centre.y - was.pivots.wheel_centre.y) * Side.LEFT.outward
        widths = (was.wheel.tyre_width, now.wheel.tyre_width)
        wider = 0.0 if widths[0] is None or widths[1] is None else (widths[1].value - widths[0].value) / 2
        if moved + wider > _NO_ROOM:
            out[end.value] = show(moved + wider, Kind.LENGTH, units)
    if out:
        told = " and ".join(f"{by} at the {axle}" for axle, by in out.items())
        yield f"But the tyres' outer walls stand {told} further out than where the way to the arch was read: look there."


def _held(recipe: AnswerRecipe, case: Case, told: Wording, found: _AnswerParts) -> None:
    """What the height alone decides, the car held where it was asked for."""
    plan = held_at(case, told.lower or {})
    if found.shown is not None:  # held on plain springs its own curves do not hold
        found.shown = replace(found.shown, plan=plan, travel=(), corner=())
    found.checks = of_axles([one for one in checks_of_room(case, plan) if one.code in recipe.checks], told.places)
    if not recipe.rows or recipe.of_checks:
        found.numbers += [
            AnswerNumber(called(one), one.kind, one.value) for one in found.checks if one.value is not None
        ]
    for pattern in recipe.rows:
        for row in compare(case.car, plan):
            if fnmatch(row.key, pattern) and row.planned is not None and row.key.rpartition(".")[2] in _OF_PLACES:
                place = row.key.rpartition(".")[0].replace(".", " ")
                found.numbers.append(AnswerNumber(f"{place} {row.label}", row.kind, row.planned, found=row.found))


def _missed(told: Wording, case: Case, units: str, *, wished: bool) -> str:
    """How far off the car comes to stand by what it has; empty where it stands as asked for."""
    lines = []
    for axle, wanted in (told.lower or {}).items() if wished else ():
        if getattr(case.change_list.wanted, axle).lower is None:
            continue
        plan = case.plan
        reached = sum(plan.planned.sits.travel[axle, side] - plan.found.sits.travel[axle, side] for side in SIDES) / 2
        if abs(reached - wanted) > _NEAR:
            came, asked = (show(by, Kind.LENGTH, units) for by in (reached, wanted))
            lines.append(f"{axle} {came} instead of {asked} lower")
    return "; ".join(lines)


def _verdict(recipe: AnswerRecipe, found: _AnswerParts, units: str) -> Iterator[str]:
    """What answers the question, then what the checks say; the first numbers where neither tells anything."""
    yield from found.spoken
    failing = sorted(
        (one for one in found.checks if one.verdict is Verdict.FAIL),
        key=lambda one: (not one.critical, recipe.checks.index(one.code) if one.code in recipe.checks else 0),
    )
    unknown = [one for one in found.checks if one.verdict is Verdict.UNKNOWN]
    none_known = bool(unknown) and len(unknown) == len(found.checks)
    if recipe.way == "faults":
        yield from _first_of_all(failing, found, units)
    elif failing:
        yield "Something speaks against it."
        yield from _told_of(failing[0], units)
        if len(failing) > 1:
            yield f"{len(failing)} of {len(found.checks)} checks fail."
    elif none_known:
        found.unknown = not found.spoken
        yield f"I do not know yet whether {recipe.about}." if recipe.about else "I do not know:"
        yield from _told_of(unknown[0], units)
        if not found.spoken:
            yield from _first_numbers(found, units)
    elif found.checks and recipe.about:
        yield f"{_capital(recipe.about)}{', as far as is known' if unknown else ''}."
        if unknown:
            yield f"{len(unknown)} of {len(found.checks)} checks lack a measurement."
            yield from _told_of(unknown[0], units)
        if not found.spoken:
            yield from _first_numbers(found, units)
    elif not found.spoken:
        chosen = [line for line in found.besides if kind_of(line) is AnswerRemarkKind.CHOSEN]
        told = chosen[:1] or list(_first_numbers(found, units))
        found.unknown = found.unknown or not told
        yield from told or ["I do not know: there is no number for that on this car."]


def _first_of_all(failing: Sequence[Check], found: _AnswerParts, units: str) -> Iterator[str]:
    if failing:
        yield "First of all:"
        yield from _told_of(failing[0], units)
        return
    yield "Nothing fails that would have to come first; it is a matter of what is wished."
    yield from _first_numbers(found, units)


def _told_of(check: Check, units: str) -> Iterator[str]:
    """A check's question, its answer and what helps, each by itself."""
    yield from filter(
        None, (check.question, _capital(check.said(units)), check.todo if check.verdict is Verdict.FAIL else "")
    )


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _first_numbers(found: _AnswerParts, units: str) -> Iterator[str]:
    yield from (f"{_capital(one.said(units))}." for one in found.numbers[:2])


_OF_ONE_AXLE = frozenset({"wheels", "bottoming", "camber", "alignment", "one-side", "seated", "keep-dampers"})
"""Kinds that are asked of the axle alone that is named."""


def _from_rows(patterns: Sequence[str], case: Case, found: _AnswerParts, axles: Sequence[str] = ()) -> None:
    """Rows of the comparison; left and right beside each other."""
    others = tuple(f"{axle}." for axle in AXLES if axles and axle not in axles)
    plan_is_new = case.job is not None
    for pattern in patterns:
        for row in case.rows:
            if row.planned is None or not fnmatch(row.key, pattern) or row.key.startswith(others):
                continue
            place = row.key.rpartition(".")[0].replace(".", " ")
            label = f"{place} {row.label}".strip()
            was = row.found if plan_is_new else None
            found.numbers.append(AnswerNumber(label, row.kind, row.planned, row.planned_band, was))
            if (band := case.planned.bands.get(row.key)) is not None:
                found.bands.append(band)


_OF_TURN: Mapping[str, str] = {
    "roll_gradient": "roll_gradient",
    "front_share": "front_share_of_transfer",
    "rear_lift": "rear_lift",
    "front_lift": "front_lift",
    "understeer_gradient": "understeer_gradient",
    "outer_front_camber": "outer_front_camber",
    "front_steer": "front_steer_in_turn",
    "rear_steer": "rear_steer_in_turn",
}
"""Names of the table of results of what is told of a turn."""


def _from_feel(names: Sequence[str], case: Case, found: _AnswerParts) -> None:
    """Numbers of both turns; of a lift that does not come, why not."""
    feel, before = case.last.feel, case.found.feel if case.job is not None else None
    for name in names:
        quantity = RESULTS[_OF_TURN[name]]
        for turn in ("left", "right"):
            now: TurnFeel = getattr(feel, turn)
            value = _of_turn(now, name)
            if value is None:
                if name.endswith("lift"):
                    where = show(now.limits.farthest, Kind.ACCELERATION)
                    found.besides.append(f"{turn} turn: {quantity.label}: not up to {where}.")
                continue
            was = None if before is None else _of_turn(getattr(before, turn), name)
            band = now.bands.get(name, 0.0)
            found.numbers.append(AnswerNumber(f"{turn} turn: {quantity.label}", quantity.kind, value, band, was))


def _of_turn(turn: TurnFeel, name: str) -> float | None:
    if name == "front_lift":
        return turn.limits.of_axle(0)
    value: float | None = getattr(turn, name)
    return value


def _from_question(
    recipe: AnswerRecipe, case: Case, asked: tuple[str, Wording], sentence: tuple[str, str], found: _AnswerParts
) -> None:
    """Numbers, remarks and sentences of the question's own tables."""
    kind, told = asked
    tables = told_by_question(recipe, case, kind, told, *sentence)
    found.numbers += tables.numbers
    stays = case.plan.planned.sits.travel == case.plan.found.sits.travel
    # that nothing else moves would mislead of a car that does not come to stand elsewhere
    found.besides += [
        line for line in tables.remarks if not (stays and kind_of(line) is AnswerRemarkKind.NOTHING_MOVES)
    ]
    found.spoken = tables.sentences
    found.surer += tables.lacks
    found.unknown = bool(tables.lacks)


def _stays(told: Wording, case: Case) -> bool:
    """Whether no axle of which another height is asked moves at all: nothing that the car has sets it."""
    plan = case.plan
    moved = (
        plan.planned.sits.travel[axle, side] - plan.found.sits.travel[axle, side]
        for axle in told.lower or {}
        for side in SIDES
    )
    return all(abs(by) < _NEAR for by in moved)


_ASK_FOR_THE_PART = "Nothing that it has sets that height: ask which spring gives it."
_SAY_HOW_MUCH = "What else changes hangs on by how much it is lower or higher: say how much, and ask again."
_SAY_HOW_HEAVY = "How heavy what was taken out is was not said: say it in kg, and ask again."


def _is_not_of_file(one: Riding, case: Case) -> bool:
    """Whether more rides at a place than the car file tells of it, or it has no such place, or something is out."""
    return one.mass < 0 or one.name == FRONT or one.mass > case.car.places[one.name].mass.value + _A_LITTLE_MASS


_A_LITTLE_MASS = 0.5
"""So much more is as heavy as told [kg]."""


def _nothing_rides(told: Wording, case: Case) -> tuple[str, ...]:
    """Why nothing can be told of loads: none is named that the car file has a place for; empty where one is."""
    if told.taken_out and not told.of(AmountUnit.MASS) and not any(named_aboard(told, case)):
        return (_SAY_HOW_HEAVY,)
    if any(True for _ in riding(told, case)):
        return ()
    left, no_place = not_placed(told, case)
    if left or no_place:
        return tuple(_not_counted(left, no_place=no_place))
    return ("The car file has no places for people and luggage. Add places to it, and ask again.",)


def _how_low(case: Case, units: str, found: _AnswerParts) -> None:
    """How low it can go, and what ends it."""
    told = how_low(case.car, case.rules, case.job)
    found.shown = DrawnBeside(case=case, plan=case.plan, changed=False, axles=AXLES, low=told)
    if not told.marks:
        found.verdict.append("Nothing that was measured ends it on the way down that was looked at.")
    else:
        found.verdict += _how_low_said(told, units)
    found.numbers += [AnswerNumber(_mark_called(mark), Kind.LENGTH, mark.at) for mark in told.marks]
    found.surer += [_capital(line.removeprefix("unknown: ")) for line in told.unknown]
    found.besides.append("The car is held at each height on plain springs: its own springs are not asked here.")


def _how_low_said(told: HowLow, units: str) -> Iterator[str]:
    """Where its own dampers and rubbers end, and what ends it with others."""
    parts, first = told.first("parts"), told.marks[0]
    others = next((mark for mark in told.marks if mark.sort != "parts"), None)
    if parts is None or first.sort != "parts":
        yield f"Until {show(first.at, Kind.LENGTH, units)} lower than as found, then:"
        yield first.words
        return
    yield f"With its own dampers and bump rubbers until {show(parts.at, Kind.LENGTH, units)} lower than as found."
    if others is None:
        yield "With others nothing that was measured ends it on the way down that was looked at."
        return
    yield f"With others until {show(others.at, Kind.LENGTH, units)} lower, then:"
    yield others.words


def _mark_called(mark: LowMark) -> str:
    """What a mark tells, without what it was asked by."""
    _, _, asked = mark.words.partition("Asked was: ")
    head = {"parts": "own dampers and rubbers end", "rubs": "rubs"}.get(mark.sort, "ends")
    return f"{head}: {asked.rstrip('?.')}" if asked else mark.words.rstrip(".")


def _by_rules(case: Case, units: str, found: _AnswerParts) -> None:
    """What the shop's own rules say; of any other law nothing."""
    if not case.rules.rules:
        raise InputError(
            "No rules are typed for this shop, and none are taken for granted",
            todo="Ask the inspector, or type the rules.",
        )
    found.checks = list(case.rule_checks)
    failing = [one for one in found.checks if one.verdict is Verdict.FAIL]
    if failing:
        found.verdict += ["Not by the rules that the shop typed:", *_told_of(failing[0], units)]
    else:
        unknown = sum(one.verdict is Verdict.UNKNOWN for one in found.checks)
        found.verdict.append(f"Nothing speaks against it in the {len(found.checks)} rules that the shop typed.")
        if unknown:
            found.verdict.append(f"{unknown} of them lack a measurement.")
    found.besides.append("That is no legal advice: ask the inspector before work begins.")


def _missing(checks: Iterable[Check], document: CarDocument) -> Iterator[str]:
    """What to measure where a check is not known, as the walk round the car calls it, once for both sides.

    What is measured on no walk is told with the check itself.
    """
    asks: dict[str, str] = {}
    for check in checks:
        if check.verdict is Verdict.UNKNOWN and check.asks:
            asks.setdefault(check.asks, check.question)
    for place, question in asks.items():
        name = reading_named(document, place)
        if name:
            yield f"Measure: {name}. It decides: {question}"


def _reading(document: CarDocument, path: str) -> str:
    """A measured number in words: as the walk round the car calls it, with its axle, of a point which way."""
    if path.startswith("change."):  # a part of the job: no walk measures it
        return path_words(path)
    place, _, last = path.rpartition(".")
    way = WAYS_ALONG.get(last, "")
    own = place if way else path
    name = reading_named(document, own) or own.rpartition(".")[2].replace("_", " ")
    end = next((end for end in ("front", "rear") if own.startswith(f"{end}.") and end not in name), "")
    return " ".join(filter(None, (end, f"{name}, {way}" if way else name)))


def _repeat(document: CarDocument, bands: Iterable[Band]) -> Iterator[str]:
    """Which measurement makes the widest of each number's band."""
    causes = [band.causes[0][0] for band in bands if band.causes and band.plus_minus > _LITTLE_SHOWN]
    for path in sorted(set(causes), key=lambda one: (-causes.count(one), one))[:2]:
        yield f"Measure again, more surely: {_reading(document, path)}. It makes most of the ± here."


def _rests(case: Case, bands: Sequence[Band]) -> Iterator[str]:
    """What the numbers rest on: who measured what, and what was taken on trust."""
    measured = case.car.measured
    when = f", measured {measured.date}" if measured.date else ""
    yield f"The car file of {case.name}{when}; {MEANING_OF_SOME[:1].lower()}{MEANING_OF_SOME[1:]}"
    causes = list(dict.fromkeys(path for band in bands for path, _ in band.causes[:1]))[:3]
    if causes:
        yield f"Most of all on: {'; '.join(_reading(case.car, path) for path in causes)}."


def message_of(told: SpokenAnswer, units: str, shop: str = "", said: Callable[[str], str] = str) -> str:
    """The answer to paste into a message.

    Args:
        told: the answer
        units: unit set of its numbers
        shop: name of the shop; empty where it has none
        said: puts each text of the program into the language of the house; what was asked and the shop stay
    """
    lines = [f"{said('You asked')}: {told.question}", "", " ".join(map(said, told.sentences))]
    if told.numbers:
        lines += ["", *(f"- {one.said(units, said)}" for one in told.numbers)]
    if told.steps:
        lines += ["", *(f"- {said(step)}" for step in told.steps)]
    lines += ["", *map(said, (*told.besides, *told.cautions))]
    return "\n".join([*lines, *(["", shop] if shop else [])]).strip() + "\n"


def answer_values(told: SpokenAnswer) -> dict[str, object]:
    """The answer as plain data, SI.

    Args:
        told: the answer
    """
    return {
        "unit_system": "SI",
        "question": told.question,
        "kind": told.kind,
        "understood": told.understood,
        "known": told.known,
        "near": [{"kind": one, "title": KINDS[one]} for one in told.near],
        "verdict": told.verdict,
        "numbers": [
            {"name": one.label, "kind": one.kind.value, "value": one.value, "plus_minus": one.band, "found": one.found}
            for one in told.numbers
        ],
        "checks": list(told.checks),
        "steps": list(told.steps),
        "rests_on": list(told.rests),
        "surer_by": list(told.surer),
        "besides": list(told.besides),
        "cautions": list(told.cautions),
        "page": told.page,
    }

"""Which reading to take next: what makes an answer surer, in which order, in how many minutes, and what does not."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from functools import lru_cache
from math import tau

from jounce.car.file.inputs import measured
from jounce.car.file.quantity import suggestion
from jounce.case.case import Case
from jounce.conventions.certainty import MEANING
from jounce.conventions.errors import InputError, JounceError
from jounce.conventions.units import MM, show
from jounce.fit.car_fit import CarFit, fit_car
from jounce.fit.car_values import at_values
from jounce.fit.planning import FileNumber, NextReading, Planning, SoughtAnswer
from jounce.fit.readings import ReadingPlace
from jounce.fit.readings_file import ReadingsFile, parse_readings
from jounce.fit.unknowns import unknowns
from jounce.job.answer_table import Answer, AnswerTable
from jounce.job.remark import AnswerRemark, AnswerRemarkKind
from jounce.measuring.once_more import file_numbers
from jounce.questions.fit import READINGS, taken_as_exact
from jounce.questions.question import Asked, Question, Whole, Written
from jounce.questions.sought import asked_shortly, sought_answers

__all__ = ["QUESTION", "form_of", "one_answer", "planning_of"]

_USUAL = "Each with its usual ± and minutes of work: common practice, no source."
_MEANS = f"{MEANING}. {_USUAL} Named by what they bring in a minute; one that is named twice is read twice."
_SHOWN = 3
"""So many answers to one short question are told."""
_NEW_PARTS = 0.5
"""New parts are spoken of where they alone make such a share of the band that is left [-]."""


def _answer(asked: Asked) -> Sequence[AnswerTable]:
    given = asked.files("readings")
    planning = planning_of(asked.case, given)
    name, count = asked.case.name, asked.count("count") or 1
    wanted = asked.word("answer")
    if not wanted:
        return [_overview(planning, name, asked.units)]
    numbers, absent = _numbered(planning.answers, " ".join(wanted.split()))
    if not numbers:
        why = f"This cannot be worked out: {planning.lacking}" if planning.lacking else absent
        return [AnswerTable(f"{name}: what to read next", (), (), (why,))]
    return [
        one_answer(planning, number, (name, asked.units), count, meaning=number == numbers[-1]) for number in numbers
    ]


def _numbered(answers: Sequence[SoughtAnswer], wanted: str) -> tuple[Sequence[int], str]:
    """Numbers of the answers that are asked for, by name, by title, or as people ask; what is said where there is none."""
    for k, one in enumerate(answers):
        if wanted.casefold() in (one.name.casefold(), one.title.casefold()):
            return [k], ""
    short = asked_shortly(wanted)
    if short is not None:
        return short.answered_by(answers)[:_SHOWN], short.absent
    words = [word for one in answers for word in (one.title, one.name)]
    raise InputError("There is no such answer", found=f'"{wanted}"', todo=suggestion(wanted, words))


@lru_cache(maxsize=8)
def planning_of(case: Case, given: tuple[tuple[str, str], ...]) -> Planning:
    """What may be read next on a car, for all that is asked of it, or of the job on it.

    Args:
        case: the car or the job
        given: name and text of a readings file; none where nothing was read yet

    Raises:
        InputError: the readings do not belong to the car
    """
    file = parse_readings(given[0][1], given[0][0]) if given else ReadingsFile()
    fit = fit_car(case.car, file.readings, file.wider)
    if not fit.belongs:
        raise InputError(
            "The readings do not belong to this car, so none can be planned from them",
            todo="Ask fit which of them do not suit.",
        )
    known = {one.path for one in fit.inputs}
    others = [one for one in unknowns(case.car, file.wider) if one.path not in known]
    if case.job is not None:
        others += [one for one in measured(case.last.varies.every_input) if one.path.startswith("change.")]
    inputs = [replace(one, value=float(value)) for one, value in zip(fit.inputs, fit.used.values, strict=True)]
    more: tuple[SoughtAnswer, ...] = ()
    lacking = ""
    try:
        more = sought_answers(_fitted(case, fit), [*inputs, *others])
    except JounceError as error:  # what the fit itself tells is planned for all the same
        lacking = str(error)
    unsure = {one.path for one in (*inputs, *others)}
    again = tuple(one for one in file_numbers(case.car) if one.path in unsure)
    return Planning(fit, tuple(others), more, again, lacking)


def _fitted(case: Case, fit: CarFit) -> Case:
    """The case with the numbers that suit the readings; itself where nothing was read."""
    if not fit.readings:
        return case
    return Case(at_values(case.car, fit.inputs, fit.used.values), case.job, case.rules)


def form_of(place: ReadingPlace | FileNumber) -> Mapping[str, str]:
    """What the form of a reading is to be filled with; of a number of the car's file, which it is.

    Args:
        place: what is to be read
    """
    if isinstance(place, FileNumber):
        return {"number": place.path}
    asks = {"what": place.what, "at": " ".join(filter(None, (place.axle, place.side)))}
    if place.bump:
        asks["bump"] = f"{place.bump / MM:g} mm"
    if place.load:
        asks["load"] = f"{place.load:g} kg"
    return asks


def one_answer(
    planning: Planning, number: int, of: tuple[str, str], count: int, *, meaning: bool = True
) -> AnswerTable:
    """Readings for one answer, one after the other.

    Args:
        planning: what may be read
        number: of the answer
        of: name of the car, and unit set of the sentences
        count: how many readings
        meaning: whether it is said what a ± means and where the minutes come from
    """
    name, units = of
    one, steps = planning.answers[number], planning.steps(number, count)
    if steps and show(steps[-1].band, one.kind, units) == show(float(planning.bands[number]), one.kind, units):
        steps = []  # nobody would see what they bring
    rows = tuple(
        Answer(
            f"{k}. {step.place.words(units)}",
            one.kind,
            (f"{step.minutes:.0f} min", step.band),
            step.said,
            form=form_of(step.place),
        )
        for k, step in enumerate(steps, start=1)
    )
    said = (
        *_said(planning, number, steps, units),
        *(filter(None, (taken_as_exact(planning.fit), _MEANS)) if meaning else ()),
    )
    return AnswerTable(f"{name}: what to read next for {one.title}", ("work", "sure to ±"), rows, said)


def _said(planning: Planning, number: int, steps: Sequence[NextReading], units: str) -> Iterator[str]:
    one, now = planning.answers[number], float(planning.bands[number])
    if steps:
        then, was = show(steps[-1].band, one.kind, units), show(now, one.kind, units)
        minutes = sum(step.minutes for step in steps)
        yield f"Together, in {minutes:.0f} minutes, they make {one.title} sure to ±{then}; now it is ±{was}."
        yield from _in_teeth(one, (now, steps[-1].band))
    elif now:
        yield f"Nothing that a garage can read makes it surer than it is by what is told: ±{show(now, one.kind, units)}."
    else:
        yield "No number with a ± reaches it: give what was measured its ±, and it is told what to read."
        return
    yield (
        f"{planning.idle(number)} of the {len(planning.may_be_read)} readings that were looked at do not matter to it: "
        "each alone takes less than a hundredth from its ±."
    )
    of_parts = planning.of_new_parts(number)
    if of_parts > _NEW_PARTS * (steps[-1].band if steps else now) > 0:
        yield (
            f"± {show(of_parts, one.kind, units)} of it comes from the new parts alone: measure them before they are "
            "fitted, or ask their maker."
        )


def _in_teeth(one: SoughtAnswer, bands: tuple[float, float]) -> Iterator[str]:
    """A bar's band in teeth of its arm."""
    if one.splines:
        now, then = (band * one.splines / tau for band in bands)
        yield f"That is ±{then:.2f} teeth of {one.splines} instead of ±{now:.2f}."


def _overview(planning: Planning, name: str, units: str) -> AnswerTable:
    """For each answer the reading that brings most in a minute."""
    rows = []
    for k, one in enumerate(planning.answers):
        steps, now = planning.steps(k, 1), float(planning.bands[k])
        told = f"{steps[0].place.words(units)} ({steps[0].minutes:.0f} min)" if steps else "nothing"
        form = form_of(steps[0].place) if steps else {}
        rows.append(Answer(one.title, one.kind, (now, steps[0].band if steps else now, told), key=one.name, form=form))
    best = "; ".join(place.words(units) for place in planning.for_everything(3))
    said: list[str] = (
        [AnswerRemark(f"For everything together read next: {best}.", AnswerRemarkKind.CHOSEN)] if best else []
    )
    said += filter(None, (taken_as_exact(planning.fit),))
    said.append(f"{MEANING}. {_USUAL} Ask for one answer by its name to be told several readings in order.")
    return AnswerTable(f"{name}: what to read next", ("sure to ±", "then ±", "read next"), tuple(rows), tuple(said))


QUESTION = Question(
    about="Which reading a garage should take next on a car: for each answer the one that makes it surer by most in a "
    "minute; for one answer several in order, what it is sure to after each, and how many do not matter. Of a job, for "
    "heights, teeth and wheel lift of the planned car.",
    asks=(
        READINGS,
        Written(
            "answer", 'for which answer: "how low", "which teeth", "wheel lift", "front bump steer"; all when left out'
        ),
        Whole("count", "how many readings, for one answer", 5, 1, 20),
    ),
    answer=_answer,
)

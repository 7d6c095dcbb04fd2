"""Which reading to take next: what makes an answer surer, in which order, in how many minutes, and what does not."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from jounce.car.file.quantity import suggestion
from jounce.conventions.certainty import MEANING
from jounce.conventions.errors import InputError
from jounce.conventions.units import show
from jounce.fit.planning import NextReading, Planning
from jounce.job.answer_table import Answer, AnswerTable
from jounce.job.remark import AnswerRemark, AnswerRemarkKind
from jounce.questions.fit import READINGS, fit_of
from jounce.questions.question import Asked, Question, Whole, Written

__all__ = ["QUESTION"]

_USUAL = "Each with its usual ± and minutes of work: common practice, no source."


def _answer(asked: Asked) -> Sequence[AnswerTable]:
    fit = fit_of(asked)
    if not fit.belongs:
        raise InputError(
            "The readings do not belong to this car, so none can be planned from them",
            todo="Ask fit which of them do not suit.",
        )
    planning, name, count = Planning(fit), asked.case.name, asked.count("count") or 1
    wanted = asked.word("answer")
    if not wanted:
        return [_overview(planning, name, asked.units)]
    names = [one.name for one in fit.answers]
    titles = {one.title: one.name for one in fit.answers}
    wanted = titles.get(" ".join(wanted.split()), wanted)
    if wanted not in names:
        raise InputError("There is no such answer", found=f'"{wanted}"', todo=suggestion(wanted, [*titles, *names]))
    return [_one(planning, names.index(wanted), (name, asked.units), count)]


def _one(planning: Planning, number: int, of: tuple[str, str], count: int) -> AnswerTable:
    """Readings for one answer, one after the other."""
    name, units = of
    one, steps = planning.fit.answers[number], planning.steps(number, count)
    rows = tuple(
        Answer(
            f"{k}. {step.place.words(units)}",
            one.kind,
            (f"{step.place.kind.minutes:.0f} min", step.band),
            step.place.kind.said,
        )
        for k, step in enumerate(steps, start=1)
    )
    label = one.title
    said = tuple(_said(planning, number, steps, (label, units)))
    return AnswerTable(f"{name}: what to read next for {label}", ("work", "sure to ±"), rows, said)


def _said(planning: Planning, number: int, steps: Sequence[NextReading], of: tuple[str, str]) -> Iterator[str]:
    label, units = of
    kind = planning.fit.answers[number].kind
    now = float(planning.fit.sure_after.plus_minus[number])
    if steps:
        then, was = show(steps[-1].band, kind, units), show(now, kind, units)
        minutes = sum(step.place.kind.minutes for step in steps)
        yield f"Together, in {minutes:.0f} minutes, they make {label} sure to ±{then}; now it is ±{was}."
    else:
        yield "Nothing that a garage can read makes it surer."
    yield (
        f"{planning.idle(number)} of the {len(planning.places)} readings that were looked at do not matter to it: each "
        "alone takes less than a hundredth from its ±."
    )
    yield f"{MEANING}. {_USUAL} Named by what they bring in a minute; one that is named twice is read twice."


def _overview(planning: Planning, name: str, units: str) -> AnswerTable:
    """For each answer the reading that brings most in a minute."""
    rows = []
    for k, one in enumerate(planning.fit.answers):
        steps = planning.steps(k, 1)
        now = float(planning.fit.sure_after.plus_minus[k])
        told = f"{steps[0].place.words(units)} ({steps[0].place.kind.minutes:.0f} min)" if steps else "nothing"
        rows.append(Answer(one.title, one.kind, (now, steps[0].band if steps else now, told), key=one.name))
    best = "; ".join(place.words(units) for place in planning.for_everything(3))
    said: list[str] = (
        [AnswerRemark(f"For everything together read next: {best}.", AnswerRemarkKind.CHOSEN)] if best else []
    )
    said.append(f"{MEANING}. {_USUAL} Ask for one answer by its name to be told several readings in order.")
    return AnswerTable(f"{name}: what to read next", ("sure to ±", "then ±", "read next"), tuple(rows), tuple(said))


QUESTION = Question(
    about="Which reading a garage should take next on a car: for each answer the one that makes it surer by most in a "
    "minute; for one answer several in order, what it is sure to after each, and how many do not matter.",
    asks=(
        READINGS,
        Written("answer", 'for which answer: "front bump steer"; all of them when left out'),
        Whole("count", "how many readings, for one answer", 5, 1, 20),
    ),
    answer=_answer,
)

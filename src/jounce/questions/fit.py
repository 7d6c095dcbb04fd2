"""A car fitted to what a garage read on it: each reading beside the model, and how sure the answers are then."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import log

from jounce.car.file.inputs import all_inputs
from jounce.car.file.walk import path_words
from jounce.conventions.certainty import DEVIATIONS_TYPED, MEANING, SHOWN_PER_TYPED
from jounce.conventions.units import show
from jounce.fit.car_fit import CarFit, fit_car
from jounce.fit.fitted_file import fitted_before
from jounce.fit.kinds import KINDS
from jounce.fit.planning import NextReading, Planning
from jounce.fit.readings import ReadingPlace
from jounce.fit.readings_file import ReadingsFile, parse_readings
from jounce.fit.told_apart import learned
from jounce.job.answer_table import Answer, AnswerTable
from jounce.questions.damper_share import damper_shares
from jounce.questions.hidden_parts import hidden_parts
from jounce.questions.question import Asked, Content, Question

__all__ = ["ONE_OF_THEM", "QUESTION", "READINGS", "SHARED", "best_next", "fit_of", "fit_tables", "taken_as_exact"]

READINGS = Content("readings", "readings file: what was read, at which height, its ±", option="readings")

_HOW = "Write down what was read, each with its ±, and give the file: toe and camber at several heights, a mass put on, ..."
SHARED = (
    "An error that readings share is not found: tyres that scrub without turn plates, dry friction, a gauge that is off. "
    "All suit one another then, and the ± do not hold. Put the wheels on turn plates or rock the car, read up and down, "
    "take the mean."
)
"""What no fit finds."""
SIDES_APART = (
    "It was read on the other side too. If both readings are right, left and right of this car differ: write the two sides "
    "apart in the car file, which has them as one."
)
"""Of a reading that the other side contradicts."""
ONE_OF_THEM = "One of them is off, and the others cannot tell which: all of them are left out."
"""Of readings that accuse each other."""
_TWICE = 3.0
"""A reading is to be taken twice where an error of so many times its ± would not be seen."""
_NAMED = 4
_SURER = 1.05
"""A ± that has become smaller by less is told as what it was."""


def fit_of(asked: Asked) -> CarFit:
    """The car as found, fitted to the readings that were given.

    Args:
        asked: the question
    """
    given = asked.files("readings")
    file = parse_readings(given[0][1], given[0][0]) if given else ReadingsFile()
    return fit_car(asked.case.car, file.readings, file.wider)


def _answer(asked: Asked) -> Sequence[AnswerTable]:
    return fit_tables(fit_of(asked), asked.case.name, asked.units)


def fit_tables(fit: CarFit, name: str, units: str, *, hidden: bool = True) -> Sequence[AnswerTable]:
    """A fit in tables: what was read beside the model, then the answers as sure as they are.

    Args:
        fit: the fit
        name: of the car
        units: unit set of the sentences
        hidden: whether hidden parts are told below them
    """
    if not fit.readings:
        dampers = [said for _, said, _ in damper_shares(fit)] if fit.beside else []
        said = (_HOW, SHARED, *dampers, taken_as_exact(fit), _words(_next(fit, units)))
        return [_answers(fit, f"{name}, to be read", _written(said))]
    read = AnswerTable(
        f"{name}: what was read",
        ("read", "by its file", "fitted", "how it suits"),
        tuple(_rows(fit, units)),
        tuple(_of_readings(fit, units)),
    )
    if not fit.belongs:
        return [read]
    parts = [one.said for one in hidden_parts(fit, units)] if hidden else []
    said = (*parts, *_of_knowledge(fit), taken_as_exact(fit), SHARED, _words(_next(fit, units)))
    return [read, _answers(fit, f"{name}: what is known then", _written(said))]


def _written(said: Sequence[str]) -> tuple[str, ...]:
    return tuple(filter(None, said))


def _words(said: Iterator[str]) -> str:
    return " ".join(said)


def _rows(fit: CarFit, units: str) -> Iterator[Answer]:
    fitted, kinds = fit.model_after, [one.at.what for one in fit.readings]
    for k, reading in enumerate(fit.readings):
        how = reading.at.kind.said if kinds.index(reading.at.what) == k else ""  # told once
        yield Answer(
            reading.at.words(units),
            reading.at.kind.kind,
            (reading.value, float(fit.model_before.values[k]), float(fitted[k]), _suits(fit, k)),
            how,
            reading.note,
            bands=(reading.plus_minus * SHOWN_PER_TYPED, None, None, None),
        )

    for reading in fit.beside:
        yield Answer(
            reading.at.words(units),
            reading.at.kind.kind,
            (reading.value, None, None, "beside the fit"),
            reading.at.kind.said,
            reading.note,
            bands=(reading.plus_minus * SHOWN_PER_TYPED, None, None, None),
        )


def _suits(fit: CarFit, number: int) -> str:
    """How a reading suits all others, in words; its ± with theirs is what is left open."""
    times = abs(float(fit.apart[number])) / DEVIATIONS_TYPED
    if number in fit.left_out:
        return f"{times:.1f} times its ±: left out"
    return "suits" if times <= 1 else f"{times:.1f} times its ±"


def _of_readings(fit: CarFit, units: str) -> Iterator[str]:
    judgement = fit.of_used
    yield (
        f"{MEANING}. A reading suits where it misses what all others say of it by no more than its ± and theirs; of sound "
        "ones 95 in 100 do."
    )
    if not fit.belongs:
        yield (
            f"Something here does not belong to this car: the squares of what is off add up to {judgement.chi_square:.0f}, "
            f"and in 999 of 1000 sound cars they stay below {judgement.most:.0f}. Nothing is told from it. Look for "
            "a wrong sign or height, another car's sheet, and left and right that differ where the file writes both as one."
        )
    elif len(fit.left_out) == 1:
        off = fit.readings[fit.left_out[0]].at
        others = "what all others say of it" if len(fit.readings) > 1 else "what the car file says of it"
        yield f"Read again: {off.words(units)} misses {others}; it is left out."
        if _read_on_the_other_side(fit, off):
            yield SIDES_APART
    elif fit.left_out:
        each = [fit.readings[k] for k in fit.left_out]
        named = [f"{one.at.words(units)} ({show(one.value, one.at.kind.kind, units)})" for one in each]
        yield f"Read again: {_listed(named)}. {ONE_OF_THEM}"
    alone = fit.with_all.readings.deviations
    for reading, smallest, deviation in zip(fit.readings, fit.judgement.smallest_seen, alone, strict=True):
        if smallest * deviation > _TWICE * reading.plus_minus:
            size = show(float(smallest * deviation), reading.at.kind.kind, units)
            yield f"Take this one twice: an error in {reading.at.words(units)} would be seen from {size} only."
    again = [one.at.words(units) for one in fit.readings if _in_file(one.at)]
    if again:
        yield f"In the car file as well: {', '.join(again)}. Give it here only if it was read once more."
    before = fitted_before(fit.document)
    if before:
        yield f"{before} numbers of this car file were fitted before: the readings of that time must not be given again."


def taken_as_exact(fit: CarFit) -> str:
    """A sentence on heights and scales of the car's file that state no ±; empty where all do.

    Args:
        fit: the fit
    """
    moved = {one.path for one in fit.inputs}
    exact = [
        path_words(one.path)
        for one in all_inputs(fit.document)
        if one.path.startswith(_BY_TAPE) and not one.plus_minus and one.path not in moved
    ]
    if not exact:
        return ""
    return (
        f"Taken as exact, since the car's file states no ±: {'; '.join(exact)}. No tape and no scale is: give them "
        "their ±, or what rests on them is told as surer than it is."
    )


_BY_TAPE = ("heights.", "mass.front_", "mass.rear_")


def _read_on_the_other_side(fit: CarFit, place: ReadingPlace) -> bool:
    return any(one.at != place and replace(one.at, side=place.side) == place for one in fit.readings)


def _in_file(place: ReadingPlace) -> bool:
    return place.what in ("height", "scale", "camber", "toe", "tyre-rate") and not (place.bump or place.aboard)


def _of_knowledge(fit: CarFit) -> Iterator[str]:
    told = learned(fit.used)
    yield (
        f"{len(fit.used.readings.values)} readings teach {told.count:.1f} of {len(fit.inputs)} numbers that may be off; "
        "the rest is as sure as before. What was fitted is one consistent set, not so many measured numbers."
    )
    for group in told.alike:
        yield f"These readings cannot tell apart {_numbers(fit, group)}."
    alike = [set(group) for group in told.alike]
    mixed = [one for one in told.directions if len(one.parts) > 1 and {k for k, _ in one.parts} not in alike]
    for one in mixed[:_NAMED]:
        yield f"Known together, not singly: {_numbers(fit, [k for k, _ in one.parts])}."


def _numbers(fit: CarFit, numbers: Sequence[int]) -> str:
    """Numbers of the car file in words, which have commas of their own."""
    return "; ".join(path_words(fit.inputs[k].path) for k in numbers)


def _listed(names: Sequence[str]) -> str:
    return " and ".join(filter(None, (", ".join(names[:-1]), names[-1])))


def _answers(fit: CarFit, title: str, said: Sequence[str]) -> AnswerTable:
    before, after = fit.sure_before, fit.sure_after
    rows = []
    for k, one in enumerate(fit.answers):
        wide, narrow = float(before.plus_minus[k]), float(after.plus_minus[k])
        values: tuple[float | str, ...] = (float(before.values[k]),)
        bands: tuple[float | None, ...] = (wide,)
        if fit.readings:
            values = (*values, float(after.values[k]), _surer(wide, narrow))
            bands = (*bands, narrow, None)
        rows.append(Answer(one.title, one.kind, values, bands=bands))
    columns = ("by its file", "fitted", "surer by") if fit.readings else ("by its file",)
    return AnswerTable(title, columns, tuple(rows), tuple(said))


def _surer(wide: float, narrow: float) -> str:
    if not narrow:
        return "no ± stated"
    return f"{wide / narrow:.1f} times" if wide / narrow >= _SURER else "no surer"


def best_next(fit: CarFit) -> tuple[int, NextReading] | None:
    """The answer, by number, that one reading makes surer by most in a minute, and that reading; None where none does.

    Args:
        fit: the fit
    """
    planning, now = Planning(fit), fit.sure_after.plus_minus
    best: tuple[float, int, NextReading] | None = None
    for k, band in enumerate(now):
        for step in planning.steps(k, 1):
            gain = log(float(band) / step.band) / step.minutes
            if best is None or gain > best[0]:
                best = (gain, k, step)
    return None if best is None else best[1:]


def _next(fit: CarFit, units: str) -> Iterator[str]:
    """The same in a sentence."""
    best = best_next(fit)
    if best is not None:
        k, step = best
        one, now = fit.answers[k], fit.sure_after.plus_minus
        then, was = (show(value, one.kind, units) for value in (step.band, float(now[k])))
        yield (
            f"Read next: {step.place.words(units)} ({step.minutes:.0f} minutes). The {one.title} "
            f"would then be known to ±{then} instead of ±{was}."
        )


QUESTION = Question(
    about="A car's numbers fitted to what a garage read on it: each reading beside the model, how sure spring rates, bump "
    "steer and the rest are then, which reading is suspect, and what to read next. The car as found; "
    f"{len(KINDS)} kinds of readings, each with its ±.",
    asks=(READINGS,),
    answer=_answer,
)

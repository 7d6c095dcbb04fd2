"""A bounced car beside its file: spring, damping and dry friction of an axle by a phone that lay on the sill."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import hypot, pi, sqrt
from pathlib import PurePath

from jounce.behaviour.axle.static import StaticWheel, axle_sits
from jounce.behaviour.bands import Band
from jounce.case.case import CaseState
from jounce.checks.dampers import heave_ratios
from jounce.conventions.axes import End
from jounce.conventions.certainty import MEANING
from jounce.conventions.quantities import RESULTS
from jounce.conventions.units import Kind, show
from jounce.job.answer_table import Answer, AnswerTable, answer
from jounce.layouts.naming import SIDES
from jounce.questions.for_readings import for_readings
from jounce.questions.of_axle import AXLE
from jounce.questions.question import ALL_STATES, Asked, Content, Question
from jounce.recordings.bounce import MOST_DAMPED, Bounce, bounced
from jounce.recordings.free_swing import Underneath
from jounce.recordings.sensor_csv import Recording, parse_recording

__all__ = ["QUESTION"]

_HOW = (
    "Lay the phone flat on the sill above the axle, tyres at pressure, the handbrake off and the wheels chocked; record "
    "acceleration at 100 Hz or more; push the body down, let go, wait until it stands still; six times. Give the file."
)


_RATIO, _RATIO_IS = "damping ratio in heave", "c / (2 √(k m)), dry friction left out"


@dataclass(frozen=True, slots=True)
class _OfFile:
    """What the car's file says of an axle: each wheel's mean, and bands that hold nine of ten by the rows' names."""

    mass: float
    tyre: float
    unsprung: float
    values: Mapping[str, float]
    bands: Mapping[str, float | None]
    ratio: float | None


_ROWS = ("suspension_frequency", "wheel_rate", "ride_frequency")


def _answer(asked: Asked) -> Sequence[AnswerTable]:
    axle, given = asked.word("axle"), asked.files("recording")
    tables = []
    for one in asked.states:
        title, file = f"{asked.case.name}, as {one.title}: {axle} axle", _of_file(one, axle)
        if not given:
            tables.append(AnswerTable(f"{title}, to be bounced", ("by its file",), tuple(_known(file)), (_HOW,)))
            continue
        name, text = given[0]
        recording = parse_recording(text)
        found = bounced(recording, Underneath(file.tyre / file.mass, file.unsprung / file.mass))
        rows = tuple(_beside(found, file))
        remarks = tuple(_remarks(found, recording, rows[0], (name, axle), asked.units))
        tables.append(AnswerTable(f"{title}, bounced", ("bounced", "by its file"), rows, remarks))
    return tables


def _of_file(one: CaseState, axle: str) -> _OfFile:
    model = next(model for model in one.models if model.name == axle)
    wheels = [axle_sits(model, one.places[axle]).wheels[side] for side in SIDES]
    bands = {name: [one.bands.get(f"{axle}.{side}.{name}") for side in SIDES] for name in _ROWS}
    return _OfFile(
        mass=_mean(wheels, "sprung_mass"),
        tyre=1 / (1 / _mean(wheels, "ride_rate") - 1 / _mean(wheels, "wheel_rate")),
        unsprung=one.document.mass.unsprung(End(axle)).value,
        values={name: _mean(wheels, name) for name in _ROWS},
        bands={name: _mean_width(each) for name, each in bands.items()},
        ratio=heave_ratios(one.document, one.standing)[axle],
    )


def _mean(wheels: Sequence[StaticWheel], name: str) -> float:
    return float(sum(getattr(wheel, name) for wheel in wheels) / len(wheels))


def _mean_width(bands: Sequence[Band | None]) -> float | None:
    wide = [band.plus_minus for band in bands if band is not None]
    return sum(wide) / len(wide) if wide else None


def _known(file: _OfFile) -> Iterator[Answer]:
    for name in _ROWS:
        yield answer(RESULTS[name], (file.values[name],), (file.bands[name],))
    yield Answer(_RATIO, Kind.RATIO, (file.ratio,), _RATIO_IS)


def _beside(found: Bounce, file: _OfFile) -> Iterator[Answer]:
    """What was bounced beside the file; rates follow from the frequency by the file's masses and tyres."""
    frequency = found.frequency
    rate = file.mass * (2 * pi * frequency.value) ** 2
    rate_wide = 2 * rate * frequency.plus_minus / frequency.value
    ride = rate * file.tyre / (rate + file.tyre)
    with_tyre = sqrt(ride / file.mass) / (2 * pi)
    with_tyre_wide = with_tyre * rate_wide * (ride / rate) ** 2 / (2 * ride)
    told = ((frequency.value, frequency.plus_minus), (rate, rate_wide), (with_tyre, with_tyre_wide))
    for name, (value, wide) in zip(_ROWS, told, strict=True):
        yield answer(RESULTS[name], (value, file.values[name]), (wide, file.bands[name]))
    swings: float | str = f"more than {MOST_DAMPED:g}" if found.well_damped else found.ratio.value
    wide_ratio = None if found.well_damped else found.ratio.plus_minus
    yield Answer(_RATIO, Kind.RATIO, (swings, file.ratio), _RATIO_IS, bands=(wide_ratio, None))
    yield Answer(
        "dry friction at each wheel",
        Kind.FORCE,
        (found.friction.value * file.mass, None),
        bands=(found.friction.plus_minus * file.mass, None),
    )


def _remarks(found: Bounce, recording: Recording, first: Answer, of: tuple[str, str], units: str) -> Iterator[str]:
    """What has to be said of the pushes of a file, of an axle."""
    file, axle = of
    good = sum(not push.why_not for push in found.pushes)
    yield f"{good} of {len(found.pushes)} pushes of {PurePath(file).name} agree, {recording.rate:.0f} samples a second."
    yield f"{MEANING}: by the spread of the pushes, and by what such a model may say wrongly."
    yield from recording.remarks
    for number, push in enumerate(found.pushes, start=1):
        if push.why_not:
            yield f"Push {number}, at {push.start:.1f} s, was left out: {push.why_not}."
    yield _verdict(first, units)
    yield for_readings("spring-frequency", found.frequency, units, axle)
    if found.well_damped:
        yield f"Well damped, more than {MOST_DAMPED:g}: the body hardly swings, so no number is told for it."
    else:
        yield for_readings("damping-ratio", found.ratio, units, axle)
    yield (
        "The tyre's rate and the masses are those of the file. Scrubbing tyres without turn plates, or a person on the "
        "sill, change all of it alike and are not seen here."
    )


def _verdict(first: Answer, units: str) -> str:
    """Whether what was bounced and what the file says can both be true."""
    measured, told = (float(value) for value in first.values if isinstance(value, float))
    apart, wide = measured - told, hypot(*(band or 0.0 for band in first.bands))
    if abs(apart) <= wide:
        return f"Springs alone, both agree within {show(wide, Kind.FREQUENCY, units)}: the file's spring is borne out."
    way = "faster" if apart > 0 else "slower"
    why = "stiffer" if apart > 0 else "softer"
    by, times = show(abs(apart), Kind.FREQUENCY, units), abs(apart) / wide
    return (
        f"The body swings {by} {way} on its springs than its file says, {times:.1f} times what both ± leave open: the "
        f"springs are {why}, or the weight over the axle is another. Measure what the wheel rate hangs on most."
    )


QUESTION = Question(
    about="A car bounced by hand with a phone on its sill, beside what its file says: frequency on its springs, wheel "
    "rate, damping ratio and dry friction, each with its ±, from the CSV of any sensor recorder.",
    asks=(
        ALL_STATES,
        AXLE,
        Content(
            "recording", "CSV of a sensor recorder: time and three accelerations", option="recording", recorded=True
        ),
    ),
    answer=_answer,
)

"""A car driven round a circle beside its file: how much it leans and what it asks of the steering wheel, by whole laps."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import hypot, sqrt
from pathlib import PurePath

from jounce.behaviour.axle.everything import everything_at
from jounce.behaviour.road.feel import TurnFeel
from jounce.car.file.quantity import Measured
from jounce.case.case import CaseState
from jounce.conventions.certainty import DEVIATIONS_TYPED, MEANING
from jounce.conventions.errors import Impossible, InputError
from jounce.conventions.quantities import RESULTS
from jounce.conventions.units import Kind, show
from jounce.job.answer_table import Answer, AnswerTable, answer
from jounce.questions.for_readings import for_readings
from jounce.questions.question import ALL_STATES, Asked, Content, Number, Question, Written
from jounce.recordings.circle import Aboard, CircleDrive, DrivenLaps, Unsure, circled, of_felt
from jounce.recordings.laps import felt_laps
from jounce.recordings.sensor_csv import parse_recording
from jounce.recordings.watched_laps import watched

__all__ = ["QUESTION"]

_USUAL_SPEED = 4.0  # m/s² across: for which a speed is told beforehand
_USUAL_RADIUS = 30.0  # m
_RADIUS_OFF = (
    0.005  # ± as typed, where none was given: a circle marked by a tape and cones (common practice, no source)
)
_SCALES_OFF = 0.005  # ± as typed, of one axis of a phone's sensor to another (common practice, no source)
_NOT_THE_RADIUS = 0.03  # a sensor's own size of what it feels says another radius
_BENT = 3.0  # deviations
_WAYS = {"left": 1.0, "right": -1.0}

_RADIUS = Number(
    "radius",
    Kind.LENGTH,
    'radius that the middle of the car was driven on: "30 m ± 0.1 m"',
    (),
    5.0,
    200.0,
    banded=True,
)
_HOW = (
    "Mark a circle, its radius by tape to 0.3 in 100. Fix the phone in the car; record acceleration and gyroscope into one "
    "file. Stand on the line 3 s, drive two or three whole laps at each of four even speeds from walking pace up, stop on "
    "the line facing the same way, stand 3 s. The same to the other side, into a second file. Without such a phone: a "
    "helper takes the time of whole laps, and somebody outside the lean by a camera on a level tripod."
)
_CAUTION = (
    "On closed ground only, with its owner's leave, never on a public road. Seat belts on, nothing loose in the car; a "
    "helper watches the ground, keeps everybody out of it and may stop the run. Warm tyres, one speed after the other "
    "from slow; end where a tyre squeals, a wheel gets light or anything is heard."
)
_STANDARD = (
    "Driven and told after ISO 4138, constant radius (quoted from memory): gradients per lateral acceleration. Whole laps "
    "alone, left and right together, so that the slope of the ground and the lean of the sensor fall out."
)


@dataclass(frozen=True, slots=True)
class _CircleGiven:
    """What was driven: the circle's radius [m] and its ±, the drive, and what has to be said of its laps."""

    radius: float
    found: CircleDrive
    remarks: tuple[str, ...]


def _answer(asked: Asked) -> Sequence[AnswerTable]:
    driven = _driven(asked)
    tables = []
    for one in asked.states:
        title = f"{asked.case.name}, as {one.title}"
        turns = (one.feel.left, one.feel.right)
        ratio = _steering_ratio(one)
        if driven is None:
            rows = tuple(_known(turns, ratio))
            tables.append(AnswerTable(f"{title}, to be driven round a circle", ("by its file",), rows, _before(asked)))
            continue
        rows = tuple(_beside(driven.found, turns, ratio))
        said = tuple(_remarks(driven, rows, ratio, asked.units))
        tables.append(AnswerTable(f"{title}, driven round a circle", ("driven", "by its file"), rows, said))
    return tables


def _before(asked: Asked) -> tuple[str, ...]:
    given = asked.measured("radius")
    radius = _value(given[0])[0] if given else _USUAL_RADIUS
    speed, across = sqrt(_USUAL_SPEED * radius), show(_USUAL_SPEED, Kind.ACCELERATION, asked.units)
    most = show(speed, Kind.DRIVING_SPEED, asked.units)
    circle = f"On a radius of {radius:g} m {most} are {across} across: no faster."
    return (_HOW, circle, _CAUTION, _STANDARD)


def _value(given: float | Measured) -> tuple[float, float]:
    """Value and ± as typed."""
    return (given.value, given.plus_minus) if isinstance(given, Measured) else (given, 0.0)


def _driven(asked: Asked) -> _CircleGiven | None:
    """What was given of a drive; None where nothing was."""
    texts = asked.texts("laps")
    recorded = [(way, *asked.files(way)[0]) for way in _WAYS if asked.files(way)]
    if not texts and not recorded:
        return None
    given = asked.measured("radius")
    if not given:
        raise InputError("The radius of the circle is missing", allowed='such as "30 m ± 0.1 m"', todo="Measure it.")
    radius, wide = _value(given[0])
    _RADIUS.checked(radius, "radius", asked.units)
    if texts and recorded:
        raise InputError("Recordings and laps by the watch are both given", todo="Ask for each by itself.")
    share = (wide / radius or _RADIUS_OFF) / DEVIATIONS_TYPED
    if recorded:
        laps, remarks = _of_recordings(recorded, radius)
        return _CircleGiven(
            radius, circled(laps, "sensor", Unsure(share, _SCALES_OFF / DEVIATIONS_TYPED)), tuple(remarks)
        )
    laps, told_by = _of_watch(texts, radius, asked.units)
    scales = _SCALES_OFF / DEVIATIONS_TYPED if told_by == "sensor" else 0.0
    return _CircleGiven(radius, circled(laps, told_by, Unsure(share, scales)), ())


def _of_watch(texts: Sequence[str], radius: float, units: str) -> tuple[list[DrivenLaps], Aboard]:
    found = [watched(text, radius, units) for text in texts]
    told: set[Aboard] = {by for _, by in found if by is not None}
    if len(told) > 1:
        raise InputError("Roll and tilt are both told", todo="Give one of them: seen from outside, or shown aboard.")
    return [laps for laps, _ in found], next(iter(told), "outside")


def _of_recordings(recorded: Sequence[tuple[str, str, str]], radius: float) -> tuple[list[DrivenLaps], list[str]]:
    drives, remarks = [], []
    for way, file, text in recorded:
        recording, name = parse_recording(text), f"The recording to the {way}"
        drive = felt_laps(recording, name)
        if drive.turn != _WAYS[way]:
            raise Impossible(f"{name} turns the other way: the files may be exchanged.")
        count = f"{len(drive.laps)} of {drive.driven} laps"
        remarks += [f"{PurePath(file).name}, to the {way}: {count} were driven at an even speed.", *recording.remarks]
        drives.append(drive)
    return of_felt(drives, radius), remarks


def _steering_ratio(one: CaseState) -> float | None:
    """Steering-wheel angle per steer angle in front, straight ahead; None where the file does not tell it."""
    _, columns = everything_at(one.document, one.models[0], one.places["front"])
    found = columns.get("steering_ratio")
    return None if found is None else float(found[0])


def _both(turns: Sequence[TurnFeel], name: str) -> tuple[float | None, float | None]:
    """A number of both turns by the file, with its band."""
    told = [getattr(turn, name) for turn in turns]
    if any(value is None for value in told):
        return None, None
    bands = [turn.bands[name] for turn in turns if name in turn.bands]
    return sum(told) / len(told), sum(bands) / len(bands) if bands else None


def _known(turns: Sequence[TurnFeel], ratio: float | None) -> Iterator[Answer]:
    value, band = _both(turns, "roll_gradient")
    yield answer(RESULTS["roll_gradient"], (value,), (band,))
    understeer, _ = _both(turns, "understeer_gradient")
    if understeer is not None:
        yield answer(RESULTS["understeer_gradient"], (understeer,))
    if ratio is not None:
        yield answer(RESULTS["steering_ratio"], (ratio,))


def _beside(found: CircleDrive, turns: Sequence[TurnFeel], ratio: float | None) -> Iterator[Answer]:
    """What was driven beside the file: means of left and right."""
    if found.roll is not None:
        value, band = _both(turns, "roll_gradient")
        yield answer(RESULTS["roll_gradient"], (found.roll.value, value), (found.roll.plus_minus, band))
    if found.steering is not None:
        steering, (understeer, _) = found.steering, _both(turns, "understeer_gradient")
        yield Answer(
            "steering-wheel angle per lateral acceleration",
            Kind.ANGLE_PER_ACCELERATION,
            (steering.value, None if understeer is None or ratio is None else understeer * ratio),
            "slope over lateral acceleration, radius kept; what the radius itself asks for is not in it",
            "ISO 4138",
            bands=(steering.plus_minus, None),
        )
        if ratio is not None:
            told, wide = steering.value / ratio, steering.plus_minus / ratio
            yield answer(RESULTS["understeer_gradient"], (told, understeer), (wide, None))


def _remarks(driven: _CircleGiven, rows: Sequence[Answer], ratio: float | None, units: str) -> Iterator[str]:
    found = driven.found
    ways = [sum(one.turn == turn for one in found.laps) for turn in _WAYS.values()]
    yield from driven.remarks
    across = [one.across for one in found.laps]
    slow, fast = (show(one, Kind.ACCELERATION, units) for one in (min(across), max(across)))
    yield f"{ways[0]} times to the left and {ways[1]} to the right count, from {slow} to {fast} across."
    yield f"{MEANING}: by the scatter of the laps and by what they share, the ± of the radius and of a sensor's scale."
    if found.fast:
        yield f"{found.fast} were left out: too fast for a car to lean and steer in proportion."
    if found.roll is not None:
        yield _verdict(rows[0], units)
        yield for_readings("roll-gradient", found.roll, units)
    if abs(found.bent) > _BENT:
        yield (
            "The lean does not grow in proportion from straight ahead: dry friction, a bump rubber, or a tilt that was not "
            "read alike both ways. The gradient is that of the line from straight ahead."
        )
    off = found.radius_felt
    if off is not None and abs(off) > _NOT_THE_RADIUS:
        way = "larger" if off > 0 else "smaller"
        yield (
            f"By the size of what the sensor felt, which needs no radius, the radius would be {abs(off):.0%} {way}: "
            "measure it again, and lay the phone on each of its sides to see whether it tells the same weight."
        )
    if found.steering is not None and ratio is None:
        yield "The car file does not tell the steering ratio: the understeer gradient at the road wheels is not told."
    yield "The file's numbers are of the car as it was weighed: put into it who and what was aboard in the drive."
    yield _STANDARD
    yield _CAUTION


def _verdict(row: Answer, units: str) -> str:
    """Whether the driven roll and the file's can both be true."""
    measured, told = row.values[0], row.values[1]
    if not isinstance(measured, float) or not isinstance(told, float):
        return "The file's own roll gradient was not worked out: the car does not rest so far."
    apart, wide = measured - told, hypot(*(band or 0.0 for band in row.bands))
    if abs(apart) <= wide:
        return f"Both agree within {show(wide, row.kind, units)}: the file's roll stiffness is borne out."
    way = "more" if apart > 0 else "less"
    return (
        f"The car leans {show(abs(apart), row.kind, units)} {way} than its file says, {abs(apart) / wide:.1f} times what "
        "both ± leave open: springs, anti-roll bars, tyres, or the height of the centre of gravity are others."
    )


QUESTION = Question(
    about="A car driven round a marked circle in whole laps both ways, on closed ground, beside what its file says: roll "
    "gradient, and the understeer gradient where the steering wheel's angle was read, each with its ±; from the CSV "
    "of any sensor recorder, or by a watch.",
    asks=(
        ALL_STATES,
        _RADIUS,
        Content("left", "CSV of a recorder, laps to the left: time, accelerations, gyroscope", option="left"),
        Content("right", "the same of laps to the right", option="right"),
        Written("laps", 'by the watch, in place of them: "left 3 laps 41.2 s roll 2.1 deg steer 95 deg"', many=True),
    ),
    answer=_answer,
)

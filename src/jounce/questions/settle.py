"""The car as it sits: loads, rates, frequencies, roll stiffness, what each spring carries and how sure that is."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import asdict

from jounce.behaviour.axle.static import StaticAxle, StaticWheel, axle_sits
from jounce.behaviour.bands import Band
from jounce.car.file.document import CarDocument
from jounce.car.file.walk import path_words
from jounce.car.mechanics.layout_input import SIDE_OF
from jounce.car.mechanics.model import AXLES
from jounce.car.mechanics.torsion_bars import torsion_bar
from jounce.case.case import CaseState
from jounce.conventions.axes import ENDS
from jounce.conventions.certainty import MEANING
from jounce.conventions.quantities import RESULTS
from jounce.conventions.units import Kind, show
from jounce.job.answer_table import Answer, AnswerTable, answer
from jounce.layouts.naming import SIDES
from jounce.questions.bars_at_rest import bar_sentences, bar_values, bars_at_rest
from jounce.questions.question import ALL_STATES, Asked, Question
from jounce.questions.springs_at_rest import spring_sentences, spring_values, stacks_at_rest, turns_of_seats
from jounce.questions.weighing import CORNERS

__all__ = ["QUESTION"]

_WHEELS = tuple((axle, side) for axle in AXLES for side in SIDES)
_NEVER = "none"
_BOTH = "both wheels rising together"


def _axles(one: CaseState) -> dict[str, StaticAxle]:
    return {model.name: axle_sits(model, one.places[model.name]) for model in one.models}


def _share(axles: Mapping[str, StaticAxle]) -> float:
    front, rear = (axles[axle].roll_stiffness for axle in AXLES)
    return front / (front + rear)


def _stresses(document: CarDocument, axles: Mapping[str, StaticAxle]) -> dict[str, float]:
    """Shear stress of each torsion bar at rest [Pa], by axle and side."""
    return {
        f"{end} {side}": float(torsion_bar(bar).shear_stress(axles[end].wheels[side].spring_force)[0])
        for end in ENDS
        for side in SIDES
        if (bar := getattr(document.axle(end).side(SIDE_OF[side]), "torsion_bar", None)) is not None
    }


def _answer(asked: Asked) -> Sequence[AnswerTable]:
    return [table for one in asked.states for table in _tables(asked.case.name, one, asked.units)]


def _tables(name: str, one: CaseState, units: str) -> list[AnswerTable]:
    axles, document = _axles(one), one.document
    bars = bars_at_rest(document, (one.models[0], one.models[1]), one.places)
    stacks = stacks_at_rest(one.models, one.places)
    seats = turns_of_seats(document, (one.models[0], one.models[1])) if one.title == "found" else ()
    wheels = AnswerTable(
        f"{name}, as {one.title}",
        CORNERS,
        (*_wheel_rows(axles, one.bands), *_spring_rows(document, axles)),
        (
            "Loose at a droop of: both wheels from here; none: still loaded at the end of the linkage, or 300 mm down.",
            *spring_sentences(stacks, seats, units),
        ),
    )
    roll = AnswerTable(
        f"{name}, as {one.title}: roll stiffness",
        AXLES,
        tuple(_roll_rows(axles, one.bands)),
        (
            f"Front share of the roll stiffness: {_share(axles):.1%} (tyres excluded).",
            *bar_sentences(bars, document, units),
            *_sureness(one.bands, units),
        ),
    )
    return [wheels, roll]


_FIGURES = (
    *("load", "sprung_mass", "wheel_rate", "one_wheel_rate", "ride_rate"),
    *("ride_frequency", "suspension_frequency", "loose_at"),
)


def _wheel_rows(axles: Mapping[str, StaticAxle], bands: Mapping[str, Band]) -> Iterator[Answer]:
    for name in _FIGURES:
        values = [getattr(axles[axle].wheels[side], name) for axle, side in _WHEELS]
        cells = tuple(_NEVER if value is None else float(value) for value in values)
        widths = tuple(_width(bands, f"{axle}.{side}.{name}") for axle, side in _WHEELS)
        yield answer(RESULTS[name], cells, widths if any(widths) else ())


def _width(bands: Mapping[str, Band], key: str) -> float | None:
    return bands[key].plus_minus if key in bands else None


def _spring_rows(document: CarDocument, axles: Mapping[str, StaticAxle]) -> Iterator[Answer]:
    """What each main spring carries: of a torsion bar a torque, its wind-up and stress, of another force and length."""
    stresses = _stresses(document, axles)
    wheels = {f"{axle} {side}": axles[axle].wheels[side] for axle, side in _WHEELS}

    def row(name: str, kind: Kind, value: Callable[[str, StaticWheel], float], how: str = "", *, bar: bool) -> Answer:
        cells = tuple(value(at, wheel) if (at in stresses) is bar else "" for at, wheel in wheels.items())
        return Answer(name, kind, cells, how)

    if stresses:
        yield row("torsion bar: torque", Kind.TORQUE, lambda _, wheel: wheel.spring_force, bar=True)
        yield row("torsion bar: wound up", Kind.ANGLE, lambda _, wheel: wheel.wound_up, bar=True)
        yield row("torsion bar: shear stress", Kind.STRESS, lambda at, _: stresses[at], bar=True)
    if len(stresses) < len(wheels):
        yield row("spring: force", Kind.FORCE, lambda _, wheel: wheel.spring_force, bar=False)
        yield row("spring: compressed", Kind.LENGTH, lambda _, wheel: wheel.wound_up, bar=False)
        yield row("spring: motion ratio", Kind.RATIO, lambda _, wheel: wheel.motion_ratio, _BOTH, bar=False)


def _roll_rows(axles: Mapping[str, StaticAxle], bands: Mapping[str, Band]) -> Iterator[Answer]:
    whole = tuple(axles[axle].roll_stiffness for axle in AXLES)
    widths = tuple(_width(bands, f"{axle}.roll_stiffness") for axle in AXLES)
    yield answer(RESULTS["roll_stiffness"], whole, widths)
    for part in dict.fromkeys(name for axle in AXLES for name in axles[axle].roll_parts):
        values = tuple(axles[axle].roll_parts.get(part, "") for axle in AXLES)
        yield Answer(f"  of it {part}", Kind.ROLL_STIFFNESS, values)


def _sureness(bands: Mapping[str, Band], units: str) -> Iterator[str]:
    """How sure the main results are, and what to measure again."""
    yield f"How sure, and what it hangs on most ({MEANING}):"
    for key, label, kind in (
        ("front.left.wheel_rate", "front wheel rate", Kind.SPRING_RATE),
        ("rear.left.wheel_rate", "rear wheel rate", Kind.SPRING_RATE),
        ("front.left.ride_frequency", "front ride frequency", Kind.FREQUENCY),
        ("rear.left.ride_frequency", "rear ride frequency", Kind.FREQUENCY),
        ("front.roll_centre_height", "front roll centre", Kind.LENGTH),
        ("rear.roll_centre_height", "rear roll centre", Kind.LENGTH),
    ):
        if key in bands:
            found = [(path_words(path), show(abs(change), kind, units)) for path, change in bands[key].causes[:2]]
            causes = "; ".join(f"{words} (± {own})" for words, own in found)
            yield f"{label} ± {show(bands[key].plus_minus, kind, units)}: {causes or 'no ± stated'}."


def _values(asked: Asked) -> object:
    """Everything in SI, for other programs; of both states each by its title."""
    told = {one.title: _told(one) for one in asked.states}
    return told if len(told) > 1 else next(iter(told.values()))


def _told(one: CaseState) -> dict[str, object]:
    axles, models = _axles(one), (one.models[0], one.models[1])
    seats = turns_of_seats(one.document, models) if one.title == "found" else ()
    return {
        "unit_system": "SI",
        "front": asdict(axles["front"]),
        "rear": asdict(axles["rear"]),
        "stress_pa": _stresses(one.document, axles),
        "roll_bars": bar_values(bars_at_rest(one.document, models, one.places)),
        **spring_values(stacks_at_rest(models, one.places), seats),
        "bands": {key: asdict(band) for key, band in one.bands.items()},
        "front_share_of_roll_stiffness": _share(axles),
    }


QUESTION = Question(
    about="Preloads, wheel rates, frequencies, roll stiffness, twist and stress of the car where it stands.",
    asks=(ALL_STATES,),
    answer=_answer,
    values=_values,
)

"""Tables of parts that give what is wanted: today beside the car with the part in, and what may be wanted."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from math import isfinite

import numpy as np

from jounce.behaviour.axle.reach import rubbers_pressed
from jounce.car.mechanics.layout_input import SIDE_OF
from jounce.car.mechanics.model import AXLES, AxleName
from jounce.conventions.axes import CORNERS, ENDS
from jounce.conventions.errors import JounceError
from jounce.conventions.units import MM, Kind, show
from jounce.job.answer_table import Answer, AnswerTable
from jounce.job.remark import AnswerRemark, AnswerRemarkKind
from jounce.questions.past_the_end import past_the_end
from jounce.wanted.answered import WishAnswer
from jounce.wanted.anti_roll_bars import roll_angle
from jounce.wanted.damper_ends import full_travel, rubber_share
from jounce.wanted.helpers import compressed_hanging
from jounce.wanted.panhard_rods import axle_shift
from jounce.wanted.seek import PartNumber, PartWish
from jounce.wanted.stood import Stood
from jounce.wanted.tie_rods import bump_steer
from jounce.wanted.work_car import WorkCar

__all__ = ["as_it_stands", "part_table"]

_PRESSED = 0.05 * MM
_NOTHING_YET = (
    "Nothing is wanted yet: this is what may be, as it is today, beside the height of either axle and the lateral "
    "acceleration at which its inner wheel lifts. Each wish is answered by the part that gives it."
)


def part_table(
    whose: str, answer: WishAnswer, work: WorkCar, today: Stood, units: str, before: str = "today"
) -> AnswerTable:
    """One wish: what gives it, what the car then does, beside how it is today.

    Args:
        whose: car, state and axle
        answer: what came out
        work: the car
        today: it at rest
        units: unit set of what is said
        before: what the car without the part is called
    """
    wish = answer.wish
    title = f"{whose}, {wish.name} {show(wish.wanted, wish.kind, units)}"
    if answer.way:
        title += f", by {answer.way}"
    part, found, now = answer.part, answer.found, _read(wish.read, today)
    columns = (before, "wanted" if found is None else "with it", *(fit.tried.code for fit in answer.shelf))
    told = [fit.value for fit in answer.shelf]
    if part is None or found is None or found.value is None or found.stood is None:
        rows = [Answer(wish.name, wish.kind, (now, wish.wanted, *told))]
        if part is not None:
            own = [fit.tried.number for fit in answer.shelf]
            rows.append(Answer(part.name, part.kind, (_known(part.today), "cannot", *own)))
        return AnswerTable(title, columns, tuple(rows), (answer.cannot,))
    stood, value = found.stood, found.value
    rows = [
        Answer(wish.name, wish.kind, (now, _read(wish.read, stood), *told), "as wanted"),
        *_part_rows(answer, part, value, stood),
        *_standing(work, (today, stood, *(fit.stood for fit in answer.shelf))),
    ]
    remarks = [slope_sentence(wish, part, found.slope, units), *part.says(value, units), *_cautions(stood, units)]
    if answer.shelf:
        remarks.append(_OF_THE_SHELF)
    return AnswerTable(title, columns, tuple(rows), tuple(remarks))


_OF_THE_SHELF = (
    "Of the shelf: what gives the nearest less and the nearest more of what is wanted. Bars are taken in the shape of the "
    "one in the car. Whether a part fits is not looked at here."
)


def _part_rows(answer: WishAnswer, part: PartNumber, value: float, stood: Stood) -> Iterator[Answer]:
    """The part's number and what else it has, with those of the shelf."""
    tried = [fit.tried for fit in answer.shelf]
    yield Answer(part.name, part.kind, (_known(part.today), value, *(one.number for one in tried)), "what gives it")
    own = list(part.also(value, stood))
    told = [fit.figures for fit in answer.shelf]
    others = {figure.name: figure.kind for one in told for figure in one}
    kinds = {figure.name: figure.kind for figure in own} | others
    needed = {figure.name: figure.value for figure in own}
    counted = {figure.name for one in (own, *told) for figure in one if figure.counted}
    for name, kind in kinds.items():
        cells = [next((figure.value for figure in one if figure.name == name), "") for one in told]
        values = ("", _known(needed[name]) if name in needed else "", *cells)
        yield Answer(name, kind, values, counted=name in counted)


def slope_sentence(wish: PartWish, part: PartNumber, slope: float, units: str) -> str:
    """What one step of the part's number does, in words.

    Args:
        wish: what is wanted
        part: what gives it
        slope: change of what is wanted per unit of the part's number [SI]
        units: unit set

    """
    if not isfinite(slope):
        return "What one step more does cannot be told: the car does not stand with it."
    change = slope * part.step
    words = wish.moves[0] if change >= 0 else wish.moves[1]
    grown, moved = (
        part.grows.format(show(part.step, part.kind, units)),
        words.format(show(abs(change), wish.kind, units)),
    )
    return f"{grown} {moved}; from whole cars put to rest with a little more and a little less."


def as_it_stands(title: str, today: Stood, across: float, units: str) -> AnswerTable:
    """What may be wanted of both axles, as it is today.

    Args:
        title: car and state
        today: the car at rest
        across: lateral acceleration of the corner whose roll is told [m/s²]
        units: unit set

    """

    def row(name: str, kind: Kind, of_axle: Callable[[AxleName], float]) -> Answer:
        return Answer(name, kind, tuple(_read(lambda _, axle=axle: of_axle(axle), today) for axle in AXLES))  # type: ignore[misc]

    rows = (
        row("ride frequency, with tyre", Kind.FREQUENCY, lambda axle: today.of_wheels(axle, "ride_frequency")),
        row("wheel rate", Kind.SPRING_RATE, lambda axle: today.of_wheels(axle, "wheel_rate")),
        row("bump steer", Kind.RATIO_ANGLE, lambda axle: bump_steer(axle)(today)),
        row("axle's middle to the left by", Kind.LENGTH, lambda axle: axle_shift(axle)(today)),
        row("bump travel until metal ends it", Kind.LENGTH, lambda axle: full_travel(today, axle, "bump")[0]),
        row("share of the bump travel before the rubber", Kind.SHARE, lambda axle: rubber_share(axle)(today)),
        row("droop travel until metal ends it", Kind.LENGTH, lambda axle: full_travel(today, axle, "droop")[0]),
        row("springs compressed at full droop by", Kind.LENGTH, lambda axle: compressed_hanging(axle)(today)),
        Answer("front share of the roll stiffness", Kind.SHARE, (today.front_share, "")),
        Answer("roll in a corner", Kind.ANGLE, (_read(roll_angle(across), today), "")),
    )
    remarks = (
        _NOTHING_YET,
        f"The corner is one of {show(across, Kind.ACCELERATION, units)}.",
    )
    return AnswerTable(f"{title}: what may be wanted", AXLES, rows, remarks)


def _read(read: Callable[[Stood], float], stood: Stood) -> float | str:
    """A number, or that the car has none such."""
    try:
        value = read(stood)
    except (JounceError, KeyError):
        return "none"
    return value if isfinite(value) else "none"


def _known(value: float | None) -> float | None:
    """The number; None where it is not known or the linkage does not reach so far."""
    return None if value is None or not isfinite(value) else float(value)


def _standing(work: WorkCar, cars: Sequence[Stood]) -> Iterator[Answer]:
    """Heights, rates, frequencies and balance of the same car with different parts."""
    for axle, side in CORNERS:
        height = work.document.heights.corner(ENDS[AXLES.index(axle)], SIDE_OF[side]).value
        values = tuple(height - stood.sits.travel[axle, side] for stood in cars)
        yield Answer(f"{axle} {side} height, wheel centre to arch", Kind.LENGTH, values)
    for name, kind, figure in (
        ("wheel rate", Kind.SPRING_RATE, "wheel_rate"),
        ("ride frequency", Kind.FREQUENCY, "ride_frequency"),
    ):
        for axle in AXLES:
            yield Answer(f"{axle} {name}", kind, tuple(stood.of_wheels(axle, figure) for stood in cars))
    yield Answer("front share of the roll stiffness", Kind.SHARE, tuple(stood.front_share for stood in cars))
    yield Answer("cross weight", Kind.SHARE, tuple(stood.sits.cross_share for stood in cars))


def _cautions(stood: Stood, units: str) -> Iterator[str]:
    """Wheels past the end of their travel or on their rubbers."""
    travel = np.array([[stood.sits.travel[corner] for corner in CORNERS]]).reshape(1, 2, 2)
    yield from past_the_end(stood.car, travel)
    for axle, on_body in zip(AXLES, stood.car.axles, strict=True):
        for side, pressed in rubbers_pressed(on_body.axle, stood.states(axle)).items():
            if pressed > _PRESSED:
                told = f"The {axle} {side} wheel then stands {show(pressed, Kind.LENGTH, units)} in its bump rubber."
                yield AnswerRemark(told, AnswerRemarkKind.IN_RUBBER, axle)

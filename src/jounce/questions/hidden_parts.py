"""Parts that nobody has seen, told from what was read around them: bar, index, coil, roll stiffness, damper; or not told.

A part is told where the readings have made its number at least twice as sure as the file was, and sure to a fifth of it;
both limits are the program's own. Damping has limits of its own (`jounce.questions.damper_share`).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import tau

from jounce.car.file.document import CarDocument
from jounce.car.mechanics.model import AxleName
from jounce.conventions.axes import End, Side
from jounce.conventions.units import show
from jounce.fit.answers import AskedAnswer
from jounce.fit.car_fit import CarFit
from jounce.questions.damper_share import damper_shares

__all__ = ["HiddenPart", "hidden_parts"]

_SURER = 2.0
_SHARE = 0.2
_WORDS = ("main_rate", "wound_up", "roll_stiffness")


@dataclass(frozen=True, slots=True)
class HiddenPart:
    """A hidden part in one sentence, and whether it was told at all."""

    name: str
    said: str
    told: bool


def hidden_parts(fit: CarFit, units: str) -> list[HiddenPart]:
    """What the readings say of the parts that nobody sees.

    Args:
        fit: the car fitted to readings that belong to it
        units: unit set of the sentences
    """
    return [*_of_answers(fit, units), *_of_dampers(fit)]


def _of_answers(fit: CarFit, units: str) -> Iterator[HiddenPart]:
    before, after = fit.sure_before, fit.sure_after
    for k, one in enumerate(fit.answers):
        if one.word not in _WORDS or one.axle is None:
            continue
        wide, narrow, value = float(before.plus_minus[k]), float(after.plus_minus[k]), float(after.values[k])
        if not wide:
            continue  # nobody said that it is not known
        name = f"{one.axle} {_name(fit.document, one.axle, one)}"
        if narrow * _SURER > wide or narrow > _SHARE * abs(value):
            said = (
                f"The {name} cannot be told from these readings: ± {show(narrow, one.kind, units)} is left of "
                f"± {show(wide, one.kind, units)}."
            )
            yield HiddenPart(name, said, told=False)
            continue
        by_file = show(float(before.values[k]), one.kind, units)
        said = f"The {name} is {show(value, one.kind, units)} ± {show(narrow, one.kind, units)}; by the file {by_file}."
        teeth = _teeth(fit.document, one.axle, (value, narrow)) if one.word == "wound_up" else ""
        yield HiddenPart(name, f"{said}{teeth}", told=True)


def _name(document: CarDocument, axle: AxleName, one: AskedAnswer) -> str:
    """What the part is called; the bar inside a beam is what its axle's roll stiffness is mostly made of."""
    if one.word == "roll_stiffness" and getattr(document.axle(End(axle)), "inner_bar", None) is not None:
        return f"{one.label} (the bar in the beam's tube)"
    return one.label


def _teeth(document: CarDocument, axle: AxleName, told: tuple[float, float]) -> str:
    """A bar's twist in teeth of its arm: its index."""
    splines = _splines(document, axle)
    if splines is None:
        return ""
    value, narrow = (number / (tau / splines) for number in told)
    return f" That is {value:.1f} ± {narrow:.1f} teeth of {splines}."


def _splines(document: CarDocument, axle: AxleName) -> int | None:
    bar = getattr(document.axle(End(axle)).side(Side.LEFT), "torsion_bar", None)
    return None if bar is None else bar.splines_arm


def _of_dampers(fit: CarFit) -> Iterator[HiddenPart]:
    for name, said, told in damper_shares(fit):
        yield HiddenPart(name, said, told)

"""Anti-roll bars of a standing car: what each is, what winds it at rest, the play of its links."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass
from textwrap import fill
from typing import Any

import numpy as np

from jounce.behaviour.axle.anti_roll_bars import StaticAntiRollBar, anti_roll_bars_at_rest
from jounce.behaviour.axle.motions import AxleStates
from jounce.behaviour.road.freed_bars import loads_when_freed
from jounce.behaviour.road.of_document import car_of
from jounce.car.file.document import CarDocument
from jounce.car.mechanics.model import AxleModel
from jounce.car.mechanics.torsion_bars import inner_bar_in_series
from jounce.conventions.axes import ENDS, Corner
from jounce.conventions.units import DEG, Kind, show

_TOGETHER = (
    "counted beside the first bar, each through a link end of its own: the two rates add; where both ends sit on one ball "
    "joint they hold each other and are stiffer together than told"
)
_FELT = 5.0
"""A bar that puts less than this under a wheel at rest is called free [N]."""
_WORDS = {"roll_bar": "anti-roll bar", "roll_bar_2": "second anti-roll bar"}


@dataclass(frozen=True, slots=True)
class ShownBar:
    """A bar of an axle at rest; ``freed`` is the change of the wheel loads when it is freed, None where it is free [N]."""

    axle: str
    bar: StaticAntiRollBar
    freed: Mapping[Corner, float] | None


def bars_at_rest(
    document: CarDocument, models: tuple[AxleModel, AxleModel], states: Mapping[str, AxleStates] | None = None
) -> tuple[ShownBar, ...]:
    """All bent anti-roll bars of a car.

    Args:
        document: the car
        models: front and rear axle, complete with their main springs
        states: where each axle stands and what is adjusted, as found when left out
    """
    settings = {
        name: float(np.ravel(v)[0]) for one in (states or {}).values() for name, v in (one.settings or {}).items()
    }
    car = car_of(document, *models, settings)
    shown = []
    for end, model in zip(ENDS, models, strict=True):
        for bar in anti_roll_bars_at_rest(document.axle(end), model, None if states is None else states[model.name]):
            wound = max(map(abs, bar.wheel_load.values())) >= _FELT
            freed = loads_when_freed(car, model.name, bar) if wound else None
            shown.append(ShownBar(model.name, bar, freed))
    return tuple(shown)


def bar_values(bars: Sequence[ShownBar]) -> dict[str, Any]:
    """The same in SI, for other programs."""
    return {
        f"{shown.axle}.{shown.bar.name}": asdict(shown.bar)
        | {"load_change_when_freed": {" ".join(corner): load for corner, load in (shown.freed or {}).items()}}
        for shown in bars
    }


def bar_paragraphs(bars: Sequence[ShownBar], units: str, indent: int = 0) -> Iterable[str]:
    """Paragraphs on each bar, for the screen.

    Args:
        bars: the bars at rest
        units: unit set
        indent: how far the paragraphs are moved in [-]

    """
    for shown in bars:
        for depth, text in _lines(shown, units):
            first = " " * (indent + 2 * depth)
            yield fill(text, 80, initial_indent=first, subsequent_indent=first + "  ")


def bar_sentences(bars: Sequence[ShownBar], document: CarDocument, units: str) -> Iterable[str]:
    """One sentence on each bar, those inside a beam's tube too.

    Args:
        bars: the bars at rest
        document: the car
        units: unit set

    """
    for shown in bars:
        yield "; ".join(text for _, text in _lines(shown, units)) + "."
    for text in _inner(document, units):
        yield f"{text}."


def inner_bar_paragraphs(document: CarDocument, units: str, indent: int = 0) -> Iterable[str]:
    """A paragraph on each bar inside a beam's tube that does not give alone: its rate and each part's share of the give.

    Args:
        document: the car
        units: unit set
        indent: how far the paragraphs are moved in [-]

    """
    for text in _inner(document, units):
        yield fill(text, 80, initial_indent=" " * indent, subsequent_indent=" " * (indent + 2))


def _inner(document: CarDocument, units: str) -> Iterable[str]:
    for end in ENDS:
        bar = getattr(document.axle(end), "inner_bar", None)
        whole = None if bar is None else inner_bar_in_series(bar)
        if whole is not None and whole.others:
            shares = ", ".join(f"{part} {float(np.ravel(share)[0]):.0%}" for part, share in whole.shares.items())
            rate = show(float(np.ravel(whole.rate)[0]), Kind.TORSIONAL_RATE, units)
            yield f"{end} inner bar: {rate}; of its give {shares}"


def _lines(shown: ShownBar, units: str) -> Iterable[tuple[int, str]]:
    """Each paragraph with its depth."""
    bar = shown.bar

    how = "straight-arm formula" if bar.formula else "frame along its centre line"
    head = f"{shown.axle} {_WORDS[bar.name]}: {show(bar.rate, Kind.TORSIONAL_RATE, units)} over its arms ({how}"
    if not bar.formula:
        head += f"; straight arms {bar.formula_rate / bar.steel_rate - 1:+.1%}"
    others = [f"{share:.0%} of the give in the {part}" for part, share in bar.shares.items() if part != "bar"]
    stress = show(bar.stress_per_roll * DEG, Kind.STRESS, units)
    yield 0, "; ".join([head + ")", *others, f"{stress} at most per degree of roll"])
    loads = ", ".join(f"{side} {show(load, Kind.FORCE, units, sign=True)}" for side, load in bar.wheel_load.items())
    if shown.freed is not None:
        wound = f"wound {show(bar.twist, Kind.ANGLE, units)} at rest: {show(abs(bar.torque), Kind.TORQUE, units)}, "
        yield 1, f"{wound}{show(bar.peak_stress, Kind.STRESS, units)}; under the wheels {loads}"
        lengths = " or ".join(
            f"the {side} link {show(bar.free_link_length[side], Kind.LENGTH, units)} long (is "
            f"{show(bar.link_length[side], Kind.LENGTH, units)})"
            for side in bar.link_length
        )
        yield 1, f"free as the car stands with {lengths}"
        moved = ", ".join(
            f"{axle} {side} {show(load, Kind.FORCE, units, sign=True)}" for (axle, side), load in shown.freed.items()
        )
        yield 1, f"the wheel loads then change by {moved}"
    elif bar.torque:
        yield 1, f"as good as free at rest: under the wheels {loads}"
    if bar.name == "roll_bar_2":
        yield 1, _TOGETHER
    if bar.free_roll is not None:
        low, high = (show(roll, Kind.ANGLE, units) for roll in bar.free_roll)
        yield 1, f"play of the links: without effect from {low} to {high} of roll"

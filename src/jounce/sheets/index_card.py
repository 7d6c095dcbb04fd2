"""The index card of a job's torsion bars: what is set at the splines, and what to measure before and after loading."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from jounce.conventions.axes import Corner
from jounce.conventions.units import Kind, show, unit_of
from jounce.job.index.hanging import read_at
from jounce.job.index.marks import IndexSetting
from jounce.job.index.plan import BarIndex
from jounce.job.index.words import which_way

_BLANK = "________"


def index_card(found: Mapping[Corner, BarIndex], units: str) -> dict[str, Any]:
    """Head, rows and a note of the card, as texts.

    Args:
        found: how each bar is indexed
        units: unit set to show
    """
    length = unit_of(Kind.LENGTH, units).symbol
    points = sorted({read_at(one.hanging_point) if one.hanging_point else "arm" for one in found.values()})
    named = {name: found[corner] for corner, name in bar_names(found).items()}
    head = [
        "",
        "teeth at arm",
        "at anchor",
        "bolt turns",
        f"hanging free [{length}]",
        "measured",
        f"loaded height [{length}]",
        "measured",
    ]
    return {
        "head": head,
        "rows": [_row(name, one, units) for name, one in named.items()],
        "note": " ".join((_note(points), *_ways(named), *_steps(found, units), *_pressed(named, units))),
    }


def bar_names(found: Iterable[Corner]) -> dict[Corner, str]:
    """What each bar is called: by its side, and by its axle where both axles have bars.

    Args:
        found: where the bars are
    """
    corners = list(found)
    both = len({axle for axle, _ in corners}) > 1
    return {(axle, side): f"{axle} {side}" if both else side for axle, side in corners}


def signed(count: int) -> str:
    """A number of teeth with its sign; none at 0.

    Args:
        count: the number
    """
    return f"{count:+d}" if count else "0"


def teeth_told(index: IndexSetting) -> tuple[str, str]:
    """What is set at the arm and at the anchor, from the old marks: teeth, or the turn to mark out where none are known.

    Args:
        index: the pair of teeth
    """
    if index.splined:
        return signed(index.arm_teeth), signed(index.anchor_teeth)
    return f"mark {_degrees(index.wanted)}", "–"


def _row(name: str, one: BarIndex, units: str) -> list[str]:
    index = one.chosen
    teeth = teeth_told(index)
    bolt = "–" if one.bolt_step is None else f"{index.bolt_turns:+.2f}"
    wide = f" ± {_number(one.hanging_band, units)}" if one.hanging_band else ""
    hanging = "–" if one.hanging is None else f"{_number(one.hanging, units, sign=True)}{wide}"
    band = f" ± {_number(one.height_band, units)}" if one.height_band else ""
    return [name, *teeth, bolt, hanging, _BLANK, f"{_number(one.expected_height, units)}{band}", _BLANK]


def _note(points: Sequence[str]) -> str:
    return (
        "Teeth and turns count from the old marks. Hanging free, before loading: "
        f"{' or '.join(points)} over (−: under) the line through the arm's two inner pivots, straight across from "
        "it, the body level from side to side. Loaded: wheel centre to arch, rolled and bounced. Each ± holds 9 of 10."
    )


def _ways(named: Mapping[str, BarIndex]) -> Iterator[str]:
    for name, one in named.items():
        yield f"{name.capitalize()}: {which_way(one)}"


def _pressed(named: Mapping[str, BarIndex], units: str) -> Iterator[str]:
    for name, one in named.items():
        if one.pressed:
            yield (
                f"STOP: on the {name} the car then stands {show(one.pressed, Kind.LENGTH, units)} into its bump rubber; do "
                "not set it like this."
            )


def _steps(found: Mapping[Corner, BarIndex], units: str) -> Iterator[str]:
    """What one step more gives, where it is known."""
    axles = list(dict.fromkeys(axle for axle, _ in found))
    for axle in axles:
        step = next((one.step for (at, _), one in found.items() if at == axle and one.step is not None), None)
        place = f", {axle}" if len(axles) > 1 else ""
        if step is None:
            yield f"Spline counts unknown{place}."
        else:
            yield f"Smallest step{place}, teeth on at one end and back at the other: {show(step, Kind.LENGTH, units)}."


def _degrees(turn: float) -> str:
    return show(turn, Kind.ANGLE, sign=True)


def _number(value: float, units: str, *, sign: bool = False) -> str:
    return show(value, Kind.LENGTH, units, sign=sign).partition(" ")[0]

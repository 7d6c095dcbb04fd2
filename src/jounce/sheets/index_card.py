"""The index card of a job's torsion bars: what is set at the splines, and what to measure before and after loading."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from jounce.conventions.units import Kind, show, unit_of
from jounce.job.index.marks import IndexSetting
from jounce.job.index.plan import BarIndex
from jounce.job.index.words import which_way
from jounce.layouts.naming import SideName

_BLANK = "________"


def index_card(found: Mapping[SideName, BarIndex], units: str) -> dict[str, Any]:
    """Head, rows and a note of the card, as texts.

    Args:
        found: how each bar is indexed
        units: unit set to show
    """
    length = unit_of(Kind.LENGTH, units).symbol
    points = sorted({one.hanging_point for one in found.values()})
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
        "rows": [_row(side, one, units) for side, one in found.items()],
        "note": " ".join((_note(points), *_ways(found), _steps(found, units), *_pressed(found, units))),
    }


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


def _row(side: str, one: BarIndex, units: str) -> list[str]:
    index = one.chosen
    teeth = teeth_told(index)
    bolt = "–" if one.bolt_step is None else f"{index.bolt_turns:+.2f}"
    wide = f" ± {_number(one.hanging_band, units)}" if one.hanging_band else ""
    hanging = "–" if one.hanging is None else f"{_number(one.hanging, units, sign=True)}{wide}"
    band = f" ± {_number(one.height_band, units)}" if one.height_band else ""
    return [side, *teeth, bolt, hanging, _BLANK, f"{_number(one.expected_height, units)}{band}", _BLANK]


def _note(points: Sequence[str]) -> str:
    return (
        "Teeth and turns count from the old marks. Hanging free, before loading: middle of the "
        f"{' or '.join(points) or 'arm'} over (-: under) the line through the arm's two inner pivots, straight across from "
        "it, the body level from side to side. Loaded: wheel centre to arch, rolled and bounced. Each ± holds 9 of 10."
    )


def _ways(found: Mapping[Any, BarIndex]) -> Iterator[str]:
    for side, one in found.items():
        yield f"{side.capitalize()}: {which_way(one)}"


def _pressed(found: Mapping[Any, BarIndex], units: str) -> Iterator[str]:
    for side, one in found.items():
        if one.pressed:
            yield (
                f"STOP: on the {side} the car then stands {show(one.pressed, Kind.LENGTH, units)} into its bump rubber; do "
                "not set it like this."
            )


def _steps(found: Mapping[Any, BarIndex], units: str) -> str:
    """What one step more gives, where it is known."""
    step = next((one.step for one in found.values() if one.step is not None), None)
    if step is None:
        return "Spline counts unknown."
    return f"Smallest step, teeth on at one end and back at the other: {show(step, Kind.LENGTH, units)}."


def _degrees(turn: float) -> str:
    return show(turn, Kind.ANGLE, sign=True)


def _number(value: float, units: str, *, sign: bool = False) -> str:
    return show(value, Kind.LENGTH, units, sign=sign).partition(" ")[0]

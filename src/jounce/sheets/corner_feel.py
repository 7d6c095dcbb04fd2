"""What a corner feels like, in a table, a figure and plain sentences: found beside planned."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from itertools import chain

from jounce.behaviour.road.feel import Feel, TurnFeel
from jounce.behaviour.road.lift import TurnLimit
from jounce.conventions.quantities import RESULTS
from jounce.conventions.units import Kind, show
from jounce.questions.cornering import end_told, lift_told, manner_told
from jounce.sheets.blocks import Block, Figures, Heading, Points, TableBlock
from jounce.sheets.drive_figures import corner_figure, ride_caption, ride_figure
from jounce.sheets.paperwork import Printout
from jounce.sheets.shown import number, unit

_SAME = 0.02  # a change below this share is called none


def numbers_of(out: Printout) -> dict[str, Feel]:
    """What a driver feels in each state of the car, by title.

    Args:
        out: what is printed
    """
    return {title: state.feel for title, state in out.states.items()}


def feel_table(felt: Mapping[str, Feel], units: str) -> TableBlock:
    """Roll, balance, wheel lift and understeer, each turn for itself.

    Args:
        felt: of each state, by title
        units: unit set to show
    """
    turns = [turn for one in felt.values() for turn in (one.left, one.right)]

    def row(name: str, told: Callable[[TurnFeel], str]) -> list[str]:
        return [f"{RESULTS[name].label}{unit(RESULTS[name].kind, units)}", *map(told, turns)]

    rows = [
        row("roll_gradient", lambda t: _roll(t, units)),
        row("rear_lift", lambda t: _lift(t, 1, units)),
        row("no_rest", lambda t: _end(t.limits, units)),
        row("understeer_gradient", lambda t: _understeer(t, units)),
        row("front_share_of_transfer", lambda t: _share(t, units)),
    ]
    if not all(turn.limits.front_tips for turn in turns):
        rows.insert(1, row("front_lift", lambda t: _lift(t, 0, units)))
    return TableBlock(["", *(f"{title}, {side}" for title in felt for side in ("left turn", "right turn"))], rows)


def feel_blocks(out: Printout) -> list[Block]:
    """Table, figures and sentences.

    Args:
        out: what is printed
    """
    felt = numbers_of(out)
    sweeps = {title: state.sweep for title, state in out.states.items()}
    blocks: list[Block] = [Heading("In a corner (± holds 9 of 10)"), feel_table(felt, out.units)]
    if out.case.job is not None:
        blocks.append(Points(list(_sentences(felt, out.units))))
    blocks.append(
        Figures([corner_figure(sweeps, out.units, out.look.speaks)], "Steady left turn, from straight ahead.")
    )
    ride = ride_figure(out)
    if ride is not None:
        blocks += [Heading("Over a bump"), Figures([ride], ride_caption(out.units))]
    return blocks


def _sentences(felt: Mapping[str, Feel], units: str) -> Iterator[str]:
    found, planned = (felt[title] for title in ("as found", "as planned"))
    return chain(_roll_said(found.left, planned.left, units), _lift_said(found.left, planned.left, units))


def _roll_said(found: TurnFeel, planned: TurnFeel, units: str) -> Iterator[str]:
    was, now = found.roll_gradient, planned.roll_gradient
    if was is None or now is None:
        yield "How much the body rolls is not told: the car does not rest at 4 m/s²."
        return
    change = now / was - 1
    if abs(change) < _SAME:
        yield "In a left turn the body rolls as much as before."
    else:
        word = "less" if change < 0 else "more"
        before, after = (show(one, Kind.ANGLE_PER_ACCELERATION, units) for one in (was, now))
        yield f"In a left turn the body rolls {abs(change):.0%} {word} than before: {after} instead of {before}."


def _lift_said(found: TurnFeel, planned: TurnFeel, units: str) -> Iterator[str]:
    before, after = found.rear_lift, planned.rear_lift
    if after is None:
        yield f"The inside rear wheel lifts: {lift_told(planned.limits, 1, units)}."
    else:
        was = "where it did not" if before is None else f"before at {_g(before, units)}"
        same = before is not None and _g(before, units) == _g(after, units)
        told = f"{_g(after, units)}, {'as before' if same else was}"
        yield f"The inside rear wheel leaves the road at {told}; beyond it a stiffer rear bar changes nothing."


def _g(value: float, units: str) -> str:
    return show(value, Kind.ACCELERATION, units)


def _roll(turn: TurnFeel, units: str) -> str:
    return number(turn.roll_gradient, Kind.ANGLE_PER_ACCELERATION, units, band=turn.bands.get("roll_gradient", 0.0))


def _lift(turn: TurnFeel, axle: int, units: str) -> str:
    told, band = lift_told(turn.limits, axle, units), turn.bands.get(("front_lift", "rear_lift")[axle], 0.0)
    return told if isinstance(told, str) else number(told, Kind.ACCELERATION, units, band=band)


def _end(limits: TurnLimit, units: str) -> str:
    told = end_told(limits, units)
    return told if isinstance(told, str) else f"{number(told, Kind.ACCELERATION, units)}: {manner_told(limits)}"


def _understeer(turn: TurnFeel, units: str) -> str:
    return number(turn.understeer_gradient, Kind.ANGLE_PER_ACCELERATION, units, sign=True)


def _share(turn: TurnFeel, units: str) -> str:
    return number(turn.front_share, Kind.SHARE, units, band=turn.bands.get("front_share", 0.0))

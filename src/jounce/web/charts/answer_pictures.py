"""The curves and the picture that belong to an answer in words."""

from __future__ import annotations

from contextlib import suppress

from markupsafe import Markup

from jounce.asked.answer import DrawnBeside
from jounce.case.state import CaseState
from jounce.conventions.errors import JounceError
from jounce.conventions.units import Kind, show
from jounce.wanted.counter.how_low import HowLow
from jounce.wanted.counter.wish import MOST_LOWER
from jounce.web.charts.corner_curves import corner_charts
from jounce.web.charts.low_scale import low_scale
from jounce.web.charts.standing_still import standing_still
from jounce.web.charts.travel_curves import travel_charts
from jounce.web.picture.standing import as_planned

__all__ = ["answer_pictures"]


def answer_pictures(shown: DrawnBeside, units: str) -> list[Markup]:
    """What is drawn beside an answer; nothing where it cannot be drawn.

    Args:
        shown: what the answer is told of
        units: unit set to show
    """
    made: list[Markup] = []
    with suppress(JounceError):
        if shown.low is not None:
            made.append(_low(shown.low, units))
        if shown.stands:
            made.append(standing_still(shown.case.car, shown.plan, units))
        if shown.travel:
            made += _along_travel(shown, units)
        if shown.corner:
            sweeps = {one.title: one.sweep for one in _states(shown)}
            made += corner_charts(sweeps, units, shown.corner)
    return made


def _low(low: HowLow, units: str) -> Markup:
    return Markup(
        '<figure class="still">{}<figcaption>From as found to {} lower. Above: its own dampers and rubbers; in the middle: '
        "what rubs; below: what is not allowed. Each is free from the left to where it changes.</figcaption></figure>"
    ).format(low_scale(low, units), show(MOST_LOWER, Kind.LENGTH, units))


def _along_travel(shown: DrawnBeside, units: str) -> list[Markup]:
    found, planned = as_planned(shown.plan)
    made: list[Markup] = []
    for one, other in zip(found, planned, strict=True):
        if one.model.name in shown.axles:
            made += travel_charts(one.model.name, [one, other] if shown.changed else [one], units, shown.travel)
    return made


def _states(shown: DrawnBeside) -> tuple[CaseState, ...]:
    return shown.case.states if shown.changed else (shown.case.found,)

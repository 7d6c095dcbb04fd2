"""A job under the hand: heights and parts moved beside the picture, and all that follows at once."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial
from itertools import groupby
from math import degrees, isfinite
from typing import Any

from starlette.responses import JSONResponse, Response

from jounce.book import Entry
from jounce.car.mechanics.model import AXLES
from jounce.case.case import Case
from jounce.conventions.axes import ENDS, SIDES
from jounce.conventions.errors import InputError
from jounce.conventions.units import Kind, unit_of
from jounce.conventions.units import show as shown
from jounce.layouts.naming import named
from jounce.live.figures import every_figure, read_every
from jounce.live.lever import Lever
from jounce.live.levers import levers_of, with_levers
from jounce.live.moved import movable
from jounce.live.tables import LiveTables, live_tables
from jounce.wanted.counter.verdict import verdict_of
from jounce.web.background import BackgroundTask, TaskControl, TaskSpec, question_of
from jounce.web.case_cache import case_of, job_of
from jounce.web.pages.job import STEPS
from jounce.web.request import PageRequest, onward, page
from jounce.web.saving import keep, onward_saved
from jounce.web.script_words import words_of_data
from jounce.web.shop_settings import held_case, house_phrases, rules_text, widened_by_ledger
from jounce.words.signs import PROGRAM

__all__ = ["exact", "lever_values_of", "show", "tables"]

_TYRE, _BESIDE, _USUAL_TRACK = 180, 160, 1.4
"""Drawn widths of a tyre and of the room beside it [mm]; track where none is told [m]: all of it is a sketch."""
_AT_ONCE = 0.3
"""What is ready in so short a time needs no waiting page [s]."""


def show(ask: PageRequest) -> Response:
    """The levers and what follows them; before the tables are there, how far they are. A form keeps a new version."""
    job, car = job_of(ask)
    home = f"/jobs/{job.id}/live"
    case = held_case(ask, job, car)
    if "begin" in ask.form:
        order = TaskSpec("live", job.id, _question(job, car), "What follows the levers", home, ask.desk.by)
        begun = ask.works.start(order, partial(_work_out, case, job.content, car.content), instead=True)
        ask.works.wait(begun.id, _AT_ONCE)
        return onward(home)
    work = _work(ask, job, car)
    found = None if work is None else work.result
    if "keep" in ask.form:
        levers = () if found is None else found.levers
        values = lever_values_of(levers, ask.form)
        told = [f"{one.label} {shown(values[one.key], one.kind)}" for one in levers if one.key in values]
        text = with_levers(job.content, levers, values)
        return onward_saved(f"/jobs/{job.id}/consequences", keep(ask, job, text, f"live: {', '.join(told)}"))
    values_shown: dict[str, Any] = {
        "work": work,
        "tables": found,
        "case": case,
        "drawn": _drawn(case, () if found is None else found.levers),
    }
    return page(ask, "job_live.html", job=job, car=car, step="consequences", steps=STEPS, **values_shown)


def tables(ask: PageRequest) -> Response:
    """The tables, for the script that follows the levers; without any, as long as they are not worked out."""
    job, car = job_of(ask)
    work = _work(ask, job, car)
    if work is None or work.result is None:
        return JSONResponse({"levers": [], "degrees": [], "figures": []})
    found: LiveTables = work.result
    units = ask.desk.units
    figures = []
    for label, group in groupby(found.tables, key=lambda one: one.figure.label):
        of_label = list(group)
        good, figure = all(one.good for one in of_label), of_label[0].figure
        own = [
            {"terms": list(one.terms), "added": {key: list(terms) for key, terms in one.added.items()}}
            for one in of_label
        ]
        told = {"label": label, "tables": own if good else [], "times": figure.times, "rubbers": figure.rubbers}
        limits = {"code": figure.code, "least": figure.least, "most": figure.most}
        figures.append(told | limits | _unit(figure.kind, units))
    levers = [
        {"key": one.key, "low": one.low, "high": one.high, "today": one.today, "power": one.power, "moves": one.moves}
        | _unit(one.kind, units)
        for one in found.levers
    ]
    data = {"levers": levers, "degrees": found.degrees.tolist(), "figures": figures}
    house = house_phrases(ask.book)
    return JSONResponse(data if house is None else data | {"words": words_of_data(data, house)})


def exact(ask: PageRequest) -> Response:
    """The job with its levers where the hand left them, planned as a whole: numbers as they can be set, and the checks."""
    job, car = job_of(ask)
    work = _work(ask, job, car)
    levers = () if work is None or work.result is None else work.result.levers
    text = with_levers(job.content, levers, lever_values_of(levers, ask.query))
    case = case_of(text, car.content, rules_text(ask.book), widened_by_ledger(ask))
    moved = movable(case)
    values = read_every(moved, moved.today)
    verdict = verdict_of(case, ask.desk.units)
    figures = {
        label: _least([values.get(one.key) for one in group], Kind(kind), ask.desk.units)
        for (label, kind), group in groupby(every_figure(moved), key=lambda one: (one.label, one.kind))
    }
    house = house_phrases(ask.book)
    said: Callable[[str], str] = (PROGRAM if house is None else house).said
    faults = [f"{said(fault.question)} {said(fault.because)}" for fault in verdict.faults]
    return JSONResponse(
        {
            "figures": {label: said(text) for label, text in figures.items()},
            "fits": verdict.fits,
            "verdict": said(verdict.told),
            "faults": faults,
        }
    )


def lever_values_of(levers: Sequence[Lever], given: Mapping[str, str]) -> dict[str, float]:
    """Where levers are, by what was sent [SI].

    Args:
        levers: the levers
        given: texts by name; those that are no lever's key are left alone

    Raises:
        InputError: a number that is none, or beyond its lever's way
    """
    found: dict[str, float] = {}
    for lever in levers:
        text = given.get(lever.key)
        if text is None:
            continue
        try:
            value = float(text)
        except ValueError:
            value = float("nan")
        slack = 1e-9 * (lever.high - lever.low)
        if not isfinite(value) or not lever.low - slack <= value <= lever.high + slack:
            raise InputError(
                "A lever stands where it cannot",
                found=text[:40],
                allowed=f"{shown(lever.low, lever.kind)} to {shown(lever.high, lever.kind)}",
                todo="Move it on the page.",
                place=lever.key,
            )
        found[lever.key] = value
    return found


def _least(values: Sequence[float | None], kind: Kind, units: str) -> str:
    """The least of some numbers as text; what is not there lifts nowhere."""
    known = [value for value in values if value is not None]
    return shown(min(known), kind, units) if known else "does not, as far as is looked"


def _question(job: Entry, car: Entry) -> str:
    return question_of(job.content, car.content)


def _work(ask: PageRequest, job: Entry, car: Entry) -> BackgroundTask | None:
    """The tables of this very version, as far as they are."""
    work = ask.works.latest("live", job.id)
    return work if work is not None and work.order.question == _question(job, car) else None


def _work_out(case: Case, job_text: str, car_text: str, hand: TaskControl) -> LiveTables:
    car = movable(case)

    def tell(share: float, words: str) -> None:
        if hand.stopped():
            # Not Impossible: that would have the tables tried on a shorter way.
            raise InputError("It was stopped before all whole cars were worked out", todo="Begin it again.")
        hand.tell(share, words)

    return live_tables(car, levers_of(car, job_text, car_text), tell)


def _unit(kind: Kind, units: str) -> dict[str, Any]:
    unit = unit_of(kind, units)
    return {"unit": "" if unit.symbol == "-" else unit.symbol, "size": unit.factor, "decimals": unit.decimals}


def _drawn(case: Case, levers: Sequence[Lever]) -> dict[str, Any]:
    """What the pictures from the left and of both axles from the front need, in whole millimetres and degrees."""
    planned = case.plan.planned
    place = [
        float(model.stand.reference_values([named(model.name, "left", "wheel_x")])[0, 0]) for model in planned.models
    ]
    wheels = []
    for k, (axle, end) in enumerate(zip(AXLES, ENDS, strict=True)):
        arch = case.car.heights.corner(end, SIDES[0]).value - planned.sits.travel[axle, "left"]
        radius = float(case.planned.car.radius[k, 0])
        wheels.append({"x": round(1e3 * abs(place[k] - place[0])), "r": round(1e3 * radius), "arch": round(1e3 * arch)})
    axles = {
        axle: _axle_drawn({row.key: row.planned for row in case.rows}, axle, wheels[k], levers)
        for k, axle in enumerate(AXLES)
    }
    return {"front": wheels[0], "rear": wheels[1], "axles": axles}


def _axle_drawn(
    rows: Mapping[str, float | str | None], axle: str, wheel: Mapping[str, int], levers: Sequence[Lever]
) -> dict[str, Any]:
    """An axle from the front: as it looks, the car's left is on the right."""

    def row(key: str) -> float | None:
        value = rows.get(f"{axle}.{key}")
        return value if isinstance(value, float) and isfinite(value) else None

    half, hub = round(500 * (row("track") or _USUAL_TRACK)), wheel["r"]
    wall = half - _TYRE // 2 - _BESIDE
    sides = []
    for side, sign in (("right", -1), ("left", 1)):
        rubber = row(f"{side}.rubber_at")
        sides.append(
            {
                "place": sign * half,
                "camber": round(degrees(row(f"{side}.camber") or 0.0), 3),
                "rubber": None if rubber is None else round(1e3 * rubber),
                "at_damper": sign * (wall + 40),
                "at_rubber": sign * (wall + 105),
                "at_pivot": sign * (wall - 80),
            }
        )
    of_gap = any(lever.key == f"{axle}.rubber" and lever.writes.endswith(".gap") for lever in levers)
    return {
        "sides": sides,
        "hub": hub,
        "wide": _TYRE,
        "wall": wall,
        "out": half + _TYRE // 2 + 20,
        "roof": hub + wheel["arch"],
        "seat": hub + 40,
        "pivot": hub - 30,
        "way": -1 if of_gap else 1,  # a wider gap has the rubber higher, a taller rubber its end lower
    }

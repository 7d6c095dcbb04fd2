"""A job, walked through step by step from the car as found to what has to be set."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from functools import partial
from typing import Any

from starlette.responses import Response

from jounce.behaviour.on_road.feel import Feel
from jounce.book import Entry
from jounce.car.assumed import assumed_values
from jounce.car.file import read_toml
from jounce.car.quantity import read_measured
from jounce.car.rewriting import rewritten
from jounce.conventions.errors import Impossible
from jounce.conventions.typed import with_unit
from jounce.conventions.units import Kind, column, to_display, unit_of
from jounce.job.answers.cornering import cornering_table
from jounce.job.checks import Verdict
from jounce.job.wording import CAUTIONS, parts_of, settings_of
from jounce.web import sentences
from jounce.web.asking import Ask, onward, page
from jounce.web.charts.corner_curves import corner_charts
from jounce.web.charts.travel_curves import csv_text, travel_charts
from jounce.web.house import local_checks
from jounce.web.long_work import Hand, Order, question_of
from jounce.web.pages.photos import photos_of
from jounce.web.picture.standing import as_planned
from jounce.web.saving import keep, onward_saved
from jounce.web.worked import felt_as, job_of, read_pair, swept_as, work_out

__all__ = [
    "STEPS",
    "aim",
    "changes",
    "comparison_file",
    "consequences",
    "corner",
    "curves_file",
    "fits",
    "found",
    "settings",
    "step_page",
]

STEPS = (
    ("found", "As found"),
    ("aim", "Aim"),
    ("changes", "Changes"),
    ("consequences", "Consequences"),
    ("fits", "Fits and lasts"),
    ("settings", "Settings"),
    ("sheets", "Sheets"),
    ("proof", "Proof"),
)

Field = tuple[str, str, Kind]
AIMS: tuple[Field, ...] = (
    ("wanted.front.lower", "front lower by", Kind.LENGTH),
    ("wanted.rear.lower", "rear lower by", Kind.LENGTH),
    ("wanted.cross_weight", "weight on front right and rear left", Kind.SHARE),
    ("wanted.front.camber", "front camber", Kind.ANGLE),
    ("wanted.front.toe", "front toe, each wheel", Kind.ANGLE),
)
PARTS: tuple[Field, ...] = (
    ("change.front.torsion_bar.diameter", "torsion bars, diameter", Kind.LENGTH),
    ("change.front.torsion_bar.active_length", "torsion bars, active length", Kind.LENGTH),
    ("change.front.roll_bar.diameter", "front anti-roll bar, diameter", Kind.LENGTH),
    ("change.front.roll_bar_2.diameter", "second front anti-roll bar, diameter", Kind.LENGTH),
    ("change.front.bump_stop.free_height", "front bump rubber, free height", Kind.LENGTH),
    ("change.rear.spring.rate", "rear coils, rate", Kind.SPRING_RATE),
    ("change.rear.spring.free_length", "rear coils, free length", Kind.LENGTH),
    ("change.rear.inner_bar.diameter", "bar inside the tube, diameter", Kind.LENGTH),
    ("change.rear.roll_bar.diameter", "added rear anti-roll bar, diameter", Kind.LENGTH),
    ("change.rear.bump_stop.free_height", "rear bump rubber, free height", Kind.LENGTH),
)
_FOUND_ROWS = ("height", "load", "wheel_rate", "ride_frequency", "loose_at", "camber", "toe", "caster")


def step_page(ask: Ask, step: str, job: Entry, car: Entry, **values: Any) -> Response:
    """One step's page, with the way through all of them.

    Args:
        ask: the request
        step: its word in the address
        job: the job
        car: its car
        values: what the page shows
    """
    return page(ask, f"job_{step}.html", job=job, car=car, step=step, steps=STEPS, **values)


def found(ask: Ask) -> Response:
    """The car as it came."""
    job, car = job_of(ask)
    document = read_pair(job.content, car.content)[1]
    worked = work_out(job.content, car.content)
    rows = [row for row in worked.rows if row.key.split(".")[-1] in _FOUND_ROWS]
    values = {"document": document, "rows": rows, "photos": photos_of(ask, job)}
    return step_page(ask, "found", job, car, assumed=len(assumed_values(document)), **values)


def aim(ask: Ask) -> Response:
    """What is asked of the car."""
    return _fields_page(ask, "aim", AIMS, everything=True)


def changes(ask: Ask) -> Response:
    """Which parts are exchanged."""
    return _fields_page(ask, "changes", PARTS, everything=False)


def _fields_page(ask: Ask, step: str, fields: tuple[Field, ...], *, everything: bool) -> Response:
    """A form over some numbers of the job file; the file keeps its comments and all that is not on the form."""
    job, car = job_of(ask)
    written = read_toml(job.content, job.name)
    shown = {key: _as_shown(_at(written, key), kind, ask.desk.units) for key, _, kind in fields}
    if ask.form:
        changed = _changed(ask, fields, shown)
        then = ask.form.get("then", "")
        address = f"/jobs/{job.id}/{then if then in dict(STEPS) else step}"
        if not changed:
            return onward(address)
        told = [f"{label} {changed[key] or 'as it is'}" for key, label, _ in fields if key in changed]
        note = f"{dict(STEPS)[step].lower()}: {', '.join(told)}"
        return onward_saved(address, keep(ask, job, rewritten(job.content, changed), note))
    listed = [(key, label, kind, shown[key]) for key, label, kind in fields if everything or shown[key]]
    document = read_pair(job.content, car.content)[0]
    return step_page(ask, step, job, car, fields=listed, ordered=parts_of(document, ask.desk.units))


def _changed(ask: Ask, fields: tuple[Field, ...], shown: Mapping[str, str]) -> dict[str, object]:
    """New values by key: only what was really typed over; a number keeps nothing of the old one's origin."""
    changed: dict[str, object] = {}
    for key, _, kind in fields:
        given = ask.form.get(key)
        if given is None or given.strip() == shown[key]:
            continue
        changed[key] = with_unit(given, kind, ask.desk.units) if given.strip() else None
        if key.endswith(".lower"):  # the one way of saying the height replaces the others
            table = key.removesuffix("lower")
            changed |= dict.fromkeys((f"{table}height", f"{table}left_height", f"{table}right_height"))
    return changed


def _at(written: object, key: str) -> object:
    for step in key.split("."):
        if not isinstance(written, dict) or step not in written:
            return None
        written = written[step]
    return written


def _as_shown(written: object, kind: Kind, units: str) -> str:
    """A value of the file in the units of the page, with its ±, as exactly as it was written; empty where there is none."""
    if written is None:
        return ""
    measured, unit = read_measured(written, kind), unit_of(kind, units)
    value, band = (f"{number / unit.factor:.8g}" for number in (measured.value, measured.plus_minus))
    symbol = "" if unit.symbol == "-" else f" {unit.symbol}"
    return f"{value} ± {band}{symbol}" if measured.plus_minus else f"{value}{symbol}"


def consequences(ask: Ask) -> Response:
    """What the change does: heights, ride, corners, geometry, with the moving picture."""
    job, car = job_of(ask)
    worked = work_out(job.content, car.content)
    units = ask.desk.units
    found_axles, planned_axles = as_planned(worked.plan)
    charts = {
        one.model.name: travel_charts(one.model.name, [one, other], units)
        for one, other in zip(found_axles, planned_axles, strict=True)
    }
    said = (
        sentences.of_heights(worked, units),
        sentences.of_ride(worked, units),
        sentences.of_roll_centre(worked, units),
    )
    return step_page(ask, "consequences", job, car, said=said, rows=worked.rows, charts=charts)


def corner(ask: Ask) -> Response:
    """Both turns: long work, begun by a form; the consequences fetch how far it is, and what came of it, as a part."""
    job, car = job_of(ask)
    home, question = f"/jobs/{job.id}/corner", question_of(job.content, car.content)
    if ask.form:
        order = Order("corner", job.id, question, "The car in both turns", home, ask.desk.by)
        begun = ask.works.start(order, partial(_both_turns, job.content, car.content), instead=True)
        ask.works.wait(begun.id, _AT_ONCE)
        return onward(f"{home}?part=1" if "part" in ask.form else home)
    work = ask.works.latest("corner", job.id)
    if work is not None and work.order.question != question:
        work = None
    values: dict[str, Any] = {"job": job, "car": car, "work": work, "then": f"{home}?part=1"}
    if work is not None and work.result is not None:
        values["said"] = sentences.of_corner(dict(work.result), ask.desk.units)
        values["corner"] = cornering_table(f"{car.name} in a corner", work.result)
        sweeps = {state: swept_as(job.content, car.content, state)[1] for state in ("found", "planned")}
        values["corner_charts"] = corner_charts(sweeps, ask.desk.units)
    template = "corner_work.html" if "part" in ask.query else "job_corner.html"
    return page(ask, template, step="consequences", steps=STEPS, **values)


_AT_ONCE = 0.3
"""What is ready in so short a time needs no waiting page [s]."""


def _both_turns(job_text: str, car_text: str, hand: Hand) -> Mapping[str, Feel]:
    feel: dict[str, Feel] = {}
    hand.tell(0.02, "as found")
    feel["found"] = felt_as(job_text, car_text, "found")
    if hand.stopped():
        raise Impossible("It was stopped before the planned car was looked at.")
    hand.tell(0.5, "as planned")
    feel["planned"] = felt_as(job_text, car_text, "planned")
    return feel


def comparison_file(ask: Ask) -> Response:
    """All rows as found and as planned, for a spreadsheet."""
    job, car = job_of(ask)
    units, out = ask.desk.units, io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(["quantity", "found", "found_plus_minus", "planned", "planned_plus_minus"])
    for row in work_out(job.content, car.content).rows:
        numbers = (row.found, row.found_band, row.planned, row.planned_band)
        cells = ["" if n is None else f"{to_display(n, row.kind, units) + 0.0:.6f}" for n in numbers]
        writer.writerow([column(row.key, row.kind, units), *cells])
    return Response(
        out.getvalue(), media_type="text/csv", headers={"content-disposition": 'attachment; filename="comparison.csv"'}
    )


def curves_file(ask: Ask) -> Response:
    """Every result of both axles over travel, as found and as planned, for a spreadsheet."""
    job, car = job_of(ask)
    found, planned = as_planned(work_out(job.content, car.content).plan)
    text = csv_text([*found, *planned], ask.desk.units)
    return Response(text, media_type="text/csv", headers={"content-disposition": 'attachment; filename="curves.csv"'})


def fits(ask: Ask) -> Response:
    """Whether it fits and lasts: what fails first, then what is not known, then what is sound."""
    job, car = job_of(ask)
    worked = work_out(job.content, car.content)
    checks = [*worked.checks, *local_checks(ask, worked)]
    groups = [
        (title, [check for check in checks if check.verdict is verdict])
        for verdict, title in (
            (Verdict.FAIL, "Not like this"),
            (Verdict.UNKNOWN, "Not known yet"),
            (Verdict.PASS, "Sound"),
        )
    ]
    said = sentences.of_checks(checks)
    return step_page(ask, "fits", job, car, said=said, groups=[(t, g) for t, g in groups if g])


def settings(ask: Ask) -> Response:
    """What has to be set, in the order of work."""
    job, car = job_of(ask)
    worked = work_out(job.content, car.content)
    steps = settings_of(worked.plan, ask.desk.units)
    return step_page(ask, "settings", job, car, settings=steps, cautions=CAUTIONS)

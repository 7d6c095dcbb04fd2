"""The sheet of a job: two pages that a workshop hands over."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from jounce.behaviour.bands import Band
from jounce.behaviour.road.feel import Feel
from jounce.car.file.document import CarDocument
from jounce.checks import Check
from jounce.checks.gathered import gathered
from jounce.conventions.units import Kind, show, unit_of
from jounce.job.apply import planned_document
from jounce.job.comparison import Row, as_weighed, near_rubbers
from jounce.job.document import JobDocument
from jounce.job.plan import Plan, value_of
from jounce.job.wording import CAUTIONS, SURE, parts_of, settings_of
from jounce.layouts.naming import SIDES
from jounce.quote.shop import Shop
from jounce.sheets.case import Paperwork, identity_of, states_on_road
from jounce.sheets.cautions import not_measured
from jounce.sheets.corner_feel import feel_table, numbers_of
from jounce.sheets.figures import angle_curves, load_curves, sketch
from jounce.sheets.index_card import index_card
from jounce.sheets.notice import Despite, Judged, refuse_without_reason, stop_lines, stop_title
from jounce.sheets.printing import typeset

_ROWS = (
    "cross_weight",
    "front_share",
    "front.left.height",
    "front.right.height",
    "rear.left.height",
    "rear.right.height",
    "front.left.load",
    "front.right.load",
    "rear.left.load",
    "rear.right.load",
    "front.left.wheel_rate",
    "rear.left.wheel_rate",
    "front.left.ride_frequency",
    "rear.left.ride_frequency",
    "front.roll_stiffness",
    "rear.roll_stiffness",
    "front.left.loose_at",
    "rear.left.loose_at",
    "front.left.caster",
    "front.left.scrub_radius",
    "front.left.trail",
    "front.left.drive_shaft_outer_angle",
    "front.track",
    "front.roll_centre_height",
    "rear.roll_centre_height",
    "rear.axle_shift",
)


@dataclass(frozen=True, slots=True)
class SheetInput:
    """All that a sheet is printed from; ``felt`` is what a driver feels as found and as planned, worked out if left out.

    ``shop``, ``edition`` and ``despite`` are those of `Paperwork`, ``bands`` those of the planned car and its settings.
    """

    job: JobDocument
    car: CarDocument
    plan: Plan
    rows: Sequence[Row]
    checks: Sequence[Check]
    units: str = "metric"
    paper: Literal["a4", "us-letter"] = "a4"
    felt: Mapping[str, Feel] | None = None
    shop: Shop | None = None
    edition: str = ""
    despite: Despite | None = None
    bands: Mapping[str, Band] | None = None

    @property
    def look(self) -> Paperwork:
        """How it looks."""
        return Paperwork(self.units, self.paper, self.shop, self.edition, despite=self.despite)


def job_sheet(sheet: SheetInput) -> bytes:
    """The sheet as PDF.

    Args:
        sheet: job, car, plan and checks

    Raises:
        InputError: it fails what lives depend on, and nobody said why it is printed all the same
    """
    refuse_without_reason([Judged(tuple(sheet.checks))], sheet.despite)
    return typeset("job_sheet.typ", _data(sheet))


def _stop(sheet: SheetInput) -> dict[str, Any]:
    judged = [Judged(tuple(sheet.checks))]
    despite = "" if sheet.despite is None else sheet.despite.sentence
    return {"title": stop_title(judged), "lines": stop_lines(judged, sheet.units), "despite": despite}


def _data(sheet: SheetInput) -> dict[str, Any]:
    job, measured = sheet.job.job, sheet.car.measured
    felt = feel_table(sheet.felt or _felt(sheet), sheet.units)
    when = f", measured {measured.date}" if measured.date else ""
    return {
        "paper": sheet.paper,
        "title": f"{sheet.car.car.name}: {job.name}",
        "letterhead": sheet.look.letterhead,
        "identity": identity_of(sheet.job, sheet.look),
        "subtitle": f"{job.customer or 'customer'}{when}; aboard: {measured.aboard or 'not noted'}.",
        "stop": _stop(sheet),
        "rows": list(_rows(sheet)),
        "near": near_rubbers(sheet.rows),
        "parts": parts_of(sheet.job, sheet.units),
        "settings": settings_of(sheet.plan, sheet.units, sheet.bands),
        "sure": SURE if sheet.bands else "",
        "alignment": list(_alignment(sheet)),
        "index": index_card(sheet.job, sheet.car, sheet.plan, sheet.units),
        "feel": {"head": list(felt.head), "rows": [list(row) for row in felt.rows]},
        "sketch": sketch(sheet.plan, sheet.units),
        "angles": angle_curves(sheet.plan, sheet.units),
        "loads": load_curves(sheet.plan, sheet.units),
        "checks": gathered(sheet.checks, sheet.units),
        "cautions": [*CAUTIONS, *not_measured(sheet.car)],
    }


def _felt(sheet: SheetInput) -> Mapping[str, Feel]:
    return numbers_of(states_on_road(sheet.car, planned_document(sheet.car, sheet.job), sheet.job, sheet.plan))


def _rows(sheet: SheetInput) -> Iterator[list[str]]:
    known = {row.key: row for row in as_weighed(sheet.rows)}
    for key in _ROWS:
        row = known.get(key)
        if row is None:
            continue
        place = " ".join(key.split(".")[:-1])
        cells = [
            _shown(value, band, row.kind, sheet.units)
            for value, band in ((row.found, row.found_band), (row.planned, row.planned_band))
        ]
        label = f"{place}: {row.label}" if place else row.label
        yield [f"{label} [{unit_of(row.kind, sheet.units).symbol}]", *cells, _change(row, sheet.units)]


def _change(row: Row, units: str) -> str:
    return "–" if row.difference is None else show(row.difference, row.kind, units, sign=True).split(" ")[0]


def _shown(value: float | None, band: float, kind: Kind, units: str) -> str:
    """A value without its unit, and its ± where that would not print as zero."""
    if value is None:
        return "–"
    number, width = (show(x, kind, units).partition(" ")[0] for x in (value, band))
    return f"{number} ± {width}" if any(digit in "123456789" for digit in width) else number


def _alignment(sheet: SheetInput) -> Iterator[list[str]]:
    for axle in ("front", "rear"):
        table = sheet.plan.planned.geometry[axle]
        for name in ("camber", "toe", "caster"):
            if any(column.name == f"left_{name}" for column in table.columns):
                values = [value_of(table, f"{side}_{name}") for side in SIDES]
                angles = ["–" if value is None else f"{round(math.degrees(value), 2) + 0.0:+.2f}°" for value in values]
                yield [f"{axle} {name}", *angles, "________"]

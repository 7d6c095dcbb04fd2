"""The sheet of a job: two pages that a workshop hands over."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

from jounce.case.notes import notes_on
from jounce.checks.gathered import gathered
from jounce.conventions.units import Kind, show, unit_of
from jounce.job.comparison import ComparedRow, as_weighed
from jounce.job.plan import JobPlan, value_of
from jounce.job.wording import SURE, cautions_of, parts_of, settings_of
from jounce.layouts.naming import SIDES
from jounce.ledger.learned import learned_words
from jounce.sheets.cautions import not_measured
from jounce.sheets.corner_feel import feel_table, numbers_of
from jounce.sheets.figures import angle_curves, load_curves, sketch
from jounce.sheets.index_card import index_card
from jounce.sheets.notice import refuse_without_reason, stop_lines, stop_title
from jounce.sheets.paperwork import Printout, identity_of
from jounce.sheets.printing import in_words_of, lead_back_of, set_sparing_paper

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


_WORDS = {
    "page": "page",
    "of": "of",
    "changes": "What changes (± holds 9 of 10)",
    "alignment": "Alignment targets, at standing height",
    "parts": "Parts",
    "settings": "Settings, in the order of work",
    "index": "Index card of the torsion bars",
    "checks": "Checks",
    "sketch": "Linkage to scale: body held still, axes ISO 8855",
    "feel": "In a corner (± holds 9 of 10)",
    "cautions": "Cautions",
    "found": "as found",
    "planned": "as planned",
    "change": "change",
    "left": "left",
    "right": "right",
    "measured": "measured",
    "fitted": "fitted by",
    "checked": "checked by",
    "date": "date",
}
_SPOKEN = (
    "identity",
    "subtitle",
    "stop",
    "rows",
    "near",
    "learned",
    "parts",
    "settings",
    "sure",
    "alignment",
    "index",
    "feel",
    "checks",
    "cautions",
    "words",
)
"""Parts that are said in the house's words; names of car and job are the customer's."""


def job_sheet(out: Printout) -> bytes:
    """The sheet as PDF.

    Args:
        out: what is printed

    Raises:
        InputError: it fails what lives depend on, and nobody said why it is printed all the same
    """
    refuse_without_reason(out.judged(priced=False), out.look.despite)
    return set_sparing_paper("job_sheet.typ", in_words_of(out.look.speaks, _data(out), _SPOKEN), pages=2)


def _stop(out: Printout) -> dict[str, Any]:
    judged = out.judged(priced=False)
    despite = "" if out.look.despite is None else out.look.despite.sentence
    return {"title": stop_title(judged), "lines": stop_lines(judged, out.units), "despite": despite}


def _data(out: Printout) -> dict[str, Any]:
    case, units, speaks = out.case, out.units, out.look.speaks
    plan, job, measured = case.plan, case.change_list.job, case.car.measured
    felt = feel_table(numbers_of(out), units)
    known = [job.customer, f"measured {measured.date}" if measured.date else None]
    return {
        "paper": out.look.paper,
        "title": f"{case.name}: {job.name}",
        "letterhead": out.look.letterhead,
        "lead_back": lead_back_of(out),
        "identity": identity_of(case.change_list, out.look),
        "subtitle": "; ".join([", ".join(filter(None, known)), f"aboard: {measured.aboard or 'not noted'}."]).lstrip(
            "; "
        ),
        "stop": _stop(out),
        "rows": list(_rows(out)),
        "near": notes_on(case),
        "learned": learned_words(case.widened),
        "parts": parts_of(case.change_list, units),
        "settings": settings_of(plan, units, case.planned.bands),
        "sure": SURE,
        "alignment": list(_alignment(plan)),
        "index": index_card(case.bar_indices, units) if any(axle.bars for axle in plan.settings.values()) else None,
        "feel": {"head": list(felt.head), "rows": [list(row) for row in felt.rows]},
        "sketch": sketch(plan, units, speaks),
        "angles": angle_curves(plan, units, speaks),
        "loads": load_curves(plan, units, speaks),
        "checks": [{"failed": row[0] == "FAIL", "cells": list(row)} for row in gathered(case.every_check, units)],
        "words": _WORDS,
        "cautions": [*cautions_of(plan), *not_measured(case.car)],
    }


def _rows(out: Printout) -> Iterator[list[str]]:
    known = {row.key: row for row in as_weighed(out.case.rows)}
    for key in _ROWS:
        row = known.get(key)
        if row is None:
            continue
        place = " ".join(key.split(".")[:-1])
        cells = [
            _shown(value, band, row.kind, out.units)
            for value, band in ((row.found, row.found_band), (row.planned, row.planned_band))
        ]
        label = f"{place}: {row.label}" if place else row.label
        yield [f"{label} [{unit_of(row.kind, out.units).symbol}]", *cells, _change(row, out.units)]


def _change(row: ComparedRow, units: str) -> str:
    return "–" if row.difference is None else show(row.difference, row.kind, units, sign=True).split(" ")[0]


def _shown(value: float | None, band: float, kind: Kind, units: str) -> str:
    """A value without its unit, and its ± where that would not print as zero."""
    if value is None:
        return "–"
    number, width = (show(x, kind, units).partition(" ")[0] for x in (value, band))
    return f"{number} ± {width}" if any(digit in "123456789" for digit in width) else number


def _alignment(plan: JobPlan) -> Iterator[list[str]]:
    for axle in ("front", "rear"):
        table = plan.planned.geometry[axle]
        for name in ("camber", "toe", "caster"):
            if any(column.name == f"left_{name}" for column in table.columns):
                values = [value_of(table, f"{side}_{name}") for side in SIDES]
                angles = ["–" if value is None else f"{round(math.degrees(value), 2) + 0.0:+.2f}°" for value in values]
                yield [f"{axle} {name}", *angles, "________"]

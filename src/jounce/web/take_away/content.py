"""What stands in the file besides the picture: as plain texts, in the house's words, nothing of it markup.

Whose car it is stands in it only where that was ticked; chassis number, notes and prices never do.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from jounce.case.case import Case
from jounce.conventions.units import unit_of
from jounce.job.wording import SURE, parts_of, settings_of
from jounce.sheets.cautions import BRAKES, DRIVELINE, ENERGY, HANDLING, LAW, STEEL, STRUCTURE, TOOL, cautions
from jounce.sheets.notice import refuse_without_reason, stop_lines, stop_title
from jounce.sheets.paperwork import Paperwork, Printout
from jounce.sheets.shown import number
from jounce.words.signs import PROGRAM

__all__ = ["NUMBERS", "TakeAwayWish", "content"]

NUMBERS = (
    ("front.left.height", "Front left: wheel centre to arch"),
    ("rear.left.height", "Rear left: wheel centre to arch"),
    ("front.left.wheel_rate", "Front: stiffness at the wheel"),
    ("rear.left.wheel_rate", "Rear: stiffness at the wheel"),
    ("front.left.ride_frequency", "Front: how quickly the body moves"),
    ("rear.left.ride_frequency", "Rear: how quickly the body moves"),
    ("front.left.camber", "Front left: camber"),
)
"""The seven rows of a comparison that somebody asks for who does not work on cars, and how they are called."""
_TOPICS = (HANDLING, ENERGY, STEEL, STRUCTURE, BRAKES, DRIVELINE, LAW, TOOL)
_PLUS_MINUS = "± holds the true value in 9 of 10 cases."


@dataclass(frozen=True, slots=True)
class TakeAwayWish:
    """What the shop asked for.

    Attributes:
        title: what stands over it; empty for the car's maker and name
        customer: whether the customer's name stands on it

    """

    title: str = ""
    customer: bool = False


def content(case: Case, look: Paperwork, asked: TakeAwayWish) -> dict[str, Any]:
    """All texts of the file.

    Args:
        case: the job on its car
        look: units, letterhead, words, and why it is made although a check fails on which lives depend
        asked: what the shop asked for

    Raises:
        InputError: a check fails on which lives depend and nobody said why the file is made all the same
    """
    out = Printout(case, look)
    judged = out.judged(priced=False)
    refuse_without_reason(judged, look.despite)
    said: Callable[[str], str] = (PROGRAM if look.speaks is None else look.speaks).said
    job, car = case.change_list.job, case.car.car
    title = stop_title(judged)
    return {
        "language": "en" if look.speaks is None else look.speaks.language,
        "title": asked.title.strip() or " ".join(filter(None, (car.maker, car.name))),
        "under": ", ".join(
            filter(None, (job.customer if asked.customer else "", str(job.date or ""), said(look.edition)))
        ),
        "letterhead": look.letterhead,
        "stop": None
        if not title
        else {
            "title": said(title),
            "lines": [said(line) for line in stop_lines(judged, look.units)],
            "despite": "" if look.despite is None else said(look.despite.sentence),
        },
        "numbers": {
            "title": said("The numbers that matter"),
            "heads": [said(head) for head in ("", "as found", "as planned")],
            "rows": [[said(text) for text in _row(case, look.units, key, label)] for key, label in NUMBERS],
            "note": said(_PLUS_MINUS),
        },
        "parts": [
            {"title": said(head), "lines": [said(line) for line in lines], "note": said(note) if note else ""}
            for head, lines, note in (
                ("What was fitted", parts_of(case.change_list, look.units), ""),
                ("How it was set", settings_of(case.plan, look.units, case.planned.bands), SURE),
                ("Please read", cautions(out, _TOPICS), ""),
            )
            if lines
        ],
        "picture": said("Before and after"),
    }


def _row(case: Case, units: str, key: str, label: str) -> list[str]:
    row = case.row(key)
    symbol = unit_of(row.kind, units).symbol
    return [
        f"{label} [{symbol}]",
        number(row.found, row.kind, units, band=row.found_band),
        number(row.planned, row.kind, units, band=row.planned_band),
    ]

"""What a car does, as found or by a job as found and as planned: how it stands, travel, corner, brakes, ride, sheets."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import numpy as np

from jounce.behaviour.axle.context import car_context
from jounce.behaviour.axle.motions import steering_drive
from jounce.behaviour.axle.static import axle_sits
from jounce.behaviour.axle.travel import Column, TravelTable, travel_table
from jounce.behaviour.bands import bands
from jounce.conventions.errors import InputError
from jounce.conventions.quantities import RESULTS
from jounce.conventions.unit_table import UNIT_SETS
from jounce.conventions.units import Kind
from jounce.layouts.naming import SIDES
from jounce.sheets.catalogue import SHEETS
from jounce.web.api.of_book import ENTRY_PATH, entry_of
from jounce.web.api.of_jobs import case_of_job
from jounce.web.api.operation import HTML, PDF, Call, Operation, OperationAnswer, Parameter
from jounce.web.api.plain import plain
from jounce.web.api.schemas import (
    Schema,
    choice,
    listed,
    named,
    number,
    objects,
    or_null,
    quantity,
    si_unit,
    text,
    whole,
)
from jounce.web.case_cache import car_read
from jounce.web.charts.travel_curves import travel_table as standing_table
from jounce.web.pages import sheets
from jounce.web.pages.take_away import made_of
from jounce.web.picture.standing import as_found, as_planned

__all__ = ["OPERATIONS"]

_WHEEL = (
    *("load", "sprung_mass", "wheel_rate", "one_wheel_rate", "ride_rate"),
    *("ride_frequency", "suspension_frequency", "loose_at"),
)
_MOST_STATES = 2001
_AXLE: Schema = choice("which axle", "front", "rear")


def _standing(call: Call) -> Any:
    content = entry_of(call, "car").content
    document = car_read(content)
    found = bands(document)
    told: dict[str, Any] = {"name": document.car.name}
    for one in as_found(content):
        axle, sits = one.model.name, axle_sits(one.model)
        told[axle] = {
            side: {
                name: {"value": getattr(sits.wheels[side], name), "plus_minus": _band(found, f"{axle}.{side}.{name}")}
                for name in _WHEEL
            }
            for side in SIDES
        }
        told[axle] |= {
            "roll_stiffness": {"value": sits.roll_stiffness, "plus_minus": _band(found, f"{axle}.roll_stiffness")},
            "roll_parts": sits.roll_parts,
            "track": sits.track,
        }
    return plain(told)


def _band(found: Mapping[str, Any], key: str) -> float:
    return float(found[key].plus_minus) if key in found else 0.0


def _travel(call: Call) -> Any:
    """A car along a motion from where it was measured."""
    query = call.query
    document = car_read(entry_of(call, "car").content)
    model = {one.model.name: one.model for one in as_found(entry_of(call, "car").content)}[query["axle"]]
    motion, low, high = query["motion"], float(query["from"]), float(query["to"])
    if low >= high:
        raise InputError(
            "The sweep is not a range", found=f"from {low:g} to {high:g}", allowed="from below to", place="query"
        )
    if motion == "steer" and steering_drive(model.stand, model.name) is None:
        raise InputError(f"The {model.name} axle has no steering", todo="Choose another motion.", place="motion")
    drive = np.linspace(low, high, int(query.get("states", 25)))
    found = travel_table(model.stand, model.linkage, motion, drive, {}, car_context(document, model.name))
    return _columns(found, call)


def _travel_of_job(call: Call) -> Any:
    """Both wheels of an axle together from where it stands, as found or as planned."""
    found, planned = as_planned(case_of_job(call).plan)
    chosen = found if call.query["state"] == "found" else planned
    axle = {one.model.name: one for one in chosen}[call.query["axle"]]
    return _columns(standing_table(axle), call)


def _columns(found: TravelTable, call: Call) -> Any:
    wanted = call.query.get("quantity", [])
    columns = [c for c in found.columns if not wanted or c is found.columns[0] or _is_one(c, wanted)]
    missing = [name for name in wanted if not any(_is_one(column, [name]) for column in found.columns)]
    if missing:
        raise InputError(
            "This axle has no such quantity in this motion",
            found=", ".join(missing)[:200],
            allowed=", ".join(dict.fromkeys(column.quantity.name for column in found.columns)),
            place="quantity",
        )
    return plain(
        {
            "columns": [
                {"name": c.name, "side": c.side, "kind": c.kind, "unit": si_unit(c.kind), "values": c.values}
                for c in columns
            ],
            "reached": found.reached,
            "reason": found.reason,
        }
    )


def _is_one(column: Column, names: list[str]) -> bool:
    return column.name in names or column.quantity.name in names


def _sheet(call: Call) -> Any:
    """The sheet as the pages print it."""
    of_job = call.ask.address.startswith("/api/v1/jobs/")
    entry_of(call, "job" if of_job else "car")
    query = call.query
    desk = replace(
        call.ask.desk,
        units=query.get("units", call.ask.desk.units),
        paper=query.get("paper", call.ask.desk.paper),
    )
    asked = {
        "kind": query["kind"],
        "parts1": "\n".join(query.get("part", ())),
        "work": "\n".join(query.get("work", ())),
        "despite": query.get("despite", ""),
    }
    ask = replace(call.ask, query=asked, form={}, desk=desk)
    return sheets.pdf_of_job(ask, asked) if of_job else bytes(sheets.print_car(ask).body)


def _take_away(call: Call) -> Any:
    """The file as the pages make it."""
    job = entry_of(call, "job")
    if job.belongs_to is None:
        raise InputError("This job belongs to no car", found=job.name, todo="Save it with the id of its car.")
    query = call.query
    ask = replace(call.ask, desk=replace(call.ask.desk, units=query.get("units", call.ask.desk.units)))
    asked = {
        "title": query.get("title", ""),
        "customer": "1" if query.get("customer") == "yes" else "",
        "despite": query.get("despite", ""),
    }
    return made_of(ask, job, call.ask.book.entry(job.belongs_to), asked)


_WHEEL_SCHEMA = objects(
    "One wheel, each number with its band from the stated ±.",
    {
        name: objects(
            f"{row.label}: {row.said} [{si_unit(row.kind)}]",
            {
                "value": or_null(quantity(row.label, row.kind)),
                "plus_minus": quantity("half width of its band, 9 in 10; 0 where no ± is stated", row.kind),
            },
        )
        for name in _WHEEL
        for row in [RESULTS[name]]
    },
)
_AXLE_SCHEMA = objects(
    "One axle.",
    {
        "left": _WHEEL_SCHEMA,
        "right": _WHEEL_SCHEMA,
        "roll_stiffness": objects(
            "tyres excluded",
            {
                "value": quantity(RESULTS["roll_stiffness"].label, Kind.ROLL_STIFFNESS),
                "plus_minus": quantity("half width of its band, 9 in 10", Kind.ROLL_STIFFNESS),
            },
        ),
        "roll_parts": named(
            "its parts by what gives them", quantity(RESULTS["roll_stiffness"].label, Kind.ROLL_STIFFNESS)
        ),
        "track": quantity(RESULTS["track"].label, Kind.LENGTH),
    },
)
_TRAVEL = OperationAnswer(
    "columns over the motion",
    objects(
        "A motion. The first column is what is moved.",
        {
            "columns": listed(
                objects(
                    "One quantity.",
                    {
                        "name": text("its name, with its side"),
                        "side": or_null(text("left or right")),
                        "kind": text("what it measures"),
                        "unit": text("its SI unit"),
                        "values": listed(or_null(number("one for each state", "as `unit` says"))),
                    },
                )
            ),
            "reached": listed({"type": "boolean"}, "whether the linkage reaches each state"),
            "reason": text("why the first one that it does not reach is not reached; empty where all are"),
        },
    ),
)
_QUANTITY = Parameter(
    "quantity",
    "query",
    listed(text("name of a quantity", 1, 80), "only these; may be given several times"),
    required=False,
)
_SHEET_PARAMETERS = (
    Parameter("units", "query", choice("unit set of its numbers", *UNIT_SETS), required=False),
    Parameter("paper", "query", choice("its paper", "a4", "us-letter"), required=False),
)
_CAR_SHEETS = tuple(word for word, kind in SHEETS.items() if not kind.of_job)
_PRINTED = OperationAnswer("the sheet", {"type": "string", "contentMediaType": PDF}, media=PDF)

OPERATIONS: tuple[Operation, ...] = (
    Operation(
        "GET",
        "/v1/cars/{entry}/standing",
        "readStanding",
        "Cars",
        "How the car stands",
        _standing,
        OperationAnswer(
            "both axles as found",
            objects("A car as it stands.", {"name": text("its name"), "front": _AXLE_SCHEMA, "rear": _AXLE_SCHEMA}),
        ),
        "Loads, rates, frequencies, roll stiffness.",
        (ENTRY_PATH,),
        problems=(404,),
    ),
    Operation(
        "GET",
        "/v1/cars/{entry}/travel",
        "moveAxle",
        "Cars",
        "Move an axle",
        _travel,
        _TRAVEL,
        "Every angle, ratio and centre along a motion from as found.",
        (
            ENTRY_PATH,
            Parameter("axle", "query", _AXLE),
            Parameter("motion", "query", choice("how it is moved", "heave", "roll", "left", "right", "steer")),
            Parameter("from", "query", number("first value; roll and a steering box in rad", "m or rad", -1.0, 1.0)),
            Parameter("to", "query", number("last value", "m or rad", -1.0, 1.0)),
            Parameter("states", "query", whole("how many; 25 when left out", 2, _MOST_STATES), required=False),
            _QUANTITY,
        ),
        problems=(404,),
    ),
    Operation(
        "GET",
        "/v1/jobs/{entry}/travel",
        "moveAxleOfJob",
        "Jobs",
        "Move both wheels of an axle from where it stands",
        _travel_of_job,
        _TRAVEL,
        "From 60 mm droop to 60 mm bump.",
        (
            ENTRY_PATH,
            Parameter("axle", "query", _AXLE),
            Parameter("state", "query", choice("which car", "found", "planned")),
            _QUANTITY,
        ),
        problems=(404,),
    ),
    Operation(
        "GET",
        "/v1/cars/{entry}/sheet",
        "printCarSheet",
        "Cars",
        "Print a sheet of a car",
        _sheet,
        _PRINTED,
        parameters=(ENTRY_PATH, Parameter("kind", "query", choice("which", *_CAR_SHEETS)), *_SHEET_PARAMETERS),
        problems=(404,),
    ),
    Operation(
        "GET",
        "/v1/jobs/{entry}/sheet",
        "printJobSheet",
        "Jobs",
        "Print a sheet of a job",
        _sheet,
        _PRINTED,
        "Sheets with money need the shop's prices and parts of the shelf. What a sheet says of the planned car, each "
        "number with a ±, is kept in the ledger as a promise, as by the sheets' page.",
        (
            ENTRY_PATH,
            Parameter("kind", "query", choice("which", sheets.TWO_PAGES, *SHEETS, sheets.ALL_SHEETS)),
            *_SHEET_PARAMETERS,
            Parameter(
                "part",
                "query",
                listed(text("a code", 1, 80), "codes of parts, CODE=2 for two lots of one", most=50),
                required=False,
            ),
            Parameter(
                "work",
                "query",
                listed(text("work", 1, 120), 'work besides fitting, "alignment=1.5" hours', most=20),
                required=False,
            ),
            Parameter(
                "despite",
                "query",
                text("why it is printed although a check fails on which lives depend; printed at its head", 5, 300),
                required=False,
            ),
        ),
        problems=(404,),
    ),
    Operation(
        "GET",
        "/v1/jobs/{entry}/take-away",
        "takeJobAway",
        "Jobs",
        "A job as one file for the customer's phone",
        _take_away,
        OperationAnswer("the file", {"type": "string", "contentMediaType": HTML}, media=HTML),
        "The moving picture before and after, seven numbers, what was done, cautions; it asks nobody for anything.",
        (
            ENTRY_PATH,
            Parameter(
                "title",
                "query",
                text("what stands over it; maker and name of the car if left out", 1, 80),
                required=False,
            ),
            Parameter(
                "customer", "query", choice("whether the customer's name stands on it", "yes", "no"), required=False
            ),
            *_SHEET_PARAMETERS[:1],
            Parameter(
                "despite",
                "query",
                text("why it is made although a check fails on which lives depend; it stands at its head", 5, 300),
                required=False,
            ),
        ),
        problems=(404,),
    ),
)

"""A car: how it stands, what is known of it and from where, what is missing, its picture and its curves."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from starlette.responses import Response

from jounce.behaviour.axle.static import StaticAxle, axle_sits
from jounce.behaviour.bands import Band
from jounce.book import Entry
from jounce.car.file.inputs import all_inputs
from jounce.car.file.walk import path_words
from jounce.car.mechanics.model import AxleName
from jounce.conventions.constants import GRAVITY
from jounce.conventions.errors import JounceError
from jounce.conventions.quantities import RESULTS
from jounce.conventions.units import Kind
from jounce.layouts.naming import SIDES
from jounce.measuring.known import walked
from jounce.web.case_cache import car_case, car_read, car_travel_bands
from jounce.web.charts.travel_curves import csv_text, travel_charts
from jounce.web.missing_data import gaps_of
from jounce.web.pages.job_details import DETAILS, first_details
from jounce.web.pages.measure import address_of, remarks_shown
from jounce.web.pages.photos import photos_of
from jounce.web.picture.standing import as_found
from jounce.web.request import PageRequest, find, page

__all__ = ["curves_file", "show"]

_STANDS = ("load", "wheel_rate", "ride_rate", "ride_frequency", "loose_at")


def show(ask: PageRequest) -> Response:
    """The car's page; one that cannot be put together says so and leads to its numbers."""
    entry = find(ask, "car")
    try:
        return _whole(ask, entry)
    except JounceError as error:
        return page(ask, "car_unsound.html", 422, entry=entry, error=str(error), remarks=_remarks_anyway(entry))


def _remarks_anyway(entry: Entry) -> list[tuple[str, list[tuple[str, str]]]]:
    """What is unusual about a car that cannot be put together: it may tell why; nothing where it cannot even be read."""
    try:
        return remarks_shown(entry)
    except JounceError:
        return []


def _whole(ask: PageRequest, entry: Entry) -> Response:
    document, standings = car_read(entry.content), as_found(entry.content)
    sits = {one.model.name: axle_sits(one.model) for one in standings}
    found = car_case(entry.content).found.bands
    owner = None if entry.belongs_to is None else ask.book.entry(entry.belongs_to)
    return page(
        ask,
        "car.html",
        entry=entry,
        owner=owner,
        car=document,
        stands=list(_stands(sits, found)),
        roll=[(axle, one.roll_stiffness, found[f"{axle}.roll_stiffness"].plus_minus) for axle, one in sits.items()],
        remarks=remarks_shown(entry),
        gaps=[(gap, address_of(entry, gap.place)) for gap in gaps_of(document)],
        walked=walked(document),
        photos=photos_of(ask, entry),
        inputs=all_inputs(document),
        path_words=path_words,
        charts={
            one.model.name: travel_charts(
                one.model.name, [one], ask.desk.units, bands=car_travel_bands(entry.content)[one.model.name]
            )
            for one in standings
        },
        jobs=ask.book.entries("job", entry.id),
        details=DETAILS,
        first=first_details(ask, entry),
    )


def curves_file(ask: PageRequest) -> Response:
    """Every result of both axles over travel, for a spreadsheet."""
    text = csv_text(as_found(find(ask, "car").content), ask.desk.units)
    return Response(text, media_type="text/csv", headers={"content-disposition": 'attachment; filename="curves.csv"'})


def _stands(
    sits: Mapping[AxleName, StaticAxle], found: Mapping[str, Band]
) -> Iterator[tuple[str, Kind, list[tuple[float | None, float]]]]:
    """Rows of front left, front right, rear left, rear right, each number with its band."""
    for name in _STANDS:
        cells = []
        for axle, one in sits.items():
            for side in SIDES:
                band = found.get(f"{axle}.{side}.{name}")
                scale = 1 / GRAVITY if name == "load" else 1.0  # as the shop's scales tell it
                value = getattr(one.wheels[side], name)
                width = 0.0 if band is None else band.plus_minus
                cells.append((None if value is None else scale * value, scale * width))
        yield RESULTS[name].label, Kind.MASS if name == "load" else RESULTS[name].kind, cells

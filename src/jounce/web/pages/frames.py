"""The frames of the moving picture, for the script that draws them; `?motion=` asks for those that come later."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any

from starlette.responses import JSONResponse, Response

from jounce.book import Entry
from jounce.conventions.errors import InputError
from jounce.web.case_cache import car_read, job_of
from jounce.web.pages.measure import address_of
from jounce.web.picture.frames import frames, frames_of_motion
from jounce.web.picture.motions import MOTIONS, ShownCar
from jounce.web.picture.pivot_names import Place, pivot_keys, pivot_names
from jounce.web.picture.standing import shown_as_found, shown_as_planned
from jounce.web.request import PageRequest, find
from jounce.web.script_words import words_of_data
from jounce.web.shop_settings import held_case, house_phrases

__all__ = ["of_car", "of_job"]


def of_car(ask: PageRequest) -> Response:
    """A car as it was found."""
    car = find(ask, "car")
    shown = _Shown((car.content,), (shown_as_found(car.content),), pivot_names(car_read(car.content)))
    return _answered(ask, car, shown)


def of_job(ask: PageRequest) -> Response:
    """As found and as planned together."""
    job, car = job_of(ask)
    case = held_case(ask, job, car)
    names = {**pivot_names(case.planned.document), **pivot_names(case.car)}
    return _answered(ask, car, _Shown((car.content, job.content), shown_as_planned(case), names))


@dataclass(frozen=True, slots=True)
class _Shown:
    """Cars in a picture with the names of their places; two of the same documents are the same picture.

    The shop's rules and what its ledger widens move no part: they are in checks and bands alone.
    """

    texts: tuple[str, ...]
    cars: Sequence[ShownCar] = field(compare=False)
    names: Mapping[Place, str] = field(compare=False)


@lru_cache(maxsize=8)
def _beginning(shown: _Shown, units: str) -> Mapping[str, Any]:
    """What the picture begins with, kept: a page is looked at again and again."""
    return frames(shown.cars, shown.names, units)


def _answered(ask: PageRequest, car: Entry, shown: _Shown) -> Response:
    motion = ask.query.get("motion")
    if motion is None:
        data = {**_beginning(shown, ask.desk.units), "fields": _fields(car)}
        house = house_phrases(ask.book)
        return JSONResponse(data if house is None else data | {"words": words_of_data(data, house)})
    if motion not in MOTIONS:
        raise InputError(
            "There is no such motion", found=motion[:40], allowed=", ".join(MOTIONS), todo="Ask for one of them."
        )
    return JSONResponse(frames_of_motion(shown.cars, motion, ask.desk.units))


def _fields(car: Entry) -> dict[str, str]:
    """Where a pivot's place is typed in, by its name; pivots that no step of measuring asks for are not there."""
    document = car_read(car.content)
    found = {name: address_of(car, key) for name, key in pivot_keys(document).items()}
    return {name: address for name, address in found.items() if address}

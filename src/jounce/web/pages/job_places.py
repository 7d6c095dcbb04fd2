"""Parts of the shelf put into the places of a change list by hand, or taken out of them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from jounce.car.file.document import CarDocument
from jounce.car.parts.changed import SetRods
from jounce.conventions.errors import InputError
from jounce.job.document import JobDocument
from jounce.job.file import parse_job
from jounce.search.slots import Choosy, Slot, job_of, parts_for, reasons_against, slot_named, slots_of, without
from jounce.search.to_job import job_text
from jounce.shelf.describe import price_of, stock_of
from jounce.shelf.fit.to_car import fit
from jounce.shelf.part import Part
from jounce.shelf.shelf import Shelf

__all__ = ["WRITTEN", "JobPlace", "PlaceChoice", "PlaceChoices", "choices_for", "places_of", "with_places"]

WRITTEN = "as written"
"""What a place says whose part is told by its sizes alone."""


@dataclass(frozen=True, slots=True)
class JobPlace:
    """A place of the change list.

    Attributes:
        name: of the slot
        now: code of its part; `WRITTEN` for a part without a code, empty where the car keeps its own
        choices: what may go there: code and what is said of it
        part: the part of the shelf that is there; None for any other

    """

    name: str
    now: str
    choices: tuple[tuple[str, str], ...]
    part: Part | None = None

    @property
    def codes(self) -> list[str]:
        """Codes of the choices."""
        return [code for code, _ in self.choices]


def places_of(job: JobDocument, document: CarDocument, shelf: Shelf) -> list[JobPlace]:
    """Every place with its part and the parts of the shelf that fit there.

    Args:
        job: the job
        document: its car
        shelf: the shelf
    """
    found = []
    for slot in slots_of(document):
        parts = parts_for(slot, shelf, document, Choosy(unsure=True))
        choices = [(part.code, f"{part.name}, {price_of(part)}, {stock_of(part)}") for part in parts]
        now = _now(job, slot)
        here = next((part for part in shelf.parts if part.code == now), None)
        found.append(JobPlace(slot.name, now, tuple(choices), here))
    return found


@dataclass(frozen=True, slots=True)
class PlaceChoice:
    """A part of the shelf for a place.

    Attributes:
        part: the part
        price: in words
        stock: whether it is there, in words
        reasons: why it does not fit, or what is not known of it; none where it fits

    """

    part: Part
    price: str
    stock: str
    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PlaceChoices:
    """The parts of the shelf for a place: what fits, the cheapest first, what may fit, and what does not."""

    slot: Slot
    now: str
    fits: tuple[PlaceChoice, ...]
    unsure: tuple[PlaceChoice, ...]
    does_not: tuple[PlaceChoice, ...]


def choices_for(name: str, job: JobDocument, document: CarDocument, shelf: Shelf) -> PlaceChoices:
    """Every part of the kind that goes in a place, each with its price and why it does not fit where it does not.

    Args:
        name: of the place
        job: the job
        document: its car
        shelf: the shelf

    Raises:
        InputError: the car has no such place
    """
    slot = next((one for one in slots_of(document) if one.name == name), None)
    if slot is None:
        allowed = ", ".join(one.name for one in slots_of(document))
        raise InputError(
            "The car has no such place for a part", found=f'"{name[:60]}"', allowed=allowed, todo="Choose another."
        )
    groups: dict[str, list[PlaceChoice]] = {"fits": [], "unsure": [], "does_not": []}
    for part in shelf.of_kind(slot.kind):
        against = reasons_against(part, slot, document, Choosy(unsure=True))
        open_ = () if against else tuple(reason.sentence() for reason in fit(part, document, slot.end).reasons)
        group = "does_not" if against else "unsure" if open_ else "fits"
        told = tuple(text.removeprefix(f"{part.code}: ") for text in against) or open_
        groups[group].append(PlaceChoice(part, price_of(part), stock_of(part), told))
    for choices in groups.values():
        choices.sort(key=lambda one: (one.part.price is None, one.part.price or 0, one.part.code))
    return PlaceChoices(slot, _now(job, slot), *(tuple(groups[key]) for key in ("fits", "unsure", "does_not")))


def with_places(text: str, chosen: Mapping[str, str], document: CarDocument, shelf: Shelf) -> str:
    """The text of a job with other parts in some places.

    Args:
        text: the job
        chosen: code of the shelf by place, empty to leave what the car has; places that stay are not there
        document: its car
        shelf: the shelf

    Raises:
        InputError: a part that is not on the shelf, or of which too little is known
    """
    slots = [slot_named(name) for name in chosen]
    package = {name: shelf.part(code) for name, code in chosen.items() if code}
    return job_text(text, job_of(without(parse_job(text, ""), slots), package, document))


def _now(job: JobDocument, slot: Slot) -> str:
    code = getattr(getattr(job.shelf, str(slot.end)), slot.key)
    if code is not None:
        return str(code)
    if slot.key == "helper":
        spring = job.change.of(slot.end).spring
        return WRITTEN if spring is not None and spring.helper is not None else ""
    part = job.part(str(slot.end), slot.key)
    return "" if part is None or (isinstance(part, SetRods) and part.is_own) else WRITTEN

"""Parts of the shelf put into the places of a change list by hand, or taken out of them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from jounce.car.file.document import CarDocument
from jounce.job.document import JobDocument
from jounce.job.file import parse_job
from jounce.search.slots import Choosy, Slot, job_of, parts_for, slot_named, slots_of, without
from jounce.search.to_job import job_text
from jounce.shelf.describe import price_of, stock_of
from jounce.shelf.shelf import Shelf

__all__ = ["WRITTEN", "JobPlace", "places_of", "with_places"]

WRITTEN = "as written"
"""What a place says whose part is told by its sizes alone."""


@dataclass(frozen=True, slots=True)
class JobPlace:
    """A place of the change list.

    Attributes:
        name: of the slot
        now: code of its part; `WRITTEN` for a part without a code, empty where the car keeps its own
        choices: what may go there: code and what is said of it

    """

    name: str
    now: str
    choices: tuple[tuple[str, str], ...]

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
        found.append(JobPlace(slot.name, _now(job, slot), tuple(choices)))
    return found


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
    return "" if job.part(str(slot.end), slot.key) is None else WRITTEN

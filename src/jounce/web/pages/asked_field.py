"""The field of which form a row of an answer asks somebody to fill: of a reading, or of the walk round the car."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from urllib.parse import urlencode

from jounce.car.file.document import CarDocument
from jounce.measuring.walk import steps_of

__all__ = ["fields_of"]


def fields_of(document: CarDocument, entry_id: str) -> Callable[[Mapping[str, str]], str]:
    """Where each row leads: from what a form is filled with to an address; empty where there is no such field.

    Args:
        document: the car
        entry_id: its entry
    """
    pages: dict[str, str] = {}

    def address(form: Mapping[str, str]) -> str:
        if not form:
            return ""
        if "number" not in form:
            return f"/cars/{entry_id}/readings?{urlencode(form)}#add"
        if not pages:
            for step in steps_of(document):
                keys = [*(one.key for one in step.items), *(one.key for one in step.points)]
                pages.update(dict.fromkeys(keys, step.word))
        number = form["number"]
        key = number if number in pages else number.rpartition(".")[0]  # a point has one field for its coordinates
        return f"/cars/{entry_id}/measure/{pages[key]}#{key}" if key in pages else ""

    return address

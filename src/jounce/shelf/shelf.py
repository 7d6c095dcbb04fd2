"""The shelf: parts by their codes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TypeVar

from jounce.car.file.quantity import suggestion
from jounce.conventions.errors import InputError
from jounce.shelf.part import Part

__all__ = ["Shelf"]

AnyPart = TypeVar("AnyPart", bound=Part)


@dataclass(frozen=True, slots=True)
class Shelf:
    """All parts, each with a code of its own, in the order in which they were read."""

    parts: tuple[Part, ...] = ()

    def of_kind(self, kind: type[AnyPart]) -> Iterator[AnyPart]:
        """The parts of one kind.

        Args:
            kind: class of the parts
        """
        return (part for part in self.parts if isinstance(part, kind))

    def part(self, code: str) -> Part:
        """The part with a code.

        Args:
            code: the shop's code

        Raises:
            InputError: no part has this code
        """
        for part in self.parts:
            if part.code == code:
                return part
        codes = [part.code for part in self.parts]
        todo = suggestion(code, codes) if codes else "The shelf is empty."
        raise InputError(
            "No part has this code", found=f'"{code}"', todo=todo if len(todo) < 200 else "List the shelf."
        )

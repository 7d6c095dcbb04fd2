"""The car document: what a car file holds, once all of it goes together, and what is remarked on it."""

from __future__ import annotations

from typing import Self

from pydantic import model_validator

from jounce.car.file.contents import CarContents
from jounce.car.file.fields import refuse
from jounce.car.file.named_links import named_link_problems
from jounce.car.file.named_points import named_point_problems
from jounce.car.file.possible import impossible_in
from jounce.car.file.remark import Remark
from jounce.car.file.remarks import remarks_of
from jounce.car.file.trammels import trammel_problems

__all__ = ["CarDocument"]


class CarDocument(CarContents):
    """All that is known of one car, as it was measured."""

    @model_validator(mode="after")
    def _check(self) -> Self:
        problems = [*impossible_in(self), *trammel_problems(self)]
        problems = problems or [*named_point_problems(self), *named_link_problems(self)]
        if problems:
            refuse(*problems)
        return self

    def remarks(self) -> tuple[Remark, ...]:
        """What this document says that is possible but not usual; nothing of it stops the calculation."""
        return remarks_of(self)

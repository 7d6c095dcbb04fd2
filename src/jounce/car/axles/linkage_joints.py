"""One joint of an axle told as lists, as a car file writes it."""

from __future__ import annotations

from typing import Self

from pydantic import Field, model_validator

from jounce.car.axles.linkage_words import Form, form_problems, on_bodies, on_body, pair_problems, phrase_problems
from jounce.car.file.fields import refuse
from jounce.car.file.ranges import Axis3
from jounce.car.file.section import Section
from jounce.layouts.custom_axle import (
    Along,
    Ball,
    HowJoined,
    InTheMiddle,
    JointSpec,
    Line,
    NotTurning,
    OnLine,
    Rod,
    Through,
)

__all__ = ["LinkageJoint"]

_FORMS = {
    "ball": Form(needs=(("between",),), may=("shared",)),
    "rod": Form(may=("shared",)),
    "point": Form(needs=(("of",), ("line", "along")), may=("shared", "slides")),
    "middle": Form(),
    "not_turning": Form(needs=(("of",), ("line", "along")), may=("shared",)),
}
_NOTHING = 'Say what it is, as rod = ["point on body", "point on body"].'


class LinkageJoint(Section):
    """A joint between two bodies: one of ``ball``, ``rod``, ``point``, ``middle``, ``not_turning`` says which kind."""

    ball: str | None = Field(default=None, description="ball joint: the point that both bodies of `between` have")
    between: tuple[str, ...] | None = Field(default=None, description="the two bodies of a ball joint")
    rod: tuple[str, ...] | None = Field(
        default=None, description='rod with a ball joint at each end: ["point on body", "point on body"]'
    )
    point: str | None = Field(
        default=None, description='"point on body" that stays on the line `line` or `along` of the body `of`'
    )
    middle: str | None = Field(
        default=None,
        description='"point on body": both sides together keep the mean sideways place of this point in the car\'s body',
    )
    not_turning: str | None = Field(
        default=None, description="body that does not turn about the line `line` or `along` against the body `of`"
    )
    line: tuple[str, ...] | None = Field(default=None, description="two points of the body `of` that give the line")
    along: Axis3 | None = Field(
        default=None, description="direction of the line on the left, through the point; mirrored for the right"
    )
    of: str | None = Field(default=None, description="body that the line belongs to")
    slides: bool = Field(default=False, description="true: a rod slides along the line, no rubber gives along it")
    shared: bool = Field(default=False, description="true: there is one for the whole axle; else one on each side")

    @model_validator(mode="after")
    def _check(self) -> Self:
        problems = form_problems(self, _FORMS, _NOTHING)
        problems += pair_problems(self, "between", "rod", "line")
        problems += phrase_problems(self, "rod", "point", "middle")
        if problems:
            refuse(*problems)
        return self

    def told(self, name: str) -> JointSpec:
        """The joint as its layout takes it.

        Args:
            name: its name in the file

        """
        return JointSpec(name, self._how(), self.shared)

    def _how(self) -> HowJoined:
        if self.ball is not None and self.between is not None:
            return Ball(self.ball, (self.between[0], self.between[1]))
        if self.rod is not None:
            return Rod(on_bodies(self.rod))
        if self.point is not None and self.of is not None:
            return OnLine(on_body(self.point), self._line(), self.of, self.slides)
        if self.middle is not None:
            return InTheMiddle(on_body(self.middle))
        if self.not_turning is not None and self.of is not None:
            return NotTurning(self.not_turning, self._line(), self.of)
        raise ValueError("the document accepts no joint without a kind")

    def _line(self) -> Line:
        if self.line is not None:
            return Through(self.line[0], self.line[1])
        if self.along is None:
            raise ValueError("the document accepts no line without its points or its direction")
        return Along(self.along)

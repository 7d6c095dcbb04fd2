"""A bent anti-roll bar: told by its straight arms or by its whole centre line."""

from __future__ import annotations

from typing import Self

from pydantic import Field, model_validator

from jounce.car.file import ranges
from jounce.car.file.fields import refuse
from jounce.car.file.quantity import Measured
from jounce.car.file.section import Section
from jounce.car.parts.shared import NOTHING, POISSON_RATIO, YOUNGS_MODULUS, check_apart, check_bore
from jounce.conventions.errors import InputError

BLADE = ("blade_length", "blade_width", "blade_thickness", "blade_angle")
POINT_KEYS = ("arm_end", "bend", "bush", "link_end")
POINT_LIST_KEYS = ("centre_line", "hole_points")


class AntiRollBarShape(Section):
    """One side of a bent anti-roll bar: the left-hand half of its centre line, its bush, holes and blade, its link.

    Its shape is ``arm_end`` and ``bend``, or ``centre_line`` from the arm's end to the middle of the car.
    """

    diameter: ranges.AntiRollBarDiameter = Field(description="diameter of the bar")
    inner_diameter: ranges.InnerDiameter = Field(default=NOTHING, description="bore of a hollow bar; 0 for a solid one")
    arm_end: ranges.Point | None = Field(
        default=None, description="end of the bar's arm: where the drop link takes hold of it; of a straight arm"
    )
    bend: ranges.Point | None = Field(
        default=None, description="where arm and shaft of the bar meet, on the centre line; of a straight arm"
    )
    centre_line: ranges.CentreLine | None = Field(
        default=None,
        description="in place of arm_end and bend: the points of the centre line where its straight pieces meet, from "
        "the arm's end to the last one before the middle of the car",
    )
    bend_radius: ranges.LengthList = Field(
        default=(0.0,),
        description="bend radius of the centre line, one for all its points or one for each after the first",
    )
    bush: ranges.Point = Field(description="centre of the bush in which the shaft turns")
    bush_rate: ranges.BushRate | None = Field(
        default=None, description="radial rate of one bush; rigid where it is not given"
    )
    bush_axial_rate: ranges.BushRate | None = Field(
        default=None, description="rate of one bush along the shaft; the two hold the bar where it is not given"
    )
    holes: ranges.LengthList | None = Field(
        default=None, description="the holes for the link: distances from the arm's end along the arm"
    )
    hole_points: ranges.Points | None = Field(default=None, description="the holes for the link, as points instead")
    hole: ranges.HoleNumber | None = Field(default=None, description="number of the hole that is used, from 1")
    blade_length: ranges.BladeLength | None = Field(
        default=None, description="length of a blade at the end of the arm, from the link to where it is clamped"
    )
    blade_width: ranges.BladeWidth | None = Field(default=None, description="width of the blade")
    blade_thickness: ranges.BladeThickness | None = Field(default=None, description="thickness of the blade")
    blade_angle: ranges.BladeAngle | None = Field(
        default=None, description="setting of the blade: 0 the link bends it flat (soft), 90 on edge (stiff)"
    )
    youngs_modulus: ranges.YoungsModulus = Field(default=YOUNGS_MODULUS, description="Young's modulus of the steel")
    poisson_ratio: ranges.PoissonRatio = Field(default=POISSON_RATIO, description="Poisson's ratio of the steel")
    link_rate: ranges.LinkRate | None = Field(
        default=None, description="rate of one drop link with its bushes, along the link; rigid where it is not given"
    )
    link_length: ranges.LinkLength | None = Field(
        default=None,
        description="length of this side's drop link between its two points; what the points say where not given",
    )
    link_slack: ranges.LinkSlack = Field(
        default=NOTHING, description="free play of one drop link along its length, from end to end of the play"
    )

    @model_validator(mode="after")
    def _check(self) -> Self:
        check_bore(self.diameter, self.inner_diameter)
        check_apart(self, ("arm_end", "bend"), ("bend", "bush"))
        problems = [*_shape_problems(self), *_hole_problems(self), *_blade_problems(self)]
        if problems:
            refuse(*problems)
        return self


class AntiRollBar(AntiRollBarShape):
    """One side of a bent anti-roll bar with its drop link."""

    link_end: ranges.Point = Field(description="the drop link's other end")
    link_on: str = Field(description="what carries the drop link's other end: a word of the axle's layout")

    @model_validator(mode="after")
    def _check_link(self) -> Self:
        check_apart(self, ("arm_end", "link_end"))
        return self


def _shape_problems(bar: AntiRollBarShape) -> list[InputError]:
    """Either straight arms or a centre line, and a bend radius for each of its points."""
    if bar.centre_line is None:
        missing = [key for key in ("arm_end", "bend") if getattr(bar, key) is None]
        return [
            InputError(
                f'The shape of the bar is not complete: "{key}" is missing',
                todo='Give "arm_end" and "bend", or "centre_line" in place of both.',
                place=key,
            )
            for key in missing
        ]
    problems = [
        InputError(f'"centre_line" and "{key}" say the same thing twice', todo="Leave one of the two out.", place=key)
        for key in ("arm_end", "bend")
        if getattr(bar, key) is not None
    ]
    wanted = len(bar.centre_line) - 1
    if len(bar.bend_radius) not in (1, wanted):
        problems.append(
            InputError(
                "The bend radii do not fit the centre line",
                found=f"{len(bar.bend_radius)} for {wanted + 1} points",
                allowed=f"1 or {wanted}",
                todo="Give one radius for all, or one for each point after the first.",
                place="bend_radius",
            )
        )
    return problems


def _hole_problems(bar: AntiRollBarShape) -> list[InputError]:
    """A list of holes and the number of one of them go together."""
    if bar.holes is not None and bar.hole_points is not None:
        return [InputError('"holes" and "hole_points" say the same thing twice', todo="Leave one out.", place="holes")]
    holes = bar.holes or bar.hole_points or ()
    if (bar.hole is None) == (not holes) and (bar.hole is None or bar.hole <= len(holes)):
        return []
    return [
        InputError(
            "The hole that is used is not one of the list",
            found="none" if bar.hole is None else str(bar.hole),
            allowed=f"1 to {len(holes)}" if holes else "no hole without a list",
            todo='Give "hole" with "holes" or "hole_points".',
            place="hole",
        )
    ]


def _blade_problems(bar: AntiRollBarShape) -> list[InputError]:
    """A blade has all its four numbers."""
    given: list[Measured | None] = [getattr(bar, key) for key in BLADE]
    if all(value is None for value in given):
        return []
    return [
        InputError(f'The blade is not complete: "{key}" is missing', todo="Measure it.", place=key)
        for key, value in zip(BLADE, given, strict=True)
        if value is None
    ]

"""Bars that are twisted by their ends: the one that springs a wheel, the one inside a beam axle's tube."""

from __future__ import annotations

from typing import ClassVar

from pydantic import Field

from jounce.car.file import ranges
from jounce.car.file.section import Section
from jounce.car.parts import InnerBar, TorsionBarSection
from jounce.elements.bars.materials import SteelWord
from jounce.shelf.part import Needed, Part, Words, known_as

__all__ = ["InnerBarPart", "TorsionBarPart"]


class TorsionBarPart(Part):
    """A torsion bar that springs a wheel; one that is handed says its side."""

    KIND: ClassVar[str] = "torsion_bar"
    TITLE: ClassVar[str] = "torsion bar"
    MECHANICS: ClassVar[type[Section] | None] = TorsionBarSection
    CARRIED: ClassVar[tuple[str, ...]] = (
        "diameter",
        "inner_diameter",
        "active_length",
        "splines_arm",
        "splines_anchor",
        "preset",
        "steel",
        "shear_modulus",
        "stress_limit",
        "material",
    )
    NEEDED: ClassVar[Needed] = (("diameter",), ("active_length",))
    FITTING: ClassVar[Needed] = (
        ("splines_arm",),
        ("splines_anchor",),
        ("spline_diameter_arm",),
        ("spline_diameter_anchor",),
        ("overall_length",),
    )

    diameter: ranges.TorsionBarDiameter | None = known_as(TorsionBarSection, "diameter")
    inner_diameter: ranges.InnerDiameter | None = known_as(TorsionBarSection, "inner_diameter")
    active_length: ranges.TorsionBarLength | None = Field(
        default=None, description="length that twists, between the splines"
    )
    overall_length: ranges.BarOverall | None = Field(default=None, description="length from end to end")
    splines_arm: ranges.SplineCount | None = known_as(TorsionBarSection, "splines_arm")
    splines_anchor: ranges.SplineCount | None = known_as(TorsionBarSection, "splines_anchor")
    spline_diameter_arm: ranges.SplineDiameter | None = Field(
        default=None, description="outer diameter of the splines at the arm"
    )
    spline_diameter_anchor: ranges.SplineDiameter | None = Field(
        default=None, description="outer diameter of the splines at the anchor"
    )
    preset: bool | None = known_as(TorsionBarSection, "preset")
    steel: SteelWord | None = known_as(TorsionBarSection, "steel")
    shear_modulus: ranges.ShearModulus | None = known_as(TorsionBarSection, "shear_modulus")
    stress_limit: ranges.StressLimit | None = known_as(TorsionBarSection, "stress_limit")
    material: Words = Field(default="", description="steel and treatment, as text")


class InnerBarPart(Part):
    """A bar that lies in a beam axle's tube: held by splines or by clamps."""

    KIND: ClassVar[str] = "inner_bar"
    TITLE: ClassVar[str] = "inner bar"
    MECHANICS: ClassVar[type[Section] | None] = InnerBar
    CARRIED: ClassVar[tuple[str, ...]] = (
        "diameter",
        "inner_diameter",
        "active_length",
        "shear_modulus",
        "stress_limit",
    )
    NEEDED: ClassVar[Needed] = (("diameter",), ("active_length",))
    FITTING: ClassVar[Needed] = (("overall_length",), ("splines", "clamp_diameter"), ("largest_diameter",))

    diameter: ranges.AntiRollBarDiameter | None = known_as(InnerBar, "diameter")
    inner_diameter: ranges.InnerDiameter | None = known_as(InnerBar, "inner_diameter")
    active_length: ranges.InnerBarLength | None = known_as(InnerBar, "active_length")
    overall_length: ranges.BarOverall | None = Field(default=None, description="length from end to end")
    largest_diameter: ranges.SplineDiameter | None = Field(
        default=None, description="largest diameter of the bar that has to pass through the tube, its head included"
    )
    splines: ranges.SplineCount | None = Field(default=None, description="number of splines; none where it is clamped")
    clamp_diameter: ranges.SplineDiameter | None = Field(
        default=None, description="diameter where clamps hold it; none where it has splines"
    )
    shear_modulus: ranges.ShearModulus | None = known_as(InnerBar, "shear_modulus")
    stress_limit: ranges.StressLimit | None = known_as(InnerBar, "stress_limit")
